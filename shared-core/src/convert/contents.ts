import { hex } from '../base/hex.js';
import { phrase } from '../base/phrase.js';
import { done, type Refused, type Result, refuse } from '../base/result.js';
import { codeComments } from '../format/codeComments.js';
import { readLabel } from '../format/dumpText.js';
import { roleOf, sumBytesOf } from '../format/imageForm.js';
import type { Notation } from '../format/notation.js';
import { isImage } from '../format/notationOf.js';
import { bytesOf, contentOf, type Row } from '../format/row.js';
import { lineEndOf } from '../format/rows.js';
import { type ImageProblem, leavesDoubt } from '../image/imageProblems.js';
import { readImage } from '../image/imageRecords.js';
import { passedRows } from '../model/account.js';
import type { Dump } from '../model/dump.js';
import { headerOf } from '../model/headers.js';
import { hasRowsAsLines } from '../model/rowsAsLines.js';
import type { Profile } from '../profile/profile.js';

/** What a dump holds, whatever the notation: bytes at addresses, and what people wrote between them, in file order. */
export interface Contents {
  readonly parts: readonly Part[];
  /** Where the program starts, as a linear address, and the row that says so. */
  readonly start: { readonly row: number; readonly address: number } | undefined;
  /** What the lines of the file end with. */
  readonly lineEnd: '\r\n' | '\n' | '\r';
}

export type Part =
  | { readonly kind: 'data'; readonly row: number; readonly address: number; readonly bytes: ByteRun }
  | { readonly kind: 'comment'; readonly row: number; readonly text: string }
  | { readonly kind: 'header'; readonly row: number; readonly name: string; readonly value: string }
  /** The text of an S0 record. */
  | { readonly kind: 'title'; readonly row: number; readonly bytes: Uint8Array }
  /** A start address that another record after it takes the place of. */
  | { readonly kind: 'start'; readonly row: number };

/** `count` bytes of `store` from `from` on: an image has a million runs, for which views would take ten times the room. */
export interface ByteRun {
  readonly store: Uint8Array;
  readonly from: number;
  readonly count: number;
}

/** The contents of a dump; refused where a byte or an address of it is in doubt. */
export function contentsOf(dump: Dump): Result<Contents> {
  const { rows, notation, profile, layout } = dump;
  const doubt = doubtOf({ ...dump, problems: layout.imageProblems }) ?? whyNoAddresses(notation, profile);
  if (doubt !== undefined) return doubt;
  const [passed] = passedRows(dump);
  if (passed !== undefined)
    return refuse(
      phrase('Row {0} holds hex digits and is not read. Put # before it if it is a comment.', passed + 1),
      passed,
    );
  const found = isImage(notation) ? done(imageAddresses(dump)) : lineAddresses(rows);
  if (!found.ok) return found;
  const addresses = found.value;
  if (addresses.every((address) => address === NOWHERE)) return noData();
  const start = startOf(dump);
  const sumBytes = sumBytesOf(notation);
  const parts = rows.flatMap((found, row): Part[] => {
    if (row === start?.row) return [];
    const written = writtenPart(notation, row, found);
    const address = addresses[row] as number;
    if (found.kind !== 'record' || address === NOWHERE) return written;
    const { store, from, count } = found;
    return [{ kind: 'data', row, address, bytes: { store, from, count: count - sumBytes } }, ...written];
  });
  return done({ parts, start, lineEnd: lineEndOf(rows) });
}

/**
 * Why the labels of a dump are not known to be addresses, as far as its profile says what they are. Rows of a view that
 * are lines are called by their addresses.
 */
export function whyNoAddresses(notation: Notation, profile: Profile): Refused | undefined {
  const unknown = whyUnknownLabels(profile);
  if (unknown !== undefined || profile.geometry?.kind !== 'lines' || hasRowsAsLines(notation, profile)) return unknown;
  return refuse(
    phrase('The profile says that the labels of this dump are line numbers: its bytes have no addresses to be kept.'),
    0,
  );
}

/** Why nobody knows what the labels of a dump are: its profile has problems. */
function whyUnknownLabels({ flaw }: Pick<Profile, 'flaw'>): Refused | undefined {
  if (flaw === undefined) return undefined;
  return refuse(
    phrase(
      'The profile has problems ({0}), so it is not known whether labels are addresses. Correct them first: {1}',
      flaw.count,
      flaw.first,
    ),
  );
}

/** What a row holds for people besides its data. */
export function writtenPart(notation: Notation, row: number, found: Row): Part[] {
  // Comments of code stand anywhere in a line, and end in a mark of their own.
  const isCode = notation.commentSign === '//' && (found.kind === 'comment' || found.kind === 'record');
  const inCode = isCode ? codeComments(found.text) : [];
  if (inCode.length > 0) return inCode.map((text) => ({ kind: 'comment', row, text }));
  if (found.kind === 'comment') return [{ kind: 'comment', row, text: contentOf(found.text) }];
  if (found.kind === 'header') return [{ kind: 'header', row, name: found.name, value: found.value }];
  if (found.kind !== 'record') return [];
  const behind = notation.commentBehind === undefined ? -1 : found.text.indexOf(notation.commentBehind);
  if (behind >= 0) return [{ kind: 'comment', row, text: contentOf(found.text.slice(behind)) }];
  const role = roleOf(notation, found.type);
  if (role === 'symbol') return [{ kind: 'comment', row, text: contentOf(found.text) }];
  if (role === 'title') return [{ kind: 'title', row, bytes: bytesOf(found, 0, found.count - sumBytesOf(notation)) }];
  return role === 'start' ? [{ kind: 'start', row }] : [];
}

export function noData(): Refused {
  return refuse(phrase('There are no data in this file.'), 0);
}

/** What must be right before the bytes of a dump can go anywhere else. */
export function doubtOf({
  invalidRows,
  wrongSums,
  problems,
}: {
  readonly invalidRows: readonly number[];
  readonly wrongSums: readonly number[];
  readonly problems: readonly ImageProblem[];
}): Refused | undefined {
  if (invalidRows[0] !== undefined) {
    return refuse(
      phrase('Row {0} cannot be read. Correct it first, so that no byte is lost.', invalidRows[0] + 1),
      invalidRows[0],
    );
  }
  if (wrongSums[0] !== undefined) {
    const why = phrase(
      'The sum of row {0} is wrong. Find out why first: in the other form it would be right, and nobody could see the damage.',
      wrongSums[0] + 1,
    );
    return refuse(why, wrongSums[0]);
  }
  const unclear = problems.find(leavesDoubt);
  return unclear && refuse(phrase('Row {0}: {1}', unclear.row + 1, unclear.message), unclear.row);
}

/** In a list of addresses by row: the row has no data. */
const NOWHERE = -1;

/** For each row the address of its data. */
function imageAddresses({ rows, notation }: Dump): Float64Array {
  const { length, rows: places, addresses } = readImage(rows, notation).pieces;
  const all = new Float64Array(rows.length).fill(NOWHERE);
  for (let i = 0; i < length; i++) all[places[i] as number] = addresses[i] as number;
  return all;
}

/** Labels taken for addresses, where they can be that. */
function lineAddresses(rows: readonly Row[]): Result<Float64Array> {
  const records = rows.flatMap((found, row) => (found.kind === 'record' && found.count > 0 ? [{ row, found }] : []));
  const word = records.find(({ found }) => typeof found.label === 'string');
  if (word !== undefined) {
    return refuse(
      phrase(
        'Row {0}: "{1}" is not an address. Write the address in hex, such as 0x0010.',
        word.row + 1,
        word.found.label,
      ),
      word.row,
    );
  }
  const placed = records.map(({ row, found }) => ({
    row,
    from: Number(found.label),
    to: Number(found.label) + found.count,
  }));
  let before: (typeof placed)[number] | undefined;
  for (const here of [...placed].sort((a, b) => a.from - b.from)) {
    if (here.to > 0x100000000) {
      return refuse(phrase('Row {0} runs over the last address, FFFFFFFF.', here.row + 1), here.row);
    }
    if (before !== undefined && here.from < before.to) {
      const why = phrase(
        'Taken for addresses, the labels of rows {0} and {1} overlap at {2}: they are line numbers, or one is wrong.',
        before.row + 1,
        here.row + 1,
        hex(here.from, 4),
      );
      return refuse(why, here.row);
    }
    before = here;
  }
  const addresses = new Float64Array(rows.length).fill(NOWHERE);
  for (const { row, from } of placed) addresses[row] = from;
  return done(addresses);
}

/** Where the program starts, and the row that says so. */
export function startOf(dump: Dump): Contents['start'] {
  const { rows, notation } = dump;
  if (!isImage(notation)) {
    const header = headerOf(dump, 'start');
    const address = readLabel(header?.header.value ?? '');
    return header !== undefined && Number(address) <= 0xffffffff
      ? { row: header.row, address: Number(address) }
      : undefined;
  }
  const row = readImage(rows, notation).start;
  return row === undefined ? undefined : imageStart(notation, row, rows[row]);
}

/** Where the program of an image starts, from the row that says so. */
export function imageStart({ image }: Notation, row: number, record: Row | undefined): Contents['start'] {
  const address = record?.kind === 'record' ? image?.startIn(record) : undefined;
  return address === undefined ? undefined : { row, address };
}
