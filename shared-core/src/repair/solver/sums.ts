import type { Steps } from '../../base/steps.js';
import type { Checksum } from '../../checksum/checksum.js';
import { type Change, type Equation, type FreeByte, type Outcome, turnsOf } from './system.js';

/**
 * A sum over a run of bytes of which some may change. Those are numbered: first the free bytes, then the stored bytes of
 * all dependent sums, in their order.
 */
export interface RunSum {
  readonly checksum: Checksum;
  /** Over the run as it is now. */
  readonly state: bigint;
  /** Bytes in the run. */
  readonly length: number;
  /** For each numbered byte its positions in the run: one as a rule, none where it is not covered. */
  readonly places: readonly (readonly number[])[];
  /** The same of where it stands inverted, as in a copy; left out where none does. */
  readonly turned?: readonly (readonly number[])[];
}

/** A sum that must come to a value. */
export interface Demand extends RunSum {
  readonly wanted: bigint;
}

/**
 * A stored sum that is right and is made right again after the change, like the sum of a changed line. It covers no
 * dependent sums but earlier ones.
 */
export interface DependentSum extends RunSum {
  /** The stored bytes of a value; their count never varies. */
  readonly bytesOf: (value: bigint) => Uint8Array;
}

/** Which bytes may change, best first, the sums that change with them, and the sums that must come to a value. */
export interface SumTask {
  readonly free: readonly FreeByte[];
  readonly dependentSums: readonly DependentSum[];
  readonly demands: readonly Demand[];
}

/** A sum over other numbered bytes: each of them by the number that it has so far. */
export function renumbered<Sum extends RunSum>(sum: Sum, numbers: readonly number[]): Sum {
  const { places, turned } = sum;
  const those = (all: RunSum['places']) => numbers.map((number) => all[number] ?? []);
  return { ...sum, places: those(places), ...(turned && { turned: those(turned) }) };
}

/** Whether a sum moves with a numbered byte. */
export function movesWith({ places, turned }: RunSum, number: number): boolean {
  return (places[number] ?? []).length > 0 || (turned?.[number] ?? []).length > 0;
}

/** The equations of a sum over all numbered bytes. */
export function* equationsOf(
  { checksum: { law }, length, places, turned }: RunSum,
  isDue = turnsOf(),
): Steps<readonly Equation[]> {
  if (law.kind === 'modular') {
    const equations: Equation[] = [];
    for (const { modulus, coefficient } of law.equations) {
      const weights: bigint[] = [];
      for (const [number, all] of places.entries()) {
        const weight = all.reduce((sum, at) => (sum + coefficient(at, length)) % modulus, 0n);
        // What rises where a byte is falls where it stands inverted.
        const against = turned?.[number] ?? [];
        weights.push(
          against.reduce((sum, at) => (sum + modulus - (coefficient(at, length) % modulus)) % modulus, weight),
        );
        if (isDue(1 + STEPS_PER_WEIGHT * (all.length + against.length))) yield;
      }
      equations.push({ kind: 'modular', modulus, weights });
    }
    return equations;
  }
  const effects: (readonly bigint[])[] = [];
  for (const [number, all] of places.entries()) {
    const [first, ...more] = turned === undefined ? all : [...all, ...(turned[number] ?? [])];
    effects.push(
      more.reduce<readonly bigint[]>(
        (sum, at) => combined(sum, law.effects(at, length)),
        first === undefined ? NO_EFFECT : law.effects(first, length),
      ),
    );
    if (isDue(first === undefined ? 1 : STEPS_PER_EFFECTS * (1 + more.length))) yield;
  }
  return [{ kind: 'binary', effects }];
}

const STEPS_PER_WEIGHT = 10;
const STEPS_PER_EFFECTS = 400;

/** Of a byte that a sum does not cover; the same list for all of them, so that these are told at a glance. */
export const NO_EFFECT: readonly bigint[] = [0n, 0n, 0n, 0n, 0n, 0n, 0n, 0n];

function combined(a: readonly bigint[], b: readonly bigint[]): readonly bigint[] {
  return a.map((effect, bit) => effect ^ (b[bit] as bigint));
}

/** The outcome that takes a sum to a value. */
export function gapOf({ checksum, state }: RunSum): (value: bigint) => Outcome {
  const { law } = checksum;
  const now = checksum.valueOf(state);
  return law.kind === 'modular' ? (value) => law.equations.map(({ gap }) => gap(now, value)) : (value) => [now ^ value];
}

/** Whether a change of free bytes fulfils all demands, computed by the sums themselves. */
export function bringsAbout({ free, dependentSums, demands }: SumTask, change: Change): boolean {
  const moves = change.map(({ index, value }) => ({ number: index, from: (free[index] as FreeByte).value, to: value }));
  const valueAfter = ({ checksum, state, length, places, turned }: RunSum): bigint => {
    let moved = state;
    for (const { number, from, to } of moves) {
      for (const at of places[number] ?? []) {
        moved = checksum.moved(moved, { length, at, before: Uint8Array.of(from), after: Uint8Array.of(to) });
      }
      for (const at of turned?.[number] ?? []) {
        const [before, after] = [Uint8Array.of(from ^ 0xff), Uint8Array.of(to ^ 0xff)];
        moved = checksum.moved(moved, { length, at, before, after });
      }
    }
    return checksum.valueOf(moved);
  };
  let number = free.length;
  for (const dependentSum of dependentSums) {
    const before = storedNow(dependentSum);
    const after = dependentSum.bytesOf(valueAfter(dependentSum));
    for (const [i, from] of before.entries()) {
      const to = after[i] as number;
      if (from !== to) moves.push({ number: number + i, from, to });
    }
    number += before.length;
  }
  return demands.every((demand) => valueAfter(demand) === demand.wanted);
}

export function storedNow({ bytesOf, checksum, state }: DependentSum): Uint8Array {
  return bytesOf(checksum.valueOf(state));
}
