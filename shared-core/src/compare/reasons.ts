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
 * concerns the security of the vehicle is never accounted for by anything else. `chosen-balance` is a byte that no place of the
 * profile names and that takes up the difference of the others, as one that a person chose for it does. `volatile` is a byte of which the profile
 * says that the module changes it, and nothing else of it: whether a person did, two dumps do not show.
 */
export type DifferenceReason =
  | 'option'
  | 'line-sum'
  | 'balance'
  | 'chosen-balance'
  | 'total'
  | 'copy'
  | 'slot'
  | 'volatile'
  | 'locked'
  | 'security'
  | 'unexplained';

/** Whether the work or the profile says what a byte that differs for this reason becomes, so that its copies may follow it. */
export function isAccountedFor(reason: DifferenceReason): boolean {
  return reason !== 'unexplained' && reason !== 'locked' && reason !== 'security' && reason !== 'volatile';
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
  const volatile = new Set(profile.volatile.flatMap(({ place }) => presentCells(layout, place)).map(cellKey));
  const written = writtenWithRecords(dump, recordMoves(before, dump));
  const byPlace = reasonsByPlace(
    dump,
    raw.map(({ afterRow: row, byte, was, now }) => ({ row, byte, changed: changedBits(was, now) })),
  );
  const reasons = raw.map(({ afterRow, byte, was, now }, i): Reason => {
    const key = cellKey({ row: afterRow, byte });
    const isOfBoth = was !== undefined && now !== undefined;
    // What the module wrote with a record of the same bytes is no change of its own.
    if (written.has(key) && isOfBoth) return { reason: 'slot', volatile: true };
    const reason = byPlace[i] ?? 'unexplained';
    return { reason, volatile: isOfBoth && volatile.has(key) && reason !== 'security' && reason !== 'locked' };
  });
  return withChosenBalance(before, dump, raw, withCopiesNamed(dump, raw, reasons));
}

/** Which bits of a byte differ; undefined where only one side has it. */
export function changedBits(was: number | undefined, now: number | undefined): number | undefined {
  return was === undefined || now === undefined ? undefined : was ^ now;
}

/** A byte of a dump, and which of its bits differ from others; undefined where not all have it. */
export interface ChangedCell extends Cell {
  readonly changed: number | undefined;
}

/** Why each byte differs as far as its place alone says so, whatever the values are. */
export function reasonsByPlace(dump: Dump, all: readonly ChangedCell[]): readonly DifferenceReason[] {
  const { layout, profile } = dump;
  const keys = (cells: readonly Cell[]) => new Set(cells.map(cellKey));
  const cellsOf = (places: readonly { readonly place: Place }[]) =>
    keys(places.flatMap(({ place }) => presentCells(layout, place)));
  const optionMasks = masksOf(dump, profile.options);
  const securityMasks = masksOf(dump, profile.options.filter(isSecured));
  const locked = cellsOf(profile.locked);
  const totals = keys(dump.totals.flatMap(({ stored }) => stored ?? []));
  const balance = cellsOf(profile.balance);
  const volatile = cellsOf(profile.volatile);
  return all.map(({ row, byte, changed }) => {
    const key = cellKey({ row, byte });
    // Of a byte that only one side has, every bit differs.
    if (((securityMasks.get(key) ?? 0) & (changed ?? 0xff)) !== 0) return 'security';
    if (locked.has(key)) return 'locked';
    if (changed === undefined) return 'unexplained';
    if (totals.has(key)) return 'total';
    if (isLineSum(dump, row, byte)) return 'line-sum';
    if (((optionMasks.get(key) ?? 0) & changed) === changed) return 'option';
    if (balance.has(key)) return 'balance';
    return volatile.has(key) ? 'volatile' : 'unexplained';
  });
}

/** The bits of each byte, by its key, that hold any of some options. */
export function masksOf({ layout }: Dump, options: readonly Option[]): ReadonlyMap<number, number> {
  const masks = new Map<number, number>();
  for (const part of options.flatMap(({ parts }) => parts)) {
    for (const cell of presentCells(layout, part.place)) {
      const key = cellKey(cell);
      masks.set(key, (masks.get(key) ?? 0) | partMask(part));
    }
  }
  return masks;
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

/** Where a byte differs for one of these reasons, others may make up for it. */
const NEVER_BALANCED: ReadonlySet<DifferenceReason> = new Set(['security', 'locked', 'volatile']);

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
  const oneLine = open.every(({ afterRow, address }) =>
    address === undefined ? afterRow === first?.afterRow : address - (first?.address ?? 0) < NEAR,
  );
  if (first === undefined || !oneLine || open.length > MOST_CHOSEN) return reasons;
  if (!reasons.some(({ reason }) => reason === 'option')) return reasons;
  if (reasons.some(({ reason }) => NEVER_BALANCED.has(reason))) return reasons;
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
  return reasons.map((found) => (found.reason === 'unexplained' ? { ...found, reason: 'chosen-balance' } : found));
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
