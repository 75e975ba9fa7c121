import type { Steps } from '../base/steps.js';

/**
 * One way to sum a run of bytes: a method with all its parameters.
 *
 * A sum is kept as a *state* that knows all that later bytes need, and turned into the *value* that a dump stores
 * only at the end. Two states of runs of the same length can be moved into each other byte by byte, which is what
 * makes an edit in a large dump cheap: nothing is summed again.
 */
export interface Checksum {
  /** Width of the value in bits, 3 to 64. */
  readonly bits: number;
  /** The state over a whole run. */
  readonly stateOf: (run: Uint8Array) => bigint;
  /** The state after more bytes behind those of a state, where the method can tell it. */
  readonly continued?: (state: bigint, more: Uint8Array) => bigint;
  /** The state after a part of the run was changed, from the state before and the two forms of the part. */
  readonly moved: (state: bigint, change: RunChange) => bigint;
  /** The stored value for a state: start values, complements and the last inversion are in it. */
  readonly valueOf: (state: bigint) => bigint;
  /** The value in plain numbers, where the method has a quick way to it. */
  readonly quickValue?: QuickValue;
  /** How single bits of the run act on the value: what a solver works with. */
  readonly law: SumLaw;
}

/**
 * The value of the bytes from `from` to before `end` as a number below 2^32: for sums that thousands of short lines carry,
 * since each bigint is an object of its own.
 */
export type QuickValue = (bytes: Uint8Array, from: number, end: number) => number;

/** A part of a run of bytes in two forms of equal length. */
export interface RunChange {
  /** Number of bytes in the whole run. */
  readonly length: number;
  /** Where the changed part begins in the run, 0-based. */
  readonly at: number;
  readonly before: Uint8Array;
  readonly after: Uint8Array;
}

/** How a change of one byte moves a sum, as algebra. */
export type SumLaw = ModularLaw | BinaryLaw;

/**
 * Sums that add: each equation says `Σ coefficient(i) · byte(i) ≡ constant (mod modulus)`.
 * One equation for plain and end-around sums, two for Fletcher and Adler.
 */
export interface ModularLaw {
  readonly kind: 'modular';
  readonly equations: readonly ModularEquation[];
}

export interface ModularEquation {
  readonly modulus: bigint;
  /** What adding 1 to the byte at `at` (0-based) of a run of `length` bytes adds to this equation's sum. */
  readonly coefficient: (at: number, length: number) => bigint;
  /** How much this equation's sum must grow, modulo the modulus, for the stored value to go from one to the other. */
  readonly gap: (from: bigint, to: bigint) => bigint;
}

/** Sums that are linear over single bits: xor and CRC. Changes combine by exclusive or. */
export interface BinaryLaw {
  readonly kind: 'binary';
  /** For each bit of the byte at `at` (0-based) of a run of `length` bytes, the lowest first, the bits of the value that flip with it. */
  readonly effects: (at: number, length: number) => readonly bigint[];
}

/** Bytes that are summed in one step. */
const STRETCH = 1 << 20;

/** The state over a whole run, in steps where the method can go on from a state. */
export function* stateInSteps({ stateOf, continued }: Checksum, run: Uint8Array): Steps<bigint> {
  if (continued === undefined) return stateOf(run);
  let state = stateOf(run.subarray(0, STRETCH));
  for (let at = STRETCH; at < run.length; at += STRETCH) {
    yield;
    state = continued(state, run.subarray(at, at + STRETCH));
  }
  return state;
}

/** The value of a run of bytes. */
export function valueOver(checksum: Checksum, run: Uint8Array): bigint {
  return checksum.valueOf(checksum.stateOf(run));
}
