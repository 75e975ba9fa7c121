import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { bytesOfNumber } from '../../../shared-core/src/base/number.js';
import { commonDivisors } from '../../../shared-core/src/learn/learnSums/commonDivisors.js';
import { degree, product, remainder } from '../../../shared-core/src/learn/learnSums/gf2.js';
import {
  degreeOf,
  greatestCommonDivisor,
  numberOf,
  polynomialOf,
  sumOf,
  timesPowers,
} from '../../../shared-core/src/learn/learnSums/longPolynomial.js';
import { numbers } from './dumps.js';

const long = (number: bigint) => polynomialOf(bytesOfNumber(number, 1 + (degree(number) >> 3), 'big'));
const common = (a: bigint, b: bigint) => numberOf(greatestCommonDivisor(long(a), long(b)));

/** One of so many coefficients, of which the highest is 1. */
const drawn = (next: (below: number) => number, bits: number) =>
  Array.from({ length: bits - 1 }, () => BigInt(next(2))).reduce((sum, bit) => (sum << 1n) | bit, 1n);

describe('long polynomials over GF(2)', () => {
  it('are sums, products and degrees as whole numbers have them', () => {
    const next = numbers(3);
    for (let round = 0; round < 200; round++) {
      const [a, b] = [drawn(next, 1 + next(140)), drawn(next, 1 + next(140))];
      const powers = [next(100), 100 + next(100), 200 + next(3)];
      const factor = powers.reduce((sum, power) => sum | (1n << BigInt(power)), 0n);
      assert.equal(numberOf(long(a)), a);
      assert.equal(degreeOf(long(a)), degree(a));
      assert.equal(numberOf(sumOf(long(a), long(b))), a ^ b);
      assert.equal(numberOf(timesPowers(long(a), powers)), product(a, factor));
    }
    assert.equal(degreeOf(long(0n)), -1);
    assert.equal(numberOf(timesPowers(long(5n), [])), 0n);
  });

  it('have the greatest common divisors that trying each polynomial gives', () => {
    for (let a = 0n; a < 64n; a++) {
      for (let b = 0n; b < 64n; b++) {
        const divisors = Array.from({ length: 63 }, (_, i) => BigInt(i + 1)).filter(
          (one) => remainder(a, one) === 0n && remainder(b, one) === 0n,
        );
        // Every polynomial divides zero: with both zero none is the greatest.
        const wanted =
          a === 0n && b === 0n ? 0n : divisors.reduce((most, one) => (degree(one) > degree(most) ? one : most));
        assert.equal(common(a, b), wanted, `${a.toString(2)}, ${b.toString(2)}`);
      }
    }
  });

  it('have in common what two are made with, whatever words it begins and ends in', () => {
    const next = numbers(7);
    for (let round = 0; round < 60; round++) {
      const [shared, one, other] = [drawn(next, 1 + next(70)), drawn(next, 1 + next(300)), drawn(next, 1 + next(300))];
      const [left, right] = [product(shared, one), product(shared, other)];
      const found = common(left, right);
      assert.deepEqual(
        [found, left, right].map((whole, i) => remainder(whole, i === 0 ? shared : found)),
        [0n, 0n, 0n],
      );
      // Nothing but what the two others have in common is left beside it.
      assert.equal(degree(found), degree(shared) + degree(common(one, other)));
    }
  });
});

describe('common divisors of runs that end in their sums', () => {
  /** A run followed by what a division of it, with some start and end value, leaves. */
  function word(next: (below: number) => number, modulus: bigint, bytes: number, start: bigint, end: bigint) {
    const width = BigInt(degree(modulus));
    const run = drawn(next, 8 * bytes + 1) ^ (1n << BigInt(8 * bytes));
    const sum = remainder((run << width) ^ (start << BigInt(8 * bytes)), modulus) ^ end;
    const number = (run << width) ^ sum;
    return { word: polynomialOf(bytesOfNumber(number, bytes + Number(width / 8n), 'big')), power: 8 * bytes };
  }

  for (const width of [8, 16, 32])
    for (const lengths of [[9], [6, 11], [5, 8, 12, 20]])
      it(`are the polynomial of ${width} bits, over runs of ${lengths.join(', ')} bytes, of which one is damaged`, () => {
        const next = numbers(width);
        for (let round = 0; round < 20; round++) {
          const modulus = drawn(next, width + 1) | 1n;
          const [start, end] = [drawn(next, width), drawn(next, width)];
          const words = Array.from({ length: 24 }, (_, i) =>
            word(next, modulus, lengths[i % lengths.length] as number, start, end),
          );
          const damaged = words.map((one, i) => (i === round ? { ...one, word: sumOf(one.word, long(0x40n)) } : one));
          assert.deepEqual(commonDivisors(words, width), [modulus]);
          assert.deepEqual(commonDivisors(damaged, width), [modulus]);
        }
      });

  it('are none of noise', () => {
    const next = numbers(5);
    for (let round = 0; round < 20; round++) {
      const words = Array.from({ length: 24 }, () => ({ word: long(drawn(next, 90)), power: 72 }));
      assert.deepEqual(commonDivisors(words, 16), []);
    }
  });
});
