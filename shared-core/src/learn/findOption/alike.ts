import type { OptionSearch } from './findOption.js';
import { markingValues, type OptionCandidate } from './rank.js';

/** Candidates for the places that move together with one: each tells the groups apart as well, by values of its own. */
export function alikeCandidates(
  { matrix, groups }: OptionSearch,
  candidate: OptionCandidate,
): readonly OptionCandidate[] {
  const { place, sameAs } = candidate;
  const valuesIn = markingValues(matrix, groups.length);
  return sameAs.map((other) => {
    const others = [place, ...sameAs.filter((one) => one !== other)];
    return { ...candidate, place: other, values: valuesIn(other), sameAs: others, digit: undefined };
  });
}
