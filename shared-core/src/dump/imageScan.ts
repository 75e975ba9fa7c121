import { byteStore, type Notation } from '../notation/notation.js';
import { NO_PROBLEMS, type Row } from '../notation/row.js';
import { EMPTY_PROFILE } from '../profile/readProfile.js';
import type { Dump } from './dump.js';
import { eachLine, STOP } from './eachLine.js';
import type { HeaderName } from './headers.js';
import { layoutOfImage } from './imageLayout.js';
import { noPieces } from './imagePieces.js';
import { type ImageState, imageProblemsOf, newImage, takeRow } from './imageRecords.js';
import { type LineSumRule, lineSumRule } from './lineSum.js';
import { soundRecords } from './soundRecords.js';

/** The bytes of a file in chunks of any size; asked for again only where a row turns out to matter later. */
export type Chunks = () => Iterable<Uint8Array>;

/** Headers that speak of all records. */
const ASKING: ReadonlySet<string> = new Set<HeaderName>(['profile', 'backup', 'seal']);

/** What stands for a row that nothing is wrong with. */
const SOUND: Row = { kind: 'blank', text: '', problems: NO_PROBLEMS };

/**
 * Reads a memory image of any size in one pass over the bytes of its file, making no rows of its sound records; every
 * other line goes through the notation. The dump has all the problems that the whole one would have, and no more than
 * the rows they are in: all others stand as blank rows. `decode` turns the bytes of a line (UTF-8) into text.
 *
 * Undefined where a header names a profile or a backup or seals the records: those ask for the whole dump.
 */
export function scanImage(chunks: Chunks, notation: Notation, decode: (bytes: Uint8Array) => string): Dump | undefined {
  const read = (line: Uint8Array) => notation.readRow(decode(line), byteStore((line.length >> 1) + 1));
  const rule = lineSumRule(EMPTY_PROFILE, notation) as LineSumRule;
  const inOrder = onePass(chunks, notation, read, rule, newImage(undefined));
  // Nearly all files have their data in order, so that none overlap; only others are worth keeping places for.
  const pass = inOrder?.state.rising === false ? onePass(chunks, notation, read, rule, newImage(noPieces())) : inOrder;
  if (pass === undefined) return undefined;

  const { state, kept, count, wrongSums } = pass;
  const problems = imageProblemsOf(state, notation);
  const troubled = [...kept].flatMap(([row, found]) => (found.problems.length > 0 ? [row] : []));
  keepToo(kept, new Set(problems.map(({ row }) => row).filter((row) => !kept.has(row))), chunks, read);
  const rows = new Array<Row>(count).fill(SOUND);
  for (const [row, found] of kept) rows[row] = found;
  const layout = layoutOfImage(rows, { pieces: noPieces(), problems, start: state.start });
  const headers = [...kept].flatMap(([row, { kind }]) => (kind === 'header' ? [row] : []));
  const nothing = { totals: [], states: [], wrongLengths: [] };
  return { rows, notation, profile: EMPTY_PROFILE, layout, rule, headers, troubled, wrongSums, ...nothing };
}

interface Pass {
  readonly state: ImageState;
  /** Headers, and rows that something is wrong with by themselves. */
  readonly kept: Map<number, Row>;
  readonly wrongSums: readonly number[];
  /** Rows of the file. */
  readonly count: number;
}

/** All rows once; undefined where one asks for the whole dump. */
function onePass(
  chunks: Chunks,
  notation: Notation,
  read: (line: Uint8Array) => Row,
  rule: LineSumRule,
  state: ImageState,
): Pass | undefined {
  const kept = new Map<number, Row>();
  const wrongSums: number[] = [];
  let asksForAll = false;
  const count = eachLine(chunks(), soundRecords(notation, state), (line, row) => {
    const found = read(line);
    takeRow(state, notation, row, found);
    const wrongSum = found.kind === 'record' && !rule.isRight(found);
    if (wrongSum) wrongSums.push(row);
    if (wrongSum || found.problems.length > 0 || found.kind === 'header') kept.set(row, found);
    asksForAll = found.kind === 'header' && ASKING.has(found.name);
    return asksForAll ? STOP : undefined;
  });
  return asksForAll ? undefined : { state, kept, wrongSums, count };
}

/** Keeps other rows as well, which only the whole file showed to matter. */
function keepToo(kept: Map<number, Row>, wanted: Set<number>, chunks: Chunks, read: (line: Uint8Array) => Row): void {
  if (wanted.size === 0) return;
  eachLine(chunks(), undefined, (line, row) => {
    if (wanted.delete(row)) kept.set(row, read(line));
    return wanted.size === 0 ? STOP : undefined;
  });
}
