import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { finish } from '../../../shared-core/src/base/steps.js';
import { chanceFrom } from '../../../shared-core/src/repair/solver/chance.js';
import { columnSumsOf } from '../../../shared-core/src/repair/solver/columnSums.js';
import { gf2MatrixOf } from '../../../shared-core/src/repair/solver/gf2Matrix.js';
import { halvedSumsOf, integerSumsOf } from '../../../shared-core/src/repair/solver/integerSums.js';
import { kernelOf } from '../../../shared-core/src/repair/solver/kernelOf.js';
import { levelsOf, walkLength } from '../../../shared-core/src/repair/solver/kernelPlanes.js';
import { kernelSearch } from '../../../shared-core/src/repair/solver/kernelSearch.js';
import { walkThrough } from '../../../shared-core/src/repair/solver/kernelWalk.js';
import { type Change, modulo, type System } from '../../../shared-core/src/repair/solver/system.js';
import { MEMBERS_TOGETHER } from '../../../shared-core/src/repair/solver/waySums.js';

const byte = fc.integer({ min: 0, max: 255 });
const few = fc.constantFrom(0x01, 0x0f, 0x81, 0x07, 0x38);
const BYTES = 3;

const systems: fc.Arbitrary<System> = fc
  .record({
    free: fc.array(fc.record({ value: byte, mask: few }), { minLength: BYTES, maxLength: BYTES }),
    moduli: fc.array(fc.constantFrom(4n, 16n, 256n, 65536n, 4294967296n, 15n, 255n, 65535n, 65521n), {
      minLength: 0,
      maxLength: 2,
    }),
    weights: fc.array(fc.constantFrom(1n, 2n, 3n, 256n, 65280n, 40n, 41n, 16777216n), { minLength: 6, maxLength: 6 }),
    effects: fc.array(byte, { minLength: 8 * BYTES, maxLength: 8 * BYTES }),
    width: fc.integer({ min: 1, max: 6 }),
    wanted: fc.oneof(
      fc.record({ flips: fc.array(byte, { minLength: BYTES, maxLength: BYTES }) }),
      fc.record({ numbers: fc.array(fc.nat(300), { minLength: 3, maxLength: 3 }) }),
    ),
  })
  .map(({ free, moduli, weights, effects, width, wanted }) => {
    const equations: System['equations'] = [
      ...moduli.map((modulus, i) => ({
        kind: 'modular' as const,
        modulus,
        weights: weights.slice(BYTES * i, BYTES * i + BYTES).map((weight) => weight % modulus),
      })),
      {
        kind: 'binary' as const,
        effects: free.map((_, i) => effects.slice(8 * i, 8 * i + 8).map((one) => BigInt(one & (2 ** width - 1)))),
      },
    ];
    const outcome = (values: readonly number[]) => outcomeOf({ free, equations }, values);
    const accepted =
      'flips' in wanted
        ? outcome(free.map(({ value, mask }, i) => value ^ (mask & (wanted.flips[i] ?? 0))))
        : equations.map((equation, i) => {
            const number = BigInt(wanted.numbers[i] ?? 0);
            return equation.kind === 'modular' ? number % equation.modulus : number & BigInt(2 ** width - 1);
          });
    return { free, equations, accepted: [accepted], measure: 'growth' as const };
  });

function outcomeOf({ free, equations }: Pick<System, 'free' | 'equations'>, values: readonly number[]) {
  return equations.map((equation) => {
    if (equation.kind === 'modular') {
      const sum = free.reduce(
        (all, { value }, i) => all + (equation.weights[i] ?? 0n) * BigInt((values[i] ?? 0) - value),
        0n,
      );
      return modulo(sum, equation.modulus);
    }
    return free.reduce((all, { value }, i) => {
      const flipped = value ^ (values[i] ?? 0);
      return (equation.effects[i] ?? []).reduce((one, effect, bit) => ((flipped >> bit) & 1 ? one ^ effect : one), all);
    }, 0n);
  });
}

/** All values that these bytes can have. */
function changesWithin(free: System['free']): readonly (readonly number[])[] {
  return free.reduce<readonly (readonly number[])[]>(
    (all, { value, mask }) => {
      const own = Array.from({ length: 256 }, (_, one) => one).filter((one) => ((one ^ value) & ~mask) === 0);
      return all.flatMap((before) => own.map((one) => [...before, one]));
    },
    [[]],
  );
}

function canBeDone(system: System): boolean {
  const values = system.free.map(({ value, mask }) =>
    Array.from({ length: 256 }, (_, one) => one).filter((one) => ((one ^ value) & ~mask) === 0),
  );
  const [a, b, c] = values as [number[], number[], number[]];
  return a.some((x) =>
    b.some((y) => c.some((z) => outcomeOf(system, [x, y, z]).join() === system.accepted[0]?.join())),
  );
}

describe('the solutions of binary equations, gone through bit by bit of the sums beside them', () => {
  it('have one that fulfils the sums just where trying all values finds one', () => {
    let [found, none] = [0, 0];
    fc.assert(
      fc.property(systems, (system) => {
        const isPossible = canBeDone(system);
        const [kernel, sums] = [kernelOf(finish(gf2MatrixOf(system))), integerSumsOf(system)];
        assert.ok(sums);
        if (kernel === undefined) return assert.ok(!isPossible);
        const verifies = (change: Change) => {
          const values = system.free.map(({ value }, i) => change.find(({ index }) => index === i)?.value ?? value);
          assert.deepEqual(outcomeOf(system, values), system.accepted[0]);
          return true;
        };
        const others = [halvedSumsOf(system), columnSumsOf(system)].filter((groups) => groups !== undefined);
        const search = finish(kernelSearch({ ...system, verifies }, kernel, sums, others));
        assert.ok(search.isWhole);
        const answer = finish(search.find({ steps: 10_000_000 }));
        assert.equal(answer !== undefined && answer !== 'none', isPossible);
        if (isPossible) found++;
        else none++;
        if (answer === undefined || answer === 'none') return;
        for (const { index, value } of answer) {
          const { value: old, mask } = system.free[index] as System['free'][number];
          assert.equal((old ^ value) & ~mask, 0);
        }
      }),
      { numRuns: 300 },
    );
    assert.ok(found > 30 && none > 30, `${found} found, ${none} none`);
  }).timeout(60_000);

  it('decide each bit of a sum by the lower bits of its bytes and the parity of those that count as much', () => {
    const system: System = {
      free: Array.from({ length: 4 }, () => ({ value: 0, mask: 0xff })),
      equations: [
        { kind: 'modular', modulus: 65536n, weights: [1n, 256n, 1n, 256n] },
        { kind: 'binary', effects: Array.from({ length: 4 }, () => [0n, 0n, 0n, 0n, 0n, 0n, 0n, 0n]) },
      ],
      accepted: [[0x1234n, 0n]],
      measure: 'growth',
    };
    const kernel = kernelOf(finish(gf2MatrixOf(system)));
    assert.ok(kernel);
    const levels = finish(
      levelsOf(
        kernel,
        (integerSumsOf(system) ?? []).flatMap(({ sums }) => sums),
      ),
    );
    assert.deepEqual(
      levels.map(({ members, decided }) => [members.length, decided[0]]),
      [[0, 0], [1, 1], ...Array.from({ length: 15 }, (_, i) => [2, 2 ** (i + 2) - 1]), [1, 0xffff]],
    );
  });

  it('are as many as is said before they are gone through, and among them is each that fulfils the sums, once', () => {
    const next = chanceFrom(77);
    const nothing = (count: number) => Array.from({ length: count }, () => Array.from({ length: 8 }, () => 0n));
    const bits = (count: number, width: number) => nothing(count).map((all) => all.map(() => BigInt(next(2 ** width))));
    for (const [mask, effects, ...sums] of [
      [0x1d, nothing(3), [65_536n, [1n, 256n, 1n]]],
      [0x3e, bits(3, 4), [256n, [1n, 1n, 1n]]],
      [0x66, bits(4, 5), [255n, [3n, 2n, 1n, 1n]]],
      [0x0d, bits(4, 3), [256n, [1n, 1n, 1n, 1n]], [65_536n, [1n, 256n, 1n, 256n]]],
      [0x0b, bits(5, 4), [65_535n, [1n, 256n, 1n, 256n, 1n]]],
    ] as const) {
      const free = effects.map(() => ({ value: next(256), mask }));
      const equations: System['equations'] = [
        ...sums.map(([modulus, weights]) => ({ kind: 'modular' as const, modulus, weights })),
        { kind: 'binary', effects },
      ];
      const wanted = outcomeOf(
        { free, equations },
        free.map(({ value }) => value ^ (next(256) & mask)),
      );
      const system: System = { free, equations, accepted: [wanted], measure: 'growth' };
      const [kernel, groups] = [kernelOf(finish(gf2MatrixOf(system))), integerSumsOf(system)];
      assert.ok(kernel && groups);
      const integers = groups.flatMap((group) => group.sums);
      const levels = finish(levelsOf(kernel, integers));
      const walk = walkThrough(levels, integers, free.length);
      const from = Uint8Array.from(free, ({ value }, i) => value ^ (kernel.flips[i] ?? 0));
      const choices = groups.reduce<readonly (readonly number[])[]>(
        (all, group) => all.flatMap((one) => group.wanted.map(({ values }) => [...one, ...values])),
        [[]],
      );
      let nodes = 0;
      const found: string[] = [];
      for (const choice of choices) {
        walk.begin(from, choice);
        for (; !walk.isDone(); nodes++) if (walk.next(1)) found.push(walk.values.join());
      }
      const name = `${mask} ${sums.map(([modulus]) => modulus)}`;
      const { whole } = walkLength(levels, groups);
      assert.ok(
        2 ** whole <= 1.001 * 2 ** MEMBERS_TOGETHER * nodes && nodes <= 2 * (levels.length + 1) * 2 ** whole,
        `${name}: ${whole}, ${nodes}`,
      );
      const all = changesWithin(free).filter((values) => outcomeOf(system, values).join() === wanted.join());
      assert.deepEqual(found.sort(), all.map((values) => values.join()).sort(), name);
    }
  });

  it('fulfil the halves of a sum of words just where they fulfil the sum, and those a sum of bytes less them', () => {
    let [same, other] = [0, 0];
    fc.assert(
      fc.property(
        fc.array(fc.record({ value: byte, mask: fc.constantFrom(0xff, 0x0f, 0xc3) }), { minLength: 6, maxLength: 6 }),
        fc.array(fc.constantFrom(1n, 2n, 4n, 256n, 768n, 65_534n, 1023n), { minLength: 6, maxLength: 6 }),
        fc.array(fc.record({ values: fc.array(byte, { minLength: 6, maxLength: 6 }), isMoved: fc.boolean() }), {
          minLength: 2,
          maxLength: 2,
        }),
        (free, weights, changes) => {
          const [one, two] = changes.map(({ values }) =>
            free.map(({ value, mask }, i) => (value & ~mask) | (mask & (values[i] ?? 0))),
          ) as [number[], number[]];
          const equations: System['equations'] = [
            { kind: 'modular', modulus: 65_535n, weights },
            // Of words the same bytes count once and 256 times; a sum of bytes counts them once.
            {
              kind: 'modular',
              modulus: 256n,
              weights: weights.map((weight, i) => (weight / 256n + weight + (i === 5 ? 255n : 0n)) % 256n),
            },
          ];
          const accepted = [outcomeOf({ free, equations }, one)];
          const groups = halvedSumsOf({ free, equations, accepted, measure: 'growth' });
          if (groups === undefined) return;
          const fulfilsAll = (values: readonly number[]) =>
            groups.every(({ sums, wanted }) =>
              wanted.some((all) =>
                sums.every(({ weights: own, planes }, i) => {
                  const sum =
                    values.reduce((total, value, at) => total + value * (own[at] ?? 0), 0) - (all.values[i] ?? 0);
                  return planes === 32 ? sum === 0 : sum % 2 ** planes === 0;
                }),
              ),
            );
          assert.ok(fulfilsAll(one));
          const isSame = outcomeOf({ free, equations }, two).join() === accepted[0]?.join();
          assert.equal(fulfilsAll(two), isSame);
          if (isSame) same++;
          else other++;
        },
      ),
      { numRuns: 300 },
    );
    assert.ok(same + other > 100, `${same} ${other}`);
  });

  it('fulfil a sum of words and one of bytes just where they fulfil the sum of bytes less all columns of the words', () => {
    let [same, other] = [0, 0];
    fc.assert(
      fc.property(
        fc.record({
          free: fc.array(fc.record({ value: byte, mask: fc.constantFrom(0xff, 0x0f, 0xc3) }), {
            minLength: 6,
            maxLength: 6,
          }),
          columns: fc.array(fc.nat(4), { minLength: 6, maxLength: 6 }),
          isWide: fc.boolean(),
          end: fc.constantFrom(256n, 65_536n),
          // What the stored byte counts as in the sum that it is of: it is subtracted, added or not covered.
          stored: fc.constantFrom(1n, 0n, -1n, 2n),
          sign: fc.constantFrom(1n, -1n),
        }),
        fc.array(fc.array(byte, { minLength: 6, maxLength: 6 }), { minLength: 2, maxLength: 2 }),
        ({ free, columns, isWide, end, stored, sign }, changes) => {
          const [one, two] = changes.map((values) =>
            free.map(({ value, mask }, i) => (value & ~mask) | (mask & (values[i] ?? 0))),
          ) as [number[], number[]];
          const modulus = isWide ? 2n ** 32n : 65_536n;
          const words = columns.map((column) => (column === 4 ? 0n : 256n ** BigInt(column % (isWide ? 4 : 2))));
          const bytes = words.map((weight, i) => modulo(i === 5 ? stored : weight === 0n ? 0n : sign, end));
          const equations: System['equations'] = [
            { kind: 'modular', modulus: end, weights: bytes },
            { kind: 'modular', modulus, weights: words },
          ];
          const accepted = [outcomeOf({ free, equations }, one)];
          const groups = columnSumsOf({ free, equations, accepted, measure: 'growth' });
          if (groups === undefined) return;
          const fulfilsAll = (values: readonly number[]) =>
            groups.every(({ sums, wanted }) =>
              wanted.some((all) =>
                sums.every(({ weights, planes }, i) => {
                  const sum = values.reduce((total, value, at) => total + value * (weights[at] ?? 0), 0);
                  return modulo(BigInt(sum - (all.values[i] ?? 0)), 2n ** BigInt(planes)) === 0n;
                }),
              ),
            );
          assert.ok(fulfilsAll(one));
          const isSame = outcomeOf({ free, equations }, two).join() === accepted[0]?.join();
          assert.equal(fulfilsAll(two), isSame);
          if (isSame) same++;
          else other++;
        },
      ),
      { numRuns: 500 },
    );
    assert.ok(same + other > 100, `${same} ${other}`);
  });

  it('are looked for by a sum of bytes less all columns of words, which leaves but the stored sum', () => {
    const columns = [0, 1, 2, 3, 0, 1, 2];
    const system: System = {
      free: columns.map(() => ({ value: 0, mask: 0xff })),
      equations: [
        { kind: 'modular', modulus: 256n, weights: columns.map((_, i) => (i === 6 ? 255n : 1n)) },
        { kind: 'modular', modulus: 2n ** 32n, weights: columns.map((column) => 256n ** BigInt(column)) },
      ],
      accepted: [[0n, 0n]],
      measure: 'growth',
    };
    const [group] = columnSumsOf(system) ?? [];
    assert.deepEqual([...(group?.sums[0]?.weights ?? [])], [0, 0, 0, 0, 0, 0, -2]);
    // All columns come to nothing, or to 256, 255 and so on where one is carried over.
    assert.ok(group?.wanted.some(({ values }) => values[0] === 0));
    const [words] = system.equations;
    assert.equal(columnSumsOf({ ...system, equations: words === undefined ? [] : [words] }), undefined);
  });

  it('are gone through by chance for a quarter of the work, and then wholly with what is left of it', () => {
    const bits = (one: number) => Array.from({ length: 8 }, (_, bit) => BigInt(bit < 4 ? one << bit : 0));
    const system = {
      free: [1, 2, 3, 4].map((value) => ({ value, mask: 0xff })),
      equations: [
        { kind: 'modular', modulus: 256n, weights: [1n, 3n, 7n, 9n] },
        { kind: 'binary', effects: [1, 3, 5, 7].map(bits) },
      ],
      accepted: [[77n, 5n]],
      ...{ measure: 'growth', verifies: () => false },
    } as const satisfies System;
    const [kernel, sums] = [kernelOf(finish(gf2MatrixOf(system))), integerSumsOf(system)];
    assert.ok(kernel && sums);
    const search = finish(kernelSearch(system, kernel, sums));
    assert.ok(search.isWhole);
    const allowance = { left: 2 ** 40 };
    const budget = { steps: 20_000, allowance };
    assert.equal(finish(search.find(budget)), undefined);
    const spent = 2 ** 40 - allowance.left;
    assert.ok(spent > 20_000 && spent < 20_200, `${spent}`);
    assert.ok(budget.steps <= 0 && budget.steps > -200, `${budget.steps}`);
  });

  it('are as many as some by chance are needed where there are too many for all', () => {
    const system: System = {
      free: Array.from({ length: 8 }, (_, i) => ({ value: 31 * i, mask: 0xff })),
      equations: [
        { kind: 'modular', modulus: 65521n, weights: [1n, 1n, 1n, 1n, 1n, 1n, 1n, 1n] },
        { kind: 'modular', modulus: 65521n, weights: [48n, 47n, 46n, 45n, 44n, 43n, 42n, 41n] },
        {
          kind: 'binary',
          effects: Array.from({ length: 8 }, (_, i) =>
            Array.from({ length: 8 }, (_, b) => 1n << BigInt((3 * i + b) % 16)),
          ),
        },
      ],
      accepted: [],
      measure: 'growth',
    };
    const accepted = [outcomeOf(system, [9, 200, 31, 77, 5, 160, 44, 123])];
    const planted = { ...system, accepted, verifies: () => true };
    const [kernel, sums] = [kernelOf(finish(gf2MatrixOf(planted))), integerSumsOf(planted)];
    assert.ok(kernel && sums);
    const search = finish(kernelSearch(planted, kernel, sums));
    assert.ok(!search.isWhole);
    const change = finish(search.find({ steps: 30_000_000 }));
    assert.ok(change !== undefined && change !== 'none');
    const values = system.free.map(({ value }, i) => change.find(({ index }) => index === i)?.value ?? value);
    assert.deepEqual(outcomeOf(system, values), accepted[0]);
    assert.equal(finish(search.find({ steps: 10 })), undefined);
  });
});
