import { hasPlaceForHeaders, headersToAdd } from '../../actions/backup.js';
import { listed, type Phrase, phrase } from '../../base/phrase.js';
import { done, type Refused, type Result, refuse } from '../../base/result.js';
import { editLine } from '../../base/span.js';
import { checkDump } from '../../checks/checkDump.js';
import type { LoadedDump } from '../../checks/loadedDump.js';
import { uncheckedSums } from '../../checks/sumsLeft.js';
import { apartFromHeaders, withItsHeaders } from '../../format/behindHeaders.js';
import { lineEndOf, readRows } from '../../format/rows.js';
import { unreadRows } from '../../model/account.js';
import { cellKey } from '../../model/cell.js';
import { bind, type Dump } from '../../model/dump.js';
import { whyFlawed } from '../../model/gate.js';
import { isSeal } from '../../model/headers.js';
import { readOption } from '../../model/optionReading.js';
import { sealOf } from '../../model/seal.js';
import type { Option } from '../../profile/profile.js';
import type { ProfileToShare, SharedCopy } from './copies.js';
import { bytesInOrders } from './dumpBytes.js';
import { hitsInDump } from './hitsInDump.js';
import { personalLooks, shown } from './looksPersonal.js';
import { maskedBytes } from './maskedBytes.js';
import { withMaskedBytes } from './maskedDump.js';
import { maskedRows } from './maskedRows.js';
import { isOpenIn, maskedText } from './maskedText.js';
import { isTooShort, type Mask, masksOf, type Secret } from './masks.js';
import { mirrorsOf } from './mirrors.js';
import { codesLeft, type Invented, personalOptions, personalWrites } from './personalPlaces.js';
import { allSecrets, isAmong, knowsVin, ownSecrets } from './secrets.js';
import { maskedProfile } from './sharedProfile.js';

/** A dump of which a copy is to be shared. */
export type ToShare = Pick<LoadedDump, 'file' | 'name' | 'dump' | 'profile' | 'profileFile' | 'backupFile'>;

export interface Shared {
  readonly dumps: readonly SharedCopy[];
  readonly profiles: readonly SharedCopy[];
  /** What could not be looked for, and what else a person must know. */
  readonly notes: readonly Phrase[];
  /** What a person asked to hide and is in none of the dumps and profiles, as far as they can be searched. */
  readonly notFound: readonly string[];
  /** Whether a VIN was looked for. */
  readonly knowsVin: boolean;
}

/** Copies of dumps, and of the profiles that they name, in which nothing personal is left that is known; all or none. */
export function shareDumps(
  sources: readonly ToShare[],
  profiles: readonly ProfileToShare[],
  hidden: readonly string[] = [],
): Result<Shared> {
  for (const { name, dump, profile } of sources) {
    const why = whyNotShared(dump, profile);
    if (why !== undefined) return refuse(phrase('{0}: {1} Nothing was written.', name, why));
  }
  const own = ownSecrets(sources.map(({ dump }) => dump));
  const secrets = allSecrets(own, hidden);
  const given = masksOf(secrets);
  if (!given.ok) return given;
  const masks = given.value;
  const names = copyNames([...sources, ...profiles], masks);
  if (!names.ok) return names;
  const invented: Invented = { numbers: new Map(), bytes: new Map() };
  const copiesOf = (isMasked: boolean): Result<readonly Made[]> => {
    const made: Made[] = [];
    for (const source of sources) {
      const copy = sharedDump(source, masks, names.value, invented, isMasked);
      if (!copy.ok) return refuse(phrase('{0}: {1} Nothing was written.', source.name, copy.why));
      made.push(copy.value);
    }
    return done(made);
  };
  const first = copiesOf(false);
  if (!first.ok) return first;
  // That one copy has no invented bytes would tell what it holds.
  const made = first.value.some(({ isChanged }) => isChanged) ? copiesOf(true) : first;
  if (!made.ok) return made;
  const dumps = made.value.map(({ copy }) => copy);
  const personal = new Set(made.value.flatMap((one) => one.personal));
  const shared: SharedCopy[] = [];
  for (const source of profiles) {
    const copy = maskedProfile(source, masks, names.value, personal);
    if (!copy.ok) return refuse(phrase('{0}: {1} Nothing was written.', source.name, copy.why));
    shared.push(copy.value);
  }
  const found = [
    ...own,
    ...[...dumps, ...shared].flatMap((copy) => copy.found),
    ...[...sources, ...profiles].flatMap(({ name }) => maskedText(name, masks).found),
  ];
  const notFound = hidden.filter((text) => !isAmong(text, found));
  const notes = [
    ...notesOn(sources, secrets),
    ...notFound.map((text) => phrase('"{0}" was found in none of the copies', text)),
    ...hidden
      .filter((text) => isTooShort(text) && /\d/.test(text))
      .map((text) => phrase('"{0}" is too short to be looked for in the bytes as digits', text)),
  ];
  return done({ dumps, profiles: shared, notes, notFound, knowsVin: knowsVin(secrets) });
}

function whyNotShared(dump: Dump, profile: ToShare['profile']): Phrase | undefined {
  if (profile.kind === 'unreadable') return profile.why;
  if (dump.profile.flaw !== undefined) return whyFlawed(dump.profile.flaw);
  const [row] = unreadRows(dump);
  return row === undefined
    ? undefined
    : phrase(
        'Row {0} cannot be read, so nobody can tell whether it holds something personal. Correct it first.',
        row + 1,
      );
}

/** Nothing stands between a text and its headers. */
const PLAIN = { between: '', mark: '', blank: '' };

function notesOn(sources: readonly ToShare[], secrets: readonly Secret[]): readonly Phrase[] {
  return [
    ...(knowsVin(secrets)
      ? []
      : [
          phrase(
            'No VIN is known: no "@vin" and no option of that kind says it, so it could not be looked for. Name it as a text to hide too (on the command line with "--hide VIN").',
          ),
        ]),
    ...sources.flatMap(({ name, dump, profile }) =>
      uncheckedSums({ dump, profile }).map((what) => phrase('{0}: {1}', name, what)),
    ),
  ];
}

/** What the copy of each file is called, by its address: its own name, masked, and one for each. */
function copyNames(
  files: readonly { readonly file: string; readonly name: string }[],
  masks: readonly Mask[],
): Result<ReadonlyMap<string, string>> {
  const names = new Map<string, string>();
  const taken = new Set<string>();
  for (const { file, name } of files) {
    if (names.has(file)) continue;
    const { text: own } = maskedText(name.slice(Math.max(name.lastIndexOf('/'), name.lastIndexOf('\\')) + 1), masks);
    const dot = own.indexOf('.', 1);
    const [stem, ending] = dot < 0 ? [own, ''] : [own.slice(0, dot), own.slice(dot)];
    let copy = own;
    for (let number = 2; taken.has(copy.toLowerCase()); number++) copy = `${stem}-${number}${ending}`;
    taken.add(copy.toLowerCase());
    names.set(file, copy);
  }
  return done(names);
}

interface Made {
  readonly copy: SharedCopy;
  /** The options that it has otherwise, and those that are called personal. */
  readonly personal: readonly string[];
  /** Whether it has invented bytes. */
  readonly isChanged: boolean;
}

/** A copy, which says that it has invented bytes where it has some, or where others have that `isMasked`. */
function sharedDump(
  source: ToShare,
  masks: readonly Mask[],
  names: ReadonlyMap<string, string>,
  invented: Invented,
  isMasked: boolean,
): Result<Made> {
  const { dump, file } = source;
  const places = personalWrites(dump, masks, invented);
  if (!places.ok) return places;
  const hits = hitsInDump(dump, masks, places.value.writes);
  const writes = [...places.value.writes, ...hits.writes];
  const cells = new Set([...writes.map(cellKey), ...hits.cells]);
  const own = { profile: names.get(source.profileFile ?? ''), backup: names.get(source.backupFile ?? '') };
  const [data] = bytesInOrders(dump);
  const isInvented = (index: number) => data !== undefined && cells.has(cellKey(data.cellAt(index)));
  const rows = maskedRows(dump, masks, own, mirrorsOf(dump, writes, cells));
  const lineEnd = lineEndOf(dump.rows);
  // While bytes are masked, headers by which a dump is never written are away.
  const isAway = (row: number) => {
    const found = dump.rows[row];
    return found?.kind === 'header' && (rows.texts[row] === undefined || isSeal(found) || found.name === 'use');
  };
  const working = dump.rows.map((_, row) => (isAway(row) ? lineEnd : (rows.texts[row] ?? '')));
  const work = bind(readRows(working.join(''), dump.notation), dump.notation, dump.profile);
  if (work.rows.length !== dump.rows.length) return refuse(phrase('Its rows would not be the same in a copy.'));
  if (writes.length > 0 && source.profile.kind === 'none' && dump.layout.kind !== 'image')
    return refuse(
      phrase('Bytes of it are personal, and no profile says how its sums are made, so they cannot be kept right.'),
    );
  const changed = writes.length === 0 ? undefined : withMaskedBytes(work, writes);
  if (changed?.ok === false) return changed;
  const after = changed?.value.after ?? work;
  const isChanged = changed?.value.changesRecords === true;
  const seal = sealAfter(dump, isChanged);
  const edits = new Map<number, Parameters<typeof editLine>[1][number][]>();
  for (const edit of changed?.value.edits ?? []) edits.set(edit.row, [...(edits.get(edit.row) ?? []), edit]);
  const texts = dump.rows.flatMap((row, at) => {
    const text = rows.texts[at];
    if (text === undefined) return [];
    if (row.kind !== 'header' || !isSeal(row))
      return isAway(at) ? text : editLine(working[at] ?? '', edits.get(at) ?? []);
    if (seal === 'kept') return text;
    return seal === 'anew' ? text.slice(0, row.valueSpan.start) + sealOf(after) + text.slice(row.valueSpan.end) : [];
  });
  // What is said of it may stand behind rows that have no place for it.
  const notation = isMasked || isChanged ? withItsHeaders(dump.notation) : dump.notation;
  const read = (text: string) => bind(readRows(text, notation), notation, dump.profile.asRead ?? dump.profile);
  const text = isMasked || isChanged ? markedAsMasked(read(texts.join(''))) : texts.join('');
  const copy = read(text);
  const { fresh, gone } = problemsApart(source, copy);
  if (fresh !== undefined) return refuse(phrase('In the copy something would be wrong that is right here: {0}', fresh));
  const why = whyOpen(copy, masks);
  if (why !== undefined) return why;
  const name = names.get(file) ?? '';
  const shared: SharedCopy = {
    file,
    name,
    ...(hasPlaceForHeaders(dump) ? { text, headers: '' } : apartFromHeaders(text, PLAIN)),
    seal,
    found: [...rows.found, ...hits.masks],
    masked: [
      ...rows.says,
      ...places.value.names.map((what) => phrase('{0}: something invented is in its place', what)),
      ...shown(hits.found, (one) => one),
    ],
    says: [
      ...(seal === undefined ? [] : [sealInWords(seal)]),
      ...(isMasked || isChanged
        ? [phrase('"@use masked" in it says that bytes are invented, so it is no way back for any module')]
        : []),
      ...gone.map((what) => phrase('not wrong in the copy: {0}', what)),
    ],
    left: [
      ...rows.looks,
      ...codesLeft(dump).map(({ title }) => phrase('{0}: a number of keys, immobiliser or alarm', title)),
      ...bytesInOrders(copy)
        .slice(0, 1)
        .flatMap((ordered) => personalLooks(ordered, isInvented)),
    ],
  };
  return done({ copy: shared, personal: personalIds(dump, copy), isChanged });
}

/** The options that a copy has otherwise, and those that are called personal. */
function personalIds(dump: Dump, copy: Dump): readonly string[] {
  const isChanged = (option: Option) => readOption(dump, option)?.raw !== readOption(copy, option)?.raw;
  const changed = dump.profile.options.filter(isChanged);
  return [...changed, ...personalOptions(dump).map(({ option }) => option)].map(({ id }) => id);
}

function sealAfter(dump: Dump, isChanged: boolean): SharedCopy['seal'] {
  if (dump.sealHolds === undefined) return undefined;
  if (!isChanged) return 'kept';
  return dump.sealHolds ? 'anew' : 'dropped';
}

/** The text of a copy that says, where its form says it, that bytes of it are invented: it is no way back for any module. */
function markedAsMasked(copy: Dump): string {
  const rows = copy.rows.flatMap((row) => (row.kind === 'header' && row.name === 'use' ? [] : row.text));
  const whole = rows.join('');
  const plain = bind(readRows(whole, copy.notation), copy.notation, copy.profile);
  const added = headersToAdd(plain, [['use', 'masked']]);
  if (added === undefined) return whole;
  const { line, column, text } = added;
  if (!hasPlaceForHeaders(plain)) return whole + (/[\r\n]$/.test(whole) ? '' : '\n') + text;
  return rows.map((row, at) => (at === line ? row.slice(0, column) + text + row.slice(column) : row)).join('');
}

/** What would be wrong with a copy and is not with the dump, and what is wrong with the dump and would not be with a copy. */
function problemsApart(
  { dump, profile }: ToShare,
  copy: Dump,
): { readonly fresh: Phrase | undefined; readonly gone: readonly Phrase[] } {
  const problems = (of: Dump) =>
    checkDump({ dump: of, profile, backup: { kind: 'none' }, modules: () => [] })
      // What is only told may be otherwise for what is invented, such as the check digit of a VIN.
      .filter(({ severity }) => severity === 'error' || severity === 'warning')
      .map((one) => ({ key: `${one.code} ${one.label ?? ''}`, message: one.message }));
  const gone = [...problems(dump)];
  const fresh = problems(copy).find(({ key }) => {
    const at = gone.findIndex((one) => one.key === key);
    if (at >= 0) gone.splice(at, 1);
    return at < 0;
  });
  return { fresh: fresh?.message, gone: gone.map(({ message }) => message) };
}

/** Why a copy must not be handed on: a value that is to be masked is still in it. */
function whyOpen(copy: Dump, masks: readonly Mask[]): Refused | undefined {
  for (const { bytes, nameOf } of bytesInOrders(copy)) {
    const [found] = maskedBytes(bytes, masks).found;
    if (found !== undefined) return refuse(phrase('{0} would still be personal in the copy.', nameOf(found.at)));
  }
  const row = copy.rows.findIndex(({ kind, text }) => kind !== 'record' && isOpenIn(text, masks));
  return row < 0 ? undefined : refuse(phrase('Row {0} would still be personal in the copy.', row + 1));
}

/** The report on copies, a sentence a line. */
export function sharedInWords({ dumps, profiles, notes }: Shared): readonly Phrase[] {
  const of = ({ name, masked, left, says }: SharedCopy) => [
    phrase('{0}: masked or left out: {1}, looks personal and was left: {2}', name, masked.length, left.length),
    ...masked.map((what) => listed(['  ', what], '')),
    ...says.map((what) => listed(['  ', what], '')),
    ...left.map((what) => listed(['  ', phrase('left: {0}', what)], '')),
  ];
  return [...dumps.flatMap(of), ...profiles.flatMap(of), ...notes];
}

export function sealInWords(seal: NonNullable<SharedCopy['seal']>): Phrase {
  switch (seal) {
    case 'kept':
      return phrase('Its seal is kept: no record changed');
    case 'anew':
      return phrase('Its seal is made anew over the masked records');
    case 'dropped':
      return phrase('Its seal did not hold and is left out');
  }
}
