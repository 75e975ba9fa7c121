import { lowerBound } from '../base/lowerBound.js';
import type { Label } from '../format/row.js';
import type { Coverage } from '../profile/profile.js';
import { addressRun } from './addressRun.js';
import { type Cell, cellKey, presentCells } from './cell.js';
import type { Layout } from './layout.js';
import type { CoveredRun, Obstacle, RunPiece } from './run.js';

type CoveredLines = Exclude<Coverage, { kind: 'addresses' }>;

/** The pieces of a run as columns: a dump of 100,000 lines has as many, and objects would cost ten times as much. */
interface RunPieces {
  readonly row: Int32Array;
  readonly from: Int32Array;
  readonly count: Int32Array;
  readonly start: Float64Array;
}

/** The run that a coverage means in this layout, less the bytes in which the total itself is stored. */
export function coveredRun(layout: Layout, covers: Coverage, stored: readonly Cell[]): CoveredRun {
  return covers.kind === 'addresses' ? addressRun(layout, covers, stored) : lineRun(layout, covers, stored);
}

function lineRun(layout: Layout, covers: CoveredLines, stored: readonly Cell[]): CoveredRun {
  const { pieces, length, constants } = coveredPieces(layout, covers, stored);
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
    length,
    obstacle: missingIn(layout, covers),
    constants,
    byAddress: false,
    each: (visit) => {
      const { row, from, count, start } = pieces;
      for (let i = 0; i < row.length; i++)
        visit(row[i] as number, from[i] as number, count[i] as number, start[i] as number);
    },
    piecesIn: (row) => (contiguous ? search(pieces.row, row) : (first.get(row) ?? [])).map(at),
  };
}

/** Which lines, in their order, are between two. */
function linesBetween({ keys, keyOf }: Layout, { from, to }: { readonly from: Label; readonly to: Label }) {
  return indexesBetween(keys.length, (i) => keys[i] as number, keyOf(from), keyOf(to));
}

/** Which of a rising list of keys are not below one and not above another; none where one of these is unknown. */
function indexesBetween(
  count: number,
  keyAt: (index: number) => number,
  low: number | undefined,
  high: number | undefined,
): { readonly first: number; readonly end: number } {
  if (low === undefined || high === undefined) return { first: 0, end: 0 };
  const first = lowerBound(count, (i) => keyAt(i) < low);
  return {
    first,
    end: Math.max(
      first,
      lowerBound(count, (i) => keyAt(i) <= high),
    ),
  };
}

function missingIn(layout: Layout, covers: CoveredLines): Obstacle | undefined {
  const { gaps } = layout;
  const [gap] = gaps;
  if (gap !== undefined) {
    const count = gaps.reduce((sum, { from, to }) => sum + to - from + 1, 0);
    return { kind: 'bytes-missing', first: gap.from, count };
  }
  const { first, count } = lackingIn(layout, covers);
  return first === undefined ? undefined : { kind: 'lines-missing', first, count };
}

/** The first missing line that is covered, and how many are. */
function lackingIn(
  { missing, keyOf }: Layout,
  covers: CoveredLines,
): { readonly first: Label | undefined; readonly count: number } {
  if (covers.kind === 'all-lines') return { first: missing[0], count: missing.length };
  const between = ({ from, to }: { readonly from: Label; readonly to: Label }) =>
    indexesBetween(missing.length, (i) => keyOf(missing[i] as Label) as number, keyOf(from), keyOf(to));
  const parts = (covers.kind === 'lines' ? [covers] : covers.parts)
    .map(between)
    .filter(({ first, end }) => first < end)
    .sort((a, b) => a.first - b.first);
  let [count, reached] = [0, 0];
  for (const { first, end } of parts) {
    count += Math.max(0, end - Math.max(first, reached));
    reached = Math.max(reached, end);
  }
  return { first: parts[0] && missing[parts[0].first], count };
}

function coveredPieces(
  layout: Layout,
  covers: CoveredLines,
  stored: readonly Cell[],
): { readonly pieces: RunPieces; readonly length: number; readonly constants: CoveredRun['constants'] } {
  const { order, dataCount, sumCountOf } = layout;
  const except = covers.kind === 'line-parts' ? covers.except.flatMap((place) => presentCells(layout, place)) : [];
  const out = [...stored, ...except];
  const leftOut = new Set(out.map(cellKey));
  const rowsWithout = new Set(out.map(({ row }) => row));
  const parts =
    covers.kind === 'line-parts'
      ? covers.parts.map(({ from, to, bytes }) => ({
          bytes,
          ...linesBetween(layout, { from, to }),
        }))
      : [
          {
            bytes: undefined,
            ...(covers.kind === 'lines' ? linesBetween(layout, covers) : { first: 0, end: order.length }),
          },
        ];
  // A piece for each line, and one more behind each byte that is left out of it. No byte is in two parts.
  const lines = parts.reduce((sum, { first, end }) => sum + end - first, 0);
  const pieces = columns(lines + parts.length + out.length);
  const constants: { start: number; bytes: readonly number[] }[] = [];
  let used = 0;
  let length = 0;
  const push = (row: number, from: number, count: number) => {
    if (count <= 0) return;
    pieces.row[used] = row;
    pieces.from[used] = from;
    pieces.count[used] = count;
    pieces.start[used++] = length;
    length += count;
  };
  const place = (before: number) => {
    for (const constant of covers.kind === 'line-parts' ? covers.constants : []) {
      if (constant.before !== before) continue;
      constants.push({ start: length, bytes: constant.bytes });
      length += constant.bytes.length;
    }
  };
  for (const [index, { first, end, bytes }] of parts.entries()) {
    place(index);
    for (let i = first; i < end; i++) {
      const row = order[i] as number;
      const all = (dataCount[row] as number) + (covers.sums ? sumCountOf(row) : 0);
      let start = bytes === undefined ? 0 : bytes.first - 1;
      const last = bytes === undefined ? all : Math.min(all, start + bytes.count);
      for (let byte = start; rowsWithout.has(row) && byte < last; byte++) {
        if (!leftOut.has(cellKey({ row, byte }))) continue;
        push(row, start, byte - start);
        start = byte + 1;
      }
      push(row, start, last - start);
    }
  }
  place(parts.length);
  return { pieces: firstOf(pieces, used), length, constants };
}

function columns(size: number): RunPieces {
  return {
    row: new Int32Array(size),
    from: new Int32Array(size),
    count: new Int32Array(size),
    start: new Float64Array(size),
  };
}

function firstOf({ row, from, count, start }: RunPieces, size: number): RunPieces {
  return {
    row: row.subarray(0, size),
    from: from.subarray(0, size),
    count: count.subarray(0, size),
    start: start.subarray(0, size),
  };
}

/** Indexes of all entries of a sorted list that equal `wanted`. */
function search(sorted: Int32Array, wanted: number): number[] {
  const found: number[] = [];
  let at = lowerBound(sorted.length, (index) => (sorted[index] as number) < wanted);
  while (sorted[at] === wanted) found.push(at++);
  return found;
}
