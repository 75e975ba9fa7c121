import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/phrase.js';
import { finish, type Steps } from '../../../shared-core/src/base/steps.js';
import type { Checksum } from '../../../shared-core/src/checksum/checksum.js';
import { rebalanceByFirst } from '../../../shared-core/src/repair/rebalance.js';
import { visitSolutions } from '../../../shared-core/src/repair/solver/elimination.js';
import { gf2MatrixOf, spanOf } from '../../../shared-core/src/repair/solver/gf2Matrix.js';
import { integerSumsOf } from '../../../shared-core/src/repair/solver/integerSums.js';
import { type Kernel, kernelOf } from '../../../shared-core/src/repair/solver/kernelOf.js';
import { kernelSearch } from '../../../shared-core/src/repair/solver/kernelSearch.js';
import { latticeMeet } from '../../../shared-core/src/repair/solver/latticeMeet.js';
import { latticePoints, type Solutions, solutionsOf } from '../../../shared-core/src/repair/solver/latticePoints.js';
import { meetInTheMiddle } from '../../../shared-core/src/repair/solver/meetInTheMiddle.js';
import { solveTaskInSteps } from '../../../shared-core/src/repair/solver/solve.js';
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
    const repair = finish(rebalanceByFirst(dump, cells, [1], { steps: 15_000, allowance }));
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

  it('is whole for all places together, where none of them can do it alone', () => {
    const word = {
      name: 'own',
      label: 'a',
      lines: '1-2',
      over: ['data'],
      method: 'add',
      bits: 16,
      unit: 2,
      keep: true,
    };
    const profile = profileOf({ lines: { from: 1, to: 2, data: 1, sum: 0 }, totals: [word] });
    // The first byte counts 256 times as much: together they come to each of all values.
    const wrong = lines(profile, '1: 10\n2: 20\na: 12 34\n');
    const groups = [0, 1].map((row) => [{ row, byte: 0 }]);
    // What is allowed suffices for both, and half of it does not.
    const isDone = (steps: number) => finish(rebalanceByFirst(wrong, groups, [0], { steps })).ok;
    assert.deepEqual([31, 33, 60].map(isDone), [false, true, true]);
  });

  it('is not many times as much where there are many places to try', () => {
    const [one, many] = [stepsWith(1), stepsWith(4)];
    assert.ok(many < 3 * one, `${one} and ${many} steps`);
  }).timeout(60_000);
});
