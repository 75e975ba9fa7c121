import type { Coverage } from '../profile/profile.js';
import { type Cell, cellKey } from './cell.js';
import { type Layout, lastIndexUpTo } from './layout.js';

/** The run of bytes that a total covers, as pieces of rows in the order in which they are summed. */
export interface CoveredRun {
  /** Bytes in the whole run. */
  readonly length: number;
  readonly pieces: RunPieces;
  /** The pieces that lie in a row. */
  readonly piecesIn: (row: number) => readonly RunPiece[];
  /** Labels or addresses that the total covers and this dump lacks, first and count; undefined where it lacks none. */
  readonly lacks: { readonly first: number; readonly count: number } | undefined;
}

/** A piece of a row (`from`, `count` in bytes of its record) and where it begins in the run. */
export interface RunPiece {
  readonly row: number;
  readonly from: number;
  readonly count: number;
  readonly start: number;
}

/** The same as columns: a dump of 100,000 lines has as many pieces, and objects would cost ten times as much. */
interface RunPieces {
  readonly row: readonly number[];
  readonly from: readonly number[];
  readonly count: readonly number[];
  readonly start: readonly number[];
}

/** The run that a coverage means in this layout, less the bytes in which the total itself is stored. */
export function coveredRun(layout: Layout, covers: Coverage, stored: readonly Cell[]): CoveredRun {
  const builder = runBuilder(stored);
  const lacks =
    covers.kind === 'addresses' ? coverAddresses(layout, covers, builder) : coverLines(layout, covers, builder);
  const { pieces, length } = builder;
  const first = new Map<number, number[]>();
  const contiguous = pieces.row.every((row, i) => i === 0 || row >= (pieces.row[i - 1] as number));
  for (const [i, row] of contiguous ? [] : pieces.row.entries()) first.set(row, [...(first.get(row) ?? []), i]);
  const at = (i: number): RunPiece => ({
    row: pieces.row[i] as number,
    from: pieces.from[i] as number,
    count: pieces.count[i] as number,
    start: pieces.start[i] as number,
  });
  return {
    length: length(),
    pieces,
    lacks,
    piecesIn: (row) => (contiguous ? search(pieces.row, row) : (first.get(row) ?? [])).map(at),
  };
}

function coverLines(
  layout: Layout,
  covers: Exclude<Coverage, { kind: 'addresses' }>,
  run: RunBuilder,
): CoveredRun['lacks'] {
  const within = (label: number) => covers.kind === 'all-lines' || (label >= covers.from && label <= covers.to);
  layout.order.forEach((row, index) => {
    if (!within(layout.keys[index] as number)) return;
    run.add(row, 0, (layout.dataCount[row] as number) + (covers.sums ? layout.sumCount : 0));
  });
  const missing = layout.missing.filter(within);
  return missing.length === 0 ? undefined : { first: missing[0] as number, count: missing.length };
}

function coverAddresses(
  layout: Layout,
  covers: Extract<Coverage, { kind: 'addresses' }>,
  run: RunBuilder,
): CoveredRun['lacks'] {
  const { order, keys, dataCount } = layout;
  let firstLacking: number | undefined;
  let lacking = 0;
  const lack = (from: number, end: number) => {
    if (from < end) firstLacking ??= from;
    lacking += end - from;
  };
  for (const { from, to } of covers.ranges) {
    let address = from;
    for (let i = Math.max(0, lastIndexUpTo(layout, from)); i < order.length && (keys[i] as number) <= to; i++) {
      const key = keys[i] as number;
      const end = Math.min(key + (dataCount[order[i] as number] as number), to + 1);
      if (end <= address) continue;
      const begin = Math.max(address, key);
      lack(address, begin);
      run.add(order[i] as number, begin - key, end - begin);
      address = end;
    }
    lack(address, to + 1);
  }
  return firstLacking === undefined ? undefined : { first: firstLacking, count: lacking };
}

interface RunBuilder {
  readonly pieces: { row: number[]; from: number[]; count: number[]; start: number[] };
  readonly add: (row: number, from: number, count: number) => void;
  readonly length: () => number;
}

function runBuilder(stored: readonly Cell[]): RunBuilder {
  const leftOut = new Set(stored.map(cellKey));
  const pieces = { row: [] as number[], from: [] as number[], count: [] as number[], start: [] as number[] };
  let length = 0;
  const push = (row: number, from: number, count: number) => {
    if (count <= 0) return;
    pieces.row.push(row);
    pieces.from.push(from);
    pieces.count.push(count);
    pieces.start.push(length);
    length += count;
  };
  const storedRows = new Set(stored.map(({ row }) => row));
  const add = (row: number, from: number, count: number) => {
    if (!storedRows.has(row)) return push(row, from, count);
    let start = from;
    for (let byte = from; byte < from + count; byte++) {
      if (!leftOut.has(cellKey({ row, byte }))) continue;
      push(row, start, byte - start);
      start = byte + 1;
    }
    push(row, start, from + count - start);
  };
  return { pieces, add, length: () => length };
}

/** Indexes of all entries of a sorted list that equal `wanted`. */
function search(sorted: readonly number[], wanted: number): number[] {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((sorted[middle] as number) < wanted) low = middle + 1;
    else high = middle;
  }
  const found: number[] = [];
  while (sorted[low] === wanted) found.push(low++);
  return found;
}
