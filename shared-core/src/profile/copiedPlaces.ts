import type { Copies, Place, Profile } from './profile.js';

/** How many bytes each place of copies has. */
export function sizeOf({ places }: Pick<Copies, 'places'>): number {
  return (places[0] ?? []).reduce((sum, { count }) => sum + count, 0);
}

/** The bytes of one place of copies from `first` (from 0) on, as runs. */
export function bytesInCopy(runs: readonly Place[], first: number, count: number): readonly Place[] {
  const found: Place[] = [];
  let at = 0;
  for (const run of runs) {
    const [from, to] = [Math.max(first, at), Math.min(first + count, at + run.count)];
    if (from < to) found.push(partOf(run, from - at, to - from));
    at += run.count;
  }
  return found;
}

function partOf(place: Place, from: number, count: number): Place {
  return place.kind === 'line'
    ? { ...place, byte: place.byte + from, count }
    : { ...place, address: place.address + from, count };
}

/** A stretch of bytes that one place of copies shares with another place of the profile: from 0 in the copies. */
export interface SharedBytes {
  /** Which of the places of the copies it is, from 0. */
  readonly copy: number;
  readonly first: number;
  readonly count: number;
}

/** Which bytes of copies are in a place. */
export function sharedBytes({ places }: Pick<Copies, 'places'>, place: Place): readonly SharedBytes[] {
  return places.flatMap((runs, copy) => {
    let at = 0;
    return runs.flatMap((run) => {
      const start = at;
      at += run.count;
      const isSame = run.kind === 'line' ? place.kind === 'line' && run.line === place.line : place.kind === 'address';
      const [own, other] = [firstByte(run), firstByte(place)];
      const [from, to] = [Math.max(own, other), Math.min(own + run.count, other + place.count)];
      return isSame && from < to ? [{ copy, first: start + from - own, count: to - from }] : [];
    });
  });
}

function firstByte(place: Place): number {
  return place.kind === 'line' ? place.byte : place.address;
}

/** Where else the bytes of a place are. */
export function copiesOfPlace({ copies }: Pick<Profile, 'copies'>, place: Place): readonly Place[] {
  return copies.flatMap((one) =>
    sharedBytes(one, place).flatMap(({ copy, first, count }) =>
      one.places.flatMap((runs, other) => (other === copy ? [] : bytesInCopy(runs, first, count))),
    ),
  );
}

/** What may not be written in one of several copies may not be in any of them. */
export function inAllCopies<T extends { readonly place: Place }>(
  profile: Pick<Profile, 'copies'>,
  regions: readonly T[],
): readonly T[] {
  if (profile.copies.length === 0) return regions;
  return regions.flatMap((region) => [
    region,
    ...copiesOfPlace(profile, region.place).map((place) => ({ ...region, place })),
  ]);
}
