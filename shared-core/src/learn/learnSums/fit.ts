import type { SumSpec } from '../../checksum/registry.js';
import type { Sample } from './line.js';
import type { Template } from './template.js';

/** How a rule with its constant put in meets the samples. */
export interface Fit {
  readonly spec: SumSpec;
  /** What the samples agree on; 0n where the rule needs no constant. */
  readonly constant: bigint;
  /** Samples (by number) whose stored sum the rule does not give. */
  readonly wrong: readonly number[];
}

/** So many samples decide whether the others are looked at. */
const FIRST = 4;

/**
 * Solves for the constant that most samples agree on. Undefined where not even two of the first samples follow the
 * rule: then the others are not looked at.
 */
export function fitTemplate(template: Template, samples: readonly Sample[]): Fit | undefined {
  const first = samples.slice(0, FIRST).map(template.residual);
  const promising = template.free ? commonest(first).count > 1 : first.includes(0n);
  if (!promising) return undefined;
  const residuals = [...first, ...samples.slice(FIRST).map(template.residual)];
  const value = template.free ? commonest(residuals).value : 0n;
  const wrong = [...residuals.keys()].filter((i) => residuals[i] !== value);
  return { spec: template.specOf(value), constant: value, wrong };
}

function commonest(values: readonly bigint[]): { value: bigint; count: number } {
  const counts = new Map<bigint, number>();
  let best = { value: 0n, count: 0 };
  for (const value of values) {
    const count = (counts.get(value) ?? 0) + 1;
    counts.set(value, count);
    if (count > best.count) best = { value, count };
  }
  return best;
}

/**
 * Upper bound of the probability that any of `tried` wrong rules meets all but `wrong` of `distinct` different samples
 * of `bits` bits by accident, where `solved` constants of that width were taken from the samples themselves. A wrong
 * rule gives each value with equal probability, and any of the samples may be the damaged ones.
 */
export function chanceOf(tried: number, bits: number, distinct: number, wrong: number, solved: number): number {
  let log = Math.log2(tried) - bits * (distinct - wrong - solved);
  for (let i = 0; i < wrong; i++) log += Math.log2((distinct - i) / (i + 1));
  return Math.min(1, 2 ** log);
}
