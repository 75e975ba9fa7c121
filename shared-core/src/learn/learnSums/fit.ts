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
export const FIRST = 4;

/** Whether at least two of the first samples follow the rule, or one does where no constant could help it. */
export function isPromising(template: Template, samples: readonly Sample[]): boolean {
  const first = samples.slice(0, FIRST).map(template.residual);
  return template.free ? commonest(first).count > 1 : first.includes(0n);
}

/** Solves for the constant that most samples agree on. */
export function fitTemplate(template: Template, samples: readonly Sample[]): Fit {
  const residuals = samples.map(template.residual);
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

/** Is the constant one that rules have by themselves, not one that was solved for? */
export function isPlain({ constant, spec }: Fit): boolean {
  return constant === 0n || (spec.method === 'add' && spec.complement === 'ones' && spec.start === 0n);
}

/**
 * Upper bound of the probability that any of `tried` wrong rules meets all but `wrong` of `distinct` different samples by
 * accident, where those that it meets are worth `evidence` bits. A wrong rule gives each value with equal probability,
 * and any of the samples may be the damaged ones. Never 0: no number of samples rules every other rule out.
 */
export function chanceOf(tried: number, evidence: number, distinct: number, wrong: number): number {
  let log = Math.log2(tried) - evidence;
  for (let i = 0; i < wrong; i++) log += Math.log2((distinct - i) / (i + 1));
  return Math.max(Number.MIN_VALUE, Math.min(1, 2 ** log));
}
