import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { degree, greatestCommonDivisor, product, remainder } from '../../../shared-core/src/learn/learnSums/gf2.js';
import { numbers } from './dumps.js';

describe('greatest common divisors of polynomials over GF(2)', () => {
  it('are those that trying each polynomial gives', () => {
    for (let a = 0n; a < 64n; a++) {
      for (let b = 0n; b < 64n; b++) {
        const common = Array.from({ length: 63 }, (_, i) => BigInt(i + 1)).filter(
          (one) => remainder(a, one) === 0n && remainder(b, one) === 0n,
        );
        // Every polynomial divides zero: with both zero none is the greatest.
        const wanted =
          a === 0n && b === 0n ? 0n : common.reduce((most, one) => (degree(one) > degree(most) ? one : most));
        assert.equal(greatestCommonDivisor(a, b), wanted, `${a.toString(2)}, ${b.toString(2)}`);
      }
    }
  });

  it('hold what two long polynomials are made with, whatever words it begins and ends in', () => {
    const next = numbers(7);
    const polynomial = (bits: number) =>
      Array.from({ length: bits - 1 }, () => BigInt(next(2))).reduce((sum, bit) => (sum << 1n) | bit, 1n);
    for (let round = 0; round < 60; round++) {
      const [common, one, other] = [polynomial(1 + next(70)), polynomial(1 + next(300)), polynomial(1 + next(300))];
      const found = greatestCommonDivisor(product(common, one), product(common, other));
      assert.equal(remainder(found, common), 0n);
      const [left, right] = [product(common, one), product(common, other)].map((whole) => remainder(whole, found));
      assert.deepEqual([left, right], [0n, 0n]);
      // Nothing but what the two others have in common is left beside it.
      assert.equal(degree(found), degree(common) + degree(greatestCommonDivisor(one, other)));
    }
  });
});
