import type { Coverage } from '../profile/profile.js';
import { addressRun } from './addressRun.js';
import { type Cell, cellKey } from './cell.js';
import { type Layout, lastIndexUpTo } from './layout.js';
import type { CoveredRun, RunPiece } from './run.js';

/** The same as columns: a dump of 100,000 lines has as many pieces, and objects would cost ten times as much. */
interface RunPieces {
  readonly row: Int32Array;
  readonly from: Int32Array;
  readonly count: Int32Array;
  readonly start: Float64Array;
}

/** The run that a coverage means in this layout, less the bytes in which the total itself is stored. */
export function coveredRun(layout: Layout, covers: Coverage, stored: readonly Cell[]): CoveredRun {
  const simple = covers.kind === 'addresses' ? addressRun(layout, covers.ranges, stored) : undefined;
  if (simple !== undefined) return simple;
  const builder = runBuilder(stored, layout.order.length);
  const lacks =
    covers.kind === 'addresses' ? coverAddresses(layout, covers, builder) : coverLines(layout, covers, builder);
  const { pieces, length } = builder.finish();
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
    lacks,
    byAddress: false,
    each: (visit) => {
      const { row, from, count, start } = pieces;
      for (let i = 0; i < row.length; i++)
        visit(row[i] as number, from[i] as number, count[i] as number, start[i] as number);
    },
    piecesIn: (row) => (contiguous ? search(pieces.row, row) : (first.get(row) ?? [])).map(at),
  };
}

function coverLines(
  layout: Layout,
  covers: Exclude<Coverage, { kind: 'addresses' }>,
  run: RunBuilder,
): CoveredRun['lacks'] {
  const within = (label: number) => covers.kind === 'all-lines' || (label >= covers.from && label <= covers.to);
  const { order, keys, dataCount } = layout;
  const sums = covers.sums ? layout.sumCount : 0;
  for (let i = 0; i < order.length; i++) {
    const row = order[i] as number;
    if (within(keys[i] as number)) run.add(row, 0, (dataCount[row] as number) + sums);
  }
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
  readonly add: (row: number, from: number, count: number) => void;
  readonly finish: () => { readonly pieces: RunPieces; readonly length: number };
}

/** `usual` is how many pieces there are as a rule: one for each row that holds data. */
function runBuilder(stored: readonly Cell[], usual: number): RunBuilder {
  const leftOut = new Set(stored.map(cellKey));
  let pieces = columns(usual + stored.length);
  let used = 0;
  let length = 0;
  const push = (row: number, from: number, count: number) => {
    if (count <= 0) return;
    if (used === pieces.row.length) pieces = columns(2 * used + 1, pieces);
    pieces.row[used] = row;
    pieces.from[used] = from;
    pieces.count[used] = count;
    pieces.start[used++] = length;
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
  const finish = () => {
    const { row, from, count, start } = pieces;
    const filled = {
      row: row.subarray(0, used),
      from: from.subarray(0, used),
      count: count.subarray(0, used),
      start: start.subarray(0, used),
    };
    return { pieces: filled, length };
  };
  return { add, finish };
}

function columns(size: number, filled?: RunPieces): RunPieces {
  const wider = {
    row: new Int32Array(size),
    from: new Int32Array(size),
    count: new Int32Array(size),
    start: new Float64Array(size),
  };
  if (filled !== undefined) {
    wider.row.set(filled.row);
    wider.from.set(filled.from);
    wider.count.set(filled.count);
    wider.start.set(filled.start);
  }
  return wider;
}

/** Indexes of all entries of a sorted list that equal `wanted`. */
function search(sorted: Int32Array, wanted: number): number[] {
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
