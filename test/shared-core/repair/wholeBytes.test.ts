// What bytes can do in congruences: classes of equal weight, how far they reach, and equations in whole numbers.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { finish } from '../../../shared-core/src/base/steps.js';
import { chanceFrom } from '../../../shared-core/src/repair/solver/chance.js';
import { equalWeightClasses } from '../../../shared-core/src/repair/solver/equalWeightClasses.js';
import { infeasibilityProof } from '../../../shared-core/src/repair/solver/infeasibility.js';
import { latticePoints, solutionsOf } from '../../../shared-core/src/repair/solver/latticePoints.js';
import { lift } from '../../../shared-core/src/repair/solver/lift.js';
import {
  type Change,
  type Equation,
  gcd,
  type System,
  turnsOf,
} from '../../../shared-core/src/repair/solver/system.js';

const byte = fc.oneof(fc.nat(255), fc.constantFrom(0, 255));
const modular = (modulus: bigint, weights: readonly number[]): Equation => ({
  ...{ kind: 'modular', modulus },
  weights: weights.map((weight) => ((BigInt(weight) % modulus) + modulus) % modulus),
});
const systemOf = (
  values: readonly number[],
  equations: readonly Equation[],
  accepted: readonly (readonly bigint[])[] = [],
  masks: readonly number[] = values.map(() => 0xff),
): System => ({
  ...{ equations, accepted, measure: 'growth' },
  free: values.map((value, i) => ({ value, mask: masks[i] ?? 0 })),
});

describe('bytes of equal weight', () => {
  /** For each number of changed bytes in how many ways they grow by so much together. */
  function waysOf(values: readonly number[]): readonly ReadonlyMap<number, number>[] {
    let ways: Map<number, number>[] = [new Map([[0, 1]])];
    for (const old of values) {
      const next = [...ways, new Map<number, number>()].map((own) => new Map(own));
      for (const [count, own] of ways.entries())
        for (const [growth, times] of own)
          for (let value = 0; value < 256; value++) {
            const to = next[count + 1] as Map<number, number>;
            if (value !== old) to.set(growth + value - old, times + (to.get(growth + value - old) ?? 0));
          }
      ways = next;
    }
    return ways;
  }

  it('grow together by the fewest bytes, in a way that is the only one just where counting says so', () => {
    fc.assert(
      fc.property(fc.array(byte, { minLength: 1, maxLength: 3 }), (values) => {
        const [only, ...more] = finish(
          equalWeightClasses(
            systemOf(values, [
              modular(
                1024n,
                values.map(() => -3),
              ),
            ]),
          ),
        );
        assert.ok(only && more.length === 0);
        assert.deepEqual(only.weights, [-3n]);
        const down = values.reduce((sum, value) => sum + value, 0);
        assert.deepEqual([only.down, only.up], [down, 255 * values.length - down]);
        const ways = waysOf(values);
        for (let growth = -down - 2; growth <= only.up + 2; growth++) {
          const bytes = ways.findIndex((own) => own.has(growth));
          assert.equal(only.bytesFor(growth), bytes < 0 ? Number.POSITIVE_INFINITY : bytes, `${growth}`);
          if (bytes < 0) continue;
          assert.equal(only.isOnlyWay(growth), ways[bytes]?.get(growth) === 1, `${growth}`);
          const change = only.changeOf(growth);
          assert.equal(change.length, bytes);
          assert.ok(change.every(({ value }) => value >= 0 && value <= 255));
          assert.equal(
            change.reduce((sum, { index, value }) => sum + value - (values[index] ?? 0), 0),
            growth,
          );
          // One byte alone is the best that can.
          const best = values.findIndex((value) => value + growth >= 0 && value + growth <= 255);
          if (bytes === 1) assert.equal(change[0]?.index, best);
        }
      }),
      // Of two that are full and one that could stand in for the last of them.
      { numRuns: 15, examples: [[[0, 100, 100]], [[255, 20, 20]], [[7, 0, 7]]] },
    );
  });

  it('are together where they weigh as much in each sum, those that count least first', () => {
    const values = [1, 2, 3, 4, 5];
    const equations = [modular(256n, [1, -1, 1, 200, 1]), modular(15n, [7, 2, 7, 1, 8])];
    const classes = finish(equalWeightClasses(systemOf(values, equations)));
    assert.deepEqual(
      classes.map(({ weights, changeOf }) => [
        weights.join(),
        changeOf(1)
          .map(({ index }) => index)
          .join(),
      ]),
      [
        ['-1,2', '1'],
        ['1,7', '0'],
        ['1,-7', '4'],
        ['-56,1', '3'],
      ],
    );
  });
});

describe('how far bytes can move a sum', () => {
  it('is from the least to the most of whole numbers, by steps; a proof is given just where none of these would do', () => {
    const given = fc.record({
      values: fc.array(byte, { minLength: 2, maxLength: 2 }),
      masks: fc.array(fc.constantFrom(0x00, 0x01, 0x06, 0x50, 0xf0, 0x0c), { minLength: 2, maxLength: 2 }),
      weights: fc.array(fc.constantFrom(0, 1, -1, 2, 4, -6, 10, 30), { minLength: 2, maxLength: 2 }),
      modulus: fc.constantFrom(64, 100, 255, 4096),
      wanted: fc.array(fc.integer({ min: -300, max: 300 }), { minLength: 1, maxLength: 2 }),
    });
    const seen = { proofs: 0, none: 0 };
    fc.assert(
      fc.property(given, ({ values, masks, weights, modulus, wanted }) => {
        const moves = new Set<number>();
        const reach = (i: number) =>
          Array.from({ length: 256 }, (_, value) => value)
            .filter((value) => ((value ^ (values[i] ?? 0)) & ~(masks[i] ?? 0)) === 0)
            .map((value) => (weights[i] ?? 0) * (value - (values[i] ?? 0)));
        for (const a of reach(0)) for (const b of reach(1)) moves.add(a + b);
        const [least, most] = [Math.min(...moves), Math.max(...moves)];
        const step = weights.reduce<number>(
          (all, weight, i) => Number(gcd(BigInt(all), BigInt(weight * ((masks[i] ?? 0) & -(masks[i] ?? 0))))),
          0,
        );
        const does = (move: number) => wanted.some((one) => (move - one) % modulus === 0);
        let could = step === 0 && does(0);
        for (let move = Math.ceil(least / (step || 1)) * (step || 1); step > 0 && move <= most; move += step)
          if (does(move)) could = true;
        const accepted = wanted.map((one) => [BigInt(((one % modulus) + modulus) % modulus)]);
        const proof = finish(
          infeasibilityProof(systemOf(values, [modular(BigInt(modulus), weights)], accepted, masks)),
        );
        assert.equal(proof === undefined, could, JSON.stringify([...moves]));
        if (proof === undefined) {
          seen.none++;
          return;
        }
        seen.proofs++;
        assert.ok(![...moves].some(does));
        assert.ok(proof.kind === 'sum');
        assert.deepEqual([proof.least, proof.most, proof.step], [BigInt(least), BigInt(most), BigInt(step)]);
        const needed = Number(proof.needed);
        assert.ok(does(needed));
        for (let move = -modulus; move <= modulus; move++)
          if (does(move)) assert.ok(Math.abs(move) >= Math.abs(needed));
      }),
      { numRuns: 400 },
    );
    assert.ok(seen.proofs > 50 && seen.none > 50, JSON.stringify(seen));
  });

  it('is told of the first sum that cannot, of those that add', () => {
    const values = [10, 20];
    const binary: Equation = { kind: 'binary', effects: values.map(() => [0n, 0n, 0n, 0n, 0n, 0n, 0n, 0n]) };
    const equations = [binary, modular(65_536n, [1, 1]), modular(65_536n, [1, 2])];
    const of = (...wanted: readonly bigint[]) => finish(infeasibilityProof(systemOf(values, equations, [wanted])));
    assert.equal(of(5n, 5n, 5n), undefined);
    assert.deepEqual(of(5n, 5n, 3000n), { kind: 'sum', least: -50n, most: 715n, step: 1n, needed: 3000n });
    assert.deepEqual(of(5n, 65_000n, 3000n), { kind: 'sum', least: -30n, most: 480n, step: 1n, needed: -536n });
  });
});

describe('congruences as equations in whole numbers', () => {
  it('are fulfilled by the same growths, whatever these are', () => {
    const next = chanceFrom(11);
    let [other, whole] = [0, 0];
    for (let round = 0; round < 40; round++) {
      const values = Array.from({ length: 4 }, () => next(256));
      const weights = values.map((_, i) => [1, -2, 5, 7][(i + round) % 4] as number);
      const others = values.map((_, i) => [3, 1, 1, 2][i] as number);
      const moduli = [
        [255n, 256n],
        [65_535n, 255n],
        [256n, 1024n],
        [15n, 65_521n],
      ][round % 4] as [bigint, bigint];
      const sums = [weights, others];
      const growths = () => values.map((value) => next(256) - value);
      const movesBy = (growth: readonly number[]) =>
        sums.map((own) => own.reduce((sum, one, i) => sum + one * (growth[i] ?? 0), 0));
      const outcomes = [growths(), growths()].map((growth) =>
        movesBy(growth).map(
          (move, e) => ((BigInt(move) % (moduli[e] as bigint)) + (moduli[e] as bigint)) % (moduli[e] as bigint),
        ),
      );
      const system = systemOf(
        values,
        moduli.map((modulus, e) => modular(modulus, sums[e] as number[])),
        outcomes,
      );
      const classes = finish(equalWeightClasses(system));
      const lifted = lift(system, classes);
      assert.deepEqual(
        lifted.moduli.map((modulus) => modulus === 0n),
        moduli.map((modulus) => modulus % 2n === 1n),
      );
      const isIn = (all: readonly (readonly bigint[])[], own: readonly bigint[], moves: readonly number[]) =>
        all.some((outcome) =>
          outcome.every((wanted, e) => {
            const off = BigInt(moves[e] ?? 0) - wanted;
            return own[e] === 0n ? off === 0n : off % (own[e] as bigint) === 0n;
          }),
        );
      // What classes count is signed, and the same for each byte of one.
      for (const { weights: own, changeOf } of classes)
        for (const { index } of changeOf(1))
          assert.deepEqual(
            own,
            sums.map((one) => BigInt(one[index] ?? 0)),
          );
      for (let i = 0; i < 300; i++) {
        // Each at its end now and then, where the last of all equations is.
        const moves = movesBy(values.map((value) => ([next(256), 0, 255][i % 5 < 3 ? 0 : next(3)] as number) - value));
        const does = isIn(outcomes, moduli, moves);
        assert.equal(isIn(lifted.accepted, lifted.moduli, moves), does);
        if (!does) other++;
      }
      // What bytes come to is among the equations, from one end of all that they can to the other.
      for (let i = 0; i < 12; i++) {
        const end = (weight: number) => (weight > 0 === (i === 0) ? 255 : 0);
        const moves = movesBy(values.map((value, k) => (i < 2 ? end(weights[k] ?? 0) : next(256)) - value));
        const at = moves.map(
          (move, e) => ((BigInt(move) % (moduli[e] as bigint)) + (moduli[e] as bigint)) % (moduli[e] as bigint),
        );
        const last = lift({ ...system, accepted: [at] }, classes);
        assert.ok(isIn(last.accepted, last.moduli, moves), `${i}`);
      }
      whole += lifted.accepted.length;
    }
    assert.ok(other > 1000, `${other}`);
    assert.ok(whole < 40 * 2000, `${whole}`);
  });

  it('are as they were where these would be too many, or there are two classes at most', () => {
    const of = (weights: readonly number[], modulus: bigint, outcomes = 1) => {
      const values = weights.map(() => 0);
      const accepted = Array.from({ length: outcomes }, (_, i) => [BigInt(i)]);
      const system = systemOf(values, [modular(modulus, weights)], accepted);
      return lift(system, finish(equalWeightClasses(system)));
    };
    assert.deepEqual(of([1, 2], 255n), { moduli: [255n], accepted: [[0n]] });
    assert.deepEqual(of([1, 2, 3], 256n), { moduli: [256n], accepted: [[0n]] });
    // From 0 to 255 · 6, with both ends.
    assert.deepEqual(of([1, 2, 3], 255n), {
      moduli: [0n],
      accepted: [0, 1, 2, 3, 4, 5, 6].map((times) => [BigInt(255 * times)]),
    });
    assert.deepEqual(of([1, 2, 3], 255n, 682).moduli, [0n]);
    assert.deepEqual(of([1, 2, 3], 255n, 683).moduli, [255n]);
  });
});

describe('a search for values that fulfil congruences alone', () => {
  const masks = [0x0f, 0x3c, 0x81, 0x07];
  const equations = [modular(509n, [1, 30, 7, 200]), modular(16n, [5, 1, 1, 2])];
  const values = [9, 77, 130, 200];
  const all = masks.reduce<readonly (readonly number[])[]>(
    (before, mask, i) =>
      before.flatMap((one) =>
        Array.from({ length: 256 }, (_, flips) => flips)
          .filter((flips) => (flips & ~mask) === 0)
          .map((flips) => [...one, (values[i] ?? 0) ^ flips]),
      ),
    [[]],
  );
  const outcomeOf = (own: readonly number[]) =>
    equations.map((equation) => {
      if (equation.kind !== 'modular') return 0n;
      const sum = own.reduce(
        (total, value, i) => total + (equation.weights[i] ?? 0n) * BigInt(value - (values[i] ?? 0)),
        0n,
      );
      return ((sum % equation.modulus) + equation.modulus) % equation.modulus;
    });

  it('finds one where there is one, looks at each until one is right, and at none twice before it says that there is none', () => {
    const seen = { found: 0, none: 0 };
    for (let first = 0n; first < 509n; first += 50n)
      for (const second of [0n, 5n, 11n]) {
        const right = all.filter((own) => outcomeOf(own).join() === [first, second].join());
        const asked: string[] = [];
        const searching = (verifies: (change: Change) => boolean, steps = 1_000_000) => {
          const system = { ...systemOf(values, equations, [[first, second]], masks), verifies };
          const solutions = finish(solutionsOf(system));
          assert.ok(solutions);
          return finish(latticePoints(system, solutions, { steps }));
        };
        const valuesAfter = (change: Change) =>
          values.map((value, i) => change.find(({ index }) => index === i)?.value ?? value);
        const found = searching(() => true);
        assert.equal(found === 'none', right.length === 0);
        if (Array.isArray(found)) {
          seen.found++;
          assert.ok(right.some((own) => own.join() === valuesAfter(found).join()));
        } else seen.none++;
        const none = searching((change) => {
          asked.push(valuesAfter(change).join());
          return false;
        });
        assert.equal(none, 'none');
        assert.deepEqual([...new Set(asked)].sort(), right.map((own) => own.join()).sort());
        const last = right.at(-1)?.join();
        const only = searching((change) => valuesAfter(change).join() === last);
        assert.equal(only === undefined || only === 'none' ? undefined : valuesAfter(only).join(), last);
        assert.equal(
          searching(() => false, 500),
          undefined,
        );
      }
    assert.ok(seen.found > 10 && seen.none > 1, JSON.stringify(seen));
  });

  it('goes by the congruences alone, whatever stands before and behind them', () => {
    const binary: Equation = { kind: 'binary', effects: values.map(() => [0n, 0n, 0n, 0n, 0n, 0n, 0n, 0n]) };
    const [first, second] = equations as [Equation, Equation];
    const wanted = [[9n, 30n, 8n, 5n]];
    const solutions = finish(solutionsOf(systemOf(values, [binary, first, binary, second], wanted, masks)));
    assert.deepEqual(solutions?.wanted.growth, [30, 5]);
  });

  it('pauses again and again, and takes steps for each that is not right', () => {
    const wide = [1, 2, 3, 4].map((value) => ({ value, mask: 0xff }));
    let asked = 0;
    const system = {
      ...systemOf([], [modular(255n, [1, 3, 7, 20])], [[9n]]),
      free: wide,
      verifies: () => asked++ < 0,
    };
    const solutions = finish(solutionsOf(system));
    assert.ok(solutions);
    const budget = { steps: 100_000 };
    let pauses = 0;
    for (const going = latticePoints(system, solutions, budget); !going.next().done; ) pauses++;
    assert.ok(asked > 100 && asked < 100_000 / 3, `${asked}`);
    assert.ok(pauses > 10, `${pauses}`);
  });

  it('says that there is none where whole numbers never do it', () => {
    const even = { ...systemOf([0, 0], [modular(256n, [2, 4])], [[7n]]), verifies: () => true };
    const solutions = finish(solutionsOf(even));
    assert.ok(solutions);
    assert.equal(finish(latticePoints(even, solutions, { steps: 1_000_000 })), 'none');
  });
});

describe('the pauses of a search', () => {
  it('are due after each 20,000 steps, counted anew each time', () => {
    const isDue = turnsOf();
    assert.deepEqual([19_999, 1, 19_999, 1, 25_000, 1, 19_998, 1].map(isDue), [
      false,
      true,
      false,
      true,
      true,
      false,
      false,
      true,
    ]);
    const other = turnsOf();
    assert.deepEqual([20_000, 0, 20_000].map(other), [true, false, true]);
  });
});
