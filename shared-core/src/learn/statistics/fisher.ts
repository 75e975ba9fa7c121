import { logFactorials } from './logGamma.js';

/** Two groups against two values: `a b / c d`, rows are groups. */
export type FourCounts = readonly [a: number, b: number, c: number, d: number];

export interface FisherResult {
  /** Sum of the probabilities of all tables with these margins that are at most as probable as this one. */
  readonly twoSided: number;
  /** Probability of an `a` at least as large, and at most as large. */
  readonly greater: number;
  readonly less: number;
}

/** Tables as probable as the observed one count as well, although their logarithms differ in the last digits. */
export const AS_PROBABLE = 1 + 1e-7;

/**
 * Fisher's exact test of a table of four counts (R. A. Fisher, The Design of Experiments, 1935, chapter II). Runs over
 * all tables with the same margins in logarithms, so that thousands of dumps do not overflow.
 */
export function fisherExact([a, b, c, d]: FourCounts, logs: Float64Array = logFactorials(a + b + c + d)): FisherResult {
  const log = (n: number) => logs[n] as number;
  const [row, column, all] = [a + b, a + c, a + b + c + d];
  const margins = log(row) + log(all - row) + log(column) + log(all - column) - log(all);
  const probability = (x: number) =>
    Math.exp(margins - log(x) - log(row - x) - log(column - x) - log(all - row - column + x));
  const observed = probability(a);
  const result = { twoSided: 0, greater: 0, less: 0 };
  for (let x = Math.max(0, row + column - all); x <= Math.min(row, column); x++) {
    const p = probability(x);
    if (p <= observed * AS_PROBABLE) result.twoSided += p;
    if (x >= a) result.greater += p;
    if (x <= a) result.less += p;
  }
  // Below the smallest number there is, a probability is still not zero.
  const bounded = (p: number) => Math.min(1, Math.max(Number.MIN_VALUE, p));
  return { twoSided: bounded(result.twoSided), greater: bounded(result.greater), less: bounded(result.less) };
}

/** The lowest two-sided p that groups of these sizes can ever give: that of a place which separates them without exception. */
export function lowestP(first: number, second: number): number {
  return first === 0 || second === 0 ? 1 : fisherExact([first, 0, 0, second]).twoSided;
}
