import { type Cell, cellKey, presentCells } from '../model/cell.js';
import { doesAgree, readCopies } from '../model/copies.js';
import type { Dump } from '../model/dump.js';
import { recordMoves, writtenWithRecords } from '../model/recordMoves.js';
import { readTotal, sameTotal } from '../model/totalReading.js';
import type { BoundTotal } from '../model/totals.js';
import { partMask } from '../profile/places.js';
import type { Option, Place } from '../profile/profile.js';
import { isSecured } from '../profile/secured.js';
import { areFewest } from './fewestBytes.js';

/**
 * Why a byte differs. `unexplained` is the one to look at: nothing in the profile accounts for it. What is locked or
 * concerns the security of the vehicle is never accounted for by anything else.
 */
export type DifferenceReason =
  | 'option'
  | 'line-sum'
  | 'balance'
  | 'total'
  | 'copy'
  | 'slot'
  | 'locked'
  | 'security'
  | 'unexplained';

/** Whether a byte that differs for this reason is as it should be. */
export function isAccountedFor(reason: DifferenceReason): boolean {
  return reason !== 'unexplained' && reason !== 'locked' && reason !== 'security';
}

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
  const masksOf = (options: readonly Option[]) => {
    const masks = new Map<number, number>();
    for (const part of options.flatMap(({ parts }) => parts)) {
      for (const cell of cells(part.place)) {
        const key = cellKey(cell);
        masks.set(key, (masks.get(key) ?? 0) | partMask(part));
      }
    }
    return masks;
  };
  const optionMasks = masksOf(profile.options);
  const securityMasks = masksOf(profile.options.filter(isSecured));
  const locked = keys(profile.locked.flatMap(({ place }) => cells(place)));
  const totals = keys(dump.totals.flatMap(({ stored }) => stored ?? []));
  const balance = keys(profile.balance.flatMap(({ place }) => cells(place)));
  const volatile = keys(profile.volatile.flatMap(({ place }) => cells(place)));

  const written = writtenWithRecords(dump, recordMoves(before, dump));
  const reasons = raw.map(({ afterRow, byte, was, now }): Reason => {
    const key = cellKey({ row: afterRow, byte });
    // What the module wrote with a record of the same bytes is no change of its own.
    if (written.has(key) && was !== undefined && now !== undefined) return { reason: 'slot', volatile: true };
    // Of a byte that only one side has, every bit differs.
    const changed = was === undefined || now === undefined ? 0xff : was ^ now;
    let reason: DifferenceReason = 'unexplained';
    if (((securityMasks.get(key) ?? 0) & changed) !== 0) reason = 'security';
    else if (locked.has(key)) reason = 'locked';
    else if (was === undefined || now === undefined) reason = 'unexplained';
    else if (totals.has(key)) reason = 'total';
    else if (isLineSum(dump, afterRow, byte)) reason = 'line-sum';
    else if (((optionMasks.get(key) ?? 0) & changed) === changed) reason = 'option';
    else if (balance.has(key)) reason = 'balance';
    const isOfBoth = was !== undefined && now !== undefined;
    return { reason, volatile: isOfBoth && volatile.has(key) && reason !== 'security' && reason !== 'locked' };
  });
  return withChosenBalance(before, dump, raw, withCopiesNamed(dump, raw, reasons));
}

/**
 * A byte that has become what its copies hold is explained where one of these changed for a reason that is known, or has
 * not changed at all.
 */
function withCopiesNamed(dump: Dump, raw: readonly RawDifference[], reasons: readonly Reason[]): readonly Reason[] {
  if (dump.profile.copies.length === 0) return reasons;
  const found = new Map(raw.map(({ afterRow, byte }, i) => [cellKey({ row: afterRow, byte }), reasons[i]?.reason]));
  const isCopied = (cell: Cell | undefined) => {
    const reason = cell && found.get(cellKey(cell));
    return cell !== undefined && (reason === undefined || isAccountedFor(reason));
  };
  const named = new Set(
    dump.profile.copies.flatMap((copies) =>
      readCopies(dump, copies)
        .filter((byte) => doesAgree(byte) && !byte.values.includes(undefined) && byte.cells.some(isCopied))
        .flatMap(({ cells }) => cells.flatMap((cell) => (cell === undefined ? [] : cellKey(cell)))),
    ),
  );
  return reasons.map((one, i) => {
    const { afterRow, byte } = raw[i] as RawDifference;
    const isOpen = one.reason === 'unexplained' && raw[i]?.was !== undefined && raw[i]?.now !== undefined;
    return isOpen && named.has(cellKey({ row: afterRow, byte })) ? { ...one, reason: 'copy' } : one;
  });
}

function isLineSum({ layout }: Dump, row: number, byte: number): boolean {
  const data = layout.dataCount[row] as number;
  return data > 0 && byte >= data && byte < data + layout.sumCountOf(row);
}

/** Addresses that the user chose to take up a difference lie within so many. */
const NEAR = 16;

/** Of more bytes than these it is not shown that fewer would not do. */
const MOST_CHOSEN = 5;

/**
 * A line that the user chose to take up a difference is named nowhere in the profile. It is known by what it does: an
 * option was changed, all other data that changed stands in that one line (of an image: close together), and a sum that
 * is meant to stay covers it. Every sum that is meant to stay and covers any of these bytes is right and the same on both
 * sides, and fewer of them could not have made it so: balancing changes no byte more than it must, so where one is too
 * many, one is damage that was made up for. Where a place that the profile names took up a difference in such a sum, that
 * may have made up for damage too.
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
  const cellsOf = (places: readonly { readonly place: Place }[]) =>
    new Set(places.flatMap(({ place }) => presentCells(layout, place)).map(cellKey));
  const aside = cellsOf(profile.volatile);
  const oneLine = open.every(
    ({ afterRow, address, byte }) =>
      (address === undefined ? afterRow === first?.afterRow : address - (first?.address ?? 0) < NEAR) &&
      !aside.has(cellKey({ row: afterRow, byte })),
  );
  if (first === undefined || !oneLine || open.length > MOST_CHOSEN) return reasons;
  if (!reasons.some(({ reason }) => reason === 'option')) return reasons;
  if (reasons.some(({ reason }) => reason === 'security' || reason === 'locked')) return reasons;
  const named = cellsOf(profile.balance);
  const moved = raw.filter(({ afterRow, byte }) => named.has(cellKey({ row: afterRow, byte })));
  const kept = [...after.totals.entries()].filter(
    ([, bound]) => bound.total.keep === true && open.some((one) => covers(bound, one)),
  );
  const isSettled = kept.every(
    ([index, bound]) => isAsItWas(before, after, index) && !moved.some((one) => covers(bound, one)),
  );
  const coversAll = kept.some(([, bound]) => open.every((one) => covers(bound, one)));
  const changed = open.flatMap(({ afterRow: row, byte, was, now }) =>
    was === undefined || now === undefined ? [] : [{ row, byte, was, now }],
  );
  if (!isSettled || !coversAll || changed.length < open.length) return reasons;
  const totals = kept.map(([, bound]) => bound);
  if (!areFewest(totals, changed)) return reasons;
  return reasons.map((found) => (found.reason === 'unexplained' ? { ...found, reason: 'balance' } : found));
}

/** Whether a total is right on both sides, with the same value stored. */
function isAsItWas(before: Dump, after: Dump, index: number): boolean {
  const [was, now] = [readTotal(before, sameTotal(before, after, index)), readTotal(after, index)];
  return (
    was !== undefined &&
    now !== undefined &&
    was.stored === was.computed &&
    now.stored === now.computed &&
    was.stored === now.stored
  );
}

function covers({ run }: BoundTotal, { afterRow, byte }: RawDifference): boolean {
  return run.piecesIn(afterRow).some(({ from, count }) => byte >= from && byte < from + count);
}
