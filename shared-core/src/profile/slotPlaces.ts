import { bytesInCopy, sharedBytes } from './copiedPlaces.js';
import type { AddressRange, Coverage, Option, Place, Profile, Region, Slots, Total } from './profile.js';
import { totalsInOrder } from './totalsInOrder.js';

type Runs = Pick<Slots, 'name' | 'places'>;

/** Bytes of a slot, from byte `offset` (from 0) on; undefined where they are not all in it, or not in one line. */
export function placeInSlot(slots: Runs, slot: number, offset: number, count: number): Place | undefined {
  const [place] = bytesInCopy(slots.places[slot] ?? [], offset, count);
  return place?.count === count ? { ...place, inSlot: { slots: slots.name, offset } } : undefined;
}

/** The bytes of a slot that hold its number; in lines these may be several. */
export function sequencePlaces({ places, sequence }: Slots, slot: number): readonly Place[] {
  return bytesInCopy(places[slot] ?? [], sequence.offset, sequence.bytes);
}

/** The check of a slot as a total; undefined where it is not in one line. */
export function checkOfSlot(slots: Slots, slot: number): Total | undefined {
  const { name, places, check, source } = slots;
  const stored = placeInSlot(slots, slot, check.offset, Math.ceil(check.checksum.bits / 8));
  const covers = coverageOf(places[slot] ?? []);
  if (stored === undefined || covers === undefined) return undefined;
  const { spec, checksum, order } = check;
  const own = { name: `check of ${name}`, spec, checksum, order, covers, stored, source, ofSlots: name };
  return { ...own, line: undefined, keep: false, confidence: undefined };
}

/** All bytes of a slot: those in which the check is stored never count. */
function coverageOf(runs: readonly Place[]): Coverage | undefined {
  const ranges: AddressRange[] = [];
  const parts: Extract<Coverage, { kind: 'line-parts' }>['parts'][number][] = [];
  for (const run of runs) {
    if (run.kind === 'address') ranges.push({ from: run.address, to: run.address + run.count - 1 });
    else parts.push({ from: run.line, to: run.line, bytes: { first: run.byte, count: run.count } });
  }
  if (ranges.length > 0) return { kind: 'addresses', ranges, constants: [] };
  return parts.length > 0 ? { kind: 'line-parts', parts, except: [], sums: false, constants: [] } : undefined;
}

/** The slots that share bytes with a place. */
export function slotsOfPlace<T extends Runs>({ slots }: { readonly slots: readonly T[] }, place: Place): T | undefined {
  return slots.find((one) => sharedBytes(one, place).length > 0);
}

/** What is locked or changes by itself in a record that moves does so in each of its slots. */
export function inAllSlots(slots: readonly Slots[], regions: readonly Region[]): readonly Region[] {
  return regions.flatMap((region) => [
    region,
    ...inOtherSlots({ slots }, region.place).map((place) => ({ ...region, place })),
  ]);
}

/** The same bytes of the other slots. */
export function inOtherSlots({ slots }: Pick<Profile, 'slots'>, place: Place): readonly Place[] {
  const own = slotsNamed(slots, place);
  if (own === undefined) return [];
  return [...own.places.keys()].flatMap((slot) => {
    const other = placeInSlot(own, slot, place.inSlot?.offset ?? 0, place.count);
    return other === undefined || sharedBytes({ places: [[place]] }, other).length > 0 ? [] : [withoutSlot(other)];
  });
}

/** A place that stays where it is, whichever slot is in force. */
function withoutSlot({ inSlot: _, ...place }: Place): Place {
  return place;
}

/** An option where the slots in force have it; undefined where nobody can tell which slot that is. */
export function optionInForce({ slots }: Pick<Profile, 'slots'>, option: Option): Option | undefined {
  const isUnclear = option.parts.some(({ place }) => {
    const own = slotsNamed(slots, place);
    return own !== undefined && own.inForce === undefined;
  });
  return isUnclear ? undefined : movedOption(slots, option);
}

function movedOption(slots: readonly Slots[], option: Option): Option {
  return option.parts.every(({ place }) => place.inSlot === undefined)
    ? option
    : { ...option, parts: option.parts.map((part) => ({ ...part, place: movedPlace(slots, part.place) })) };
}

/** Where the slot in force has a place, or the first slot where none is known to be. */
function movedPlace(slots: readonly Slots[], place: Place): Place {
  const own = slotsNamed(slots, place);
  if (own === undefined || place.inSlot === undefined) return place;
  return placeInSlot(own, own.inForce ?? 0, place.inSlot.offset, place.count) ?? place;
}

function slotsNamed(slots: readonly Slots[], { inSlot }: Place): Slots | undefined {
  return inSlot && slots.find(({ name }) => name === inSlot.slots);
}

/**
 * A profile with these slots in force, one for each of its `slots`: all that is given by a byte of them is there. Where
 * nobody can tell which slot is in force, no check of these slots counts.
 */
export function profileInForce(profile: Profile, found: readonly (number | undefined)[]): Profile {
  if (profile.slots.every((one, i) => one.inForce === found[i])) return profile;
  const { asRead = profile, ...rest } = profile;
  const slots = profile.slots.map((one, i) => ({ ...one, inForce: found[i] }));
  const checkOf = (name: string) => {
    const own = slots.find((one) => one.name === name);
    return own?.inForce === undefined ? undefined : checkOfSlot(own, own.inForce);
  };
  return {
    ...rest,
    ...(found.every((slot) => slot === 0) ? {} : { asRead }),
    slots,
    options: profile.options.map((option) => movedOption(slots, option)),
    balance: profile.balance.map((entry) => ({ ...entry, place: movedPlace(slots, entry.place) })),
    totals: totalsInOrder(
      asRead.totals.flatMap((total) => (total.ofSlots === undefined ? total : (checkOf(total.ofSlots) ?? []))),
    ),
  };
}

/** Whether a profile is another one as it was read, whichever slots are in force. */
export function isReadAs(bound: Profile, profile: Profile): boolean {
  const { asRead, flaw, options } = bound;
  // A profile to which something was added is another one.
  return (
    bound === profile || (asRead === profile && flaw === profile.flaw && options.length === profile.options.length)
  );
}
