import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { finish } from '../../../shared-core/src/base/steps.js';
import { congruenceLattice } from '../../../shared-core/src/repair/solver/congruenceLattice.js';

describe('a lattice of congruences', () => {
  /** Whether there is one of a single number modulo 2^`bits`, with another that is in no congruence beside it. */
  const isThere = (bits: number) =>
    finish(congruenceLattice([{ modulus: 2 ** bits, weights: Float64Array.of(1, 0) }], Float64Array.of(1, 1))) !==
    undefined;

  it('is none where a single number of a row is too long for products to be exact', () => {
    assert.deepEqual([32, 33, 34, 35, 36].map(isThere), [true, true, true, false, false]);
  });

  it('is made with a pause after each prime factor of each modulus', () => {
    const [weights, scale] = [Float64Array.of(1, 3), Float64Array.of(1, 1)];
    const steps = congruenceLattice(
      [256, 15].map((modulus) => ({ modulus, weights })),
      scale,
    );
    let pauses = 0;
    while (steps.next().done !== true) pauses++;
    assert.equal(pauses, 8 + 2);
  });
});
