import { finish, type Steps } from '../../base/steps.js';
import { solveByBranchAndBound } from './branchAndBound.js';
import { systemOfTask } from './dependentSums.js';
import { flipsAt, visitSolutions } from './elimination.js';
import { eliminationWork } from './eliminationWork.js';
import { someFletcherAdler } from './fletcherAdler.js';
import { forwardTrial } from './forwardTrial.js';
import { type Gf2Matrix, gf2MatrixOf, type Span, spanOf } from './gf2Matrix.js';
import { incumbentOf, ones } from './incumbent.js';
import { infeasibilityProof } from './infeasibility.js';
import { meetInTheMiddle, stepsToMeetInTheMiddle } from './meetInTheMiddle.js';
import { someSolution, taskOf } from './someSolution.js';
import type { SumTask } from './sums.js';
import {
  type Answer,
  type Budget,
  type Change,
  type FreeByte,
  isBinary,
  isNothing,
  mustStop,
  type System,
} from './system.js';
import { fulfils, type Tables, tablesOf } from './tables.js';

/** Where all bytes are too many to search, this many of the preferred ones are tried. */
const FEW = 8;

/** Mixed kinds of sums are searched over at most this many bytes: their tables take 4 KiB a byte. */
const MOST_MIXED = 2048;

/** Exclusive or and CRC use at most this many of the preferred bytes: the effects of each take some microseconds. */
const MOST_BINARY = 4096;

/** What is hardly likely to give an answer is not worth more than this part of the budget: some change is found elsewhere. */
const HARDLY_LIKELY = 2 ** -10;
const HARDLY_WORTH = 1 / 16;

/** Solves a task that is given by its sums: by the fewest bytes where that can be told within the budget. */
export function solveTask(task: SumTask, budget: Budget): Answer {
  return finish(solveTaskInSteps(task, budget));
}

/** With no more free bits than these, what no method finds is told by trying all their values. */
const MOST_TRIED_BITS = 16;

/** Some change may take so many times what the search for the fewest bytes may: without it there is none. */
const PATIENCE_FOR_SOME = 5;

/** The same in steps. The search for some change, after the one for the fewest bytes, has a budget of its own. */
export function* solveTaskInSteps(task: SumTask, budget: Budget): Steps<Answer> {
  const few = yield* fewestBytes(task, budget);
  if (few.kind !== 'gave-up' || mustStop(budget)) return few;
  const some = yield* someSolution(task, { ...budget, steps: PATIENCE_FOR_SOME * budget.steps });
  if (some !== undefined || mustStop(budget)) return some ?? few;
  const bits = task.free.reduce((sum, { mask }) => sum + ones(mask), 0);
  return bits > MOST_TRIED_BITS ? few : yield* forwardTrial(task, { ...budget });
}

function* fewestBytes(task: SumTask, budget: Budget): Steps<Answer> {
  const binary = [...task.dependentSums, ...task.demands].some(({ checksum }) => checksum.law.kind === 'binary');
  if (binary && task.free.length > MOST_BINARY) {
    const answer = yield* fewestBytes(taskOf(task, [...task.free.keys()].slice(0, MOST_BINARY)), budget);
    if (answer.kind === 'impossible') return gaveUp(1);
    return answer.kind === 'solved' ? { ...answer, unique: false, fewest: false } : answer;
  }
  const left = { ...budget };
  const system = yield* systemOfTask(task, left);
  if (system !== undefined) return yield* solve(system, left);
  return yield* forwardTrial(task, { ...budget, steps: budget.steps / 8 });
}

/**
 * The change of the fewest free bytes that gives an accepted outcome; of several, the smallest. The budget bounds the
 * work: once it is used up, the answer says so, and is never a wrong byte.
 */
export function* solve(given: System, budget: Budget): Steps<Answer> {
  const system = { ...given, accepted: distinct(given.accepted) };
  if (system.accepted.some(isNothing) && system.verifies?.([]) !== false) {
    return { kind: 'solved', change: [], unique: true, fewest: true };
  }
  const proof = yield* infeasibilityProof(system);
  if (proof !== undefined) return { kind: 'impossible', proof };
  const half: Budget = { ...budget, steps: budget.steps / 2 };
  const bounded = yield* solveByBranchAndBound(system, half);
  if (bounded !== undefined) return bounded;
  const matrix = yield* gf2MatrixOf(system);
  const span = yield* spanOf(matrix);
  if (!span.spansTarget) return { kind: 'impossible', proof: { kind: 'rank', rank: span.rank, width: span.width } };
  const answer =
    system.free.length > MOST_MIXED && !system.equations.every(isBinary)
      ? gaveUp(1)
      : yield* searchAll(system, matrix, span, half);
  if (answer.kind !== 'gave-up') return answer;
  const some = yield* someFletcherAdler(system, { ...budget, steps: budget.steps / 4 });
  if (some === 'none') return { kind: 'impossible', proof: { kind: 'tried' } };
  if (some !== undefined) return { kind: 'solved', change: some, unique: false, fewest: false };
  const few = fewOf(system, span);
  if (few.length === system.free.length) return answer;
  const among = yield* solve(restrictedTo(system, few), { ...budget, steps: budget.steps / 2 });
  if (among.kind !== 'solved') return answer;
  const change = among.change.map(({ index, value }) => ({ index: few[index] as number, value }));
  return { kind: 'solved', change, unique: false, fewest: false };
}

/** Looks at all changes of one byte, then of two, and so on, each time by the method that takes fewer steps. */
function* searchAll(system: System, matrix: Gf2Matrix, span: Span, budget: Budget): Steps<Answer> {
  const { free } = system;
  const tables = system.equations.every(isBinary) ? undefined : yield* tablesOf(system);
  for (let size = 1; size <= free.length; size++) {
    const incumbent = incumbentOf(system);
    const elimination = eliminationWork(system, matrix, span, size);
    const meetingCost = tables ? stepsToMeetInTheMiddle(tables, size) : Number.POSITIVE_INFINITY;
    const cost = Math.min(elimination.steps, meetingCost);
    if (cost > budget.steps || (cost > HARDLY_WORTH * budget.steps && elimination.likely < HARDLY_LIKELY)) {
      return gaveUp(size);
    }
    const whole =
      tables && meetingCost < elimination.steps
        ? yield* meetInTheMiddle(system, tables, size, budget, incumbent.found)
        : yield* visitByElimination(system, matrix, tables, size, budget, incumbent.found);
    const answer = incumbent.answer(whole);
    if (answer !== undefined) return answer;
    if (!whole) return gaveUp(size);
    yield;
  }
  return { kind: 'impossible', proof: { kind: 'tried' } };
}

/**
 * Solves the binary equations, and keeps those solutions that fulfil the congruences as well. None leaves one of its bytes
 * as it is: all changes of fewer bytes were looked at before.
 */
function* visitByElimination(
  system: System,
  matrix: Gf2Matrix,
  tables: Tables | undefined,
  size: number,
  budget: Budget,
  found: (change: Change) => void,
): Steps<boolean> {
  const candidates = [...system.free.keys()];
  return yield* visitSolutions(matrix, candidates, size, budget, (chosen, flips, outcome) => {
    if (tables === undefined || fulfils(tables, chosen, flips, outcome)) found(changeOf(system, chosen, flips));
  });
}

/** The bytes to try where all of them are too many: for binary sums the first that span a target, else the preferred ones. */
function fewOf({ free, equations }: System, { firstBytes }: Span): readonly number[] {
  return equations.every(isBinary) ? firstBytes : [...free.keys()].slice(0, FEW);
}

function restrictedTo(system: System, indexes: readonly number[]): System {
  const only = <T>(all: readonly T[]): readonly T[] => indexes.map((index) => all[index] as T);
  const { verifies } = system;
  return {
    ...system,
    free: only(system.free),
    equations: system.equations.map((equation) =>
      equation.kind === 'modular'
        ? { ...equation, weights: only(equation.weights) }
        : { ...equation, effects: only(equation.effects) },
    ),
    ...(verifies && {
      verifies: (change) => verifies(change.map(({ index, value }) => ({ index: indexes[index] as number, value }))),
    }),
  };
}

function changeOf({ free }: System, chosen: readonly number[], flips: Int32Array): Change {
  return chosen.map((index, place) => ({ index, value: (free[index] as FreeByte).value ^ flipsAt(flips, place) }));
}

function distinct(outcomes: System['accepted']): System['accepted'] {
  return [...new Map(outcomes.map((outcome) => [outcome.join(), outcome])).values()];
}

function gaveUp(size: number): Answer {
  return { kind: 'gave-up', size };
}
