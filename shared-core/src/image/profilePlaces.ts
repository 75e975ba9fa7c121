import { lowerBound } from '../base/lowerBound.js';
import { joinedRanges, placeOfTotal } from '../profile/places.js';
import type { AddressRange, Place, Profile } from '../profile/profile.js';
import type { IsWanted } from './alikeRows.js';

/** All places that a profile speaks of by themselves: where sums are stored, options, locked bytes and the like. */
export function placesOf({ totals, options, locked, volatile, balance, copies, slots }: Profile): readonly Place[] {
  const stored = totals.flatMap((total) => placeOfTotal(total) ?? []);
  const copied = [...copies, ...slots].flatMap(({ places }) => places.flat());
  const parts = options.flatMap((option) => option.parts);
  return [...stored, ...copied, ...[...parts, ...locked, ...volatile, ...balance].map(({ place }) => place)];
}

/** Whether data hold one of these places, or an address of more ranges. */
export function wantedAddresses(places: readonly Place[], more: readonly AddressRange[] = []): IsWanted {
  const own = places.flatMap((place) =>
    place.kind === 'address' ? [{ from: place.address, to: place.address + place.count - 1 }] : [],
  );
  const ranges = joinedRanges([...own, ...more]);
  const first = ranges[0]?.from ?? Number.POSITIVE_INFINITY;
  const last = ranges.at(-1)?.to ?? Number.NEGATIVE_INFINITY;
  return (address, count) => {
    if (address > last || address + count <= first) return false;
    const next = ranges[lowerBound(ranges.length, (index) => (ranges[index] as AddressRange).to < address)];
    return (next?.from ?? Number.POSITIVE_INFINITY) < address + count;
  };
}
