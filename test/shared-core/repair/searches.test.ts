// What searches for changes of few bytes choose, say and take, against counting; and that they stop where they are told.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { finish, type Steps } from '../../../shared-core/src/base/steps.js';
import { solveByBranchAndBound } from '../../../shared-core/src/repair/solver/branchAndBound.js';
import { chanceFrom } from '../../../shared-core/src/repair/solver/chance.js';
import { congruenceLattice } from '../../../shared-core/src/repair/solver/congruenceLattice.js';
import { flipsAt, visitSolutions } from '../../../shared-core/src/repair/solver/elimination.js';
import { gf2MatrixOf } from '../../../shared-core/src/repair/solver/gf2Matrix.js';
import { meetInTheMiddle, stepsToMeetInTheMiddle } from '../../../shared-core/src/repair/solver/meetInTheMiddle.js';
import { pointsInBox } from '../../../shared-core/src/repair/solver/pointsInBox.js';
import type { Change, Equation, FreeByte, System } from '../../../shared-core/src/repair/solver/system.js';
import { changesCount, fulfils, tablesOf } from '../../../shared-core/src/repair/solver/tables.js';

const plenty = () => ({ steps: 100_000_000 });
const byte = fc.nat(255);
const NOTHING = [0n, 0n, 0n, 0n, 0n, 0n, 0n, 0n];
const modular = (modulus: bigint, weights: readonly number[]): Equation => ({
  ...{ kind: 'modular', modulus },
  weights: weights.map((weight) => ((BigInt(weight) % modulus) + modulus) % modulus),
});
const whole = (values: readonly number[]): FreeByte[] => values.map((value) => ({ value, mask: 0xff }));

/** How often something pauses. */
function pausesOf(steps: Steps<unknown>): number {
  let pauses = 0;
  while (!steps.next().done) pauses++;
  return pauses;
}

describe('a search through whole bytes', () => {
  /** All changes of one or two bytes that make a sum right and are let through, the best first. */
  function bestOf(
    values: readonly number[],
    sums: readonly (readonly [number, readonly number[], number])[],
    isRight: (change: Change) => boolean,
  ) {
    /** For each sum, byte and value how much is then left to do, or how much it moves. */
    const moved = sums.map(([, weights]) =>
      values.map((old, i) => Float64Array.from({ length: 256 }, (_, value) => (weights[i] ?? 0) * (value - old))),
    );
    const does = (i: number, a: number, j: number, b: number) => {
      for (let s = 0; s < sums.length; s++) {
        const [modulus, , wanted] = sums[s] as (typeof sums)[number];
        const own = moved[s] as Float64Array[];
        const all = (own[i]?.[a] ?? 0) + (i === j ? 0 : (own[j]?.[b] ?? 0));
        if ((all - wanted) % modulus !== 0) return false;
      }
      return true;
    };
    const size = (change: Change) =>
      change.reduce((sum, { index, value }) => sum + Math.abs(value - (values[index] ?? 0)), 0);
    const ones: Change[] = [];
    const twos: Change[] = [];
    for (const i of values.keys())
      for (let a = 0; a < 256; a++) {
        if (a === values[i]) continue;
        if (does(i, a, i, a)) ones.push([{ index: i, value: a }]);
        for (let j = i + 1; j < values.length; j++)
          for (let b = 0; b < 256; b++)
            if (b !== values[j] && does(i, a, j, b))
              twos.push([
                { index: i, value: a },
                { index: j, value: b },
              ]);
      }
    const all = [ones, twos].map((some) => some.filter(isRight)).find((some) => some.length > 0) ?? [];
    const smallest = Math.min(...all.map(size));
    const places = (change: Change) => change.map(({ index }) => index).join();
    const best = all.filter((change) => size(change) === smallest).map(places);
    return { count: all.length, bytes: all[0]?.length, smallest, places: best.sort()[0], size };
  }

  const given = fc.record({
    values: fc.array(fc.oneof(byte, fc.constantFrom(0, 255, 128)), { minLength: 4, maxLength: 4 }),
    weights: fc.array(fc.constantFrom(1, 1, 2, 16, 255, 300), { minLength: 4, maxLength: 4 }),
    others: fc.array(fc.constantFrom(1, 1, 3), { minLength: 4, maxLength: 4 }),
    modulus: fc.constantFrom(255, 256, 1024, 65_535, 65_536),
    at: fc.tuple(fc.nat(3), fc.nat(3), byte, byte),
    isSingle: fc.boolean(),
    verifies: fc.constantFrom('all', 'even', 'none'),
  });

  it('takes the fewest bytes, of these the smallest change, of these the better bytes, and says whether it is the only one', () => {
    const seen = { solved: 0, other: 0 };
    fc.assert(
      fc.property(given, ({ values, weights, others, modulus, at: [i, j, a, b], isSingle, verifies }) => {
        const after = values.map((value, k) => (k === i ? a : k === j ? b : value));
        const growth = (own: readonly number[]) =>
          after.reduce((sum, value, k) => sum + (own[k] ?? 0) * (value - (values[k] ?? 0)), 0);
        const sums = (isSingle ? [weights] : [weights, others]).map(
          (own) => [modulus, own.map((weight) => weight % modulus), growth(own)] as const,
        );
        if (sums.every(([, , wanted]) => wanted % modulus === 0)) return;
        // Like the sums themselves it goes by what all bytes of one weight do together.
        const isRight = (change: Change) =>
          verifies === 'all' ||
          (verifies === 'even' &&
            change.reduce((sum, { index, value }) => sum + (weights[index] ?? 0) * (value - (values[index] ?? 0)), 0) %
              4 ===
              0);
        const best = bestOf(values, sums, isRight);
        const system: System = {
          free: whole(values),
          equations: sums.map(([, own]) => modular(BigInt(modulus), own)),
          accepted: [sums.map(([, , wanted]) => BigInt(((wanted % modulus) + modulus) % modulus))],
          measure: 'growth',
          ...(verifies !== 'all' && { verifies: isRight }),
        };
        const answer = finish(solveByBranchAndBound(system, { steps: 2_000_000 }));
        if (answer?.kind !== 'solved' || !answer.fewest || best.bytes === undefined) {
          seen.other++;
          // What one or two bytes can do is found, where all is looked at.
          assert.ok(best.bytes === undefined || answer === undefined || answer.kind !== 'impossible');
          if (verifies === 'none') assert.ok(answer === undefined || answer.kind !== 'solved');
          return;
        }
        seen.solved++;
        assert.equal(answer.change.length, best.bytes);
        assert.ok(isRight(answer.change));
        assert.equal(best.size(answer.change), best.smallest);
        assert.equal(answer.unique, best.count === 1);
      }),
      // Always the same tasks: how many of any are solved is a matter of chance.
      { numRuns: 60, seed: 1 },
    );
    assert.ok(seen.solved > 15, JSON.stringify(seen));
  });

  it('prefers the better of bytes that do as well', () => {
    for (const [weights, wanted, places] of [
      [[1, 1, 1], 5, [0]],
      [[3, 1, 5, 1], 1, [1]],
      [[5, 1, 3, 5], 5, [0]],
      // One each, either way: the best with another, or the two between and after them.
      [[7, 5, 11, 13], 18, [0, 2]],
    ] as const) {
      const system: System = {
        free: whole(weights.map(() => 100)),
        equations: [modular(65_536n, weights)],
        accepted: [[BigInt(wanted)]],
        measure: 'growth',
      };
      const answer = finish(solveByBranchAndBound(system, plenty()));
      assert.ok(answer?.kind === 'solved');
      assert.deepEqual(
        answer.change.map(({ index }) => index),
        places,
        `${weights}`,
      );
    }
  });

  it('is none of binary sums, of bytes of which some bits may not change, or of more branches than the work allows', () => {
    const free = whole([1, 2, 3]);
    const sum = modular(256n, [1, 2, 4]);
    const binary: Equation = { kind: 'binary', effects: free.map(() => NOTHING) };
    const of = (system: Partial<System>, steps = 1_000_000) =>
      finish(
        solveByBranchAndBound({ free, equations: [sum], accepted: [[7n]], measure: 'growth', ...system }, { steps }),
      );
    assert.equal(of({})?.kind, 'solved');
    assert.equal(of({ equations: [sum, binary], accepted: [[7n, 0n]] }), undefined);
    assert.equal(of({ free: [...free.slice(1), { value: 1, mask: 0x7f }] }), undefined);
    assert.equal(of({}, 20), undefined);
    // 256 of the byte that counts once, then 2 of each other; and as many for each outcome.
    const wide = { equations: [modular(65_536n, [1, 256, 3])] };
    assert.equal(of(wide, 1000), undefined);
    assert.ok(of(wide, 2_000_000) !== undefined);
  });
});

describe('elimination over sets of bytes', () => {
  it('comes by each solution of sets of more than four bytes too, and by no outcome that is not there', () => {
    const next = chanceFrom(41);
    for (let round = 0; round < 12; round++) {
      const free = Array.from({ length: 7 }, () => ({ value: next(256), mask: [0x01, 0x80, 0x24][next(3)] as number }));
      const effects = free.map(() => NOTHING.map(() => BigInt(next(8)) << BigInt(31 * next(2))));
      const outcomeOf = (flips: readonly number[]) =>
        effects.reduce(
          (all, own, i) => own.reduce((sum, effect, bit) => (((flips[i] ?? 0) >> bit) & 1 ? sum ^ effect : sum), all),
          0n,
        );
      const accepted = [[outcomeOf(free.map(({ mask }) => mask))], [outcomeOf(free.map(() => 0)) ^ BigInt(next(4))]];
      const system: System = { free, equations: [{ kind: 'binary', effects }], accepted, measure: 'bits' };
      const matrix = finish(gf2MatrixOf(system));
      for (const size of [5, 6, 7]) {
        const found: string[] = [];
        assert.ok(
          finish(
            visitSolutions(matrix, [...free.keys()], size, plenty(), (chosen, flips, outcome) => {
              assert.ok(outcome < accepted.length);
              found.push(`${outcome}: ${chosen.map((index, place) => `${index}=${flipsAt(flips, place)}`).join(' ')}`);
            }),
          ),
        );
        const expected: string[] = [];
        const descend = (chosen: readonly number[], flips: readonly number[], from: number): void => {
          if (chosen.length === size) {
            const all = free.map((_, i) => flips[chosen.indexOf(i)] ?? 0);
            for (const [outcome, [target]] of accepted.entries())
              if (outcomeOf(all) === target)
                expected.push(`${outcome}: ${chosen.map((index, i) => `${index}=${flips[i]}`).join(' ')}`);
            return;
          }
          for (let index = from; index < free.length; index++)
            for (let own = 0; own < 256; own++)
              if ((own & ~(free[index]?.mask ?? 0)) === 0) descend([...chosen, index], [...flips, own], index + 1);
        };
        descend([], [], 0);
        assert.deepEqual(found.sort(), expected.sort(), `${size}`);
      }
    }
  });

  it('takes all bits of a byte, though each of them does something else', () => {
    const effects = [NOTHING.map((_, bit) => 1n << BigInt(bit)), NOTHING.map((_, bit) => 256n << BigInt(bit))];
    const free = effects.map(() => ({ value: 0, mask: 0xff }));
    const matrix = finish(
      gf2MatrixOf({ free, equations: [{ kind: 'binary', effects }], accepted: [[0xa5c3n]], measure: 'bits' }),
    );
    const found: string[] = [];
    finish(
      visitSolutions(matrix, [0, 1], 2, plenty(), (_, flips) =>
        found.push(`${flipsAt(flips, 0)} ${flipsAt(flips, 1)}`),
      ),
    );
    assert.deepEqual(found, [`${0xc3} ${0xa5}`]);
  });

  it('says that it was not whole where the work ends among the solutions of one set, and pauses among them', () => {
    const free = [0xff, 0xff, 0x03].map((mask) => ({ value: 0, mask }));
    const effects = free.map(() => NOTHING);
    const matrix = finish(
      gf2MatrixOf({ free, equations: [{ kind: 'binary', effects }], accepted: [[0n]], measure: 'bits' }),
    );
    let visited = 0;
    const visit = (steps: number) => visitSolutions(matrix, [0, 1, 2], 3, { steps }, () => visited++);
    assert.equal(finish(visit(1_000_000)), true);
    assert.equal(visited, 2 ** 18);
    visited = 0;
    assert.equal(finish(visit(100_000)), false);
    assert.ok(visited > 90_000 && visited < 110_000, `${visited}`);
    const pauses = pausesOf(visit(1_000_000));
    assert.ok(pauses >= 12 && pauses <= 14, `${pauses}`);
  });
});

describe('halves of a change that meet', () => {
  const systemOf = (count: number, mask: number, outcomes: number): System => ({
    free: Array.from({ length: count }, (_, i) => ({ value: 37 * i, mask })),
    equations: [
      modular(
        65_521n,
        Array.from({ length: count }, (_, i) => 7 * i + 1),
      ),
    ],
    accepted: Array.from({ length: outcomes }, (_, i) => [BigInt(30_000 + i)]),
    measure: 'growth',
  });

  it('take as many steps as is said before, but for those that keep one half, and pause among them', () => {
    for (const [count, mask, outcomes] of [
      [12, 0x03, 1],
      [40, 0x01, 3],
      [9, 0x0f, 40],
      [200, 0x81, 1],
    ] as const)
      for (const size of [1, 2, 3, 4, 5, 6]) {
        const system = systemOf(count, mask, outcomes);
        const tables = finish(tablesOf(system));
        const said = stepsToMeetInTheMiddle(tables, size);
        if (said > 500_000) continue;
        const budget = { steps: said };
        const pauses = pausesOf(meetInTheMiddle(system, tables, size, budget, () => {}));
        // As many bytes are kept as takes least.
        const ways = Array.from({ length: size }, (_, i) => {
          const [kept, lookedUp] = [
            changesCount(tables.flips, i + 1),
            changesCount(tables.flips, size - i - 1) * outcomes,
          ];
          return { said: 2 * kept + lookedUp, taken: kept + (i + 1 < size ? lookedUp : 0) };
        });
        const best = ways.sort((a, b) => a.said - b.said)[0]?.taken ?? 0;
        assert.equal(said - budget.steps, best, `${count} ${size}`);
        assert.ok(Math.abs(pauses - (said - budget.steps) / 20_000) <= 2, `${pauses} ${said}`);
        assert.equal(finish(meetInTheMiddle(system, tables, size, { steps: best - 1 }, () => {})), false);
      }
  });

  it('are kept in a table that finds each of them, also where very many have one effect', () => {
    const system: System = {
      ...systemOf(30, 0x01, 1),
      equations: [
        modular(
          16n,
          Array.from({ length: 30 }, (_, i) => (i % 2 === 0 ? 1 : 3)),
        ),
      ],
      accepted: [[0n]],
    };
    const free = system.free.map((one) => ({ ...one, value: 0 }));
    const tables = finish(tablesOf({ ...system, free }));
    for (const size of [1, 2, 3, 4, 5]) {
      let found = 0;
      finish(meetInTheMiddle({ ...system, free }, tables, size, plenty(), () => found++));
      // As sums of 1 and 3 only four bytes come to 16, or none: two of each come to 8, so none do.
      assert.equal(found, 0);
      let eight = 0;
      const other = { ...system, free, accepted: [[8n]] };
      finish(meetInTheMiddle(other, finish(tablesOf(other)), size, plenty(), () => eight++));
      assert.equal(eight, size === 4 ? ((15 * 14) / 2) ** 2 : 0, `${size}`);
    }
  });
});

describe('what a change of chosen bytes does to the congruences', () => {
  it('is told of each outcome, whatever binary sums there are', () => {
    const given = fc.record({
      values: fc.array(byte, { minLength: 3, maxLength: 3 }),
      flips: fc.array(byte, { minLength: 3, maxLength: 3 }),
      weights: fc.array(fc.nat(30), { minLength: 6, maxLength: 6 }),
      wanted: fc.array(fc.nat(11), { minLength: 4, maxLength: 4 }),
    });
    const seen = { yes: 0, no: 0 };
    fc.assert(
      fc.property(given, ({ values, flips, weights, wanted }) => {
        const free = values.map((value) => ({ value, mask: 0xff }));
        const sums = [modular(3n, weights.slice(0, 3)), modular(12n, weights.slice(3))] as const;
        const binary: Equation = {
          kind: 'binary',
          effects: free.map(() => NOTHING.map((_, bit) => 1n << BigInt(bit))),
        };
        const accepted = [0, 1].map((i) => [BigInt((wanted[i] ?? 0) % 3), 99n, BigInt(wanted[2 + i] ?? 0)]);
        const system: System = { free, equations: [sums[0], binary, sums[1]], accepted, measure: 'growth' };
        const tables = finish(tablesOf(system));
        // The chosen bytes are the last and the first.
        const chosen = [2, 0];
        const packed = Int32Array.of((flips[2] ?? 0) | ((flips[0] ?? 0) << 8));
        const grown = (index: number) => ((values[index] ?? 0) ^ (flips[index] ?? 0)) - (values[index] ?? 0);
        for (const [outcome, [first, , second]] of accepted.entries()) {
          const does = (
            [
              [0, 3, first],
              [3, 12, second],
            ] as const
          ).every(
            ([from, modulus, aim]) =>
              chosen.reduce((sum, index) => sum + (weights[from + index] ?? 0) * grown(index), -Number(aim)) %
                modulus ===
              0,
          );
          assert.equal(fulfils(tables, chosen, packed, outcome), does);
          seen[does ? 'yes' : 'no']++;
        }
      }),
      { numRuns: 400 },
    );
    assert.ok(seen.yes > 10 && seen.no > 100, JSON.stringify(seen));
  });
});

describe('the lattice of congruences with wide weights', () => {
  it('is exact: its rows come to nothing, and a point to what is wanted', () => {
    const next = chanceFrom(5);
    for (const modulus of [2 ** 32, 2 ** 32 - 1, 65_521, 65_536])
      for (const count of [3, 8, 20]) {
        const weights = Float64Array.from({ length: count }, () => next(modulus));
        const lattice = finish(congruenceLattice([{ modulus, weights }], new Float64Array(count).fill(2 / 255)));
        assert.ok(lattice);
        const residueOf = (row: ArrayLike<number>) =>
          BigInt.asUintN(
            64,
            ((Array.from(row).reduce((sum, one, i) => sum + BigInt(one) * BigInt(weights[i] ?? 0), 0n) %
              BigInt(modulus)) +
              BigInt(modulus)) %
              BigInt(modulus),
          );
        for (const row of lattice.basis) assert.equal(residueOf(row), 0n);
        const planted = Array.from({ length: count }, () => next(256) - 128);
        const wanted = Number(residueOf(planted));
        const point = lattice.particular([wanted]);
        assert.ok(point);
        assert.equal(residueOf(point), BigInt(wanted));
        // Their numbers are small: as many points are within the room of the bytes as there should be.
        const longest = Math.max(...lattice.basis.map((row) => Math.max(...Array.from(row, Math.abs))));
        assert.ok(longest <= 40 * modulus ** (1 / count), `${modulus} ${count} ${longest}`);
      }
  });
});

describe('points that are looked for in a box', () => {
  it('are looked for by as many nodes as is said, at a time', () => {
    const scale = Float64Array.from({ length: 4 }, () => 1 / 8);
    const lattice = finish(congruenceLattice([{ modulus: 5, weights: Float64Array.of(1, 2, 3, 4) }], scale));
    assert.ok(lattice);
    const box = { low: new Float64Array(4).fill(-4), high: new Float64Array(4).fill(4) };
    const callsOf = (nodes: number) => {
      const points = pointsInBox(lattice, scale, box, new Float64Array(4), new Float64Array(4));
      let [calls, found] = [0, 0];
      for (; !points.isDone(); calls++) if (points.next(nodes) !== undefined) found++;
      return { calls, found };
    };
    const [one, many] = [callsOf(1), callsOf(1_000_000)];
    // Every fifth point, about, of those with four coordinates of nine values each.
    assert.equal(one.found, many.found);
    assert.ok(many.found > 1200 && many.found < 1420, `${many.found}`);
    assert.equal(many.calls, many.found + 1);
    assert.ok(one.calls > many.calls + 300 && one.calls < many.calls + 1600, `${one.calls} ${many.calls}`);
  });

  it('come the earlier the nearer they are to where it is said, wherever that is', () => {
    const scale = Float64Array.from({ length: 3 }, () => 1 / 8);
    const lattice = finish(congruenceLattice([{ modulus: 7, weights: Float64Array.of(1, 2, 5) }], scale));
    assert.ok(lattice);
    const box = { low: new Float64Array(3).fill(-8), high: new Float64Array(3).fill(8) };
    for (const center of [
      [0, 0, 0],
      [7, -7, 3],
      [-8, 8, 8],
      [2.5, -3.5, 6],
    ]) {
      const points = pointsInBox(lattice, scale, box, Float64Array.of(1, 0, 0), Float64Array.from(center));
      const far: number[] = [];
      while (!points.isDone()) {
        const point = points.next(1000);
        if (point !== undefined) far.push(Math.hypot(...center.map((one, i) => one - (point[i] as number))));
      }
      const average = (all: readonly number[]) => all.reduce((sum, one) => sum + one, 0) / all.length;
      const nearest = Math.min(...far);
      assert.ok((far[0] ?? 99) <= nearest + 1.5, `${center}: ${far[0]}, ${nearest}`);
      assert.ok(
        average(far.slice(0, 10)) < 0.5 * average(far),
        `${center}: ${average(far.slice(0, 10))} ${average(far)}`,
      );
    }
  });
});
