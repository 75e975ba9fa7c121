import { logFactorials } from './logGamma.js';

/** Two groups against two values: `a b / c d`, rows are groups. */
export type FourCounts = readonly [a: number, b: number, c: number, d: number];

export interface FisherResult {
  /** Sum of the probabilities of all tables with these margins that are at most as probable as this one. */
  readonly twoSided: number;
  /** The natural logarithm of that, also where it is below the smallest number there is. */
  readonly logTwoSided: number;
  /** Probability of an `a` at least as large, and at most as large. */
  readonly greater: number;
  readonly less: number;
}

/** Tables as probable as the observed one count as well, although their logarithms differ in the last digits. */
export const AS_PROBABLE = 1 + 1e-7;

/**
 * Fisher's exact test of a table of four counts (R. A. Fisher, The Design of Experiments, 1935, chapter II). The first
 * of the tables that count is told in logarithms, so that thousands of dumps do not overflow; each further one follows
 * from the one before it, as far as it can still be seen in the sum.
 */
export function fisherExact([a, b, c, d]: FourCounts, logs: Float64Array = logFactorials(a + b + c + d)): FisherResult {
  const log = (n: number) => logs[n] as number;
  const [row, column, all] = [a + b, a + c, a + b + c + d];
  const [least, most] = [Math.max(0, row + column - all), Math.min(row, column)];
  const margins = log(row) + log(all - row) + log(column) + log(all - column) - log(all);
  const logAt = (x: number) => margins - log(x) - log(row - x) - log(column - x) - log(all - row - column + x);
  /** The logarithm of all from a table on to one side, away from the likeliest one. */
  const tail = (from: number, step: 1 | -1): number => {
    if (from < least || from > most) return Number.NEGATIVE_INFINITY;
    let [term, sum] = [1, 1];
    for (let x = from; term > sum * UNSEEN && x !== (step === 1 ? most : least); x += step) {
      term *=
        step === 1
          ? ((row - x) * (column - x)) / ((x + 1) * (all - row - column + x + 1))
          : (x * (all - row - column + x)) / ((row - x + 1) * (column - x + 1));
      sum += term;
    }
    return logAt(from) + Math.log(sum);
  };
  const likeliest = Math.floor(((row + 1) * (column + 1)) / (all + 2));
  const bound = logAt(a) + AS_PROBABLE - 1;
  // On both sides of the likeliest table they are the rarer, the farther.
  const left = lastWhere(least - 1, Math.min(likeliest, most), (x) => logAt(x) <= bound);
  const right = -lastWhere(-most - 1, -Math.max(likeliest, least), (x) => logAt(-x) <= bound);
  const logTwoSided = right <= left + 1 ? 0 : Math.min(0, logOfSum([tail(left, -1), tail(right, 1)]));
  return {
    twoSided: probabilityOf(logTwoSided),
    logTwoSided,
    greater: a >= likeliest ? probabilityOf(tail(a, 1)) : 1 - Math.exp(tail(a - 1, -1)),
    less: a <= likeliest ? probabilityOf(tail(a, -1)) : 1 - Math.exp(tail(a + 1, 1)),
  };
}

/** A probability of its logarithm: below the smallest number there is, it is still not zero. */
export function probabilityOf(log: number): number {
  return Math.min(1, Math.max(Number.MIN_VALUE, Math.exp(log)));
}

/** The logarithm of a sum of numbers, of their logarithms. */
export function logOfSum(logs: readonly number[]): number {
  let most = Number.NEGATIVE_INFINITY;
  for (const log of logs) if (log > most) most = log;
  if (most === Number.NEGATIVE_INFINITY) return most;
  let sum = 0;
  for (const log of logs) sum += Math.exp(log - most);
  return most + Math.log(sum);
}

/** A term of this share of a sum no longer changes it. */
const UNSEEN = 2 ** -54;

/** The last number above `before`, up to `to`, for which it is so; it is so for none behind one for which it is not. */
function lastWhere(before: number, to: number, isSo: (x: number) => boolean): number {
  let [last, first] = [before, to + 1];
  while (first - last > 1) {
    const middle = Math.floor((last + first) / 2);
    if (isSo(middle)) last = middle;
    else first = middle;
  }
  return last;
}

/** The lowest two-sided p that groups of these sizes can ever give: that of a place which separates them without exception. */
export function lowestP(first: number, second: number): number {
  return first === 0 || second === 0 ? 1 : fisherExact([first, 0, 0, second]).twoSided;
}
