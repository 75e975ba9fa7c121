import { type Phrase, type PhrasePart, phrase } from '../base/phrase.js';
import { copiesOfPlace, inAllCopies } from '../profile/copiedPlaces.js';
import { partMask, rangeInHex } from '../profile/places.js';
import type { Place, Profile } from '../profile/profile.js';
import { isSecured } from '../profile/secured.js';
import { inOtherSlots } from '../profile/slotPlaces.js';
import { cellKey, presentCells } from './cell.js';
import type { Dump } from './dump.js';
import { calledLine } from './lineName.js';

/** Bits that no command changes, and why. */
export interface Protected {
  readonly place: Place;
  readonly mask: number;
  readonly kind: 'locked' | 'security' | 'volatile';
  readonly name: PhrasePart;
}

/** What stands for the reason of a lock that has none. */
export const NO_REASON = phrase('the profile gives no reason');

/** All places with protected bits, with their copies; of options that concern the security, other slots as well. */
export function protectedPlaces(profile: Profile): readonly Protected[] {
  const { locked, options, volatile } = profile;
  return [
    ...locked.map(({ place, why }) => ({ place, mask: 0xff, kind: 'locked', name: why || NO_REASON }) as const),
    ...options.filter(isSecured).flatMap(({ parts, title }) =>
      parts.flatMap((part) => {
        const one = { mask: partMask(part), kind: 'security', name: title } as const;
        const others = [...copiesOfPlace(profile, part.place), ...inOtherSlots(profile, part.place)];
        return [part.place, ...others].map((place) => ({ place, ...one }));
      }),
    ),
    ...inAllCopies(profile, volatile).map(
      ({ place, why }) => ({ place, mask: 0xff, kind: 'volatile', name: why || NO_REASON }) as const,
    ),
  ];
}

/** The protected bits of all bytes that have some, by the keys of these. */
export function protectedBits({ layout, profile }: Pick<Dump, 'layout' | 'profile'>): ReadonlyMap<number, number> {
  const bits = new Map<number, number>();
  for (const { place, mask } of protectedPlaces(profile))
    for (const key of presentCells(layout, place).map(cellKey)) bits.set(key, (bits.get(key) ?? 0) | mask);
  return bits;
}

/** What people call some bytes of a place, from byte `i` of it on; the line as the dump calls it. */
export function bytesOfPlace(place: Place, i: number, count: number, dump: Parameters<typeof calledLine>[0]): Phrase {
  if (place.kind === 'address') {
    const from = place.address + i;
    return phrase('Address {0}', rangeInHex({ from, to: from + count - 1 }));
  }
  const from = place.byte + i;
  const bytes = count === 1 ? from : `${from}–${from + count - 1}`;
  return phrase('Byte {0} of line {1}', bytes, calledLine(dump, place.line));
}

/** Why digits in a locked or volatile place can be no option. */
export function whyNoOptionIn({ kind, name }: Pick<Protected, 'kind' | 'name'>): Phrase {
  return kind === 'volatile'
    ? phrase('These digits change by themselves in the module ({0}), so they can be no option.', name)
    : phrase('These digits are locked ({0}), so they can be no option.', name);
}

/** Why byte `i` of a protected place stays as it is. */
export function whyProtected(dump: Dump, { place, kind, name }: Protected, i: number): Phrase {
  const at = bytesOfPlace(place, i, 1, dump);
  switch (kind) {
    case 'locked':
      return phrase('{0} is locked ({1}): it may only go back to what the sealed backup of this dump holds.', at, name);
    case 'security':
      return phrase(
        '{0} holds "{1}", which concerns the security of the vehicle: it may only go back to what the sealed backup of this dump holds.',
        at,
        name,
      );
    case 'volatile':
      return phrase('{0} changes by itself in the module ({1}): what is written there would not last.', at, name);
  }
}
