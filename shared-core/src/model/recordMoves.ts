import { sharedBytes } from '../profile/copiedPlaces.js';
import type { Place, Slots } from '../profile/profile.js';
import { placeInSlot } from '../profile/slotPlaces.js';
import { cellKey, presentCells } from './cell.js';
import type { Dump } from './dump.js';
import { cellsOfSlot, readSlots, type SlotReading } from './slotInForce.js';
import { byteAt } from './totals.js';

/** A record that the module has written anew: a later one is in force than in an earlier dump. */
export interface RecordMove {
  readonly slots: Slots;
  /** The slots in force, with the numbers of their records. */
  readonly before: SlotReading;
  readonly after: SlotReading;
  /** Slots that were written between the two. */
  readonly between: readonly number[];
  /** Bytes of the record that are others now, from 0; number and check aside, and what changes by itself. */
  readonly differing: readonly number[];
}

/** Each record that a later one has come for since. Both dumps are read by one profile. */
export function recordMoves(before: Dump, after: Dump): readonly RecordMove[] {
  return after.profile.slots.flatMap((slots, i) => {
    const [from, to] = [before.profile.slots[i]?.inForce, slots.inForce];
    const all = readSlots(after, slots);
    const [was, now] = [readSlots(before, slots)[from ?? -1], all[to ?? -1]];
    if (was === undefined || now === undefined || !isAhead(slots, now, was)) return [];
    const between = all.filter(
      (one) => one.slot !== to && one.kind === 'sound' && isAhead(slots, one, was) && isAhead(slots, now, one),
    );
    const differing = differingBytes(before, after, slots, was.slot, now.slot);
    return [{ slots, before: was, after: now, between: between.map(({ slot }) => slot), differing }];
  });
}

/** Whether one record is newer than another (RFC 1982). */
function isAhead({ sequence }: Slots, one: SlotReading, other: SlotReading): boolean {
  const round = 2 ** (8 * sequence.bytes);
  const ahead = (one.number - other.number + round) % round;
  return ahead > 0 && ahead < round / 2;
}

function differingBytes(before: Dump, after: Dump, slots: Slots, from: number, to: number): readonly number[] {
  const [was, now] = [valuesOfSlot(before, slots, from), valuesOfSlot(after, slots, to)];
  const { sequence, check } = slots;
  const width = Math.ceil(check.checksum.bits / 8);
  const aside = new Set(after.profile.volatile.flatMap(({ place }) => presentCells(after.layout, place).map(cellKey)));
  const cells = cellsOfSlot(after, slots, to);
  const isIn = (at: number, offset: number, count: number) => at >= offset && at < offset + count;
  return [...now.keys()].filter((at) => {
    const cell = cells[at];
    const isOwn = isIn(at, sequence.offset, sequence.bytes) || isIn(at, check.offset, width);
    return !isOwn && was[at] !== now[at] && !(cell !== undefined && aside.has(cellKey(cell)));
  });
}

function valuesOfSlot(dump: Dump, slots: Slots, slot: number): readonly (number | undefined)[] {
  return cellsOfSlot(dump, slots, slot).map((cell) => cell && byteAt(dump.rows, cell));
}

/** The keys of the bytes that the module has written with these records: those that are the same in the record before. */
export function writtenWithRecords(after: Dump, moves: readonly RecordMove[]): ReadonlySet<number> {
  return new Set(
    moves.flatMap(({ slots, after: now, between, differing }) => {
      const own = cellsOfSlot(after, slots, now.slot).filter((_, at) => !differing.includes(at));
      const others = between.flatMap((slot) => cellsOfSlot(after, slots, slot));
      return [...own, ...others].flatMap((cell) => (cell === undefined ? [] : cellKey(cell)));
    }),
  );
}

/**
 * Where the earlier dump has what the later one has at a place: of a record that was written anew, in the slot that was in
 * force then. Undefined in slots that were written between the two.
 */
export function placeBefore(moves: readonly RecordMove[], place: Place): Place | undefined {
  for (const { slots, before, after, between } of moves) {
    const [shared] = sharedBytes(slots, place);
    if (shared === undefined) continue;
    if (between.includes(shared.copy)) return undefined;
    if (shared.copy === after.slot) return placeInSlot(slots, before.slot, shared.first, place.count) ?? place;
  }
  return place;
}
