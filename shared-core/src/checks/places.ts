import { type Phrase, phrase } from '../base/phrase.js';
import type { RowSpan } from '../base/span.js';
import { isWithin } from '../model/byAddress.js';
import { presentBytes } from '../model/cell.js';
import type { Dump } from '../model/dump.js';
import { dataCountOf } from '../model/missing.js';
import { bytesOfPlace } from '../model/protected.js';
import { labelSpanOf } from '../model/spans.js';
import { rangeInHex } from '../profile/places.js';
import type { Place, Profile } from '../profile/profile.js';
import { type Problem, problem } from './problem.js';

/** One problem for each run of addresses that the profile describes and the image does not hold. */
export function addressProblems(dump: Dump): Problem[] {
  return dump.layout.gaps.map((gap) => {
    const message =
      gap.from === gap.to
        ? phrase('Address {0} is missing before this row: no record holds it.', rangeInHex(gap))
        : phrase('Addresses {0} are missing before this row: no record holds them.', rangeInHex(gap));
    return problem('address-missing', labelSpanOf(dump, gap.row), message);
  });
}

/**
 * Places of the profile that the dump does not have, where no missing line or address says so already. `otherwise` is
 * where a place is reported of which not even the line is there.
 */
export function placeProblems(dump: Dump, otherwise: RowSpan): Problem[] {
  const { profile, layout } = dump;
  const misfit = whyNoLinesHere(dump);
  if (misfit !== undefined) return [problem('not-checked', otherwise, misfit)];
  return namedPlaces(profile).flatMap(([place, name]) => {
    if (presentBytes(layout, place) === place.count || isReported(dump, place)) return [];
    const row = place.kind === 'line' ? layout.rowOf(place.line) : undefined;
    const at = row === undefined ? otherwise : labelSpanOf(dump, row);
    const bytes = bytesOfPlace(place, 0, place.count, dump);
    return problem('not-checked', at, phrase('{0} is not in this dump, so {1} was not checked.', bytes, name));
  });
}

/** Why a profile of lines says nothing of a memory image; undefined where it fits. */
export function whyNoLinesHere({ layout, profile }: Dump): Phrase | undefined {
  if (layout.kind !== 'image' || profile.geometry?.kind !== 'lines') return undefined;
  return phrase(
    'The profile describes lines and this file is a memory image, so nothing that the profile says was checked. Name the profile of this image.',
  );
}

/** The places of a profile besides those of its sums, with what is there. */
function namedPlaces({
  options,
  locked,
  volatile,
  balance,
  copies,
  slots,
}: Profile): readonly (readonly [Place, Phrase])[] {
  return [
    ...options.flatMap(({ parts, title }) => parts.map(({ place }) => [place, phrase('"{0}"', title)] as const)),
    ...locked.map(({ place, why }) => [place, phrase('what is locked there ({0})', why ?? '–')] as const),
    ...volatile.map(({ place, why }) => [place, phrase('what changes there by itself ({0})', why ?? '–')] as const),
    ...balance.map(({ place }) => [place, phrase('the balance place')] as const),
    ...copies.flatMap(({ name, places }) =>
      places.flat().map((place) => [place, phrase('the copy of "{0}" there', name)] as const),
    ),
    ...slots.flatMap(({ name, places }) =>
      places.flat().map((place) => [place, phrase('the slot of "{0}" there', name)] as const),
    ),
  ];
}

/** Whether what a dump lacks of a place is among the lines or addresses that are reported as missing. */
function isReported(dump: Dump, place: Place): boolean {
  const { layout } = dump;
  if (place.kind === 'line') return dataCountOf(dump, place.line) !== undefined;
  const present = presentBytes(layout, place);
  const inGaps = Array.from({ length: place.count }, (_, i) => place.address + i).filter((address) =>
    isWithin(layout.gaps, address),
  );
  return present + inGaps.length === place.count;
}
