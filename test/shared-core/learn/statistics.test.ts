import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { discoveryRates } from '../../../shared-core/src/learn/statistics/discoveryRate.js';
import { fisherExact, lowestP } from '../../../shared-core/src/learn/statistics/fisher.js';
import { expectedGain } from '../../../shared-core/src/learn/statistics/information.js';
import { tableTest } from '../../../shared-core/src/learn/statistics/tableTest.js';
import { numbers } from './dumps.js';

describe('tables of counts', () => {
  it('three against three can never reach 0.05, four against four can', () => {
    assert.ok(Math.abs(lowestP(3, 3) - 0.1) < 1e-12);
    assert.ok(lowestP(4, 4) < 0.05);
    assert.equal(lowestP(3, 0), 1);
  });

  it('thousands of dumps: the logarithm of p goes on below the smallest number there is', () => {
    // Of all ways to put the labels on, the one at hand and its opposite: 2 of C(4000, 2000), by Stirling's series.
    const stirling = (n: number) =>
      n * Math.log(n) - n + 0.5 * Math.log(2 * Math.PI * n) + 1 / (12 * n) - 1 / (360 * n ** 3);
    const log = Math.log(2) + 2 * stirling(2000) - stirling(4000);
    const two = tableTest([
      [2000, 0],
      [0, 2000],
    ]);
    const three = tableTest([
      [2000, 0, 0],
      [0, 1999, 1],
    ]);
    for (const { p, log: found } of [two, three]) {
      assert.equal(p, Number.MIN_VALUE);
      assert.ok(Math.abs(found - log) < 1e-6, `${found}, not ${log}`);
    }
  });

  it('more than two values: the same p however groups and values are ordered', () => {
    const table = [
      [5, 1, 0],
      [0, 4, 6],
    ];
    const turned = [
      [6, 4, 0],
      [0, 1, 5],
    ];
    assert.ok(Math.abs(tableTest(table).p - tableTest(turned).p) < 1e-12);
  });

  it('a table of four counts in disguise gives the p of the four counts', () => {
    const disguised = tableTest([
      [3, 0, 1],
      [1, 0, 3],
      [0, 0, 0],
    ]);
    assert.equal(disguised.p, fisherExact([3, 1, 1, 3]).twoSided);
  });

  it('two groups: the same p as counting out every table with these margins', () => {
    const next = numbers(5);
    const choose = (n: number, k: number): number => (k === 0 ? 1 : (choose(n - 1, k - 1) * n) / k);
    for (let run = 0; run < 30; run++) {
      const table = [0, 1].map(() => Array.from({ length: 5 }, () => next(4)));
      const [first = [], second = []] = table;
      const columns = first.map((count, i) => count + (second[i] as number)).filter((count) => count > 0);
      const wanted = first.reduce((all, count) => all + count, 0);
      const weights = columns.reduce<readonly (readonly [number, number])[]>(
        (tables, column) =>
          tables.flatMap(([taken, weight]) =>
            Array.from({ length: column + 1 }, (_, more) => [taken + more, weight * choose(column, more)] as const),
          ),
        [[0, 1]],
      );
      const possible = weights.filter(([taken]) => taken === wanted).map(([, weight]) => weight);
      const observed = first.reduce((weight, count, i) => weight * choose(count + (second[i] as number), count), 1);
      const all = possible.reduce((sum, weight) => sum + weight, 0);
      const p = possible.filter((weight) => weight <= observed * (1 + 1e-9)).reduce((sum, weight) => sum + weight, 0);
      assert.ok(Math.abs(tableTest(table).p - p / all) < 1e-9, JSON.stringify(table));
    }
  });

  it('values that most dumps have alone beside a common one: the same p as the sum of binomials', () => {
    const choose = (n: number, k: number) => {
      let ways = 1n;
      for (let i = 1; i <= k; i++) ways = (ways * BigInt(n - k + i)) / BigInt(i);
      return ways;
    };
    for (const [alone, common, wanted, taken] of [
      [40, 20, 25, 16],
      [900, 100, 500, 68],
      [1500, 40, 700, 35],
    ] as const) {
      const first = [...Array.from({ length: alone }, (_, i) => (i < wanted - taken ? 1 : 0)), taken];
      const second = first.map((count, i) => (i === alone ? common : 1) - count);
      // Each single table is as probable as there are ways to take so many of the common value; so many tables are so.
      const likely = Array.from({ length: common + 1 }, (_, k) => k).filter(
        (k) => choose(common, k) <= choose(common, taken) && k <= wanted && wanted - k <= alone,
      );
      const ways = likely.reduce((sum, k) => sum + choose(common, k) * choose(alone, wanted - k), 0n);
      const p = Number((ways * 10n ** 40n) / choose(alone + common, wanted)) / 1e40;
      const found = tableTest([first, second]);
      assert.equal(found.method, 'exact');
      assert.ok(Math.abs(found.p / p - 1) < 1e-6, `${found.p} and not ${p}`);
    }
  });

  it('three groups of thousands of dumps that all hold another value are answered', () => {
    const table = [0, 1, 2].map((group) => Array.from({ length: 6000 }, (_, i) => (i % 3 === group ? 1 : 0)));
    assert.deepEqual(tableTest(table), { p: 1, log: 0, method: 'chi-square' });
  });

  it('three groups, and values of any number: the same p as putting the labels on the dumps in every order', () => {
    const next = numbers(6);
    for (let run = 0; run < 12; run++) {
      const dumps = Array.from({ length: 7 }, () => ({ group: next(3), value: next(3) }));
      const tableOf = (groups: readonly number[]) =>
        [0, 1, 2].map((group) =>
          [0, 1, 2].map((value) => dumps.filter((one, i) => groups[i] === group && one.value === value).length),
        );
      const factorial = (n: number): number => (n < 2 ? 1 : n * factorial(n - 1));
      // With these margins a table is the rarer, the larger the product of the factorials of its cells.
      const weight = (table: readonly (readonly number[])[]) =>
        table.flat().reduce((product, count) => product * factorial(count), 1);
      const orders = (left: readonly number[]): number[][] =>
        left.length === 0
          ? [[]]
          : left.flatMap((one, i) => orders(left.filter((_, j) => j !== i)).map((rest) => [one, ...rest]));
      const labels = dumps.map(({ group }) => group);
      const observed = weight(tableOf(labels));
      const all = orders(labels);
      const p = all.filter((order) => weight(tableOf(order)) >= observed * (1 - 1e-9)).length / all.length;
      const tested = tableTest(tableOf(labels));
      assert.equal(tested.method, 'exact');
      assert.ok(Math.abs(tested.p - p) < 1e-9, `${JSON.stringify(tableOf(labels))}: ${tested.p}, not ${p}`);
    }
  });

  it('many dumps with many values: rare values are taken together and the chi-square distribution answers', () => {
    const { p, method } = tableTest([
      [200, 150, 100, 50, 1, 0, 2, 1],
      [100, 150, 200, 50, 0, 1, 1, 2],
    ]);
    assert.equal(method, 'chi-square');
    assert.ok(p < 1e-10);
    const all = Array.from({ length: 40 }, () => 1);
    const none = all.map(() => 0);
    assert.equal(
      tableTest([
        [...all, ...none],
        [...none, ...all],
      ]).p,
      1,
      'values that occur once tell nothing',
    );
  });
});

describe('false discovery rate', () => {
  it('follows the definition and keeps the order of the list', () => {
    const rates = discoveryRates([0.04, 0.01, 0.02, 0.8]);
    assert.deepEqual(
      rates.map((q) => Number(q.toFixed(4))),
      [0.0533, 0.04, 0.04, 0.8],
    );
  });
});

describe('information', () => {
  it('an observation that two explanations foretell differently settles them, one that both foretell alike does not', () => {
    const even = [0.5, 0.5];
    assert.equal(
      expectedGain(even, [
        [1, 0],
        [0, 1],
      ]),
      1,
    );
    assert.equal(
      expectedGain(even, [
        [1, 0],
        [1, 0],
      ]),
      0,
    );
  });
});
