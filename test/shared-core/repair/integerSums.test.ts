// How the sums beside binary ones are written so that little is left to be gone through: weights, targets and chances
// worked out by hand, or by counting.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { columnSumsOf } from '../../../shared-core/src/repair/solver/columnSums.js';
import { halvedSumsOf, integerSumsOf, type SumGroup } from '../../../shared-core/src/repair/solver/integerSums.js';
import type { Equation, System } from '../../../shared-core/src/repair/solver/system.js';

const bytesOf = (count: number, mask = 0xff) => Array.from({ length: count }, () => ({ value: 0, mask }));
const modular = (modulus: bigint, ...weights: readonly number[]): Equation => ({
  kind: 'modular',
  modulus,
  weights: weights.map((weight) => ((BigInt(weight) % modulus) + modulus) % modulus),
});
const systemOf = (
  equations: readonly Equation[],
  accepted: readonly bigint[],
  free = weightsIn(equations),
): System => ({
  ...{ free, equations, measure: 'growth' },
  accepted: [accepted],
});
const weightsIn = ([first]: readonly Equation[]) => bytesOf(first?.kind === 'modular' ? first.weights.length : 0);
const weightsOf = (groups: readonly SumGroup[] | undefined) =>
  groups?.map(({ sums }) => sums.map(({ weights }) => [...weights]));

/** How many values of so many whole bytes come to each number. */
function countsOf(bytes: number): readonly number[] {
  let counts = [1];
  for (let i = 0; i < bytes; i++) {
    const next = new Array<number>(counts.length + 255).fill(0);
    for (const [at, count] of counts.entries())
      for (let value = 0; value < 256; value++) (next[at + value] as number) += count;
    counts = next;
  }
  return counts;
}

describe('a congruence as a sum over whole numbers', () => {
  it('of a power of two counts by it, and comes to one number: what is there and what is wanted', () => {
    const free = [
      { value: 3, mask: 0xff },
      { value: 10, mask: 0x0f },
    ];
    const [group] = integerSumsOf(systemOf([modular(256n, 2, -1)], [250n], free)) ?? [];
    const [sum] = group?.sums ?? [];
    assert.deepEqual([...(sum?.weights ?? []), sum?.planes, sum?.bits], [2, -1, 8, 8]);
    assert.deepEqual(group?.wanted, [{ values: [3 * 2 - 10 + 250], chance: 1 }]);
  });

  it('of any other comes to one of all numbers of its residue class that the bytes reach, both ends among them', () => {
    // From 0 to 30, of which 0, 15 and 30 leave 0.
    const free = bytesOf(2, 0x0f);
    const [group] = integerSumsOf(systemOf([modular(15n, 1, 1)], [0n], free)) ?? [];
    assert.deepEqual(
      group?.wanted.map(({ values }) => values),
      [[0], [15], [30]],
    );
    const [sum] = group?.sums ?? [];
    assert.equal(sum?.planes, 32);
    // A byte of 16 values is spread by 15 / √12, and two of them √2 times as far.
    assert.ok(Math.abs((sum?.bits ?? 0) - Math.log2(1 + (2.5 * 15) / Math.sqrt(6))) < 1e-9);
    // The middle is 15: both ends are as likely, and less.
    const [first, middle, last] = group?.wanted.map(({ chance }) => chance) ?? [];
    assert.equal(first, last);
    assert.ok(Math.abs((middle ?? 0) / (first ?? 1) - Math.exp(15 ** 2 / (2 * (15 ** 2 / 6)))) < 1e-9);
  });

  it('goes from the least to the most that bits which may not change leave', () => {
    const free = [
      { value: 0x83, mask: 0x0c },
      { value: 0x01, mask: 0x01 },
    ];
    // 131 to 143, less nothing or 8.
    const of = (wanted: bigint) =>
      integerSumsOf(systemOf([modular(20n, 1, -8)], [wanted], free))?.[0]?.wanted.map(({ values }) => values[0]);
    // Now 123: of all from 123 to 143 those that leave as much.
    assert.deepEqual(of(0n), [123, 143]);
    assert.deepEqual(of(1n), [124]);
    assert.deepEqual(of(19n), [142]);
    const [sum] = integerSumsOf(systemOf([modular(20n, 1, -8)], [0n], free))?.[0]?.sums ?? [];
    assert.ok(Math.abs((sum?.bits ?? 0) - Math.log2(1 + 2.5 * Math.sqrt((12 ** 2 + 8 ** 2) / 12))) < 1e-9);
    // What does not move at all comes to what it is, or to nothing.
    const fixed = (wanted: bigint) =>
      integerSumsOf(systemOf([modular(20n, 1)], [wanted], [{ value: 9, mask: 0 }]))?.[0]?.wanted;
    assert.deepEqual([fixed(0n), fixed(1n)], [[{ values: [9], chance: 1 }], []]);
  });

  it('is none where its modulus is more than 32 bits hold', () => {
    for (const modulus of [2n ** 64n, 2n ** 64n - 1n, 2n ** 40n - 1n])
      assert.equal(integerSumsOf(systemOf([modular(modulus, 1, 2)], [3n])), undefined, `${modulus}`);
    assert.ok(integerSumsOf(systemOf([modular(2n ** 32n, 1, 2)], [3n])));
  });

  it('is told from one with the same odd modulus by small weights: places counted from the one in the middle', () => {
    const all = [1, 1, 1, 1, 1];
    const places = [48, 47, 46, 45, 44];
    const written = (modulus: bigint, first: readonly number[], second: readonly number[]) =>
      weightsOf(integerSumsOf(systemOf([modular(modulus, ...first), modular(modulus, ...second)], [5n, 230n])));
    assert.deepEqual(written(65_521n, all, places), [[all], [[2, 1, 0, -1, -2]]]);
    // What is wanted of it is less 46 times what is wanted of the other, as a number that the bytes reach.
    const [, group] =
      integerSumsOf(systemOf([modular(65_521n, ...all), modular(65_521n, ...places)], [5n, 230n])) ?? [];
    assert.deepEqual(
      group?.wanted.map(({ values }) => values),
      [[0]],
    );
    // Of bytes that count 256 times, places are as many times as much.
    const words = [256, 1, 256, 1, 256];
    const far = [256 * 48, 48, 256 * 47, 47, 256 * 46];
    assert.deepEqual(written(65_535n, words, far), [[words], [[256, 1, 0, 0, -256]]]);
    assert.deepEqual(written(65_535n, [256, 0, 256], [2, -2, 1]), [[[256, 0, 256]], [[2, -2, 1]]]);
    // Of an even modulus, of another one, and where it is small already, it stays as it is.
    assert.deepEqual(written(2n ** 16n, all, places), [[all], [places]]);
    assert.deepEqual(written(65_521n, all, [1, 0, 0, 0, -1]), [[all], [[1, 0, 0, 0, -1]]]);
    const other = systemOf([modular(65_521n, ...all), modular(65_535n, ...places)], [5n, 230n]);
    assert.deepEqual(weightsOf(integerSumsOf(other)), [[all], [places]]);
  });
});

describe('a sum of bytes beside a sum of words modulo 65,535', () => {
  const words = [256, 1, 256, 1, 1];

  it('is written less both halves, or one of them, or what both come to, by what leaves the fewest bytes', () => {
    const low = [0, 1, 0, 1, 1];
    const high = [1, 0, 1, 0, 0];
    const less = (modulus: bigint, ...bytes: readonly number[]) =>
      weightsOf(halvedSumsOf(systemOf([modular(modulus, ...bytes), modular(65_535n, ...words)], [9n, 1234n])));
    for (const [bytes, left] of [
      [
        [1, 1, 1, 1, -1],
        [0, 0, 0, 0, -2],
      ],
      [
        [-1, -1, -1, -1, 1],
        [0, 0, 0, 0, 2],
      ],
      [
        [0, 1, 0, 1, 7],
        [0, 0, 0, 0, 6],
      ],
      [
        [0, -1, 0, -1, 7],
        [0, 0, 0, 0, 8],
      ],
      [
        [1, 0, 1, 0, 7],
        [0, 0, 0, 0, 7],
      ],
      [
        [-1, 0, -1, 0, 7],
        [0, 0, 0, 0, 7],
      ],
      [
        [1, -1, 1, -1, 5],
        [0, 0, 0, 0, 6],
      ],
    ] as const)
      for (const modulus of [256n, 65_536n]) assert.deepEqual(less(modulus, ...bytes), [[low, high, left]], `${bytes}`);
    // Where it has no fewer bytes without them, there are no such sums.
    assert.equal(less(256n, 3, 5, 7, 9, 11), undefined);
    assert.equal(less(256n, 3, 0, 2, 0, 0), undefined);
    assert.equal(less(2n ** 32n, 1, 1, 1, 1, -1), undefined);
    assert.equal(halvedSumsOf(systemOf([modular(65_535n, ...words)], [1n])), undefined);
    // Modulo another number both halves are not open in little more than their size.
    const other = systemOf([modular(256n, 1, 1, 1, 1, -1), modular(65_521n, ...words)], [9n, 1234n]);
    assert.equal(halvedSumsOf(other), undefined);
  });

  it('goes with every other: those that are shorter less the halves, the others as they are', () => {
    const plain = [5, 4, 3, 2, 9];
    const equations = [
      modular(256n, 1, 1, 1, 1, -1),
      modular(65_535n, ...words),
      modular(256n, ...plain),
      modular(65_536n, 0, 1, 0, 1, 4),
    ];
    assert.deepEqual(weightsOf(halvedSumsOf(systemOf(equations, [0n, 0n, 0n, 0n]))), [
      [
        [0, 1, 0, 1, 1],
        [1, 0, 1, 0, 0],
        [0, 0, 0, 0, -2],
        [0, 0, 0, 0, 3],
      ],
      [plain],
    ]);
    // Each is left out that some of the sums cannot come to: the first of those less the halves is even.
    const [group] = halvedSumsOf(systemOf(equations, [0n, 5n, 0n, 0n])) ?? [];
    assert.ok(group !== undefined && group.wanted.length > 1);
    assert.ok(group.wanted.every(({ values }) => (values[2] ?? 1) % 2 === 0));
  });

  it('comes to what is wanted less what the halves come to, and to nothing that its bytes cannot do', () => {
    const equations = [modular(256n, 1, 1, 1, 1, -1), modular(65_535n, ...words)];
    const [group] = halvedSumsOf(systemOf(equations, [9n, 26_365n])) ?? [];
    const all: (readonly number[])[] = [];
    // All that three low bytes and two high ones come to, of which the last counts twice in what is left.
    for (let low = 0; low <= 3 * 255; low++)
      for (let high = 0; high <= 2 * 255; high++)
        if ((low + 256 * high - 26_365) % 65_535 === 0 && (9 - low - high) % 2 === 0)
          all.push([low, high, 9 - low - high]);
    assert.ok(all.length > 2);
    assert.deepEqual(group?.wanted.map(({ values }) => values).sort(), all.sort());
    assert.ok(Math.abs((group?.wanted ?? []).reduce((sum, { chance }) => sum + chance, 0) - 1) < 1e-9);
  });

  it('is not written so where there are too many pairs of what both halves come to', () => {
    // By 255 for each byte of a half, over the modulus: 2^13 pairs are 45 of each.
    const found = (count: number) => {
      const half = (is: number) => Array.from({ length: 2 * count }, (_, i) => (i % 2 === is ? 1 : 0));
      const equations = [
        modular(256n, ...half(0).map(() => 1)),
        modular(65_535n, ...half(0).map((one) => (one === 1 ? 256 : 1))),
      ];
      return halvedSumsOf(systemOf(equations, [0n, 0n])) !== undefined;
    };
    assert.deepEqual([2, 90, 91, 92].map(found), [true, true, false, false]);
  });
});

describe('a sum of bytes beside a sum of words modulo a power of two', () => {
  const found = (words: Equation, bytes: Equation) =>
    weightsOf(columnSumsOf(systemOf([words, bytes], [0n, 0n])))?.[0]?.[0];

  it('is written less all columns together, whether it adds them or takes them off', () => {
    const words = modular(65_536n, 256, 1, 256, 1, 0);
    assert.deepEqual(found(words, modular(256n, 1, 1, 1, 1, -1)), [0, 0, 0, 0, -1]);
    assert.deepEqual(found(words, modular(256n, -1, -1, -1, -1, 1)), [0, 0, 0, 0, 1]);
    assert.deepEqual(found(words, modular(65_536n, 1, 1, 1, 2, 7)), [0, 0, 0, 1, 7]);
    const wide = modular(2n ** 32n, 2 ** 24, 65_536, 256, 1, 0);
    assert.deepEqual(found(wide, modular(256n, 1, 1, 1, 1, 5)), [0, 0, 0, 0, 5]);
    const three = modular(2n ** 24n, 1, 65_536, 256, 1, 0);
    assert.deepEqual(found(three, modular(256n, 1, 1, 1, 1, 5)), [0, 0, 0, 0, 5]);
  });

  it('is as it was where that leaves no fewer bytes, and beside a sum that is none of words', () => {
    const bytes = modular(256n, 1, 1, 1, 1, -1);
    assert.equal(found(modular(65_536n, 256, 1, 0, 0, 0), modular(256n, 2, 2, 1, 1, 1)), undefined);
    assert.equal(found(modular(65_536n, 256, 1, 0, 0, 0), modular(256n, 1, 2, 0, 0, 0))?.join(), '0,1,0,0,0');
    assert.equal(found(modular(65_536n, 256, 0, 0, 0, 0), modular(256n, 0, 0, 0, 1, 1)), undefined);
    // Another weight than those of columns, or a modulus that is no number of bytes, or of one byte alone.
    assert.equal(found(modular(65_536n, 256, 1, 256, 2, 0), bytes), undefined);
    assert.equal(found(modular(65_536n, 256, 1, 256, -1, 0), bytes), undefined);
    assert.equal(found(modular(2n ** 12n, 1, 1, 1, 1, 0), bytes), undefined);
    assert.equal(found(modular(2n ** 20n, 256, 1, 256, 1, 0), bytes), undefined);
    assert.equal(found(modular(256n, 1, 1, 1, 1, 0), bytes), undefined);
    assert.equal(found(modular(65_521n, 256, 1, 256, 1, 0), bytes), undefined);
    // Beside a sum of bytes that is wide there are too many totals.
    assert.equal(found(modular(65_536n, 256, 1, 256, 1, 0), modular(2n ** 24n, 1, 1, 1, 1, -1)), undefined);
  });

  it('comes to each total that the columns can have, as often as counting says', () => {
    const three = countsOf(3);
    const words = [...[1, 256, 65_536, 2 ** 24].flatMap((one) => [one, one, one]), 0];
    for (const wanted of [0x1357_9bdf, 0x7e01_0001, 0x7e00_fe00]) {
      const equations = [modular(2n ** 32n, ...words), modular(256n, ...words.map((word) => (word === 0 ? -1 : 1)))];
      const [group] = columnSumsOf(systemOf(equations, [BigInt(wanted), 77n])) ?? [];
      const counted = new Map<number, number>();
      const descend = (column: number, carry: number, total: number, count: number): void => {
        if (column === 4) {
          counted.set(total % 256, (counted.get(total % 256) ?? 0) + count);
          return;
        }
        for (const [sum, ways] of three.entries())
          if ((sum + carry - (wanted >>> (8 * column))) % 256 === 0)
            descend(column + 1, (sum + carry - ((wanted >>> (8 * column)) & 0xff)) / 256, total + sum, count * ways);
      };
      descend(0, 0, 0, 1);
      const all = [...counted.values()].reduce((a, b) => a + b);
      const said = new Map(
        group?.wanted.map(({ values: [rest = 0], chance }) => [(((77 - rest) % 256) + 256) % 256, chance]),
      );
      assert.deepEqual([...said.keys()].sort(), [...counted.keys()].sort());
      const off = [...said].reduce(
        (sum, [total, chance]) => sum + Math.abs(chance - (counted.get(total) ?? 0) / all),
        0,
      );
      assert.ok(off < 0.1, `${off}`);
      for (const { values } of group?.wanted ?? []) assert.deepEqual(values.slice(1), [77, wanted]);
      // Beside the others it says which total it is: as much as the likeliest leaves open.
      const likeliest = Math.max(...counted.values()) / all;
      assert.ok(Math.abs((group?.sums[1]?.bits ?? 0) + Math.log2(likeliest)) < 0.15, `${group?.sums[1]?.bits}`);
    }
  });
});
