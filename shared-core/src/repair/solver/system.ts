import type { ModularEquation } from '../../checksum/checksum.js';

/** A byte that may be changed. */
export interface FreeByte {
  /** Its value now. */
  readonly value: number;
  /** The bits of it that may change. */
  readonly mask: number;
}

/** One equation that a change must fulfil, over the free bytes by their index. */
export type Equation = ModularSum | BinarySum;

/** `Σ weight(i) · growth(i) ≡ wanted (mod modulus)`, where growth is the new value less the old one. */
export interface ModularSum {
  readonly kind: 'modular';
  readonly modulus: ModularEquation['modulus'];
  readonly weights: readonly bigint[];
}

/** The exclusive or of what the flipped bits of each byte do to a value: `effects[i][b]` for bit `b` of byte `i`. */
export interface BinarySum {
  readonly kind: 'binary';
  readonly effects: readonly (readonly bigint[])[];
}

/**
 * What is to be solved: the bytes that may change, best first, the equations, and the accepted outcomes, each with one
 * number for each equation. There are several outcomes where a dependent sum is covered by another sum: each of its
 * values leaves another rest.
 */
export interface System {
  readonly free: readonly FreeByte[];
  readonly equations: readonly Equation[];
  readonly accepted: readonly Outcome[];
  /** How the size of a change is measured: by the sum of all growths, or by the number of flipped bits. */
  readonly measure: 'growth' | 'bits';
  /**
   * Whether a change that fulfils the equations really gives the wanted values. Needed for sums with two zeros, which no
   * congruence can tell apart; left out elsewhere.
   */
  readonly verifies?: (change: Change) => boolean;
}

export type Outcome = readonly bigint[];

/** New values of free bytes, by their index. */
export type Change = readonly { readonly index: number; readonly value: number }[];

export type Answer =
  | {
      readonly kind: 'solved';
      readonly change: Change;
      /** No other change of as few bytes makes the sums right. */
      readonly unique: boolean;
      /** No change of fewer bytes, and no smaller one of as many, makes the sums right; false where not all were looked at. */
      readonly fewest: boolean;
    }
  | { readonly kind: 'impossible'; readonly proof: Infeasibility }
  /** The budget was used up before a change was found; all changes of fewer than `size` bytes were looked at. */
  | { readonly kind: 'gave-up'; readonly size: number };

/** Why no change gives an accepted outcome. */
export type Infeasibility =
  /**
   * The bytes can move the sum by multiples of `step` from `least` (negative or 0) to `most`; `needed` is the smallest
   * move that would do.
   */
  | {
      readonly kind: 'sum';
      readonly least: bigint;
      readonly most: bigint;
      readonly step: bigint;
      readonly needed: bigint;
    }
  /** The free bits span `rank` of the `width` dimensions of the sums; with one more free bit in the right place it could do. */
  | { readonly kind: 'rank'; readonly rank: number; readonly width: number }
  /** Every change was looked at. */
  | { readonly kind: 'tried' };

/** The work that is left; counting it down bounds every search. A step takes some 50 nanoseconds. */
export interface Budget {
  steps: number;
  readonly allowance?: Allowance | undefined;
  readonly cancelled?: () => boolean;
}

/** Steps that several searches share. Once `left` is below 0, their answers say nothing about the bytes. */
export interface Allowance {
  left: number;
}

/** Takes `steps` from the budget; false when it is used up or the search is to stop. */
export function spend(budget: Budget, steps: number): boolean {
  budget.steps -= steps;
  if (budget.allowance !== undefined) budget.allowance.left -= steps;
  return budget.steps >= 0 && !mustStop(budget);
}

/** A search pauses after so many steps at the latest, about a millisecond: whoever runs it may do something else, or end it. */
const STEPS_A_TURN = 20_000;

/** Counts the work of a search; true each time it is to pause. */
export function turnsOf(): (steps: number) => boolean {
  let done = 0;
  return (steps) => {
    done += steps;
    if (done < STEPS_A_TURN) return false;
    done = 0;
    return true;
  };
}

/** Whether a search is to stop, however many steps of its own are left. */
export function mustStop({ allowance, cancelled }: Budget): boolean {
  return isUsedUp(allowance) || cancelled?.() === true;
}

export function isUsedUp(allowance: Allowance | undefined): boolean {
  return allowance !== undefined && allowance.left < 0;
}

/** Two outcomes one after the other. */
export function combine({ equations }: Pick<System, 'equations'>, a: Outcome, b: Outcome): Outcome {
  return equations.map((equation, i) => {
    const [x, y] = [a[i] as bigint, b[i] as bigint];
    return equation.kind === 'modular' ? (x + y) % equation.modulus : x ^ y;
  });
}

/** The outcome that leads from `done` to `wanted`. */
export function rest({ equations }: Pick<System, 'equations'>, wanted: Outcome, done: Outcome): Outcome {
  return equations.map((equation, i) => {
    const [x, y] = [wanted[i] as bigint, done[i] as bigint];
    return equation.kind === 'modular' ? modulo(x - y, equation.modulus) : x ^ y;
  });
}

export function isNothing(outcome: Outcome): boolean {
  return outcome.every((value) => value === 0n);
}

export function modulo(value: bigint, modulus: bigint): bigint {
  const residue = value % modulus;
  return residue < 0n ? residue + modulus : residue;
}

/** The greatest common divisor, not negative; 0 for two zeros. */
export function gcd(a: bigint, b: bigint): bigint {
  let [x, y] = [a, b];
  while (y !== 0n) [x, y] = [y, x % y];
  return x < 0n ? -x : x;
}

export function isModular(equation: Equation): equation is ModularSum {
  return equation.kind === 'modular';
}

export function isBinary(equation: Equation): equation is BinarySum {
  return equation.kind === 'binary';
}
