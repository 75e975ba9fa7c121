import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { finish, type Steps } from '../../../shared-core/src/base/steps.js';
import { checksumOf, type SumSpec } from '../../../shared-core/src/checksum/registry.js';
import { solveByBranchAndBound } from '../../../shared-core/src/repair/solver/branchAndBound.js';
import { systemOfTask } from '../../../shared-core/src/repair/solver/dependentSums.js';
import { visitSolutions } from '../../../shared-core/src/repair/solver/elimination.js';
import { equalWeightClasses } from '../../../shared-core/src/repair/solver/equalWeightClasses.js';
import { someFletcherAdler } from '../../../shared-core/src/repair/solver/fletcherAdler.js';
import { gf2MatrixOf, spanOf } from '../../../shared-core/src/repair/solver/gf2Matrix.js';
import { infeasibilityProof } from '../../../shared-core/src/repair/solver/infeasibility.js';
import { levelsOf } from '../../../shared-core/src/repair/solver/kernelPlanes.js';
import { latticeMeet } from '../../../shared-core/src/repair/solver/latticeMeet.js';
import { latticePoints, type Solutions, solutionsOf } from '../../../shared-core/src/repair/solver/latticePoints.js';
import { reduceBasis } from '../../../shared-core/src/repair/solver/latticeReduction.js';
import { meetInTheMiddle } from '../../../shared-core/src/repair/solver/meetInTheMiddle.js';
import { solve } from '../../../shared-core/src/repair/solver/solve.js';
import { someSolution } from '../../../shared-core/src/repair/solver/someSolution.js';
import { equationsOf, type SumTask } from '../../../shared-core/src/repair/solver/sums.js';
import type { System } from '../../../shared-core/src/repair/solver/system.js';
import { tablesOf } from '../../../shared-core/src/repair/solver/tables.js';
import { linesTask, plantedTask, SUMS } from '../../scoring/plantedSums.js';
import { numbers } from '../learn/dumps.js';

function pausesIn(steps: Steps<unknown>): number {
  let count = 0;
  while (steps.next().done !== true) count++;
  return count;
}

describe('the pauses of each part of a search', () => {
  const many = Array.from({ length: 5000 }, (_, i) => ({ value: (i * 37) & 0xff, mask: 0xff }));
  const some = many.slice(0, 500);
  const next = numbers(9);
  const weights = many.map((_, i) => BigInt(i));
  const effects = many.map(() => Array.from({ length: 8 }, () => BigInt(next(2 ** 31))));
  const adding = (free: System['free'], accepted: System['accepted'] = [[1n]]): System => ({
    ...{ free, accepted, measure: 'growth' },
    equations: [{ kind: 'modular', modulus: 2n ** 32n, weights: weights.slice(0, free.length) }],
  });
  const binary = (free: System['free']): System => ({
    ...{ free, accepted: [[1n]], measure: 'bits' },
    equations: [{ kind: 'binary', effects: effects.slice(0, free.length) }],
  });
  /** Two bytes that never come to any of these: 260 more than a multiple of 300. */
  const branching: System = {
    free: [0, 0].map((value) => ({ value, mask: 0xff })),
    equations: [{ kind: 'modular', modulus: 65_536n, weights: [1n, 300n] }],
    accepted: Array.from({ length: 200 }, (_, i) => [BigInt(300 * i + 260) % 65_536n]),
    measure: 'growth',
  };
  const fletcher: System = {
    free: some.slice(0, 24),
    equations: [
      { kind: 'modular', modulus: 65_535n, weights: some.slice(0, 24).map(() => 1n) },
      { kind: 'modular', modulus: 65_535n, weights: some.slice(0, 24).map((_, i) => BigInt(90 - i)) },
    ],
    accepted: [[40n, 3000n]],
    measure: 'growth',
  };
  const basis = Array.from({ length: 40 }, (_, i) =>
    Float64Array.from({ length: 40 }, (_one, k) => (k === i ? 251 : next(500))),
  );
  const kernelSums = [{ weights: Int32Array.from({ length: 40 }, (_, i) => i + 1), planes: 16, bits: 16 }];
  const budget = () => ({ steps: 400_000 });
  for (const [name, count, steps] of [
    ['branches', 2, () => solveByBranchAndBound(branching, { steps: 8_000_000 })],
    ['bytes by their weights', 10, () => equalWeightClasses(adding(many))],
    ['how far bytes can go', 5, () => infeasibilityProof(adding(many))],
    ['what bits do to a CRC', 15, () => gf2MatrixOf(binary(many))],
    ['what bits span', 17, () => spanOf(finish(gf2MatrixOf(binary(many))))],
    ['what bytes do to sums', 6, () => tablesOf(adding(some))],
    [
      'changes that meet',
      12,
      () => meetInTheMiddle(adding(some), finish(tablesOf(adding(some))), 2, budget(), () => {}),
    ],
    [
      'elimination',
      19,
      () => visitSolutions(finish(gf2MatrixOf(binary(some))), [...some.keys()], 2, budget(), () => {}),
    ],
    [
      'all solutions of few equations',
      19,
      () =>
        visitSolutions(
          finish(
            gf2MatrixOf({
              ...binary(some.slice(0, 3)),
              equations: [{ kind: 'binary', effects: effects.slice(0, 3).map((all) => all.map(() => 1n)) }],
            }),
          ),
          [0, 1, 2],
          3,
          budget(),
          () => {},
        ),
    ],
    ['a Fletcher sum', 10, () => someFletcherAdler(fletcher, { steps: 8_000_000 })],
    [
      'a basis that is reduced',
      4,
      () =>
        reduceBasis(
          basis.map((row) => row.slice()),
          new Float64Array(40).fill(1),
        ),
    ],
    [
      'bits that are decided one after the other',
      1,
      () =>
        levelsOf(
          {
            flips: new Uint8Array(40),
            members: basis.flatMap((row) => [Uint8Array.from(row), Uint8Array.from(row, (one) => one / 2)]),
          },
          kernelSums,
        ),
    ],
  ] as const)
    it(`are as many as its work says: ${name}`, () => assert.equal(pausesIn(steps()), count));
});

describe('the pauses before a search, while its equations are made', () => {
  const pausesFor = (task: SumTask) => pausesIn(systemOfTask(task, { steps: 2 ** 40 }));

  it('come as the values of a sum are listed, then what each leads to, then what the bytes must do for each', () => {
    // 65,536 times 40 steps each, and a pause after 20,000.
    for (const total of ['crc16', 'xor16'])
      assert.equal(
        pausesFor(plantedTask({ line: 'add16', totals: [total], bytes: 3, masked: false }, numbers(1))),
        3 * 131,
      );
  });

  it('come as is told what each byte counts in a sum that adds', () => {
    const { add16 } = SUMS;
    const checksum = checksumOf(add16 as SumSpec);
    const places = Array.from({ length: 30_000 }, (_, at) => [at]);
    // Eleven steps for each.
    assert.equal(pausesIn(equationsOf({ checksum, state: 0n, length: 30_000, places })), 16);
  });

  it('come as a sum is put in the place of its stored bytes, the more often the more bytes and sums there are', () => {
    const pauses = (lines: number) =>
      pausesFor(linesTask({ line: 'crc8', totals: ['crc64'], lines, size: 8, masks: [0xff] }, numbers(3)));
    assert.deepEqual([pauses(100), pauses(200)], [46, 117]);
  });
});

describe('a search for some change', () => {
  it('pauses before it begins to look, after what of it is the same for every way', () => {
    const task = plantedTask({ line: 'crc8', totals: ['crc16'], bytes: 3, masked: false }, numbers(1));
    assert.equal(pausesIn(someSolution(task, { steps: 1_000_000 })), 1);
  });
});

describe('a search for the fewest bytes', () => {
  it('pauses after all changes of so many bytes', () => {
    const free = [0, 0, 0, 0].map((value) => ({ value, mask: 1 }));
    // One more in all, by an even number of bytes that rise by 1.
    const never: System = {
      ...{ free, measure: 'growth', accepted: [[1n, 0n]] },
      equations: [
        { kind: 'modular', modulus: 256n, weights: [1n, 1n, 1n, 1n] },
        { kind: 'binary', effects: free.map(() => [1n, 0n, 0n, 0n, 0n, 0n, 0n, 0n]) },
      ],
    };
    assert.deepEqual(finish(solve(never, { steps: 1_000_000 })), { kind: 'impossible', proof: { kind: 'tried' } });
    assert.equal(pausesIn(solve(never, { steps: 1_000_000 })), 4);
  });
});

describe('a search over a lattice', () => {
  const next = numbers(5);
  const free = Array.from({ length: 32 }, () => ({ value: 0, mask: 1 }));
  /** Some bits of which hardly any add up to what is wanted. */
  const rare: System & { verifies: () => boolean } = {
    ...{ free, measure: 'growth', verifies: () => false },
    equations: [
      { kind: 'modular', modulus: 2n ** 32n, weights: free.map(() => BigInt(next(2 ** 32))) },
      { kind: 'binary', effects: free.map(() => Array.from({ length: 8 }, () => BigInt(next(2 ** 16)))) },
    ],
    accepted: [[BigInt(next(2 ** 32)), 0x1234n]],
  };
  const solutionsFor = (system: System) => finish(solutionsOf(system)) as Solutions;

  it('in halves pauses each time it has found no values to begin with', () => {
    const solutions = solutionsFor(rare);
    assert.equal(solutions.lattice.valuesNear(new Uint8Array(32), solutions.wanted)?.next(100_000), undefined);
    const matrix = finish(gf2MatrixOf(rare));
    // A few nodes of the lattice take 4,000 steps.
    const { rank } = finish(spanOf(matrix));
    assert.equal(pausesIn(latticeMeet(rare, solutions, matrix, rank, { steps: 100_000 })), 25);
  });

  it('alone pauses after two hundred nodes without values, and after five hundred values that do not do', () => {
    // Three steps for each node.
    assert.equal(pausesIn(latticePoints(rare, solutionsFor(rare), { steps: 100_000 })), 166);
    const bytes = Array.from({ length: 12 }, (_, i) => ({ value: 20 * i, mask: 0xff }));
    const common: typeof rare = {
      ...rare,
      free: bytes,
      equations: [{ kind: 'modular', modulus: 251n, weights: bytes.map((_, i) => BigInt(i + 1)) }],
      accepted: [[77n]],
    };
    // Three steps for each of them.
    assert.equal(pausesIn(latticePoints(common, solutionsFor(common), { steps: 300_000 })), 199);
  });
});
