import assert from 'node:assert/strict';
import fc from 'fast-check';
import jstat from 'jstat';
import { describe, it } from 'mocha';
import { type FourCounts, fisherExact } from '../../shared-core/src/learn/statistics/fisher.js';
import { mutualInformation } from '../../shared-core/src/learn/statistics/information.js';
import { logChiSquareTail } from '../../shared-core/src/learn/statistics/logGamma.js';
import { chiSquare, momentsOf, tableTest } from '../../shared-core/src/learn/statistics/tableTest.js';
import { diceOf } from '../support/dice.js';
import * as published from './published.js';

const { jStat } = jstat;

function near(found: number, wanted: number, tolerance = 1e-9): void {
  assert.ok(Math.abs(found - wanted) <= tolerance * Math.max(Math.abs(wanted), 1e-12), `${found} is not ${wanted}`);
}

function fraction(text: string): number {
  const [above = 0, below = 1] = text.split('/').map(Number);
  return above / below;
}

describe('statistics against published values', () => {
  for (const [counts = '', twoSided = '', greater = '', less = ''] of published.FISHER) {
    it(`Fisher's exact test of ${counts} (sources at the table)`, () => {
      const result = fisherExact(counts.split(' ').map(Number) as unknown as FourCounts);
      near(result.twoSided, fraction(twoSided));
      near(result.greater, fraction(greater));
      near(result.less, fraction(less));
    });
  }

  for (const [joint = '', bits = ''] of published.MUTUAL_INFORMATION) {
    it(`mutual information of ${joint} (sources at the table)`, () => {
      const table = joint.split('/').map((row) => row.trim().split(' ').map(Number));
      // As many digits as were published.
      assert.equal(mutualInformation(table).toFixed(bits.includes('.') ? (bits.split('.')[1] ?? '').length : 0), bits);
    });
  }

  it('chi-square of Introduction to Information Retrieval, example 13.4', () => {
    for (const [counts = '', value = ''] of published.CHI_SQUARE) {
      const [a = 0, b = 0, c = 0, d = 0] = counts.split(' ').map(Number);
      near(
        chiSquare([
          [a, b],
          [c, d],
        ]),
        Number(value),
        1e-5,
      );
    }
  });

  it('exact p of a table of 2 × 3: the whole hypergeometric family counted by hand', () => {
    // Three values of 1, 2 and 3 dumps in groups of 3 against 3: of C(6, 3) = 20 ways, 1 · 1 has one group with
    // all of the third value, and the other with all else; both directions: 2 / 20.
    const { p, method } = tableTest([
      [0, 0, 3],
      [1, 2, 0],
    ]);
    assert.equal(method, 'exact');
    near(p, 0.1);
  });
});

describe('statistics against a second implementation', () => {
  const count = fc.integer({ min: 0, max: 60 });

  it("Fisher's exact test against a statistics library's hypergeometric distribution", () => {
    fc.assert(
      fc.property(count, count, count, count, (a, b, c, d) => {
        const all = a + b + c + d;
        const low = Math.max(0, a + b + a + c - all);
        const high = Math.min(a + b, a + c);
        const observed = jStat.hypgeom.pdf(a, all, a + c, a + b);
        let [twoSided, greater, less] = [0, 0, 0];
        for (let x = low; x <= high; x++) {
          const p = jStat.hypgeom.pdf(x, all, a + c, a + b);
          if (p <= observed * (1 + 1e-6)) twoSided += p;
          if (x >= a) greater += p;
          if (x <= a) less += p;
        }
        const result = fisherExact([a, b, c, d]);
        near(result.twoSided, twoSided, 1e-6);
        near(result.greater, greater, 1e-6);
        near(result.less, less, 1e-6);
      }),
      { numRuns: 300 },
    );
  });

  it("Fisher's exact test of hundreds of dumps against whole numbers of any size", () => {
    for (const counts of [
      [300, 200, 180, 320],
      [700, 12, 9, 650],
      [1000, 0, 3, 997],
    ] as const) {
      const [a, b, c, d] = counts;
      const ways = (x: number) => choose(a + b, x) * choose(c + d, a + c - x);
      let sum = 0n;
      const low = Math.max(0, a + c - (c + d));
      for (let x = low; x <= Math.min(a + b, a + c); x++) if (ways(x) <= ways(a)) sum += ways(x);
      const all = choose(a + b + c + d, a + c);
      const digits = 10n ** 400n;
      const text = ((sum * digits) / all).toString();
      const exact = Number(`0.${text.slice(0, 18)}e${text.length - 400}`);
      near(fisherExact(counts).twoSided, exact, 1e-8);
    }
  });

  it('chi-square tail against a statistics library', () => {
    const x = fc.double({ min: 0.01, max: 60, noNaN: true });
    fc.assert(
      fc.property(x, fc.integer({ min: 1, max: 40 }), (value, freedom) => {
        assert.ok(
          Math.abs(Math.exp(logChiSquareTail(value, freedom)) - (1 - jStat.chisquare.cdf(value, freedom))) < 1e-9,
        );
      }),
      { numRuns: 300 },
    );
  });

  it('mean and variance of the chi-square statistic against all tables with the same margins (brute force)', () => {
    for (const table of [
      [
        [1, 3, 1],
        [2, 1, 4],
      ],
      [
        [1, 0, 2, 1],
        [0, 2, 1, 6],
      ],
      [
        [2, 0, 1, 1, 0, 2],
        [0, 2, 1, 1, 2, 0],
      ],
    ]) {
      const columns = (table[0] ?? []).map((count, i) => count + (table[1]?.[i] ?? 0));
      let [all, mean, square] = [0, 0, 0];
      const fill = (taken: readonly number[], left: number, ways: bigint): void => {
        const column = columns[taken.length];
        if (column === undefined) {
          if (left > 0) return;
          const value = chiSquare([taken, columns.map((count, i) => count - (taken[i] ?? 0))]);
          all += Number(ways);
          mean += Number(ways) * value;
          square += Number(ways) * value ** 2;
          return;
        }
        for (let count = 0; count <= Math.min(column, left); count++)
          fill([...taken, count], left - count, ways * choose(column, count));
      };
      fill(
        [],
        (table[0] ?? []).reduce((sum, count) => sum + count, 0),
        1n,
      );
      const moments = momentsOf(table);
      near(moments.mean, mean / all);
      near(moments.variance, square / all - (mean / all) ** 2);
    }
  });

  it('tables that are no further from the mean than a standard deviation have no exact p that counts', () => {
    const dice = diceOf(11);
    for (let made = 0; made < 3000; made++) {
      const share = dice.int(20, 80);
      const columns = Array.from({ length: dice.int(6, 12) }, () => dice.int(1, 6));
      const first = columns.map(
        (count) => Array.from({ length: count }, () => dice.int(1, 100)).filter((one) => one <= share).length,
      );
      const table = [first, columns.map((count, i) => count - (first[i] ?? 0))];
      if (table.some((row) => row.every((count) => count === 0))) continue;
      const { mean, variance } = momentsOf(table);
      if (chiSquare(table) >= mean + Math.sqrt(variance)) continue;
      assert.ok(tableTest(table).p > 0.05, JSON.stringify(table));
    }
  });

  it('tables of many values are counted out where they are remarkable, and only there', () => {
    const alike = [new Array(20).fill(5), new Array(20).fill(5)];
    assert.equal(tableTest(alike).method, 'chi-square');
    assert.ok(tableTest(alike).p > 0.99);
    const apart = alike.map((row, i) => row.map((_, value) => (value === 0 ? (i === 0 ? 40 : 0) : 1)));
    const { p, method } = tableTest(apart);
    assert.equal(method, 'exact');
    assert.ok(p < 1e-4, `${p}`);
  });
});

function choose(n: number, k: number): bigint {
  let result = 1n;
  for (let i = 1; i <= k; i++) result = (result * BigInt(n - k + i)) / BigInt(i);
  return result;
}
