import type { OptionSearch } from './findOption.js';
import { type OptionPlace, valueAt } from './partitions.js';
import type { OptionCandidate } from './rank.js';

/** Candidates for the places that move together with one: each tells the dumps apart as well, by values of its own. */
export function alikeCandidates({ matrix }: OptionSearch, candidate: OptionCandidate): readonly OptionCandidate[] {
  const { place, sameAs, values } = candidate;
  return sameAs.map((other) => {
    // The dumps fall apart in the same way, so each value of the one place goes with one value of the other.
    const partner = new Map(
      [...matrix.dumps.keys()].map((dump) => [valueAt(matrix, place, dump), valueAt(matrix, other, dump)]),
    );
    const own = values.map((group) => group.flatMap((value) => partner.get(value) ?? []));
    const others: readonly OptionPlace[] = [place, ...sameAs.filter((one) => one !== other)];
    return { ...candidate, place: other, values: own, sameAs: others, digit: undefined };
  });
}
