import { type Phrase, phrase } from '../base/phrase.js';
import { bytesInCopy } from '../profile/copiedPlaces.js';
import type { Place, Slots } from '../profile/profile.js';
import type { Cell } from './cell.js';
import type { Dump } from './dump.js';
import { bytesOfPlace } from './protected.js';
import { cellsOfSlot, readSlots, type SlotReading, slotInForce } from './slotInForce.js';
import { byteAt } from './totals.js';

/** What people call a slot: they count from 1. */
export function slotInWords({ name }: Slots, slot: number): Phrase {
  return phrase('Slot {0} of "{1}"', slot + 1, name);
}

/** Why nobody can tell which slot is in force; undefined where it is known. */
export function whySlotUnclear(dump: Pick<Dump, 'rows' | 'layout'>, slots: Slots): Phrase | undefined {
  const all = readSlots(dump, slots);
  const found = slotInForce(slots, all);
  if (found.slot !== undefined) return undefined;
  const [first = 0, second = 0] = found.slots;
  switch (found.why) {
    case 'none':
      return phrase('No slot of "{0}" is sound, so none is in force.', slots.name);
    case 'tied':
      return phrase(
        'Slots {0} and {1} of "{2}" both hold record number {3}, so nobody can tell which is in force.',
        ...[first + 1, second + 1, slots.name, all[first]?.number ?? 0],
      );
    case 'apart':
      return phrase(
        'The numbers of the slots of "{0}" are so far apart that nobody can tell which is the newest.',
        slots.name,
      );
    case 'unread':
      return phrase('{0} cannot be read, so nobody can tell which slot is in force.', slotInWords(slots, first));
    case 'empty':
      return phrase(
        'All bytes of slot {0} of "{1}" are the same, and it could be the record after that of slot {2}, so nobody can tell which is in force.',
        second + 1,
        slots.name,
        first + 1,
      );
  }
}

/** Why what is at some places cannot be told, as they are in a record of which no slot is known to be in force. */
export function slotsInDoubt(
  dump: Pick<Dump, 'rows' | 'layout' | 'profile'>,
  places: readonly Place[],
): Phrase | undefined {
  for (const place of places) {
    const own = place.inSlot && dump.profile.slots.find(({ name }) => name === place.inSlot?.slots);
    if (own !== undefined && own.inForce === undefined) return whySlotUnclear(dump, own);
  }
  return undefined;
}

/**
 * Why a change may not be made to records that move: it may alter only the record in force, which stays in force and
 * keeps its number. Bytes may go back to what the dump's `own` sealed backup holds, whatever that is.
 */
export function whySlotsHarmed(
  before: Dump,
  after: Dump,
  { own, puts }: { readonly own: Dump | undefined; readonly puts: PutInForce | undefined },
): Phrase | undefined {
  for (const [i, slots] of before.profile.slots.entries()) {
    const changed = changedBytes(before, after, slots, own);
    const [first] = changed;
    if (first === undefined) continue;
    const { inForce } = slots;
    if (inForce === undefined) {
      const why = whySlotUnclear(before, slots);
      return why && phrase('{0} Nothing is written into its slots.', why);
    }
    if (isPut(slots, changed, after.profile.slots[i]?.inForce, puts)) continue;
    const other = changed.find(({ slot }) => slot !== inForce);
    if (other !== undefined)
      return phrase(
        '{0} is in slot {1} of "{2}", which is not in force: only the module writes there.',
        ...[byteOfSlot(after, slots, other.slot, other.at), other.slot + 1, slots.name],
      );
    const { offset, bytes } = slots.sequence;
    const isNumber = changed.some(({ at }) => at >= offset && at < offset + bytes);
    if (isNumber || after.profile.slots[i]?.inForce !== inForce)
      return phrase('{0} would no longer be in force after this change.', slotInWords(slots, inForce));
  }
  return undefined;
}

/** A slot that is put in force, by the name of its slots. */
export interface PutInForce {
  readonly slots: string;
  readonly slot: number;
}

/** Whether a slot is put in force as it was asked for, by its check alone. */
function isPut(
  { name, check: { offset, checksum } }: Slots,
  changed: readonly { readonly slot: number; readonly at: number }[],
  inForce: number | undefined,
  puts: PutInForce | undefined,
): boolean {
  const end = offset + Math.ceil(checksum.bits / 8);
  return (
    puts?.slots === name &&
    puts.slot === inForce &&
    changed.every(({ slot, at }) => slot === inForce && at >= offset && at < end)
  );
}

/** Bytes of slots that change, but for those that go back to what the backup holds. */
function changedBytes(before: Dump, after: Dump, slots: Slots, own: Dump | undefined) {
  return slots.places.flatMap((_, slot) => {
    const [was, now, kept] = [before, after, own].map((dump) =>
      dump === undefined ? [] : cellsOfSlot(dump, slots, slot).map((cell) => cell && byteAt(dump.rows, cell)),
    );
    return (was ?? []).flatMap((byte, at) => {
      const next = now?.[at];
      return next === byte || (kept?.[at] !== undefined && next === kept[at]) ? [] : [{ slot, at }];
    });
  });
}

/** What people call a byte of a slot. */
function byteOfSlot(dump: Dump, { places }: Slots, slot: number, at: number): Phrase {
  const [run] = bytesInCopy(places[slot] ?? [], at, 1);
  return run === undefined ? phrase('') : bytesOfPlace(run, 0, 1, dump);
}

/** The slot that a byte is in: which byte of it, from 0, and what the slot holds. */
export interface SlotOfCell {
  readonly slots: Slots;
  readonly at: number;
  readonly reading: SlotReading;
}

export function slotAt(dump: Pick<Dump, 'rows' | 'layout' | 'profile'>, cell: Cell): SlotOfCell | undefined {
  for (const slots of dump.profile.slots) {
    for (const slot of slots.places.keys()) {
      const at = cellsOfSlot(dump, slots, slot).findIndex((one) => one?.row === cell.row && one.byte === cell.byte);
      const reading = at < 0 ? undefined : readSlots(dump, slots)[slot];
      if (reading !== undefined) return { slots, at, reading };
    }
  }
  return undefined;
}
