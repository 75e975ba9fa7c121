import { maskOf } from '../../base/bits.js';
import { expectedGain } from '../statistics/information.js';
import type { Matrix } from './matrix.js';
import { type OptionPlace, valueAt } from './partitions.js';
import type { OptionCandidate } from './rank.js';

/** The dump whose label, once known, is expected to settle most. */
export type NextDump =
  /** One that is there and has no label. */
  | { readonly kind: 'unlabelled'; readonly dump: number; readonly bits: number }
  /** A car to look for: one that two candidates judge differently. */
  | {
      readonly kind: 'wanted';
      readonly bits: number;
      readonly first: OptionCandidate;
      readonly firstValue: number;
      readonly second: OptionCandidate;
      readonly secondValue: number;
    };

/** Share of labels that are taken to be wrong: cars are retrofitted, and people mistake cars (common practice, no published source). */
const WRONG_LABELS = 0.02;

/** More candidates than these have no weight beside the first ones. */
const MOST_EXPLANATIONS = 20;

/** Below this a further label would tell nothing worth the way to the car. */
const LEAST_GAIN = 0.01;

/** Which dump would settle best between the candidates. Undefined where nothing is left to settle. */
export function nextDump(matrix: Matrix, candidates: readonly OptionCandidate[], groups: number): NextDump | undefined {
  const explanations = candidates.slice(0, MOST_EXPLANATIONS);
  if (explanations.length === 0) return undefined;
  const labelled = matrix.dumps.filter(({ group }) => group !== undefined).length;
  const weights = posterior(explanations, labelled, groups);
  return bestUnlabelled(matrix, explanations, weights, groups) ?? wanted(explanations, weights, groups);
}

/** How probable each candidate is, were one of them the option: each wrong label counts against it. */
export function posterior(candidates: readonly OptionCandidate[], labelled: number, groups: number): number[] {
  const logs = candidates.map(
    ({ exceptions }) =>
      exceptions.length * Math.log(WRONG_LABELS / (groups - 1)) +
      (labelled - exceptions.length) * Math.log(1 - WRONG_LABELS),
  );
  const most = Math.max(...logs);
  const weights = logs.map((log) => Math.exp(log - most));
  const all = weights.reduce((sum, weight) => sum + weight, 0);
  return weights.map((weight) => weight / all);
}

function bestUnlabelled(
  matrix: Matrix,
  candidates: readonly OptionCandidate[],
  weights: readonly number[],
  groups: number,
): NextDump | undefined {
  let best: NextDump | undefined;
  matrix.dumps.forEach(({ group }, dump) => {
    if (group !== undefined) return;
    const bits = expectedGain(
      weights,
      candidates.map((candidate) => foretold(candidate, valueAt(matrix, candidate.place, dump), groups)),
    );
    if (bits >= LEAST_GAIN && bits > (best?.bits ?? 0)) best = { kind: 'unlabelled', dump, bits };
  });
  return best;
}

/** The probability of each label for a dump that has this value, were the candidate the option. */
function foretold({ values }: OptionCandidate, value: number, groups: number): number[] {
  const marked = values.findIndex((list) => list.includes(value));
  return Array.from({ length: groups }, (_, group) => {
    if (marked < 0) return 1 / groups;
    return group === marked ? 1 - WRONG_LABELS : WRONG_LABELS / (groups - 1);
  });
}

/** A car that the likeliest candidate and its strongest rival that shares no bit with it judge differently. */
function wanted(
  candidates: readonly OptionCandidate[],
  weights: readonly number[],
  groups: number,
): NextDump | undefined {
  const [first] = candidates;
  const rival = candidates.findIndex(({ place }) => first !== undefined && !shareBits(first.place, place));
  const second = candidates[rival];
  const firstValue = first?.values[0]?.[0];
  const secondValue = second?.values.slice(1).find((list) => list.length > 0)?.[0];
  if (first === undefined || second === undefined || firstValue === undefined || secondValue === undefined)
    return undefined;
  const bits = expectedGain(
    [weights[0] as number, weights[rival] as number],
    [foretold(first, firstValue, groups), foretold(second, secondValue, groups)],
  );
  return bits < LEAST_GAIN ? undefined : { kind: 'wanted', bits, first, firstValue, second, secondValue };
}

/** Whether two places have a bit in common: then not every pair of their values can stand in one car. */
function shareBits(a: OptionPlace, b: OptionPlace): boolean {
  if (a.column >= b.column + b.count || b.column >= a.column + a.count) return false;
  return a.count > 1 || b.count > 1 || (maskOf(a.bits) & maskOf(b.bits)) !== 0;
}
