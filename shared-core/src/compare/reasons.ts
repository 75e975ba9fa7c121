import { maskOf } from '../base/bits.js';
import { type Cell, cellKey, presentCells } from '../model/cell.js';
import type { Dump } from '../model/dump.js';
import { readTotal } from '../model/totalReading.js';
import type { Place } from '../profile/profile.js';

/** Why a byte differs. `unexplained` is the one to look at: nothing in the profile accounts for it. */
export type DifferenceReason = 'option' | 'line-sum' | 'balance' | 'total' | 'unexplained';

/** A byte that differs; undefined where one side has no such byte. */
export interface RawDifference {
  readonly beforeRow: number;
  readonly afterRow: number;
  readonly byte: number;
  /** Of data of memory images. */
  readonly address?: number;
  readonly was: number | undefined;
  readonly now: number | undefined;
}

export interface Reason {
  readonly reason: DifferenceReason;
  readonly volatile: boolean;
}

/** Why each byte differs, by the profile of the later dump. */
export function reasonsOf(before: Dump, dump: Dump, raw: readonly RawDifference[]): readonly Reason[] {
  const { layout, profile } = dump;
  const cells = (place: Place): readonly Cell[] => presentCells(layout, place);
  const keys = (all: readonly Cell[]) => new Set(all.map(cellKey));
  const optionMasks = new Map<number, number>();
  for (const option of profile.options) {
    for (const cell of cells(option.place)) {
      const key = cellKey(cell);
      optionMasks.set(key, (optionMasks.get(key) ?? 0) | (option.bits ? maskOf(option.bits) : 0xff));
    }
  }
  const totals = keys(dump.totals.flatMap(({ stored }) => stored ?? []));
  const balance = keys(profile.balance.flatMap(({ place }) => cells(place)));
  const volatile = keys(profile.volatile.flatMap(({ place }) => cells(place)));

  const reasons = raw.map(({ afterRow, byte, was, now }): Reason => {
    const key = cellKey({ row: afterRow, byte });
    const changed = (was ?? 0) ^ (now ?? 0);
    const isVolatile = volatile.has(key);
    let reason: DifferenceReason = 'unexplained';
    if (was === undefined || now === undefined) reason = 'unexplained';
    else if (totals.has(key)) reason = 'total';
    else if (isLineSum(dump, afterRow, byte)) reason = 'line-sum';
    else if (((optionMasks.get(key) ?? 0) & changed) === changed) reason = 'option';
    else if (balance.has(key)) reason = 'balance';
    return { reason, volatile: isVolatile };
  });
  return withChosenBalance(before, dump, raw, reasons);
}

function isLineSum({ layout }: Dump, row: number, byte: number): boolean {
  const data = layout.dataCount[row] as number;
  return data > 0 && layout.sumCount > 0 && byte >= data;
}

/** Addresses that the user chose to take up a difference lie within so many. */
const NEAR = 16;

/**
 * A line that the user chose to take up a difference is named nowhere in the profile. It is known by what it does: an
 * option was changed, all other data that changed stands in that one line (of an image: close together), and a sum that
 * is meant to stay, which covers it, is right on both sides.
 */
function withChosenBalance(
  before: Dump,
  after: Dump,
  raw: readonly RawDifference[],
  reasons: readonly Reason[],
): readonly Reason[] {
  const open = raw.filter((_, i) => reasons[i]?.reason === 'unexplained');
  const [first] = open;
  const { layout, profile } = after;
  const kept = new Set(
    [...profile.locked, ...profile.volatile].flatMap(({ place }) => presentCells(layout, place)).map(cellKey),
  );
  const oneLine = open.every(
    ({ afterRow, address, byte, was, now }) =>
      (address === undefined ? afterRow === first?.afterRow : address - (first?.address ?? 0) < NEAR) &&
      was !== undefined &&
      now !== undefined &&
      !kept.has(cellKey({ row: afterRow, byte })),
  );
  if (first === undefined || !oneLine || !reasons.some(({ reason }) => reason === 'option')) return reasons;
  const balanced = [...after.totals.keys()].some(
    (index) => isKeptAndRight(after, index) && isKeptAndRight(before, index) && coversAll(after, index, open),
  );
  if (!balanced) return reasons;
  return reasons.map((found) => (found.reason === 'unexplained' ? { ...found, reason: 'balance' } : found));
}

function isKeptAndRight(dump: Dump, index: number): boolean {
  const reading = readTotal(dump, index);
  return reading?.bound.total.keep === true && reading.stored === reading.computed;
}

function coversAll({ totals }: Dump, index: number, open: readonly RawDifference[]): boolean {
  return open.every(({ afterRow, byte }) =>
    totals[index]?.run.piecesIn(afterRow).some(({ from, count }) => byte >= from && byte < from + count),
  );
}
