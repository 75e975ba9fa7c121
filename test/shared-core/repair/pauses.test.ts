import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/phrase.js';
import { finish, type Steps } from '../../../shared-core/src/base/steps.js';
import type { Checksum } from '../../../shared-core/src/checksum/checksum.js';
import { rebalanceByFirst } from '../../../shared-core/src/repair/rebalance.js';
import { solveByBranchAndBound } from '../../../shared-core/src/repair/solver/branchAndBound.js';
import { systemOfTask } from '../../../shared-core/src/repair/solver/dependentSums.js';
import { visitSolutions } from '../../../shared-core/src/repair/solver/elimination.js';
import { equalWeightClasses } from '../../../shared-core/src/repair/solver/equalWeightClasses.js';
import { someFletcherAdler } from '../../../shared-core/src/repair/solver/fletcherAdler.js';
import { gf2MatrixOf, spanOf } from '../../../shared-core/src/repair/solver/gf2Matrix.js';
import { infeasibilityProof } from '../../../shared-core/src/repair/solver/infeasibility.js';
import { integerSumsOf } from '../../../shared-core/src/repair/solver/integerSums.js';
import { type Kernel, kernelOf } from '../../../shared-core/src/repair/solver/kernelOf.js';
import { levelsOf } from '../../../shared-core/src/repair/solver/kernelPlanes.js';
import { kernelSearch } from '../../../shared-core/src/repair/solver/kernelSearch.js';
import { latticeMeet } from '../../../shared-core/src/repair/solver/latticeMeet.js';
import { latticePoints, type Solutions, solutionsOf } from '../../../shared-core/src/repair/solver/latticePoints.js';
import { reduceBasis } from '../../../shared-core/src/repair/solver/latticeReduction.js';
import { meetInTheMiddle } from '../../../shared-core/src/repair/solver/meetInTheMiddle.js';
import { solve, solveTaskInSteps } from '../../../shared-core/src/repair/solver/solve.js';
import { someSolution } from '../../../shared-core/src/repair/solver/someSolution.js';
import type { SumTask } from '../../../shared-core/src/repair/solver/sums.js';
import type { Budget, System } from '../../../shared-core/src/repair/solver/system.js';
import { tablesOf } from '../../../shared-core/src/repair/solver/tables.js';
import { linesTask, plantedTask } from '../../scoring/plantedSums.js';
import { lines, profileOf } from '../../support/smallDumps.js';
import { numbers } from '../learn/dumps.js';

/** The most steps of a search between two pauses: with 50 nanoseconds a step, five milliseconds. */
const MOST_STEPS = 100_000;

/** The most questions to sums between two pauses, such as what a byte does to one. */
const MOST_QUESTIONS = 25_000;

function pausesIn(steps: Steps<unknown>): number {
  let count = 0;
  while (steps.next().done !== true) count++;
  return count;
}

interface Work {
  questions: number;
}

/** The task with sums that count what they are asked. */
function counted({ free, dependentSums, demands }: SumTask, work: Work): SumTask {
  const ask = (checksum: Checksum): Checksum => {
    const { law } = checksum;
    return {
      ...checksum,
      moved: (state, change) => {
        work.questions += 5;
        return checksum.moved(state, change);
      },
      law:
        law.kind === 'binary'
          ? {
              ...law,
              effects: (at, length) => {
                work.questions += 50;
                return law.effects(at, length);
              },
            }
          : {
              ...law,
              equations: law.equations.map((equation) => ({
                ...equation,
                coefficient: (at, length) => {
                  work.questions += 1;
                  return equation.coefficient(at, length);
                },
              })),
            },
    };
  };
  return {
    free,
    dependentSums: dependentSums.map((sum) => ({
      ...sum,
      checksum: ask(sum.checksum),
      bytesOf: (value) => {
        work.questions += 1;
        return sum.bytesOf(value);
      },
    })),
    demands: demands.map((demand) => ({ ...demand, checksum: ask(demand.checksum) })),
  };
}

describe('the pauses of a search for balance bytes', () => {
  const halves = [0x0f, 0xf0, 0x3c];
  for (const [name, line, totals, lines, masks] of [
    ['CRC-64 with Fletcher-32 over 40 lines with masks', undefined, ['crc64', 'flet32'], 40, halves],
    ['the same where each line has a CRC of its own', 'crc8', ['crc64', 'flet32'], 40, halves],
    ['CRC-64 lines under Fletcher-32', 'crc64', ['flet32'], 40, halves],
    ['CRC-8 in 200 lines under a CRC-64', 'crc8', ['crc64'], 200, [0x0f]],
    ['two wide CRCs over 300 lines', undefined, ['crc64', 'crc32'], 300, [0xff]],
    ['16-bit sums in 150 lines under two others', 'add16', ['add16/2', 'add32/4'], 150, [0xff]],
    ['Fletcher-32 over 200 lines', undefined, ['flet32'], 200, [0xff]],
    ['two lines whose sums have all values listed', 'add8', ['crc16', 'flet16'], 2, [0xff]],
  ] as const) {
    it(`come after little work: ${name}`, () => {
      const task = linesTask({ line, totals, lines, size: 8, masks }, numbers(3));
      const work: Work = { questions: 0 };
      const allowance = { left: Number.MAX_SAFE_INTEGER };
      const steps = solveTaskInSteps(counted(task, work), { steps: 120_000, allowance });
      let [mostSteps, mostQuestions] = [0, 0];
      for (let isDone = false; !isDone; ) {
        const [left, asked] = [allowance.left, work.questions];
        isDone = steps.next().done === true;
        mostSteps = Math.max(mostSteps, left - allowance.left);
        mostQuestions = Math.max(mostQuestions, work.questions - asked);
      }
      assert.ok(mostSteps <= MOST_STEPS, `${mostSteps} steps`);
      assert.ok(mostQuestions <= MOST_QUESTIONS, `${mostQuestions} questions`);
    }).timeout(60_000);
  }

  it('go on to the end of what a search may take, and no further', () => {
    const task = linesTask(
      { line: 'crc8', totals: ['crc64', 'flet32'], lines: 40, size: 8, masks: halves },
      numbers(3),
    );
    const allowance = { left: 200_000 };
    const steps = solveTaskInSteps(task, { steps: 120_000, allowance });
    let last = steps.next();
    while (!last.done) last = steps.next();
    assert.equal(last.value.kind, 'gave-up');
    assert.ok(allowance.left > -MOST_STEPS, `${allowance.left} left`);
  }).timeout(60_000);
});

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

  it('come as a sum is put in the place of its stored bytes, the more often the more bytes and sums there are', () => {
    const pauses = (lines: number) =>
      pausesFor(linesTask({ line: 'crc8', totals: ['crc64'], lines, size: 8, masks: [0xff] }, numbers(3)));
    assert.deepEqual([pauses(100), pauses(200)], [46, 117]);
  });
});

describe('a part of a search that never finds anything', () => {
  const bytes = Array.from({ length: 12 }, (_, i) => ({ value: (i * 37) & 0xff, mask: 0xff }));
  const next = numbers(5);
  const never = { verifies: () => false };
  const modular = (modulus: bigint, from: number): System['equations'][number] => ({
    ...{ kind: 'modular', modulus },
    weights: bytes.map((_, i) => BigInt(from - i)),
  });
  const binary: System['equations'][number] = {
    kind: 'binary',
    effects: bytes.map(() => Array.from({ length: 8 }, () => BigInt(next(2 ** 16)))),
  };
  const adding = {
    free: bytes,
    equations: [modular(65_521n, 300)],
    accepted: [[77n]],
    measure: 'growth',
    ...never,
  } as const;
  const mixed = { ...adding, equations: [modular(255n, 40), binary], accepted: [[7n, 0x1234n]] } as const;
  const planted = plantedTask({ line: 'flet16', totals: ['crc32', 'add32/4'], bytes: 11, masked: true }, numbers(7001));
  function* bySolutions(budget: Budget) {
    return yield* latticePoints(adding, (yield* solutionsOf(adding)) as Solutions, budget);
  }
  function* byHalves(budget: Budget) {
    const matrix = yield* gf2MatrixOf(mixed);
    return yield* latticeMeet(
      mixed,
      (yield* solutionsOf(mixed)) as Solutions,
      matrix,
      (yield* spanOf(matrix)).rank,
      budget,
    );
  }
  function* byKernel(budget: Budget) {
    const kernel = kernelOf(yield* gf2MatrixOf(mixed)) as Kernel;
    return yield* (yield* kernelSearch(mixed, kernel, integerSumsOf(mixed) ?? [])).find(budget);
  }
  const parts: readonly (readonly [string, (budget: Budget) => Steps<unknown>, unknown])[] = [
    ['near values', bySolutions, undefined],
    ['in halves', byHalves, undefined],
    ['bit by bit', byKernel, undefined],
    ['of all kinds', (budget: Budget) => someSolution(planted, budget), undefined],
    [
      'by elimination',
      function* (budget: Budget) {
        return yield* visitSolutions(yield* gf2MatrixOf(mixed), [...bytes.keys()], 5, budget, () => {});
      },
      false,
    ],
    [
      'that meets in the middle',
      function* (budget: Budget) {
        return yield* meetInTheMiddle(mixed, yield* tablesOf(mixed), 3, budget, () => {});
      },
      false,
    ],
  ];
  for (const [name, search, ends] of parts)
    it(`ends soon after its work is used up, or it is stopped: ${name}`, () => {
      const steps = 40_000_000;
      const budgets = [30_000, 70_000].flatMap((left): Budget[] => [{ steps: left }, { steps, allowance: { left } }]);
      for (const budget of budgets) {
        const own = { ...budget };
        assert.deepEqual(finish(search(own)), ends);
        const over = Math.max(-own.steps, -(own.allowance?.left ?? 0));
        assert.ok(over <= MOST_STEPS, `${over} steps too many`);
      }
      let asks = 0;
      assert.deepEqual(finish(search({ steps, cancelled: () => ++asks > 3 })), ends);
      assert.ok(asks > 3 && asks < 20, `asked ${asks} times`);
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

describe('the work of a repair', () => {
  const profile = profileOf({
    lines: { from: 1, to: 6, data: 8, sum: 2 },
    lineSum: { method: 'add', bits: 16, order: 'little', over: ['data'] },
    totals: [
      { name: 'word', line: 5, byte: 2, method: 'add', bits: 32, order: 'little', over: ['data'] },
      { name: 'block', label: 'a', method: 'crc', model: 'CRC-32/ISO-HDLC', over: ['data'], keep: true },
    ],
  });
  const dump = lines(
    profile,
    `1: 5C 62 0E 3D FD 7E 77 5D | B0 02
2: DE D8 E4 C0 E4 00 00 C5 | 03 05
3: 9E A2 06 BB A1 E2 CB 3E | A7 04
4: 5F 2C 38 A4 F5 04 06 9A | 00 03
5: 99 EC 14 00 00 0E 0D CA | 7E 02
6: 1B AC 55 2E B0 86 8F 77 | 86 03
a: A7 76 BD 1D
`,
  );
  /** Steps until nothing was found, with so many groups of bytes, none of which does. */
  function stepsWith(groups: number): number {
    const cells = Array.from({ length: groups }, (_, first) =>
      [0, 1, 2].map((i) => ({ row: 5, byte: (first + i) % 8 })),
    );
    const allowance = { left: 2 ** 40 };
    const repair = finish(rebalanceByFirst(dump, cells, [1], { steps: 30_000, allowance }));
    assert.match(repair.ok ? '' : say(repair.why), /^No solution was found in the time allowed/);
    return 2 ** 40 - allowance.left;
  }

  it('is interrupted at each of many places that cannot do it', () => {
    const sums = { name: 'own', label: 'a', lines: '1-1', over: ['data'], method: 'add', bits: 8, keep: true };
    const pausesWith = (count: number) => {
      const all = Array.from({ length: count }, (_, i) => i + 1);
      const own = profileOf({ lines: { from: 1, to: count, data: 1, sum: 0 }, totals: [sums] });
      const wrong = lines(own, `${all.map((line) => `${line}: 00`).join('\n')}\na: 01\n`);
      const groups = all.map((line) => [{ row: line - 1, byte: 0 }]);
      let pauses = 0;
      const steps = rebalanceByFirst(wrong, groups, [0]);
      let last = steps.next();
      for (; !last.done; last = steps.next()) pauses++;
      assert.ok(last.value.ok);
      return pauses;
    };
    assert.equal(pausesWith(100) - pausesWith(10), 90);
  });

  it('is not many times as much where there are many places to try', () => {
    const [one, many] = [stepsWith(1), stepsWith(4)];
    assert.ok(many < 3 * one, `${one} and ${many} steps`);
  }).timeout(60_000);
});
