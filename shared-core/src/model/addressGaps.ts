import { joinedRanges } from '../profile/places.js';
import type { AddressRange, Profile } from '../profile/profile.js';

/** Addresses that the profile describes and an image does not hold. */
export interface AddressGap extends AddressRange {
  /** The row that holds the next address after the gap; the last record where nothing follows. */
  readonly row: number;
}

/** Where data lie, in the order of their addresses. */
export interface PlacedData {
  readonly length: number;
  readonly rows: ArrayLike<number>;
  readonly addresses: ArrayLike<number>;
  readonly countOf: (index: number) => number;
}

/** What an image lacks of the range of its profile, apart from what may be absent. */
function addressGaps(
  { geometry, absent }: Pick<Profile, 'geometry' | 'absent'>,
  { length, rows, addresses, countOf }: PlacedData,
  lastRow: number,
): readonly AddressGap[] {
  if (geometry?.kind !== 'addresses') return [];
  const gaps: AddressGap[] = [];
  const allowed = joinedRanges(absent);
  let reached = geometry.from;
  const gapBefore = (end: number, row: number) => {
    for (const gap of without(reached, end, allowed)) gaps.push({ ...gap, row });
  };
  for (let i = 0; i < length && reached <= geometry.to; i++) {
    const from = addresses[i] as number;
    const end = from + countOf(i);
    if (end <= reached) continue;
    if (from > reached) gapBefore(Math.min(from, geometry.to + 1), rows[i] as number);
    reached = end;
  }
  gapBefore(geometry.to + 1, Math.max(0, lastRow));
  return gaps;
}

/** Stretches of data outside of the addresses that the profile describes, in rising order. */
function beyond({ geometry }: Pick<Profile, 'geometry'>, { length, addresses, countOf }: PlacedData) {
  if (geometry?.kind !== 'addresses') return [];
  const outside: { from: number; to: number }[] = [];
  const add = (from: number, to: number) => {
    const last = outside.at(-1);
    if (from > to) return;
    if (last !== undefined && from <= last.to + 1) last.to = Math.max(last.to, to);
    else outside.push({ from, to });
  };
  for (let i = 0; i < length; i++) {
    const from = addresses[i] as number;
    const to = from + countOf(i) - 1;
    add(from, Math.min(to, geometry.from - 1));
    add(Math.max(from, geometry.to + 1), to);
  }
  return outside;
}

/** The data of an image beside the addresses that its profile describes. */
export interface AgainstProfile {
  /** Addresses that the profile expects and no record holds, in rising order. */
  readonly gaps: readonly AddressGap[];
  /** Addresses of data that the profile says nothing of, in rising order. */
  readonly beyond: readonly AddressRange[];
}

export const NO_PROFILE_TO_SAY: AgainstProfile = { gaps: [], beyond: [] };

export function againstProfile(profile: Profile, data: PlacedData, lastRow: number): AgainstProfile {
  return { gaps: addressGaps(profile, data, lastRow), beyond: beyond(profile, data) };
}

/** The parts of the addresses from `from` to before `end` that lie in none of some ranges in rising order. */
function without(from: number, end: number, ranges: readonly AddressRange[]): readonly AddressRange[] {
  const parts: AddressRange[] = [];
  let next = from;
  for (const range of ranges) {
    if (range.to < next || range.from >= end) continue;
    if (range.from > next) parts.push({ from: next, to: range.from - 1 });
    next = range.to + 1;
  }
  if (next < end) parts.push({ from: next, to: end - 1 });
  return parts;
}
