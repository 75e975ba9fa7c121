import type { Gf2Matrix, Span } from './gf2Matrix.js';
import { ones } from './incumbent.js';
import { gcd, isModular, type ModularSum, type System } from './system.js';

/** What it takes to look at every change of so many bytes by elimination. */
export interface EliminationWork {
  readonly steps: number;
  /** How many of the changes looked at are likely to fulfil the congruences as well; rather too many than too few. */
  readonly likely: number;
}

/** The work for every set of `size` bytes, with the solutions of the binary equations that each leaves on average. */
export function eliminationWork(
  { equations }: System,
  { masks, outcomes }: Gf2Matrix,
  { rank }: Span,
  size: number,
): EliminationWork {
  let [sets, bits] = [1, 0];
  for (let i = 0; i < size; i++) {
    sets *= (masks.length - i) / (i + 1);
    bits += ones(masks[i] as number);
  }
  const solutions = sets * outcomes * 2 ** (bits - rank);
  const chance = equations.filter(isModular).reduce((all, sum) => all * chanceOf(sum, size), 1);
  return { steps: sets * (4 + 8 * size + outcomes) + solutions, likely: solutions * chance };
}

/** The likeliest value of a sum of a few bytes is at most so many times as likely as they are on average. */
const LIKELIEST = 8;

/** The chance that a sum of so many bytes comes to its likeliest value. */
function chanceOf({ modulus, weights }: ModularSum, size: number): number {
  const step = Number(weights.reduce(gcd, modulus));
  const longest = weights.map((weight) => Number(2n * weight > modulus ? modulus - weight : weight));
  const reach = longest
    .sort((a, b) => b - a)
    .slice(0, size)
    .reduce((sum, weight) => sum + 255 * weight, 0);
  return Math.min(1, LIKELIEST / (Math.min(Number(modulus), reach) / step));
}
