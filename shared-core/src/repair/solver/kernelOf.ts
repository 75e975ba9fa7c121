import type { Gf2Matrix } from './gf2Matrix.js';
import { emptyXorBasis, insert, isZero, reduce } from './xorBasis.js';

/** All solutions of binary equations over all bytes: one of them, and the flips that change nothing in the equations. */
export interface Kernel {
  readonly flips: Uint8Array;
  readonly members: readonly Uint8Array[];
}

/** Undefined where there is no solution. */
export function kernelOf({ words, vectors, masks, targets }: Gf2Matrix): Kernel | undefined {
  const extra = Math.ceil(vectors.length / 4);
  const basis = emptyXorBasis(words, extra, 32 * words);
  const members: Uint8Array[] = [];
  const flipsOf = (vector: Int32Array) =>
    Uint8Array.from(vectors, (_, index) => (vector[words + (index >> 2)] as number) >>> (8 * (index & 3)));
  for (const [index, own] of vectors.entries()) {
    for (let bit = 0; bit < 8; bit++) {
      if (!((masks[index] as number) & (1 << bit))) continue;
      const vector = new Int32Array(words + extra);
      vector.set(own.subarray(bit * words, (bit + 1) * words));
      vector[words + (index >> 2)] = 1 << (8 * (index & 3) + bit);
      reduce(basis, vector, 0);
      if (!insert(basis, vector)) members.push(flipsOf(vector));
    }
  }
  const target = new Int32Array(words + extra);
  target.set(targets.subarray(0, words));
  reduce(basis, target, 0);
  return isZero(target, 0, words) ? { flips: flipsOf(target), members } : undefined;
}
