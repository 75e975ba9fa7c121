import { type Phrase, phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import type { LoadedDump } from '../checks/loadedDump.js';
import { isFormUnknown } from '../checks/unknownForm.js';
import { dumpText } from '../format/dumpText.js';
import { isForm } from '../format/forms.js';
import { isImage, notationWithHeaders, promisedBy } from '../format/notationOf.js';
import type { Row } from '../format/row.js';
import { lineEndOf, readRows, textOfRows } from '../format/rows.js';
import type { Dump } from '../model/dump.js';
import { type HeaderName, headerOf, isSealed } from '../model/headers.js';
import { lineCalled } from '../model/lineName.js';
import { sealOf } from '../model/seal.js';
import { nameOfSum, wrongTotals } from '../model/totalReading.js';
import { isForComparison, whyForComparison } from '../model/useHeader.js';
import { holdsRecords, whyNotWhole } from '../model/whole.js';

/** A sealed copy of a dump, and where the dump is to name it. */
export interface BackupCopy {
  /** Names to try in turn, best first: a backup never takes the place of a file. */
  readonly names: readonly string[];
  readonly text: string;
  /** What its seal says of its records. */
  readonly seal: string;
  /** What goes into the file of headers beside the copy; undefined where they are in its text. */
  readonly beside?: string;
  readonly naming: HeaderPlacing & {
    /** Whether the header replaces the line that is there. */ readonly replaces: boolean;
  };
}

/** Where a header goes, rows and columns from 0, and what is written before and after its value. */
export interface HeaderPlacing {
  readonly line: number;
  readonly column: number;
  readonly before: string;
  readonly after: string;
}

const MOST_NAMES = 99;

/**
 * A sealed copy of a dump as it is now; refused where it has one, is one, or cannot be read as a whole. Where the copy
 * becomes a file of raw bytes, `readBack` says what text is read of that again: its rows are the ones that are sealed.
 * `naming` is the dump that is to name the copy, where that is another state of it.
 */
export function backupCopy(
  { name, dump, profile, backup }: Pick<LoadedDump, 'name' | 'dump' | 'profile' | 'backup'>,
  readBack?: (text: string) => Result<string>,
  naming = dump,
): Result<BackupCopy> {
  if (isSealed(dump)) return refuse(phrase('This dump is a sealed backup itself.'));
  if (isForComparison(dump)) return refuse(whyForComparison(dump));
  const named = headerOf(dump, 'backup');
  if (backup.kind === 'read')
    return refuse(phrase('This dump has a backup already: "{0}". It is kept as it is.', named?.header.value ?? ''));
  // What nothing describes yet may be as sound as any: only nobody can tell.
  if (profile.kind === 'none' && isFormUnknown({ dump, profile }))
    return refuse(
      phrase(
        'No backup is made yet, since nothing says how this dump is written and summed. Run "Work Out the Checksum Rule" first.',
      ),
    );
  const doubt = whyNotAsRead(dump);
  if (doubt !== undefined) return refuse(doubt);
  const lineEnd = lineEndOf(dump.rows);
  if (!hasPlaceForHeaders(dump)) return done(copyWithHeadersBeside(name, dump, lineEnd));
  const shown = textOfRows(
    dump.rows.filter((one, row) => row !== named?.row && !(one.kind === 'header' && one.name === 'use')),
  );
  const again = readBack === undefined ? done(shown) : readBack(shown);
  if (!again.ok) return again;
  const kept = again.value;
  const seal = sealOf(kept === shown ? dump : { ...dump, rows: readRows(kept, dump.notation) });
  const isBehind = isImage(dump.notation);
  // Where no header shows what is read before a profile, none but a bare one is.
  const sign = isBehind || headerOf(dump, 'profile') !== undefined ? mark(dump) : '';
  const header = `${sign}@seal ${seal}${lineEnd}`;
  return done({
    names: namesFor(name, readBack === undefined ? endingFor(name, dump) : endingOf(name)),
    text: isBehind ? `${kept}${openEnd(kept, lineEnd)}${header}` : `${header}${kept}`,
    seal,
    naming: namingIn(naming),
  });
}

/** The same of a form without a place for headers: they are in a file beside the copy, as those of the dump are. */
function copyWithHeadersBeside(name: string, dump: Dump, lineEnd: string): BackupCopy {
  const { rows } = dump;
  const isBeside = ({ kind, text }: Row) => kind === 'header' || /^\s*[@#]/.test(text);
  const own = textOfRows(rows.filter((row) => !isBeside(row)));
  const headers = rows.filter((row) => isBeside(row) && !(row.kind === 'header' && NOT_OF_COPY.includes(row.name)));
  const seal = sealOf(dump);
  return {
    names: namesFor(name, endingFor(name, dump)),
    seal,
    text: own.replace(/(?:\r\n?|\n)+$/, lineEnd),
    beside: `@seal ${seal}\n${headers.map(({ text }) => `${text.replace(/^\ufeff|[\r\n]+$/g, '')}\n`).join('')}`,
    naming: { line: 0, column: 0, before: '@backup ', after: '\n', replaces: false },
  };
}

/** Headers of a dump in work that its backup does not have. */
const NOT_OF_COPY: readonly string[] = ['backup', 'use'];

function namingIn(dump: Dump): BackupCopy['naming'] {
  const named = headerOf(dump, 'backup');
  return named === undefined
    ? { ...placeForHeader(dump, 'backup'), replaces: false }
    : { line: named.row, column: 0, replaces: true, before: `${mark(dump)}@backup `, after: '' };
}

/** Why a dump is not what a module holds: something of it is missing or in doubt, or a sum shows that a byte is wrong. */
function whyNotAsRead(dump: Dump): Phrase | undefined {
  const [unread] = whyNotWhole(dump);
  if (unread !== undefined)
    return phrase(
      'No backup is made, since the dump is not whole: {0} Read the module again, or correct that first.',
      unread.why,
    );
  const [row] = dump.wrongSums;
  const [total] = wrongTotals(dump);
  if (row === undefined && total === undefined) return undefined;
  const what =
    row === undefined
      ? phrase('the {0}', nameOfSum(dump, total ?? 0))
      : phrase('the sum of line {0}', lineCalled(dump, row));
  return phrase(
    'No backup is made, since {0} is wrong, so a byte may have been read or copied wrongly. Read the module again.',
    what,
  );
}

/** The ending of a name by which the copy of a dump is read as the dump is. */
function endingFor(name: string, { rows, notation, profile }: Dump): string {
  const promised = promisedBy(name);
  if (promised !== undefined) return endingOf(name);
  if (!isForm(notation) || !isImage(notation)) return `.${dumpText.endings[0]}`;
  // A person may have said what the text alone does not show.
  const isShown = profile.notation !== undefined || notationWithHeaders('', textOfRows(rows)).id === notation.id;
  return isShown ? endingOf(name) : `.${notation.endings[0]}`;
}

function endingOf(name: string): string {
  return /\.[^.]*$/.exec(name)?.[0] ?? '';
}

function namesFor(name: string, ending: string): readonly string[] {
  const stem = ending !== '' && name.endsWith(ending) ? name.slice(0, -ending.length) : name;
  return Array.from({ length: MOST_NAMES }, (_, i) => `${stem}.backup${i === 0 ? '' : `-${i + 1}`}${ending}`);
}

/**
 * Where a header that a dump does not have yet goes: the profile before all else, others behind it. Programs that read
 * images stop at the end record, and most of them at any line that is no record: there it is behind everything.
 */
export function placeForHeader(dump: Dump, name: HeaderName): HeaderPlacing {
  const lineEnd = lineEndOf(dump.rows);
  const before = `${mark(dump)}@${name} `;
  if (!isImage(dump.notation)) {
    const line = name === 'profile' ? 0 : (headerOf(dump, 'profile')?.row ?? -1) + 1;
    // Behind the mark of the encoding, which is the first of all.
    const column = line === 0 && dump.rows[0]?.text.startsWith('\ufeff') ? 1 : 0;
    return { line, column, before, after: lineEnd };
  }
  const line = dump.rows.length - 1;
  const last = dump.rows[line]?.text ?? '';
  return { line, column: last.length, before: `${openEnd(last, lineEnd)}${before}`, after: lineEnd };
}

/** Whether headers have a place in the text of a dump: those of some forms are in a file beside it. */
export function hasPlaceForHeaders({ notation }: Pick<Dump, 'notation'>): boolean {
  return notation.headers === 'commented' || (notation.headers === 'own' && !isImage(notation));
}

/** Headers that go into a dump at one place, as text; `undefined` where it has all of them. */
export interface HeadersToAdd {
  readonly line: number;
  readonly column: number;
  readonly text: string;
}

/**
 * Where headers go that a dump does not have yet, and how they are written there. Those that it has stay as they are, but for
 * what it is used for. Those of a form without a place for headers are lines of the file beside it.
 */
export function headersToAdd(
  dump: Dump,
  headers: readonly (readonly [HeaderName, string])[],
): HeadersToAdd | undefined {
  const missing = headers.filter(([name]) => name === 'use' || headerOf(dump, name) === undefined);
  const [first] = missing;
  if (first === undefined) return undefined;
  const lineEnd = lineEndOf(dump.rows);
  if (!hasPlaceForHeaders(dump))
    return { line: 0, column: 0, text: missing.map(([name, value]) => `@${name} ${value}\n`).join('') };
  const { line, column, before } = placeForHeader(dump, first[0]);
  // What is read into an image that is still empty goes before its headers.
  const room = isImage(dump.notation) && !holdsRecords(dump) ? lineEnd : '';
  const text = missing.map(([name, value], at) => `${at === 0 ? before : `${mark(dump)}@${name} `}${value}${lineEnd}`);
  return { line: Math.max(0, line), column, text: `${room}${text.join('')}` };
}

/**
 * What headers of a dump begin with: as the one that names its profile, which is found before that says how the dump is
 * written, or the first one that is there, so that all of a file are written alike.
 */
function mark(dump: Pick<Dump, 'rows' | 'headers' | 'notation'>): string {
  const { rows, headers, notation } = dump;
  const { text = '' } = headerOf(dump, 'profile')?.header ?? rows[headers[0] ?? -1] ?? {};
  const sign = text.includes('@') ? text.slice(0, text.indexOf('@')).replace('\ufeff', '') : undefined;
  if (notation.headers !== 'commented') return sign !== undefined && /[;/]/.test(sign) ? sign : '';
  return sign ?? `${notation.commentSign} `;
}

/** A line end where a text does not have its last one. */
function openEnd(text: string, lineEnd: string): string {
  return text !== '' && !/[\r\n]$/.test(text) ? lineEnd : '';
}
