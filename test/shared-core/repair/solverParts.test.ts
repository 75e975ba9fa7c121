// What each part of the solver promises to the others, over numbers so small that all of it can be counted.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { finish } from '../../../shared-core/src/base/steps.js';
import { checksumOf, type SumSpec } from '../../../shared-core/src/checksum/registry.js';
import { solveByBranchAndBound } from '../../../shared-core/src/repair/solver/branchAndBound.js';
import { chanceFrom, shuffled } from '../../../shared-core/src/repair/solver/chance.js';
import { columnSumsOf } from '../../../shared-core/src/repair/solver/columnSums.js';
import { chineseRemainder, type Residue, solveCongruence } from '../../../shared-core/src/repair/solver/congruence.js';
import { congruenceLattice } from '../../../shared-core/src/repair/solver/congruenceLattice.js';
import { effectTable, emptyEffectTable } from '../../../shared-core/src/repair/solver/effectTable.js';
import { flipsAt, visitSolutions } from '../../../shared-core/src/repair/solver/elimination.js';
import { someFletcherAdler } from '../../../shared-core/src/repair/solver/fletcherAdler.js';
import { gf2MatrixOf, spanOf } from '../../../shared-core/src/repair/solver/gf2Matrix.js';
import { halvedSumsOf, integerSumsOf } from '../../../shared-core/src/repair/solver/integerSums.js';
import { latticeMeet } from '../../../shared-core/src/repair/solver/latticeMeet.js';
import { solutionsOf } from '../../../shared-core/src/repair/solver/latticePoints.js';
import { reduceBasis } from '../../../shared-core/src/repair/solver/latticeReduction.js';
import { meetInTheMiddle } from '../../../shared-core/src/repair/solver/meetInTheMiddle.js';
import { pointsInBox } from '../../../shared-core/src/repair/solver/pointsInBox.js';
import { coversAny, substituted } from '../../../shared-core/src/repair/solver/substitution.js';
import { bringsAbout, type DependentSum, equationsOf, NO_EFFECT } from '../../../shared-core/src/repair/solver/sums.js';
import type { Change, Equation, FreeByte, System } from '../../../shared-core/src/repair/solver/system.js';
import { tablesOf } from '../../../shared-core/src/repair/solver/tables.js';
import { SUMS } from '../../scoring/plantedSums.js';

const plenty = () => ({ steps: 50_000_000 });
const byte = fc.oneof(fc.nat(255), fc.constantFrom(0, 255));
const dot = (a: ArrayLike<number>, b: ArrayLike<number>) =>
  Array.from(a, (one, i) => one * (b[i] ?? 0)).reduce((x, y) => x + y, 0);

/** The determinant of whole numbers (Bareiss). */
function determinant(rows: readonly (readonly number[])[]): bigint {
  const m = rows.map((row) => row.map(BigInt));
  let [sign, before] = [1n, 1n];
  for (let k = 0; k < m.length - 1; k++) {
    const pivot = m.findIndex((row, i) => i >= k && row[k] !== 0n);
    if (pivot < 0) return 0n;
    if (pivot !== k) {
      [m[k], m[pivot]] = [m[pivot] as bigint[], m[k] as bigint[]];
      sign = -sign;
    }
    for (let i = k + 1; i < m.length; i++)
      for (let j = k + 1; j < m.length; j++) {
        const at = (y: number, x: number) => m[y]?.[x] as bigint;
        (m[i] as bigint[])[j] = (at(i, j) * at(k, k) - at(i, k) * at(k, j)) / before;
      }
    before = m[k]?.[k] as bigint;
  }
  return sign * (m.at(-1)?.at(-1) ?? 1n);
}
const size = (value: bigint) => (value < 0n ? -value : value);

/** Rows made orthogonal one after the other, in these units, and their shares in those before. */
function orthogonalised(basis: readonly ArrayLike<number>[], scale: readonly number[]) {
  const rows: number[][] = [];
  const shares: number[][] = [];
  for (const row of basis) {
    const own = scale.map((unit, i) => unit * (row[i] as number));
    const share = rows.map((other) => dot(own, other) / dot(other, other));
    rows.push(own.map((value, i) => value - share.reduce((sum, part, j) => sum + part * (rows[j]?.[i] as number), 0)));
    shares.push(share);
  }
  return { rows, shares, norms: rows.map((row) => dot(row, row)) };
}

const near = (a: number, b: number) => Math.abs(a - b) <= 1e-6 * (1 + Math.abs(a) + Math.abs(b));

describe('numbers that fulfil congruences', () => {
  const upTo = (least: bigint, most: bigint) =>
    Array.from({ length: Number(most - least) + 1 }, (_, i) => least + BigInt(i));
  const isIn = (value: bigint, { value: residue, modulus: by }: Residue) =>
    by === 0n ? value === residue : (value - residue) % by === 0n;

  it('are just those of the class that is given, which begins at 0 or above; modulus 0 is equality', () => {
    const all = upTo(-40n, 40n);
    for (const factor of upTo(-5n, 5n))
      for (const wanted of upTo(-6n, 6n))
        for (const by of upTo(0n, 12n)) {
          const found = solveCongruence(factor, wanted, by);
          for (const x of all) {
            const does = by === 0n ? factor * x === wanted : (factor * x - wanted) % by === 0n;
            if ((found !== undefined && isIn(x, found)) !== does) assert.fail(`${factor} · ${x} ≡ ${wanted} (${by})`);
          }
          if (found !== undefined && found.modulus > 0n) assert.ok(found.value >= 0n && found.value < found.modulus);
        }
  });

  it('of two classes are those in both', () => {
    const residues = upTo(0n, 8n).flatMap((by) =>
      upTo(0n, by === 0n ? 6n : by - 1n).map((value): Residue => ({ value, modulus: by })),
    );
    const all = upTo(-60n, 60n);
    for (const one of residues)
      for (const other of residues) {
        const both = chineseRemainder(one, other);
        for (const x of all)
          if ((both !== undefined && isIn(x, both)) !== (isIn(x, one) && isIn(x, other)))
            assert.fail(`${x} of ${one.value} (${one.modulus}) and ${other.value} (${other.modulus})`);
      }
    assert.equal(chineseRemainder({ value: 0n, modulus: 1n }, undefined), undefined);
  });
});

describe('an order by chance', () => {
  it('has the same things, is the same each time, and another one for another seed', () => {
    const things = Array.from({ length: 20 }, (_, i) => i);
    const order = (seed: number) => shuffled(things, chanceFrom(seed));
    for (let seed = 0; seed < 10; seed++)
      assert.deepEqual(
        [...order(seed)].sort((a, b) => a - b),
        things,
      );
    assert.deepEqual(order(4), order(4));
    assert.notDeepEqual(order(4), order(9));
    assert.notDeepEqual(order(4), things);
    const next = chanceFrom(3);
    assert.ok(Array.from({ length: 200 }, () => next(7)).every((one) => one >= 0 && one < 7));
  });
});

describe('numbers as if by chance', () => {
  it('are those of xorshift with 13, 17 and 5, which runs through all numbers but 0 (Marsaglia 2003)', () => {
    const next = chanceFrom(1);
    assert.deepEqual(
      Array.from({ length: 4 }, () => next(2 ** 32)),
      [270_369, 67_634_689, 2_647_435_461, 307_599_695],
    );
    // From 0 on it would stay there.
    assert.notEqual(chanceFrom(0)(2 ** 32), 0);
  });
});

describe('a basis that is reduced', () => {
  const unit = fc.constantFrom(1, 2, 0.25, 2 / 255);
  const bases = fc
    .integer({ min: 1, max: 5 })
    .chain((count) =>
      fc.record({
        basis: fc.array(fc.array(fc.integer({ min: -40, max: 40 }), { minLength: count, maxLength: count }), {
          minLength: count,
          maxLength: count,
        }),
        scale: fc.array(unit, { minLength: count, maxLength: count }),
      }),
    )
    .filter(({ basis }) => determinant(basis) !== 0n);

  it('spans what it spanned, by rows that are short in these units (Lenstra, Lenstra and Lovász 1982, 1.4 and 1.5)', () => {
    fc.assert(
      fc.property(bases, ({ basis, scale }) => {
        const reduced = basis.map((row) => Float64Array.from(row));
        const answer = finish(reduceBasis(reduced, Float64Array.from(scale)));
        assert.equal(size(determinant(reduced.map((row) => [...row]))), size(determinant(basis)));
        const { rows, shares, norms } = orthogonalised(reduced, scale);
        for (const [k, share] of shares.entries()) {
          for (const part of share) assert.ok(Math.abs(part) <= 0.5 + 1e-6, `${part}`);
          const last = share.at(-1);
          if (last !== undefined)
            assert.ok((norms[k] as number) >= (0.99 - last * last) * (norms[k - 1] as number) * (1 - 1e-6));
          assert.ok(near(norms[k] as number, answer.norms[k] as number));
          assert.ok(
            Array.from(answer.rows[k] as Float64Array).every((value, i) => near(value, rows[k]?.[i] as number)),
          );
        }
      }),
      { numRuns: 60 },
    );
  });

  const congruences = fc.integer({ min: 1, max: 4 }).chain((count) =>
    fc.record({
      moduli: fc.array(fc.constantFrom(2, 4, 9, 12, 15, 16), { minLength: 1, maxLength: 2 }),
      weights: fc.array(fc.array(fc.nat(255), { minLength: count, maxLength: count }), { minLength: 2, maxLength: 2 }),
      scale: fc.array(unit, { minLength: count, maxLength: count }),
    }),
  );

  it('of congruences fulfils them all and misses nothing that does, and leads to every value that can be, and to no other', () => {
    fc.assert(
      fc.property(congruences, ({ moduli, weights, scale }) => {
        const plain = moduli.map((modulus, i) => ({ modulus, weights: Float64Array.from(weights[i] as number[]) }));
        const lattice = finish(congruenceLattice(plain, Float64Array.from(scale)));
        assert.ok(lattice);
        const residuesOf = (point: ArrayLike<number>) =>
          plain.map(({ modulus, weights: own }) => ((dot(own, point) % modulus) + modulus) % modulus);
        for (const row of lattice.basis)
          assert.deepEqual(
            residuesOf(row),
            moduli.map(() => 0),
          );
        // All residues that whole numbers can have together: as many as the lattice has cosets.
        const reached = new Map([[residuesOf(scale.map(() => 0)).join(), scale.map(() => 0)]]);
        const open = [...reached.values()];
        for (let point: number[] | undefined = open.pop(); point !== undefined; point = open.pop())
          for (const at of scale.keys()) {
            const next = point.map((value, i) => (i === at ? value + 1 : value));
            const key = residuesOf(next).join();
            if (reached.has(key)) continue;
            reached.set(key, next);
            open.push(next);
          }
        assert.equal(size(determinant(lattice.basis.map((row) => [...row]))), BigInt(reached.size));
        const { rows, norms } = orthogonalised(lattice.basis, scale);
        for (let first = 0; first < (moduli[0] as number); first++) {
          const wanted = moduli.map((modulus, i) => (i === 0 ? first : (5 * first + 1) % modulus));
          const point: Float64Array | undefined = lattice.particular(wanted);
          assert.equal(point !== undefined, reached.has(wanted.join()), `${wanted}`);
          if (point === undefined) continue;
          assert.deepEqual(residuesOf(point), wanted);
          const scaled = scale.map((one, i) => one * (point[i] as number));
          for (const [k, row] of rows.entries())
            assert.ok(Math.abs(dot(scaled, row) / (norms[k] as number)) <= 0.5 + 1e-6, 'near 0');
        }
      }),
      { numRuns: 60 },
    );
  });
});

describe('points of a lattice in a box', () => {
  it('are all of those that fulfil the congruences, each once, wherever the search begins', () => {
    const given = fc.integer({ min: 1, max: 3 }).chain((count) =>
      fc.record({
        moduli: fc.array(fc.constantFrom(3, 4, 9, 10), { minLength: 1, maxLength: 2 }),
        weights: fc.array(fc.array(fc.nat(20), { minLength: count, maxLength: count }), { minLength: 2, maxLength: 2 }),
        low: fc.array(fc.integer({ min: -5, max: 2 }), { minLength: count, maxLength: count }),
        room: fc.array(fc.nat(6), { minLength: count, maxLength: count }),
        center: fc.array(fc.integer({ min: -6, max: 8 }), { minLength: count, maxLength: count }),
        inside: fc.array(fc.nat(6), { minLength: count, maxLength: count }),
      }),
    );
    fc.assert(
      fc.property(given, ({ moduli, weights: all, low, room, center, inside }) => {
        const plain = moduli.map((modulus, i) => ({ modulus, weights: Float64Array.from(all[i] as number[]) }));
        const scale = Float64Array.from(room, (most) => 2 / Math.max(1, most));
        const lattice = finish(congruenceLattice(plain, scale));
        assert.ok(lattice);
        const high = low.map((from, i) => from + (room[i] as number));
        const residuesOf = (point: ArrayLike<number>) =>
          plain.map(({ modulus, weights: own }) => ((dot(own, point) % modulus) + modulus) % modulus);
        const wanted = residuesOf(low.map((from, i) => from + Math.min(inside[i] as number, room[i] as number)));
        const offset = lattice.particular(wanted);
        assert.ok(offset);
        const points = pointsInBox(
          lattice,
          scale,
          { low: Float64Array.from(low), high: Float64Array.from(high) },
          offset,
          Float64Array.from(center),
        );
        const found: string[] = [];
        while (!points.isDone()) {
          const point = points.next(7);
          if (point !== undefined) found.push(Array.from(point, (one) => one + 0).join());
        }
        const expected = low.reduce<readonly (readonly number[])[]>(
          (before, from, i) =>
            before.flatMap((one) =>
              Array.from({ length: (room[i] as number) + 1 }, (_, more) => [...one, from + more]),
            ),
          [[]],
        );
        assert.deepEqual(
          found.sort(),
          expected
            .filter((point) => residuesOf(point).join() === wanted.join())
            .map((point) => point.join())
            .sort(),
        );
      }),
      {
        numRuns: 60,
        // Of two places that only their sum parts, each may still be outside.
        examples: [-6, 0, 8].flatMap((center) =>
          [0, 2].map((least): [typeof given extends fc.Arbitrary<infer T> ? T : never] => [
            {
              moduli: [4],
              weights: [
                [0, 2, 2],
                [0, 0, 0],
              ],
              low: [-3, -3 + least, -3],
              room: [6, 6 - least, 3],
              center: [0, center, -center],
              inside: [0, 0, 0],
            },
          ]),
        ),
      },
    );
  });
});

const few = fc.constantFrom(0x01, 0x80, 0x05, 0x90, 0x07);
const free = (count: number): fc.Arbitrary<FreeByte[]> =>
  fc.array(fc.record({ value: byte, mask: few }), { minLength: count, maxLength: count });
const weights = (count: number, modulus: bigint) =>
  fc.array(fc.bigInt({ min: 0n, max: modulus - 1n }), { minLength: count, maxLength: count });
const modular = (count: number) =>
  fc
    .constantFrom(4n, 15n, 16n, 256n)
    .chain((modulus) => weights(count, modulus).map((own): Equation => ({ kind: 'modular', modulus, weights: own })));
/** Of 40 bits, so that both halves of 64 count, and the highest bit of the lower one, which a number may take for its sign. */
const binary = (count: number) =>
  fc
    .array(
      fc.array(fc.constantFrom(0n, 1n, 2n, 1n << 31n, 1n << 32n, (1n << 33n) | 1n), { minLength: 8, maxLength: 8 }),
      {
        minLength: count,
        maxLength: count,
      },
    )
    .map((effects): Equation => ({ kind: 'binary', effects }));
const systems = (...kinds: ((count: number) => fc.Arbitrary<Equation>)[]) =>
  fc.integer({ min: 1, max: 4 }).chain((count) =>
    fc
      .record({
        bytes: free(count),
        equations: fc.tuple(...kinds.map((kind) => kind(count))),
        flips: fc.array(fc.array(fc.nat(255), { minLength: count, maxLength: count }), { minLength: 1, maxLength: 2 }),
      })
      .map(({ bytes, equations, flips }): System => {
        const accepted = flips.map((own) =>
          outcomeOf(
            bytes,
            equations,
            bytes.map(({ value, mask }, i) => value ^ (mask & (own[i] as number))),
          ),
        );
        return {
          ...{ free: bytes, equations, measure: 'growth' },
          accepted: [...new Map(accepted.map((one) => [one.join(), one])).values()],
        };
      }),
  );

function outcomeOf(bytes: readonly FreeByte[], equations: readonly Equation[], values: readonly number[]): bigint[] {
  return equations.map((equation) => {
    if (equation.kind === 'modular') {
      const sum = bytes.reduce(
        (all, { value }, i) => all + (equation.weights[i] ?? 0n) * BigInt((values[i] ?? 0) - value),
        0n,
      );
      return ((sum % equation.modulus) + equation.modulus) % equation.modulus;
    }
    return bytes.reduce((all, { value }, i) => {
      const turned = (values[i] ?? 0) ^ value;
      return (equation.effects[i] ?? []).reduce((sum, effect, bit) => ((turned >> bit) & 1 ? sum ^ effect : sum), all);
    }, 0n);
  });
}

/** All values that the bytes can have. */
function allValues(bytes: readonly FreeByte[]): readonly (readonly number[])[] {
  return bytes.reduce<readonly (readonly number[])[]>(
    (before, { value, mask }) =>
      before.flatMap((one) =>
        Array.from({ length: 256 }, (_, flips) => flips)
          .filter((flips) => (flips & ~mask) === 0)
          .map((flips) => [...one, value ^ flips]),
      ),
    [[]],
  );
}

describe('halves of the bytes that meet', () => {
  it('find values that fulfil congruences and binary sums together, where there are many', () => {
    let [found, left] = [0, 0];
    for (let seed = 1; seed <= 6; seed++) {
      const next = chanceFrom(977 * seed);
      const bytes = Array.from({ length: 8 }, () => ({ value: next(256), mask: 0xff }));
      const equations: Equation[] = [
        { kind: 'modular', modulus: 255n, weights: bytes.map((_, i) => BigInt(8 - i)) },
        { kind: 'binary', effects: bytes.map(() => Array.from({ length: 8 }, () => BigInt(next(1 << 14)))) },
      ];
      const accepted = [
        outcomeOf(
          bytes,
          equations,
          bytes.map(() => next(256)),
        ),
      ];
      const system = { free: bytes, equations, accepted, measure: 'growth' as const, verifies: () => true };
      const matrix = finish(gf2MatrixOf(system));
      const solutions = finish(solutionsOf(system));
      assert.ok(solutions);
      const budget = { steps: 600_000 };
      const change = finish(latticeMeet(system, solutions, matrix, finish(spanOf(matrix)).rank, budget));
      left += budget.steps;
      if (change === undefined) continue;
      assert.notEqual(change, 'none');
      if (change === 'none') continue;
      found++;
      const after = bytes.map(({ value }, index) => change.find((one) => one.index === index)?.value ?? value);
      assert.deepEqual(outcomeOf(bytes, equations, after), accepted[0]);
    }
    assert.ok(found >= 5, `${found}`);
    const steps = 6 * 600_000 - left;
    assert.ok(steps <= 850_000, `${steps} steps, which were 838,872`);
  });

  it('are looked over before they are handed on, and looked for until the work is used up', () => {
    const next = chanceFrom(977);
    const bytes = Array.from({ length: 8 }, () => ({ value: next(256), mask: 0xff }));
    const equations: Equation[] = [
      { kind: 'modular', modulus: 255n, weights: bytes.map((_, i) => BigInt(8 - i)) },
      { kind: 'binary', effects: bytes.map(() => Array.from({ length: 8 }, () => BigInt(next(1 << 4)))) },
    ];
    const accepted = [
      outcomeOf(
        bytes,
        equations,
        bytes.map(() => next(256)),
      ),
    ];
    let asked = 0;
    const verifies = (change: Change) => {
      const after = bytes.map(({ value }, index) => change.find((one) => one.index === index)?.value ?? value);
      assert.deepEqual(outcomeOf(bytes, equations, after), accepted[0]);
      return ++asked === 40;
    };
    const system = { free: bytes, equations, accepted, measure: 'growth' as const, verifies };
    const matrix = finish(gf2MatrixOf(system));
    const solutions = finish(solutionsOf(system));
    assert.ok(solutions);
    const change = finish(latticeMeet(system, solutions, matrix, 4, { steps: 600_000 }));
    assert.ok(Array.isArray(change) && asked === 40, `${asked}`);
    const none = { ...system, verifies: () => asked++ < 0 };
    const budget = { steps: 60_000 };
    const going = latticeMeet(none, solutions, matrix, 4, budget);
    let pauses = 0;
    let end = going.next();
    for (; !end.done; end = going.next()) pauses++;
    assert.equal(end.value, undefined);
    // A pause for each 200 values, of which each takes 15 steps, and the nodes between them.
    assert.ok(pauses > 60_000 / 4000, `${pauses}`);
    assert.ok(budget.steps < 0 && budget.steps > -30_000 && asked > 41, `${budget.steps} ${asked}`);
  });

  it('are no values where none fulfil the congruences, and where some do it is never said that none do', () => {
    const seen = { none: 0, some: 0 };
    const masks = [0x07, 0x70, 0x0f];
    const bytes = masks.map((mask, i) => ({ value: 0x5a >> i, mask }));
    const binary: Equation = {
      kind: 'binary',
      effects: bytes.map((_, i) => bytes.map(() => BigInt(1 + i)).concat([0n, 0n, 0n, 0n, 0n])),
    };
    for (let wanted = 0; wanted < 850; wanted += 30) {
      const equations: Equation[] = [{ kind: 'modular', modulus: 65_535n, weights: [3n, 5n, 16n] }, binary];
      const system = {
        free: bytes,
        equations,
        accepted: [[BigInt(wanted), 1n << 40n]],
        measure: 'growth' as const,
        verifies: () => false,
      };
      const isThere = allValues(bytes).some((values) => outcomeOf(bytes, equations, values)[0] === BigInt(wanted));
      const matrix = finish(gf2MatrixOf(system));
      const solutions = finish(solutionsOf(system));
      assert.ok(solutions);
      const change = finish(latticeMeet(system, solutions, matrix, 3, { steps: 100_000 }));
      assert.equal(change, isThere ? undefined : 'none', `${wanted}`);
      seen[isThere ? 'some' : 'none']++;
    }
    assert.ok(seen.none > 4 && seen.some > 4, JSON.stringify(seen));
  });
});

const inWords = (system: System, values: readonly number[]) =>
  system.free.flatMap(({ value }, i) => (values[i] === value ? [] : [`${i}=${values[i]}`])).join(' ');
const changeInWords = (change: Change) =>
  change
    .map(({ index, value }) => `${index}=${value}`)
    .sort()
    .join(' ');

/** What trying every change of so many bytes finds. */
function ways({ free: bytes, equations, accepted }: System, count: number): readonly string[] {
  const wanted = new Set(accepted.map((one) => one.join()));
  return allValues(bytes)
    .filter((values) => values.filter((value, i) => value !== bytes[i]?.value).length === count)
    .filter((values) => wanted.has(outcomeOf(bytes, equations, values).join()))
    .map((values) => inWords({ free: bytes } as System, values))
    .sort();
}

describe('a search for changes of so many bytes', () => {
  it('that meets in the middle comes by each of them, and once, for any mix of sums: so the only way is the only one', () => {
    fc.assert(
      fc.property(
        fc.oneof(systems(modular, binary), systems(modular, modular), systems(binary), systems(modular)),
        (system) => {
          const tables = finish(tablesOf(system));
          for (let count = 1; count <= system.free.length; count++) {
            const found: string[] = [];
            assert.ok(
              finish(meetInTheMiddle(system, tables, count, plenty(), (change) => found.push(changeInWords(change)))),
            );
            assert.deepEqual(found.sort(), ways(system, count));
          }
        },
      ),
      { numRuns: 30 },
    );
  });

  it('by elimination comes by each solution of binary sums, and once for each set of bytes', () => {
    fc.assert(
      fc.property(fc.oneof(systems(binary), systems(binary, binary)), (system) => {
        const matrix = finish(gf2MatrixOf(system));
        for (let count = 1; count <= system.free.length; count++) {
          const found: string[] = [];
          const whole = finish(
            visitSolutions(matrix, [...system.free.keys()], count, plenty(), (chosen, flips) => {
              const all = chosen.map((index, place) => ({ index, flip: flipsAt(flips, place) }));
              if (all.some(({ flip }) => flip === 0)) return;
              found.push(
                changeInWords(
                  all.map(({ index, flip }) => ({ index, value: (system.free[index]?.value ?? 0) ^ flip })),
                ),
              );
            }),
          );
          assert.ok(whole);
          assert.deepEqual(found.sort(), ways(system, count));
        }
      }),
      { numRuns: 30 },
    );
  });

  it('that is not whole is not said to be, where the work that is allowed is done before', () => {
    fc.assert(
      fc.property(systems(modular, binary), fc.nat(30), (system, steps) => {
        const tables = finish(tablesOf(system));
        const matrix = finish(gf2MatrixOf(system));
        for (let count = 1; count <= Math.min(2, system.free.length); count++) {
          for (const budget of [{ steps }, { ...plenty(), allowance: { left: steps } }]) {
            const found: string[] = [];
            if (finish(meetInTheMiddle(system, tables, count, budget, (change) => found.push(changeInWords(change)))))
              assert.deepEqual(found.sort(), ways(system, count));
          }
          const visited = { few: 0, all: 0 };
          const visit = (budget: { steps: number }, key: 'few' | 'all') =>
            finish(visitSolutions(matrix, [...system.free.keys()], count, budget, () => visited[key]++));
          visit(plenty(), 'all');
          if (visit({ steps }, 'few')) assert.equal(visited.few, visited.all);
        }
      }),
      { numRuns: 30 },
    );
  });

  it('through two whole bytes are the fewest, and the only one, just where counting all values says so', () => {
    const given = fc.record({
      values: fc.tuple(byte, byte),
      weights: fc.tuple(fc.constantFrom(1n, 2n, 3n, 8n, 100n), fc.constantFrom(1n, 2n, 5n, 8n, 255n)),
      modulus: fc.constantFrom(64n, 251n, 255n, 256n, 1024n, 65536n),
      wanted: fc.array(fc.tuple(byte, byte, fc.boolean()), { minLength: 1, maxLength: 2 }),
    });
    fc.assert(
      fc.property(given, ({ values, weights, modulus, wanted }) => {
        const free = values.map((value) => ({ value, mask: 0xff }));
        const equations: Equation[] = [{ kind: 'modular', modulus, weights }];
        const accepted = wanted.map(([a, b, isReached]) =>
          isReached ? outcomeOf(free, equations, [a, b]) : [BigInt(a * b) % modulus],
        );
        const all = [...new Map(accepted.map((one) => [one.join(), one])).values()];
        const system: System = { free, equations, accepted: all, measure: 'growth' };
        const ways = [0, 0, 0];
        const [wished, whole] = [new Set(all.map(([one]) => Number(one))), Number(modulus)];
        const moved = (at: 0 | 1, value: number) => Number(weights[at]) * (value - values[at]);
        for (let a = 0; a < 256; a++)
          for (let b = 0; b < 256; b++) {
            const outcome = (((moved(0, a) + moved(1, b)) % whole) + whole) % whole;
            if (wished.has(outcome)) (ways[Number(a !== values[0]) + Number(b !== values[1])] as number)++;
          }
        const fewest = ways.findIndex((count) => count > 0);
        const answer = finish(solveByBranchAndBound(system, plenty()));
        assert.ok(answer);
        if (fewest < 0) {
          assert.equal(answer.kind, 'impossible');
          return;
        }
        assert.ok(answer.kind === 'solved' && answer.fewest);
        assert.equal(answer.change.length, fewest);
        assert.equal(answer.unique, ways[fewest] === 1, JSON.stringify(ways));
      }),
      { numRuns: 60 },
    );
  });

  it('through three whole bytes whose sum comes round is right, by values that bytes can have', () => {
    const given = fc.record({
      values: fc.array(byte, { minLength: 3, maxLength: 3 }),
      wanted: fc.array(byte, { minLength: 3, maxLength: 3 }),
      weights: fc.constantFrom([1n, 16n, 100n], [1n, 256n, 3n], [65_534n, 2n, 255n], [1n, 255n, 257n]),
      more: fc.constantFrom(0n, 0n, 9n, 40_000n),
    });
    fc.assert(
      fc.property(given, ({ values, wanted, weights, more }) => {
        const free = values.map((value) => ({ value, mask: 0xff }));
        const equations: Equation[] = [{ kind: 'modular', modulus: 65_535n, weights }];
        const outcome = ((outcomeOf(free, equations, wanted)[0] ?? 0n) + more) % 65_535n;
        const system: System = { free, equations, accepted: [[outcome]], measure: 'growth' };
        const answer = finish(solveByBranchAndBound(system, plenty()));
        assert.ok(answer);
        if (answer.kind !== 'solved') return assert.ok(more > 0n);
        const after = values.map((value, i) => answer.change.find(({ index }) => index === i)?.value ?? value);
        assert.ok(after.every((one) => one >= 0 && one <= 255));
        assert.equal(outcomeOf(free, equations, after)[0], outcome);
        if (more === 0n) assert.ok(answer.change.length <= values.filter((one, i) => one !== wanted[i]).length);
      }),
      { numRuns: 150 },
    );
  });

  it('through three whole bytes is impossible where the last of them would have to go further than a byte can', () => {
    // In whole numbers, as less than the modulus is in reach; counted over all values of the first two bytes.
    for (const [weights, values, wanted] of [
      [[50n, 4000n, 65_536n], [255, 128, 128], 8_482_260n],
      [[50n, 100n, 256n], [0, 128, 0], 89_020n],
      [[1n, 4000n, 65_536n], [255, 0, 255], 568_450n],
      [[3n, 4000n, 65_536n], [255, 255, 0], 16_633_025n],
    ] as const) {
      const modulus = 2n ** 32n - 1n;
      // The other way round as well: what had to rise falls.
      for (const [own, move] of [
        [values, wanted],
        [values.map((value) => 255 - value), modulus - wanted],
      ] as const) {
        const system: System = {
          free: own.map((value) => ({ value, mask: 0xff })),
          equations: [{ kind: 'modular', modulus, weights }],
          accepted: [[move]],
          measure: 'growth',
        };
        const answer = finish(solveByBranchAndBound(system, plenty()));
        assert.deepEqual(answer, { kind: 'impossible', proof: { kind: 'tried' } });
      }
    }
  });

  it('through whole bytes claims nothing where it was stopped, though what is left leads nowhere', () => {
    const system: System = {
      free: [0x10, 0x20, 0x30, 0x40].map((value) => ({ value, mask: 0xff })),
      equations: [{ kind: 'modular', modulus: 256n, weights: [2n, 2n, 4n, 8n] }],
      // No even weights come to an odd number.
      accepted: [[6n], [1n]],
      measure: 'growth',
    };
    let stops = 0;
    for (let turns = 0; turns < 60; turns++) {
      let asks = 0;
      const stopped = finish(solveByBranchAndBound(system, { ...plenty(), cancelled: () => asks++ >= turns }));
      if (asks <= turns) continue;
      stops++;
      if (stopped?.kind === 'solved') assert.deepEqual([stopped.fewest, stopped.unique], [false, false], `${turns}`);
      // Of no size all changes were looked at.
      else assert.deepEqual(stopped, { kind: 'gave-up', size: 0 }, `${turns}`);
    }
    assert.ok(stops > 20, `${stops}`);
    const whole = finish(solveByBranchAndBound(system, plenty()));
    assert.ok(whole?.kind === 'solved' && whole.fewest);
  });
});

describe('what the free bits of bytes span', () => {
  /** The rank by Gaussian elimination over whole numbers taken as vectors of bits. */
  const rankOf = (vectors: readonly bigint[]): number => {
    const basis: bigint[] = [];
    for (const vector of vectors) {
      let left = vector;
      for (const one of basis) if ((left ^ one) < left) left ^= one;
      if (left !== 0n) basis.push(left);
      basis.sort((x, y) => (x < y ? 1 : -1));
    }
    return basis.length;
  };

  it('has the rank that elimination gives, and the first bytes that span a target, none of them too many at the end', () => {
    fc.assert(
      fc.property(systems(binary), fc.bigInt({ min: 1n, max: 2n ** 34n }), fc.boolean(), (system, other, isOther) => {
        const accepted = isOther ? [[other]] : system.accepted;
        const span = finish(spanOf(finish(gf2MatrixOf({ ...system, accepted }))));
        const effects = (system.equations[0] as Extract<Equation, { kind: 'binary' }>).effects;
        const of = (bytes: readonly number[]) =>
          bytes.flatMap((i) => (effects[i] ?? []).filter((_, bit) => ((system.free[i]?.mask ?? 0) >> bit) & 1));
        const spans = (bytes: readonly number[]) =>
          accepted.some(([target]) => rankOf([...of(bytes), target as bigint]) === rankOf(of(bytes)));
        const all = [...system.free.keys()];
        assert.equal(span.rank, rankOf(of(all)));
        const everSet = [...effects.flat(), ...accepted.flat()].reduce((bits, one) => bits | one, 0n);
        assert.equal(span.width, everSet.toString(2).replaceAll('0', '').length);
        assert.equal(span.spansTarget, spans(all));
        const { firstBytes } = span;
        if (span.spansTarget) assert.ok(spans(firstBytes));
        else assert.equal(rankOf(of(firstBytes)), span.rank);
        for (const count of firstBytes.keys()) {
          const before = firstBytes.slice(0, count);
          assert.ok(!spans(before));
          assert.ok(rankOf(of(firstBytes.slice(0, count + 1))) > rankOf(of(before)));
        }
      }),
      { numRuns: 100 },
    );
  });
});

const sumNamed = (name: string) => checksumOf(SUMS[name] as SumSpec);

describe('a byte that stands inverted too', () => {
  it('moves a sum at both of its places, by as much as each of them changes', () => {
    for (const method of ['add8', 'xor8']) {
      const checksum = sumNamed(method);
      const state = checksum.stateOf(Uint8Array.of(0x12, 0xed, 0x40));
      const task = (wanted: bigint) => ({
        free: [{ value: 0x12, mask: 0xff }],
        dependentSums: [],
        demands: [{ checksum, state, length: 3, places: [[0]], turned: [[1]], wanted }],
      });
      // A byte and its inverse come to FF together, whatever it is.
      const now = checksum.valueOf(state);
      for (const value of [0, 0x13, 0x80, 0xff]) {
        assert.ok(bringsAbout(task(now), [{ index: 0, value }]), `${method} ${value}`);
        assert.ok(!bringsAbout(task(now ^ 1n), [{ index: 0, value }]), `${method} ${value}`);
      }
    }
  });
});

describe('what a byte counts that stands inverted too', () => {
  it('is what it counts where it is, less what it counts where it rises as it falls', () => {
    for (const [name, moduli] of [
      ['add8', [256n]],
      ['add16/2', [65_536n]],
      ['flet16', [255n, 255n]],
      ['adler', [65_521n, 65_521n]],
    ] as const) {
      const checksum = sumNamed(name);
      const weightsOf = (places: readonly number[], turned: readonly number[]) =>
        finish(equationsOf({ checksum, state: 0n, length: 8, places: [places], turned: [turned] })).map(
          (equation) => equation.kind === 'modular' && equation.weights[0],
        );
      const [here, there, both] = [weightsOf([1], []), weightsOf([4], []), weightsOf([1], [4])];
      for (const [e, modulus] of moduli.entries()) {
        const less = (here[e] as bigint) - (there[e] as bigint);
        assert.equal(both[e], ((less % modulus) + modulus) % modulus, `${name} ${e}`);
      }
    }
  });
});

describe('a sum that is put in the place of its stored bytes', () => {
  const checksum = sumNamed('add16');
  const dependentSum: DependentSum = {
    checksum,
    state: checksum.stateOf(Uint8Array.of(7)),
    length: 1,
    places: [[0]],
    bytesOf: (value) => Uint8Array.of(Number(value >> 8n), Number(value & 0xffn)),
  };
  const own: Equation[] = [{ kind: 'modular', modulus: 65536n, weights: [1n, 0n, 0n] }];
  const over = (modulus: bigint, high: bigint, low: bigint) =>
    substituted({ kind: 'modular', modulus, weights: [1n, high, low] }, dependentSum, own, 1);

  it('moves another one by its whole value where its bytes count there as one number', () => {
    for (const [modulus, high, low] of [
      [65536n, 256n, 1n],
      [256n, 0n, 1n],
      [65536n, 0n, 256n],
    ] as const) {
      const equation = over(modulus, high, low);
      assert.ok(equation?.kind === 'modular', `${modulus}`);
      assert.equal(equation.weights[0], (1n + low) % modulus);
    }
  });

  it('is left as it is where they do not, or where a carry is dropped here and counts there', () => {
    for (const [modulus, high, low] of [
      [256n, 1n, 1n],
      [65536n, 1n, 1n],
      [65536n, 1n, 256n],
      [2n ** 24n, 256n, 1n],
      [255n, 1n, 1n],
    ] as const)
      assert.equal(over(modulus, high, low), undefined, `${modulus} ${high} ${low}`);
  });
});

describe('values that are kept by what they do', () => {
  it('are given to others that lack just that, and to none that lack something else', () => {
    fc.assert(
      fc.property(systems(binary), (system) => {
        const one: System = { ...system, accepted: system.accepted.slice(0, 1) };
        const effects = effectTable(one, finish(gf2MatrixOf(one)));
        const cut = Math.floor(one.free.length / 2);
        const [kept, others] = [one.free.slice(0, cut), one.free.slice(cut)];
        const [front, back] = [[...kept.keys()], others.map((_, i) => cut + i)];
        const all = allValues(kept);
        const table = emptyEffectTable(effects, front, all.length + 1);
        for (const values of all) assert.ok(table.add(Uint8Array.from(values)));
        for (const values of allValues(others).slice(0, 40)) {
          const isRight = (first: readonly number[]) =>
            outcomeOf(one.free, one.equations, [...first, ...values]).join() === one.accepted[0]?.join();
          const found = table.missing(back, Uint8Array.from(values));
          assert.equal(found !== undefined, all.some(isRight));
          if (found !== undefined) assert.ok(isRight([...found]));
        }
      }),
      { numRuns: 20 },
    );
    const full = emptyEffectTable(
      { words: 1, of: [Int32Array.from({ length: 256 }, (_, i) => i)], target: Int32Array.of(7) },
      [0],
      2,
    );
    assert.deepEqual(
      [1, 1, 2, 3].map((value) => full.add(Uint8Array.of(value))),
      [true, true, true, false],
    );
  });
});

describe('a table that is full', () => {
  it('still says of everything else that it is not in it', () => {
    const effects = { words: 1, of: [Int32Array.from({ length: 256 }, (_, i) => i)], target: Int32Array.of(0) };
    for (let kept = 0; kept < 256; kept += 5) {
      const table = emptyEffectTable(effects, [0], 1);
      assert.ok(table.add(Uint8Array.of(kept)));
      for (let other = 0; other < 256; other += 3)
        assert.equal(table.missing([0], Uint8Array.of(other)) !== undefined, other === kept, `${kept} ${other}`);
    }
  });
});

describe('sums over whole numbers', () => {
  it('list everything that a congruence can come to with these bytes, each with its chance', () => {
    const anyModulus = fc.constantFrom(15n, 255n, 65535n);
    const given = fc.tuple(free(3), anyModulus).chain(([bytes, modulus]) =>
      fc.record({
        bytes: fc.constant(bytes),
        modulus: fc.constant(modulus),
        weights: weights(3, modulus < 256n ? modulus : 300n),
        growth: fc.bigInt({ min: 0n, max: modulus - 1n }),
      }),
    );
    fc.assert(
      fc.property(given, ({ bytes, modulus, weights: own, growth }) => {
        const equations: Equation[] = [{ kind: 'modular', modulus, weights: own }];
        const [sum] = integerSumsOf({ free: bytes, equations, accepted: [[growth]], measure: 'growth' }) ?? [];
        assert.ok(sum);
        const [only] = sum.sums;
        assert.ok(only);
        const listed = new Set(sum.wanted.map(({ values }) => values[0]));
        for (const values of allValues(bytes)) {
          const whole = dot(Array.from(only.weights), values);
          assert.equal(outcomeOf(bytes, equations, values)[0] === growth, listed.has(whole), `${values}`);
        }
        if (listed.size > 0)
          assert.ok(
            near(
              1,
              sum.wanted.reduce((all, { chance }) => all + chance, 0),
            ),
          );
      }),
      { numRuns: 30 },
    );
  });

  it('give the chances that counting gives, for bytes of which each value is as likely', () => {
    const bytes = Array.from({ length: 6 }, () => ({ value: 0, mask: 0xff }));
    const own = [1n, 1n, 2n, 1n, 3n, 1n];
    const equations: Equation[] = [{ kind: 'modular', modulus: 255n, weights: own }];
    const [sum] = integerSumsOf({ free: bytes, equations, accepted: [[40n]], measure: 'growth' }) ?? [];
    let counts = [1];
    for (const weight of own) {
      const next = new Array<number>(counts.length + 255 * Number(weight)).fill(0);
      for (const [at, count] of counts.entries())
        for (let value = 0; value < 256; value++) (next[at + value * Number(weight)] as number) += count;
      counts = next;
    }
    const wanted = counts.flatMap((count, at) => (at % 255 === 40 ? [{ sum: at, count }] : []));
    const all = wanted.reduce((total, { count }) => total + count, 0);
    assert.deepEqual(
      sum?.wanted.map(({ values }) => values[0]),
      wanted.map((one) => one.sum),
    );
    for (const [i, { count }] of wanted.entries())
      assert.ok(Math.abs((sum?.wanted[i]?.chance ?? 0) - count / all) < 0.02, `${i}`);
  });

  describe('of words beside one of their bytes', () => {
    // Four words, behind them a byte that is subtracted in the sum of bytes, as the stored one is.
    const bytes = Array.from({ length: 9 }, (_, i) => ({ value: (50 * i) & 0xff, mask: 0xff }));
    const words = bytes.map((_, i) => (i === 8 ? 0n : i % 2 === 0 ? 256n : 1n));
    const planted = [7, 200, 31, 9, 250, 3, 100, 77, 5];
    const systemOf = (modulus: bigint): System => {
      const equations: Equation[] = [
        { kind: 'modular', modulus: 256n, weights: bytes.map((_, i) => (i === 8 ? 255n : 1n)) },
        { kind: 'modular', modulus, weights: words },
      ];
      return {
        ...{ free: bytes, equations, measure: 'growth' as const },
        accepted: [outcomeOf(bytes, equations, planted)],
      };
    };
    const sumOfWords = (values: readonly number[]) => values.reduce((sum, one, i) => sum + one * Number(words[i]), 0);
    /** How many values of four whole bytes come to each number. */
    const counts = [1, 2, 3, 4].reduce<readonly number[]>(
      (before) => {
        const next = new Array<number>(before.length + 255).fill(0);
        for (const [at, count] of before.entries())
          for (let value = 0; value < 256; value++) (next[at + value] as number) += count;
        return next;
      },
      [1],
    );
    const upTo = [...counts.keys()];

    /** Each of these with the share that counting gives it, against the chance that was said. */
    function mustBeNear(said: ReadonlyMap<number, number>, counted: ReadonlyMap<number, number>): void {
      assert.deepEqual(
        [...said.keys()].sort((x, y) => x - y),
        [...counted.keys()].sort((x, y) => x - y),
      );
      const all = [...counted.values()].reduce((x, y) => x + y, 0);
      const off = [...said].reduce((sum, [key, chance]) => sum + Math.abs(chance - (counted.get(key) ?? 0) / all), 0);
      assert.ok(off < 0.1, `${off}`);
    }

    it('go with every other sum, or are none where one of those does not fit 32 bits', () => {
      const third = (modulus: bigint, weight: bigint): Equation => ({
        ...{ kind: 'modular', modulus },
        weights: bytes.map(() => weight),
      });
      for (const [of, modulus] of [
        [halvedSumsOf, 65_535n],
        [columnSumsOf, 65_536n],
      ] as const) {
        const system = systemOf(modulus);
        const beside = (...more: readonly Equation[]) => {
          const equations = [...system.equations, ...more];
          return of({ ...system, equations, accepted: [outcomeOf(bytes, equations, planted)] });
        };
        const fits = third(65_521n, 3n);
        assert.equal(beside()?.length, 1, `${modulus}`);
        const all = beside(fits);
        assert.equal(all?.length, 2, `${modulus}`);
        assert.deepEqual(
          [...(all?.[1]?.sums[0]?.weights ?? [])],
          bytes.map(() => 3),
          `${modulus}`,
        );
        assert.equal(beside(third(2n ** 32n - 1n, 2n ** 30n)), undefined, `${modulus}`);
        assert.equal(beside(fits, third(2n ** 32n - 1n, 2n ** 30n)), undefined, `${modulus}`);
      }
    });

    it('are as likely in halves as counting says', () => {
      const [group] = halvedSumsOf(systemOf(65_535n)) ?? [];
      assert.deepEqual(
        group?.sums.map(({ weights: own }) => [...own]),
        [
          words.map((one) => Number(one === 1n)),
          words.map((one) => Number(one === 256n)),
          bytes.map((_, i) => (i === 8 ? -1 : 0)),
        ],
      );
      const counted = new Map<number, number>();
      for (const low of upTo)
        for (const high of upTo)
          if ((low + 256 * high - sumOfWords(planted)) % 65_535 === 0)
            counted.set(low + 2048 * high, (counts[low] as number) * (counts[high] as number));
      const said = new Map(group?.wanted.map(({ values: [low = 0, high = 0], chance }) => [low + 2048 * high, chance]));
      mustBeNear(said, counted);
    });

    it('are as likely in columns as counting says', () => {
      const system = systemOf(65_536n);
      const [group] = columnSumsOf(system) ?? [];
      assert.deepEqual(
        [...(group?.sums[0]?.weights ?? [])],
        bytes.map((_, i) => (i === 8 ? -1 : 0)),
      );
      const counted = new Map<number, number>();
      for (const low of upTo)
        for (const high of upTo)
          if ((low + 256 * high - sumOfWords(planted)) % 65_536 === 0) {
            const total = (low + high) % 256;
            counted.set(total, (counts[low] as number) * (counts[high] as number) + (counted.get(total) ?? 0));
          }
      const said = new Map<number, number>();
      for (const {
        values: [rest = 0, whole = 0],
        chance,
      } of group?.wanted ?? [])
        said.set((((whole - rest) % 256) + 256) % 256, chance);
      mustBeNear(said, counted);
    });
  });

  it('are left out where what the bytes come to does not fit 32 bits, of which the sign is one', () => {
    const fits = (mask: number, weight: bigint, value = 0) =>
      integerSumsOf({
        free: [{ value, mask }],
        equations: [{ kind: 'modular', modulus: 2n ** 32n - 1n, weights: [weight] }],
        accepted: [[0n]],
        measure: 'growth',
      }) !== undefined;
    const most = 2n ** 31n - 1n;
    // The weight of one byte, and whether 255 times as much fits.
    for (const sign of [1n, -1n]) {
      const weight = (size: bigint) => (sign > 0n ? size : 2n ** 32n - 1n - size);
      assert.ok(fits(0xff, weight(most / 255n)), `${sign}`);
      assert.ok(!fits(0xff, weight(most / 255n + 1n)), `${sign}`);
      // Just 2 to the power of 31.
      assert.ok(!fits(0x80, weight(2n ** 24n)), `${sign}`);
    }
  });
});

describe('whether a sum covers some of the numbered bytes', () => {
  it('goes by these bytes alone, and by any bit of any of them', () => {
    const NONE = [0n, 0n, 0n, 0n, 0n, 0n, 0n, 0n];
    const ONE = [0n, 0n, 0n, 0x20n, 0n, 0n, 0n, 0n];
    for (const [covered, does] of [
      [[], false],
      [[0, 1, 4], false],
      [[2], true],
      [[3], true],
      [[2, 3], true],
      [[1, 3, 4], true],
    ] as const) {
      const has = (number: number) => covered.some((one) => one === number);
      const numbers = [0, 1, 2, 3, 4];
      for (const effects of [
        numbers.map((one) => (has(one) ? ONE : NO_EFFECT)),
        numbers.map((one) => (has(one) ? ONE : NONE)),
      ])
        assert.equal(coversAny({ kind: 'binary', effects }, 2, 2), does, `${covered}`);
      const weights = numbers.map((one) => (has(one) ? 3n : 0n));
      assert.equal(coversAny({ kind: 'modular', modulus: 255n, weights }, 2, 2), does, `${covered}`);
    }
  });
});

describe('a Fletcher sum of which whole bytes take up the difference', () => {
  /** Both sums of a run, places counted from its end (RFC 1146, appendix I). */
  const fletcherOf = (modulus: bigint, values: readonly number[], end: number): Equation[] => [
    { kind: 'modular', modulus, weights: values.map(() => 1n) },
    { kind: 'modular', modulus, weights: values.map((_, i) => BigInt(end - i) % modulus) },
  ];

  it('is right where some change is found, and is called impossible only where none of all changes does it', () => {
    const given = fc.record({
      values: fc.array(byte, { minLength: 2, maxLength: 2 }),
      modulus: fc.constantFrom(255, 65535),
      end: fc.integer({ min: 2, max: 300 }),
      wanted: fc.tuple(fc.nat(600), fc.nat(254)),
      now: fc.tuple(byte, byte),
      isPlanted: fc.boolean(),
    });
    const seen = { none: 0, found: 0 };
    fc.assert(
      fc.property(given, ({ values, modulus, end, wanted, now, isPlanted }) => {
        const bytes = values.map((value) => ({ value, mask: 0xff }));
        const equations = fletcherOf(BigInt(modulus), values, end);
        const accepted = [isPlanted ? outcomeOf(bytes, equations, now) : wanted.map((one) => BigInt(one % modulus))];
        const answer = finish(someFletcherAdler({ free: bytes, equations, accepted, measure: 'growth' }, plenty()));
        const [first, second] = (accepted[0] ?? []).map(Number) as [number, number];
        const does = (a: number, b: number) => {
          const [x, y] = [a - (values[0] as number), b - (values[1] as number)];
          return (x + y - first) % modulus === 0 && (end * x + (end - 1) * y - second) % modulus === 0;
        };
        if (answer === 'none') {
          seen.none++;
          for (let a = 0; a < 256; a++) for (let b = 0; b < 256; b++) assert.ok(!does(a, b), `${a} ${b}`);
        } else if (answer !== undefined) {
          seen.found++;
          const [a, b] = values.map((value, i) => answer.find(({ index }) => index === i)?.value ?? value);
          assert.ok(does(a as number, b as number));
        }
      }),
      { numRuns: 60 },
    );
    assert.ok(seen.none > 0 && seen.found > 0, JSON.stringify(seen));
  });

  it('is never called impossible for what some of the bytes cannot do, and is found where some of them can', () => {
    // Words of two bytes, as under Fletcher-32: high bytes count 256 times; and bits that may not change.
    const bytesOf = (values: readonly number[], masks: readonly number[]) =>
      values.map((value, i) => ({ value, mask: masks[i] ?? 0xff }));
    const weights = [256n, 1n, 256n, 1n, 256n, 1n];
    const equations: Equation[] = [
      { kind: 'modular', modulus: 65_535n, weights },
      { kind: 'modular', modulus: 65_535n, weights: weights.map((weight, i) => weight * BigInt(40 - (i >> 1))) },
    ];
    const given = fc.record({
      values: fc.array(byte, { minLength: 6, maxLength: 6 }),
      wanted: fc.array(byte, { minLength: 6, maxLength: 6 }),
      masked: fc.boolean(),
    });
    let found = 0;
    fc.assert(
      fc.property(given, ({ values, wanted, masked }) => {
        const free = bytesOf(values, masked ? [0x0f, 0xff, 0xff, 0xff, 0xff, 0x70] : []);
        const planted = (isIn: (i: number) => boolean) =>
          free.map(({ value, mask }, i) => (isIn(i) ? (value & ~mask) | ((wanted[i] as number) & mask) : value));
        const answerFor = (after: readonly number[]) =>
          finish(
            someFletcherAdler(
              { free, equations, accepted: [outcomeOf(free, equations, after)], measure: 'growth' },
              plenty(),
            ),
          );
        for (const after of [planted(() => true), planted((i) => i % 2 === 0), planted((i) => i % 2 === 1)]) {
          const answer = answerFor(after);
          assert.notEqual(answer, 'none');
          if (answer === undefined || answer === 'none') continue;
          found++;
          for (const { index, value } of answer)
            assert.equal(((free[index]?.value ?? 0) ^ value) & ~(free[index]?.mask ?? 0), 0);
          const now = values.map((value, i) => answer.find(({ index }) => index === i)?.value ?? value);
          assert.deepEqual(outcomeOf(free, equations, now), outcomeOf(free, equations, after));
        }
      }),
      { numRuns: 60 },
    );
    assert.ok(found > 20, `${found}`);
  });

  it('is found at the very end of what bytes can do, and called impossible just behind it', () => {
    // The least and the most that the second sum moves by with each rise of the first, counted over all values.
    for (const [values, places] of [
      [
        [0x10, 0xe0],
        [9, 4],
      ],
      [
        [0, 255],
        [3, 8],
      ],
      [
        [0x80, 0x7f],
        [60_003, 60_000],
      ],
      [
        [255, 255],
        [2, 12],
      ],
    ] as const) {
      const [first, second] = values;
      const ends = new Map<number, { least: number; most: number }>();
      for (let a = 0; a < 256; a++)
        for (let b = 0; b < 256; b++) {
          const [rise, moved] = [a + b - first - second, places[0] * (a - first) + places[1] * (b - second)];
          const known = ends.get(rise);
          ends.set(rise, {
            least: Math.min(moved, known?.least ?? moved),
            most: Math.max(moved, known?.most ?? moved),
          });
        }
      const free = values.map((value) => ({ value, mask: 0xff }));
      const modulus = 65_535n;
      const equations: Equation[] = [[1n, 1n], places.map(BigInt)].map((weights) => ({
        ...{ kind: 'modular', modulus },
        weights,
      }));
      const answerFor = (...outcome: readonly number[]) => {
        const accepted = [outcome.map((one) => ((BigInt(one) % modulus) + modulus) % modulus)];
        return finish(someFletcherAdler({ free, equations, accepted, measure: 'growth' }, plenty()));
      };
      for (const [rise, { least, most }] of [...ends].filter(([by], i) => i % 9 === 0 || Math.abs(by) > 250)) {
        for (const end of [least, most]) assert.ok(Array.isArray(answerFor(rise, end)), `${values} ${rise} ${end}`);
        for (const behind of [least - 1, most + 1]) assert.equal(answerFor(rise, behind), 'none', `${values} ${rise}`);
      }
      for (const rise of [-first - second - 1, 511 - first - second])
        for (const move of [0, 255, -255]) assert.equal(answerFor(rise, move * places[0]), 'none', `${values} ${rise}`);
    }
  });

  it('is never called impossible where it is not found, though all bytes were looked at', () => {
    // Places far from each other: moved in pairs, the bytes seldom come to just what is wanted.
    const seen = { found: 0, none: 0, open: 0 };
    for (let i = 0; i < 200; i++) {
      const [values, planted, places] = [83, 29, 1999].map((step) =>
        Array.from({ length: 4 }, (_, k) => (step * (k + 1) * (i + 3) + 71 * k * k) % (step > 255 ? 3000 : 256)),
      ) as [number[], number[], number[]];
      const free = values.map((value) => ({ value, mask: 0xff }));
      const equations: Equation[] = [values.map(() => 1n), places.map(BigInt)].map((weights) => ({
        ...{ kind: 'modular', modulus: 65_535n },
        weights,
      }));
      const accepted = [outcomeOf(free, equations, planted)];
      const answer = finish(someFletcherAdler({ free, equations, accepted, measure: 'growth' }, plenty()));
      seen[answer === undefined ? 'open' : answer === 'none' ? 'none' : 'found']++;
    }
    assert.ok(seen.open > 20 && seen.found > 20 && seen.none === 0, JSON.stringify(seen));
  });

  it('is never called impossible for the first of very many values, of which a later one can be', () => {
    const values = [10, 20, 30];
    const free = values.map((value) => ({ value, mask: 0xff }));
    const equations = fletcherOf(65_535n, values, 20);
    const reached = outcomeOf(free, equations, [11, 20, 30]);
    // Out of reach of three bytes, and different from each other.
    const far = (count: number) => Array.from({ length: count }, (_, i) => [30_000n + BigInt(i), 0n]);
    const answerOf = (...accepted: readonly bigint[][]) =>
      finish(someFletcherAdler({ free, equations, accepted, measure: 'growth' }, plenty()));
    assert.equal(answerOf(...far(256)), 'none');
    assert.equal(answerOf(...far(257)), undefined);
    for (const before of [0, 10, 200, 255, 256, 257, 1000]) {
      const answer = answerOf(...far(before), reached);
      assert.notEqual(answer, 'none', `${before}`);
      if (before < 100) assert.deepEqual(answer, [{ index: 0, value: 11 }]);
    }
  });

  it('is not looked for where there are other equations than both of its sums, as a change of those alone would be wrong', () => {
    const values = Array.from({ length: 12 }, (_, i) => (i * 83 + 5) & 0xff);
    const free = values.map((value) => ({ value, mask: 0xff }));
    const [first, second] = fletcherOf(255n, values, 20) as [Equation, Equation];
    const found = (...equations: readonly Equation[]) =>
      finish(someFletcherAdler({ free, equations, accepted: [equations.map(() => 7n)], measure: 'growth' }, plenty()));
    assert.ok(Array.isArray(found(first, second)));
    const [third] = fletcherOf(65535n, values, 20) as [Equation];
    const binary: Equation = { kind: 'binary', effects: values.map(() => [1n, 2n, 4n, 8n, 16n, 32n, 64n, 128n]) };
    for (const equations of [
      [],
      [first],
      [first, second, third],
      [first, second, third, binary],
      [first, third],
      [first, binary],
      [binary, second],
    ])
      assert.equal(found(...equations), undefined, `${equations.length}`);
  });

  it('is taken up by a single byte, or called impossible, and is nothing that the sums themselves refuse', () => {
    const system = (wanted: bigint): System => ({
      free: [{ value: 10, mask: 0xff }],
      equations: fletcherOf(65_535n, [10], 20),
      accepted: [[7n, wanted]],
      measure: 'growth',
    });
    assert.deepEqual(finish(someFletcherAdler(system(140n), plenty())), [{ index: 0, value: 17 }]);
    assert.equal(finish(someFletcherAdler(system(141n), plenty())), 'none');
    let asked = 0;
    const refusing = { ...system(140n), verifies: () => asked++ < 0 };
    assert.equal(finish(someFletcherAdler(refusing, plenty())), undefined);
    assert.equal(asked, 1);
  });

  it('is neither found nor called impossible where the work is used up before, or the search is stopped', () => {
    const values = Array.from({ length: 12 }, (_, i) => (i * 83 + 5) & 0xff);
    const free = values.map((value) => ({ value, mask: 0xff }));
    const system: System = { free, equations: fletcherOf(255n, values, 20), accepted: [[7n, 7n]], measure: 'growth' };
    assert.ok(Array.isArray(finish(someFletcherAdler(system, plenty()))));
    for (const budget of [
      { steps: 10 },
      { ...plenty(), cancelled: () => true },
      { ...plenty(), allowance: { left: 0 } },
    ])
      assert.equal(finish(someFletcherAdler(system, budget)), undefined);
  });

  it('is found with few of the bytes, whatever values are wanted', () => {
    for (const [modulus, count, end, rounds, most] of [
      [255, 12, 20, 10, 20],
      [255, 6, 40, 20, 41],
      [65_535, 24, 90, 4, 14],
    ] as const) {
      let changed = 0;
      for (let i = 0; i < rounds; i++) {
        const values = Array.from({ length: count }, (_, k) => (83 * k + 5 + 7 * i) & 0xff);
        const planted = values.map((_, k) => (29 * k + 71 * i + 3 * k * k) & 0xff);
        const free = values.map((value) => ({ value, mask: 0xff }));
        const equations = fletcherOf(BigInt(modulus), values, end);
        const accepted = [outcomeOf(free, equations, planted)];
        const answer = finish(someFletcherAdler({ free, equations, accepted, measure: 'growth' }, plenty()));
        assert.ok(Array.isArray(answer), `${modulus} ${i}`);
        const after = values.map((value, index) => answer.find((one) => one.index === index)?.value ?? value);
        assert.deepEqual(outcomeOf(free, equations, after), accepted[0]);
        changed += answer.length;
      }
      assert.ok(changed <= most, `${changed} bytes for ${rounds} values`);
    }
  });

  it('is found with a dozen bytes for nearly every value that it may have', () => {
    const values = Array.from({ length: 12 }, (_, i) => (i * 83 + 5) & 0xff);
    const bytes = values.map((value) => ({ value, mask: 0xff }));
    let found = 0;
    for (let i = 0; i < 40; i++) {
      const accepted = [[BigInt((i * 97) % 255), BigInt((i * 31 + 7) % 255)]];
      const equations = fletcherOf(255n, values, 20);
      const answer = finish(someFletcherAdler({ free: bytes, equations, accepted, measure: 'growth' }, plenty()));
      assert.notEqual(answer, 'none');
      if (answer === undefined || answer === 'none') continue;
      found++;
      assert.ok(answer.every(({ value }) => value >= 0 && value <= 255));
      const after = values.map((value, index) => answer.find((one) => one.index === index)?.value ?? value);
      assert.deepEqual(outcomeOf(bytes, equations, after), accepted[0]);
    }
    assert.ok(found >= 39, `${found}`);
  });
});
