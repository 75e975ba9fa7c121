import type { ModularEquation } from '../../checksum/checksum.js';

/** A byte that may be changed. */
export interface FreeByte {
  /** What it holds now. */
  readonly value: number;
  /** The bits of it that may change. */
  readonly mask: number;
}

/** One equation that a change must fulfil, over the free bytes by their index. */
export type Equation =
  /** `Σ weight(i) · growth(i) ≡ wanted (mod modulus)`, where growth is the new value less the old one. */
  | { readonly kind: 'modular'; readonly modulus: ModularEquation['modulus']; readonly weights: readonly bigint[] }
  /** The exclusive or of what the flipped bits of each byte do to a value: `effects[i][b]` for bit `b` of byte `i`. */
  | { readonly kind: 'binary'; readonly effects: readonly (readonly bigint[])[] };

/**
 * What is to be solved: which bytes may change, the equations, and the outcomes that are accepted, each with one number
 * for each equation. There are several outcomes where a line's own sum lies inside a total: each value it can take
 * leaves another rest for the total.
 */
export interface System {
  readonly free: readonly FreeByte[];
  readonly equations: readonly Equation[];
  readonly accepted: readonly Outcome[];
}

export type Outcome = readonly bigint[];

/** New values of free bytes, by their index. */
export type Change = readonly { readonly index: number; readonly value: number }[];

export type Answer =
  | { readonly kind: 'solved'; readonly change: Change; readonly unique: boolean }
  | { readonly kind: 'impossible'; readonly reach: Reach }
  | { readonly kind: 'gave-up'; readonly steps: number };

/** What the free bytes can do at most, where the system has a measure for it. */
export type Reach =
  /** The bytes together can grow by `least` (negative) to `most`; `needed` is the smallest growth that would do. */
  | { readonly kind: 'sum'; readonly least: number; readonly most: number; readonly needed: bigint }
  /** The free bits span `rank` of the `width` dimensions of the sums. */
  | { readonly kind: 'rank'; readonly rank: number; readonly width: number }
  | { readonly kind: 'tried' };

/** Work that may still be done; counting it down bounds every search. */
export interface Budget {
  steps: number;
  readonly cancelled?: () => boolean;
}

/** Takes `steps` from the budget; false when it is used up or the user has cancelled. */
export function spend(budget: Budget, steps: number): boolean {
  budget.steps -= steps;
  return budget.steps >= 0 && !budget.cancelled?.();
}

/** What a new value of one free byte does to each equation. */
export function effectOf(system: System, index: number, value: number): Outcome {
  const { value: old } = system.free[index] as FreeByte;
  return system.equations.map((equation) => {
    if (equation.kind === 'modular') {
      return modulo((equation.weights[index] as bigint) * BigInt(value - old), equation.modulus);
    }
    return flipped(equation.effects[index] as readonly bigint[], old ^ value);
  });
}

function flipped(effects: readonly bigint[], bits: number): bigint {
  return effects.reduce((sum, effect, bit) => (bits & (1 << bit) ? sum ^ effect : sum), 0n);
}

/** Two outcomes one after the other. */
export function combine(system: System, a: Outcome, b: Outcome): Outcome {
  return system.equations.map((equation, i) => {
    const [x, y] = [a[i] as bigint, b[i] as bigint];
    return equation.kind === 'modular' ? (x + y) % equation.modulus : x ^ y;
  });
}

/** What is still to do after `done` for the whole to be `wanted`. */
export function rest(system: System, wanted: Outcome, done: Outcome): Outcome {
  return system.equations.map((equation, i) => {
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

/** All values a free byte can take but the one it holds. */
export function otherValues({ value, mask }: FreeByte): number[] {
  const values: number[] = [];
  // Counts through the bits of the mask and passes over all others.
  for (let bits = mask; bits > 0; bits = (bits - 1) & mask) values.push((value & ~mask) | ((value & mask) ^ bits));
  return values;
}

/** Fewest changed bytes first, then the smallest change: sum of growths, of binary systems the number of flipped bits. */
export function cost(system: System, change: Change): number {
  const binary = system.equations.every(({ kind }) => kind === 'binary');
  return change.reduce((sum, { index, value }) => {
    const { value: old } = system.free[index] as FreeByte;
    return sum + (binary ? ones(value ^ old) : Math.abs(value - old));
  }, 0);
}

export function ones(bits: number): number {
  let count = 0;
  for (let left = bits; left !== 0; left &= left - 1) count++;
  return count;
}

/** The cheaper of two changes of as many bytes; of equal ones the first. */
export function cheaper(system: System, best: Change | undefined, other: Change): Change {
  return best === undefined || cost(system, other) < cost(system, best) ? other : best;
}
