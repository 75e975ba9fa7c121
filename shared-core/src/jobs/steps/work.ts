import { digitsOf } from '../../base/hex.js';
import { listed, type Phrase, phrase } from '../../base/phrase.js';
import type { Problem } from '../../checks/problem.js';
import { isGood, verdictOf } from '../../checks/verdict.js';
import { compareDumps, differingBytes, differs } from '../../compare/compareDumps.js';
import { isFoundInBytes } from '../../options/foundInBytes.js';
import { isReadBadly } from '../card/cautions.js';
import { againstRetrofit, mattersOf } from '../card/openMatters.js';
import { numberFor } from '../changeFor.js';
import { contradictionOf } from '../fitting.js';
import { isTakenBack } from '../record/carriedOut.js';
import type { Written } from '../record/changes.js';
import type { Retrofit } from '../retrofit.js';
import { notSaved } from './asFound.js';
import type { JobInput } from './input.js';
import type { JobDump, Proof, Work } from './module.js';
import { done, type Finding, open } from './step.js';

const NO_BACKUP = phrase('What is changed shows against the backup.');

/** The last part of an address. */
export function nameIn(file: string): string {
  return file.split('/').at(-1) ?? '';
}

/** An address without its last part. */
export function folderOf(file: string): string {
  return file.slice(0, file.lastIndexOf('/') + 1);
}

/** A retrofit that changes a module. */
export interface Fitting {
  readonly file: string;
  readonly retrofit: Retrofit;
  readonly change: Retrofit['changes'][number];
}

/** The retrofits that change the module of a dump. */
export function fittingOf({ profileFile, dump }: JobDump, retrofits: JobInput['retrofits']): readonly Fitting[] {
  return retrofits.flatMap(({ file, read, profileFiles }) => {
    if (read.kind !== 'sound' || profileFile === undefined) return [];
    const { retrofit } = read;
    const change = retrofit.changes[numberFor(profileFiles, profileFile, dump.profile)];
    return change === undefined ? [] : { file, retrofit, change };
  });
}

/**
 * Whether the module is changed: as one of its retrofits asks, where there are any; or as in its backup again, where a
 * retrofit was carried out and read `back`.
 */
export function changeMade(
  own: JobDump,
  work: Work | undefined,
  { retrofits, isSaved }: Pick<JobInput, 'retrofits' | 'isSaved'>,
  { written, reading, back }: Pick<Proof, 'written' | 'reading' | 'back'>,
): Finding {
  const { file, name, dump } = own;
  const torn = retrofits.flatMap(({ read, file: retrofit }) =>
    read.kind === 'sound' ? [] : { why: read.why, retrofit },
  )[0];
  if (torn !== undefined) return open(torn.why, { does: 'open', file: torn.retrofit });
  const unsaved = retrofits.find((one) => !isSaved(one.file));
  if (unsaved !== undefined) return open(notSaved(nameIn(unsaved.file)), { does: 'save', file: unsaved.file });
  if (work === undefined) return open(NO_BACKUP);
  if (written?.settledBy !== undefined && back !== undefined) return toSettle(file, written, reading ?? back);
  const { card, comparison } = work;
  const fitting = fittingOf(own, retrofits);
  const [first] = fitting;
  if (first !== undefined) {
    const contrary = contradictionOf(
      dump,
      fitting.map((one) => ({ name: nameIn(one.file), change: one.change })),
    );
    if (contrary !== undefined) return open(contrary, { does: 'open', file: first.file });
    const unmet = fitting.map(({ change }) => againstRetrofit({ ...card, change }, comparison));
    const met = fitting[unmet.findIndex((why) => why.length === 0)];
    const titles = listed(fitting.map(({ retrofit, file: at }) => phrase('"{0}"', retrofit.title ?? nameIn(at))));
    const files = listed(fitting.map(({ file: at }) => phrase('"{0}"', nameIn(at))));
    const plan = { does: 'planRetrofit', file, other: first.file } as const;
    const set = { ...plan, does: 'setAsPlanned' } as const;
    if (met === undefined && !differs(comparison)) {
      if (!fitting.some(({ change }) => isTakenBack(change, back)))
        return open(phrase('Not set in this dump yet: {0}', titles), plan, [set]);
      if (written?.back === undefined || !isSaved(file)) return open(notSaved(name), { does: 'save', file });
      const says = isHeldLast(written)
        ? toWriteBack(work, written.back)
        : phrase('{0} To set {1} again, plan it anew.', written.said, titles);
      return { ...done(says, plan), title: phrase('Retrofit taken back') };
    }
    if (met === undefined) {
      // What is set beyond the retrofit, another plan leaves as it is.
      const isSet = againstRetrofit({ ...card, change: first.change }, { ...comparison, options: [] }).length === 0;
      return open(
        phrase('{0} If this job follows no retrofit, move {1} out of the folder.', unmet[0]?.[0] ?? '', files),
        isSet ? { does: 'setOption', file } : plan,
        isSet ? [] : [set],
      );
    }
    if (comparison.identical && written === undefined)
      return open(phrase('The module holds already what the retrofit asks for: nothing is to be written into it.'));
  }
  if (differs(comparison))
    return isSaved(file)
      ? done(changeInWords(work), { does: 'restore', file })
      : open(notSaved(name), { does: 'save', file });
  const [unread] = comparison.unread;
  if (unread !== undefined) return open(unread.why, { does: 'showProblems', file });
  if (written?.back !== undefined && !isSaved(file)) return open(notSaved(name), { does: 'save', file });
  if (written?.back !== undefined) {
    const back = done(isHeldLast(written) ? toWriteBack(work, written.back) : written.said);
    return first === undefined ? { ...back, title: phrase('Option taken back') } : back;
  }
  if (written !== undefined) return open(written.said, { does: 'bringBack', file });
  const { options } = dump.profile;
  if (!options.every(isFoundInBytes)) return open(phrase('Nothing is changed yet.'), { does: 'setOption', file });
  return open(
    options.length === 0
      ? phrase(
          'The profile names no option yet. Dumps of cars with the equipment and without it show which place it is. Where you know its digits, select them and name them.',
        )
      : phrase(
          'The profile names no option yet but texts and dates that were found in the bytes, such as a serial number. Dumps of cars with the equipment and without it show which place it is. Where you know its digits, select them and name them.',
        ),
    { does: 'findOption', file },
    [{ does: 'newOption', file }],
  );
}

/** Whether the last reading of the module is known, and shows other lines than its backup. */
export function isHeldLast(written: Written | undefined): boolean {
  return written?.isOpen === true && written.stray === undefined && written.settledBy === undefined;
}

/** What is to be done where nobody can tell which of two readings is the later one. */
export function toSettle(file: string, { settledBy, said }: Written, reading: JobDump): Finding {
  const openIt = { does: 'open', file: reading.file } as const;
  return settledBy === 'time' ? open(said, openIt) : open(said, { does: 'bringBack', file }, [openIt]);
}

/** Which lines a module needs to be as in its backup again. */
function toWriteBack({ card: { after } }: Work, { dump, name }: Written['back'] & object): Phrase {
  if (isReadBadly(dump))
    return phrase('As in the backup. What the module last held was mistyped or badly read ({0}).', name);
  const comparison = compareDumps(dump, after.dump);
  const held = comparison.options.map(({ option, before }) => phrase('{0}: {1}', option.title, before));
  const labels = listed(comparison.lines.map(({ called }) => called));
  return held.length === 0
    ? phrase('As in the backup. The module last held something else ({0}): write these lines back: {1}.', name, labels)
    : phrase(
        'As in the backup. The module last held {0} ({1}): write these lines back: {2}.',
        listed(held),
        name,
        labels,
      );
}

function changeInWords({ comparison }: Work): Phrase {
  const { options } = comparison;
  if (options.length === 0) return phrase('Changed bytes: {0}', differingBytes(comparison));
  return listed(options.map(({ option, before, after }) => phrase('{0}: {1} → {2}', option.title, before, after)));
}

/** Whether all of the dump was checked and nothing is in the way of writing it. That it is saved, the change asks for. */
export function allRight(own: JobDump, work: Work | undefined): Finding {
  const { loaded, problems, file, name } = own;
  const matters = work === undefined ? mattersOfCheck(own) : mattersOf(work.card, work.comparison);
  const [first] = matters;
  const slip = work && slipIn(own, work);
  if (slip !== undefined && wayOut(problems) === 'correctChecksums')
    return open(slip, { does: 'compareWithBackup', file }, [
      { does: 'restore', file },
      { does: 'correctChecksums', file },
    ]);
  if (first !== undefined)
    return open(matters.length === 1 ? first : phrase('{0} Open in all: {1}.', first, matters.length), {
      does: wayOut(problems),
      file,
    });
  if (!isGood(verdictOf(loaded, problems)))
    return open(phrase('{0} is not good yet.', name), { does: 'showProblems', file });
  return done(phrase('All of it was checked, and nothing is wrong.'));
}

/** A line whose sum is wrong and that has a byte other than in the backup that nothing explains: mistyped, more likely than a wrong sum. */
function slipIn({ dump }: JobDump, { comparison }: Work): Phrase | undefined {
  for (const { called, afterRow, bytes } of comparison.lines) {
    const other = bytes.find(({ reason }) => reason === 'unexplained');
    if (other === undefined || !dump.wrongSums.includes(afterRow)) continue;
    return phrase(
      'The sum of line {0} is wrong, and byte {1} is {2}, while the backup has {3}. If that was mistyped, take the line from the backup.',
      called,
      other.byte,
      digitsOf(other.after),
      digitsOf(other.before),
    );
  }
  return undefined;
}

function mattersOfCheck({ problems, unchecked }: JobDump): readonly Phrase[] {
  return [...problems.flatMap((one) => (isGrave(one) ? one.message : [])), ...unchecked];
}

function wayOut(problems: readonly Problem[]): 'correctChecksums' | 'showProblems' | 'compareWithBackup' {
  const grave = problems.filter(isGrave);
  if (grave.length === 0) return 'compareWithBackup';
  return grave.every(({ code }) => code === 'line-sum' || code === 'total-sum') ? 'correctChecksums' : 'showProblems';
}

function isGrave({ severity }: Problem): boolean {
  return severity === 'error' || severity === 'warning';
}
