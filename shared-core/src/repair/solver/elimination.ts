import type { Steps } from '../../base/steps.js';
import type { Gf2Matrix } from './gf2Matrix.js';
import { type Budget, spend, turnsOf } from './system.js';
import { emptyXorBasis, insert, isZero, reduce } from './xorBasis.js';

/** Takes flips of chosen bytes that fulfil all binary equations: byte `i` of `flips` belongs to `chosen[i]`. */
export type Visit = (chosen: readonly number[], flips: Int32Array, outcome: number) => void;

/** The flips of the byte at `place` among the chosen ones. */
export function flipsAt(flips: Int32Array, place: number): number {
  return ((flips[place >> 2] as number) >>> (8 * (place & 3))) & 0xff;
}

/**
 * Gaussian elimination over GF(2) for every set of `size` of the `candidates`, in order. Sets with the same first bytes
 * share that work. Every solution of every set is visited, also those that leave some of its bytes unchanged; false
 * where the budget was used up before.
 */
export function* visitSolutions(
  matrix: Gf2Matrix,
  candidates: readonly number[],
  size: number,
  budget: Budget,
  visit: Visit,
): Steps<boolean> {
  const { words, outcomes, masks, vectors } = matrix;
  const extra = Math.ceil(size / 4);
  const basis = emptyXorBasis(words, extra, 8 * size);
  const { stride } = basis;
  const chosen: number[] = [];
  const kernel: Int32Array[] = [];
  const isDue = turnsOf();
  const vector = new Int32Array(stride);
  /** Each target reduced by the bytes chosen so far, one list for each depth. */
  const left = Array.from({ length: size + 1 }, () => new Int32Array(outcomes * stride));
  for (let i = 0; i < outcomes; i++) left[0]?.set(matrix.targets.subarray(i * words, (i + 1) * words), i * stride);

  function add(index: number, place: number): void {
    const own = vectors[index] as Int32Array;
    for (let bit = 0; bit < 8; bit++) {
      if (!((masks[index] as number) & (1 << bit))) continue;
      vector.fill(0);
      for (let word = 0; word < words; word++) vector[word] = own[bit * words + word] as number;
      vector[words + (place >> 2)] = 1 << (8 * (place & 3) + bit);
      reduce(basis, vector, 0);
      if (!insert(basis, vector)) kernel.push(vector.slice(words));
    }
  }

  function* descend(place: number, from: number): Steps<boolean> {
    if (place === size) return yield* visitSet(left[size] as Int32Array);
    for (let i = from; i <= candidates.length - (size - place); i++) {
      const [rows, members] = [basis.count, kernel.length];
      const steps = 4 + rows + outcomes;
      if (!spend(budget, steps)) return false;
      if (isDue(steps)) yield;
      const index = candidates[i] as number;
      chosen[place] = index;
      add(index, place);
      const next = left[place + 1] as Int32Array;
      next.set(left[place] as Int32Array);
      for (let outcome = 0; outcome < outcomes; outcome++) reduce(basis, next, outcome * stride, rows);
      const whole = yield* descend(place + 1, i + 1);
      basis.count = rows;
      kernel.length = members;
      if (!whole) return false;
    }
    return true;
  }

  function* visitSet(targets: Int32Array): Steps<boolean> {
    for (let outcome = 0; outcome < outcomes; outcome++) {
      if (!isZero(targets, outcome * stride, words)) continue;
      const flips = targets.slice(outcome * stride + words, (outcome + 1) * stride);
      if (!(yield* visitCoset(flips, kernel, budget, isDue, () => visit(chosen, flips, outcome)))) return false;
    }
    return true;
  }

  return yield* descend(0, 0);
}

/** Visits all solutions, one member of the kernel apart at each step (a Gray code). */
function* visitCoset(
  flips: Int32Array,
  kernel: readonly Int32Array[],
  budget: Budget,
  isDue: ReturnType<typeof turnsOf>,
  visit: () => void,
): Steps<boolean> {
  visit();
  for (let step = 1; step < 2 ** kernel.length; step++) {
    if ((step & 1023) === 1) {
      const steps = Math.min(1024, 2 ** kernel.length);
      if (!spend(budget, steps)) return false;
      if (isDue(steps)) yield;
    }
    const member = kernel[31 - Math.clz32(step & -step)] as Int32Array;
    for (let word = 0; word < flips.length; word++) (flips[word] as number) ^= member[word] as number;
    visit();
  }
  return true;
}
