import { lowerBound } from '../base/lowerBound.js';
import type { AddressRange, Constant, Coverage } from '../profile/profile.js';
import { addressOf, type Cell } from './cell.js';
import { type Layout, lastIndexUpTo } from './layout.js';
import type { CoveredRun, Obstacle, RunPiece } from './run.js';

/**
 * The run of a total over ranges of addresses of an image that holds each once: where a byte stands in it follows from
 * its address, so that nothing need be kept for each row. Where addresses lack, or data overlap anywhere in the image,
 * there is no run, as there is no sum to be told.
 */
export function addressRun(
  layout: Layout,
  { ranges, constants }: Extract<Coverage, { kind: 'addresses' }>,
  stored: readonly Cell[],
): CoveredRun {
  const obstacle = obstacleIn(layout, ranges);
  if (obstacle !== undefined)
    return { length: 0, obstacle, byAddress: false, constants: [], each: () => undefined, piecesIn: () => [] };
  const leftOut = stored.map((cell) => addressOf(layout, cell) ?? -1);
  const { parts, placed, length } = partsOf(ranges, constants, leftOut);
  return {
    length,
    obstacle: undefined,
    constants: placed,
    byAddress: true,
    each: (visit) => {
      for (const part of parts) {
        for (let i = lastIndexUpTo(layout, part.from); i < layout.order.length; i++) {
          const piece = within(part, layout, i);
          if (piece === undefined) break;
          visit(piece.row, piece.from, piece.count, piece.start);
        }
      }
    },
    piecesIn: (row) => {
      const index = indexOfRow(layout, row);
      return index < 0 ? [] : parts.flatMap((part) => within(part, layout, index) ?? []);
    },
  };
}

/** Addresses that follow each other in the run, and where the first of them stands in it. */
interface Part extends AddressRange {
  readonly start: number;
}

/** The parts of a run without the bytes that are left out, and where its constants are in it. */
function partsOf(
  ranges: readonly AddressRange[],
  constants: readonly Constant[],
  leftOut: readonly number[],
): {
  readonly parts: readonly Part[];
  readonly placed: CoveredRun['constants'];
  readonly length: number;
} {
  const parts: Part[] = [];
  const placed: { start: number; bytes: readonly number[] }[] = [];
  let start = 0;
  const place = (before: number) => {
    for (const { bytes } of constants.filter((one) => one.before === before)) {
      placed.push({ start, bytes });
      start += bytes.length;
    }
  };
  const push = (from: number, to: number) => {
    if (from > to) return;
    parts.push({ from, to, start });
    start += to - from + 1;
  };
  for (const [index, { from, to }] of ranges.entries()) {
    place(index);
    let next = from;
    for (const address of leftOut.filter((one) => one >= from && one <= to).sort((a, b) => a - b)) {
      push(next, address - 1);
      next = address + 1;
    }
    push(next, to);
  }
  place(ranges.length);
  return { parts, placed, length: start };
}

/** What keeps the sum over ranges from being told: addresses that the image does not hold, or holds twice. */
function obstacleIn(layout: Layout, ranges: readonly AddressRange[]): Obstacle | undefined {
  if (layout.imageProblems.some(({ code }) => code === 'overlap')) return { kind: 'overlap' };
  // The labels of a dump in lines are no addresses.
  const order = layout.kind === 'image' ? layout.order : [];
  let first: number | undefined;
  let count = 0;
  for (const { from, to } of ranges) {
    let reached = from;
    const lack = (end: number) => {
      if (end <= reached) return;
      first ??= reached;
      count += end - reached;
    };
    for (let i = Math.max(0, lastIndexUpTo(layout, from)); i < order.length; i++) {
      const key = layout.keys[i] as number;
      if (key > to) break;
      lack(Math.min(key, to + 1));
      reached = Math.max(reached, key + (layout.dataCount[order[i] as number] as number));
    }
    lack(to + 1);
  }
  return first === undefined ? undefined : { kind: 'bytes-missing', first, count };
}

/** What of a row belongs to a part. */
function within({ from, to, start }: Part, { order, keys, dataCount }: Layout, index: number): RunPiece | undefined {
  const row = order[index] as number;
  const key = keys[index] as number;
  const begin = Math.max(from, key);
  const end = Math.min(to + 1, key + (dataCount[row] as number));
  return begin < end ? { row, from: begin - key, count: end - begin, start: start + begin - from } : undefined;
}

/** Where in the order of addresses a row stands; -1 where it holds no data. Nearly always both rise together. */
function indexOfRow({ order }: Layout, row: number): number {
  const index = lowerBound(order.length, (at) => (order[at] as number) < row);
  return order[index] === row ? index : order.indexOf(row);
}
