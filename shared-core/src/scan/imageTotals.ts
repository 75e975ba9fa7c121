import type { Steps } from '../base/steps.js';
import { stateInSteps } from '../checksum/checksum.js';
import type { GatheredBytes, GatheredRun } from '../image/imageBytes.js';
import { type AddressGap, type AgainstProfile, againstProfile } from '../model/addressGaps.js';
import { addressCell, type Cell } from '../model/cell.js';
import type { Dump } from '../model/dump.js';
import type { Layout } from '../model/layout.js';
import type { CoveredRun, Obstacle } from '../model/run.js';
import { type BoundTotal, NO_SUM, type TotalState } from '../model/totals.js';
import type { AddressRange, Profile, Total } from '../profile/profile.js';

/** An image whose data do not overlap beside what its profile describes. */
export function gatheredAgainst(profile: Profile, bytes: GatheredBytes, lastRow: number): AgainstProfile {
  const runs = byAddress(bytes);
  const data = {
    length: runs.length,
    rows: runs.map(({ row }) => row),
    addresses: runs.map(({ address }) => address),
    countOf: (index: number) => runs[index]?.count ?? 0,
  };
  return againstProfile(profile, data, lastRow);
}

function byAddress({ runs }: GatheredBytes): readonly GatheredRun[] {
  return [...runs].sort((a, b) => a.address - b.address);
}

/** Every address that a record can have. */
const ALL: AddressRange = { from: 0, to: Number.MAX_SAFE_INTEGER };

/** Whether the sums of a profile can be computed from bytes at addresses alone, without the rows that hold them. */
export function canSumGathered({ totals }: Profile): boolean {
  return totals.every(
    ({ stored, covers }) => stored.kind === 'address' && rangesOf(covers) !== undefined && !hasConstants(covers),
  );
}

/** Constants of a sum are in no record. */
function hasConstants(covers: Total['covers']): boolean {
  return covers.kind === 'addresses' && covers.constants.length > 0;
}

function rangesOf(covers: Total['covers']): readonly AddressRange[] | undefined {
  if (covers.kind === 'addresses') return covers.ranges;
  return covers.kind === 'all-lines' && !covers.sums ? [ALL] : undefined;
}

/** The sums of a profile over an image whose data do not overlap; which rows hold the bytes, the runs do not say. */
export function* totalsOfGathered(
  { totals }: Profile,
  layout: Layout,
  bytes: GatheredBytes,
): Steps<Pick<Dump, 'totals' | 'states'>> {
  const runs = byAddress(bytes);
  const summed: SummedTotal[] = [];
  for (const total of totals) summed.push(yield* totalOfGathered(total, layout, bytes, runs));
  return { totals: summed.map(({ bound }) => bound), states: summed.map(({ state }) => state) };
}

interface SummedTotal {
  readonly bound: BoundTotal;
  readonly state: TotalState;
}

function* totalOfGathered(
  total: Total,
  layout: Layout,
  bytes: GatheredBytes,
  runs: readonly GatheredRun[],
): Steps<SummedTotal> {
  const width = Math.ceil(total.checksum.bits / 8);
  const address = total.stored.kind === 'address' ? total.stored.address : 0;
  const cells = Array.from({ length: width }, (_, i) => addressCell(layout, address + i));
  const stored = cells.every((cell) => cell !== undefined) ? (cells as readonly Cell[]) : undefined;
  const ranges = rangesOf(total.covers) ?? [];
  // Where only some bytes of the place are there, they are covered like all others, as in a dump with all its rows.
  const leftOut = stored === undefined ? undefined : { from: address, to: address + width - 1 };
  const { pieces, obstacle } = covered(runs, ranges, leftOut, layout.gaps);
  const run = joined(bytes.store, pieces);
  const unreadable = bytes.unread.filter(({ address: at, count }) =>
    ranges.some(({ from, to }) => at <= to && at + count > from),
  ).length;
  const covers: CoveredRun = {
    length: run.length,
    obstacle,
    constants: [],
    byAddress: true,
    each: () => undefined,
    piecesIn: () => [],
  };
  return {
    bound: { total, width, stored, run: covers },
    state: obstacle === undefined ? { state: yield* stateInSteps(total.checksum, run), unreadable } : NO_SUM,
  };
}

interface Piece {
  readonly from: number;
  readonly count: number;
}

/** The pieces of the store that ranges cover, less the bytes left out, and the addresses that nothing holds. */
function covered(
  runs: readonly GatheredRun[],
  ranges: readonly AddressRange[],
  leftOut: AddressRange | undefined,
  gaps: readonly AddressGap[],
): { readonly pieces: readonly Piece[]; readonly obstacle: Obstacle | undefined } {
  const pieces: Piece[] = [];
  let first: number | undefined;
  let lacking = 0;
  if (ranges[0] === ALL) {
    // A total over all data runs over all that the profile describes.
    first = gaps[0]?.from;
    lacking = gaps.reduce((sum, { from, to }) => sum + to - from + 1, 0);
  }
  for (const range of ranges) {
    let reached = range.from;
    const lack = (to: number) => {
      if (range === ALL || to <= reached) return;
      first ??= reached;
      lacking += to - reached;
    };
    for (const { address, from, count } of runs) {
      const begin = Math.max(range.from, address);
      const end = Math.min(range.to + 1, address + count);
      if (begin >= end) continue;
      lack(begin);
      reached = end;
      for (const [a, b] of without(begin, end, leftOut)) pieces.push({ from: from + a - address, count: b - a });
    }
    lack(range.to + 1);
  }
  return { pieces, obstacle: first === undefined ? undefined : { kind: 'bytes-missing', first, count: lacking } };
}

function without(
  begin: number,
  end: number,
  leftOut: AddressRange | undefined,
): readonly (readonly [number, number])[] {
  if (leftOut === undefined || leftOut.from >= end || leftOut.to < begin) return [[begin, end]];
  const parts = [
    [begin, Math.max(begin, leftOut.from)],
    [Math.min(end, leftOut.to + 1), end],
  ] as const;
  return parts.filter(([a, b]) => a < b);
}

/** One run of bytes; a copy only where it is in several pieces. */
function joined(store: Uint8Array, pieces: readonly Piece[]): Uint8Array {
  const [first] = pieces;
  if (first === undefined) return new Uint8Array(0);
  if (pieces.length === 1) return store.subarray(first.from, first.from + first.count);
  const run = new Uint8Array(pieces.reduce((length, { count }) => length + count, 0));
  let at = 0;
  for (const { from, count } of pieces) {
    run.set(store.subarray(from, from + count), at);
    at += count;
  }
  return run;
}
