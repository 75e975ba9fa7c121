import type { Steps } from '../../base/steps.js';
import { columnSumsOf } from './columnSums.js';
import { type FlatSystem, flatSystemOf } from './flatSystem.js';
import { type Gf2Matrix, gf2MatrixOf, type Span, spanOf } from './gf2Matrix.js';
import { ones } from './incumbent.js';
import { infeasibilityProof } from './infeasibility.js';
import { halvedSumsOf, integerSumsOf, type SumGroup } from './integerSums.js';
import { kernelOf } from './kernelOf.js';
import { type KernelSearch, kernelSearch } from './kernelSearch.js';
import { latticeMeet } from './latticeMeet.js';
import { latticePoints, solutionsOf } from './latticePoints.js';
import { type RunSum, renumbered, type SumTask } from './sums.js';
import { type Answer, type Budget, type Change, type FreeByte, isModular, mustStop } from './system.js';

/** So many solutions of the binary equations, as a power of two, are gone through for one that fulfils the congruences. */
const MOST_BITS_BY_CHANCE = 23;

/** Halves of the bytes that must agree in more bits than these hardly ever meet. */
const MOST_RANK_TO_MEET = 44;

/** The most bytes that are looked at together, with the stored bytes of dependent sums. */
const MOST_BYTES = 32;

/**
 * Some change, of any number of bytes, after the search for the fewest gave up: over the flat system, first of few of
 * the preferred bytes, then of more. Undefined where none was found, though there may be one.
 */
export function* someSolution(task: SumTask, budget: Budget): Steps<Answer | undefined> {
  const sets = setsToTry(task);
  for (const [i, indexes] of sets.entries()) {
    const own = { ...budget, steps: budget.steps / (sets.length - i) };
    const before = own.steps;
    const answer = yield* solveFlat(taskOf(task, indexes), own);
    budget.steps -= before - own.steps;
    if (answer?.kind === 'solved') {
      const change = answer.change.map(({ index, value }) => ({ index: indexes[index] as number, value }));
      return { ...answer, change };
    }
    if (answer?.kind === 'impossible' && indexes.length === task.free.length) return answer;
    if (mustStop(budget)) return undefined;
  }
  return undefined;
}

/**
 * Which bytes to try: the first that have a few bits more than the sums are wide, then half as many again each time; at
 * last some from all over.
 */
function setsToTry({ free, dependentSums, demands }: SumTask): readonly (readonly number[])[] {
  const bits = [...dependentSums, ...demands].reduce((sum, { checksum }) => sum + checksum.bits, 0);
  const all = [...free.keys()];
  const sets: (readonly number[])[] = [];
  for (let most = bits + 16; ; most *= 1.5) {
    let [count, room] = [0, 0];
    while (count < free.length && room < most) room += ones((free[count++] as FreeByte).mask);
    count = Math.min(count, MOST_BYTES);
    if (sets.at(-1)?.length === count) break;
    sets.push(all.slice(0, count));
  }
  if (free.length > MOST_BYTES) sets.push(all.filter((i) => (i * MOST_BYTES) % free.length < MOST_BYTES));
  return sets;
}

/** The task with some of its free bytes only. */
export function taskOf({ free, dependentSums, demands }: SumTask, indexes: readonly number[]): SumTask {
  const placed = <Sum extends RunSum>(sum: Sum): Sum => {
    const stored = Array.from({ length: sum.places.length - free.length }, (_, i) => free.length + i);
    return renumbered(sum, [...indexes, ...stored]);
  };
  return {
    free: indexes.map((index) => free[index] as SumTask['free'][number]),
    dependentSums: dependentSums.map(placed),
    demands: demands.map(placed),
  };
}

function* solveFlat(task: SumTask, budget: Budget): Steps<Answer | undefined> {
  const flat = yield* flatSystemOf(task);
  if (flat === undefined) return undefined;
  const proof = yield* infeasibilityProof(flat);
  if (proof !== undefined) return { kind: 'impossible', proof };
  const matrix = yield* gf2MatrixOf(flat);
  const span = yield* spanOf(matrix);
  yield;
  if (!span.spansTarget) return { kind: 'impossible', proof: { kind: 'rank', rank: span.rank, width: span.width } };
  const found = yield* search(flat, matrix, span, budget);
  if (found === undefined) return undefined;
  if (found === 'none') return { kind: 'impossible', proof: { kind: 'tried' } };
  const change = found.filter(({ index }) => index < flat.own);
  return { kind: 'solved', change, unique: false, fewest: false };
}

/** By the way that takes least: it depends on which of the two kinds of equations says more. */
function* search(
  flat: FlatSystem,
  matrix: Gf2Matrix,
  { rank }: Span,
  budget: Budget,
): Steps<Change | 'none' | undefined> {
  const solutions = yield* solutionsOf(flat);
  if (solutions !== undefined && flat.equations.every(isModular)) {
    const point = yield* withHalf(budget, (half) => latticePoints(flat, solutions, half));
    if (point !== undefined) return point;
  }
  const [kernel, sums] = [kernelOf(matrix), integerSumsOf(flat)];
  if (kernel === undefined) return 'none';
  const through = sums && (yield* kernelSearch(flat, kernel, sums, splitSumsOf(flat)));
  const canMeet = solutions !== undefined && rank <= MOST_RANK_TO_MEET;
  if (through?.isWhole) return yield* through.find(budget);
  if (through !== undefined && !canMeet) return yield* withPatience(budget, through);
  if (solutions === undefined) return undefined;
  if (through !== undefined && through.bits <= MOST_BITS_BY_CHANCE) {
    const found = yield* withHalf(budget, through.find);
    if (found !== undefined) return found;
  }
  return yield* latticeMeet(flat, solutions, matrix, rank, budget);
}

/** The last way that is left may take so many times its budget where that is ample. */
const PATIENCE = 3;

function* withPatience(budget: Budget, { find, ample }: KernelSearch): Steps<Change | 'none' | undefined> {
  const steps = Math.max(budget.steps, Math.min(PATIENCE * budget.steps, ample));
  const more = { ...budget, steps };
  const answer = yield* find(more);
  budget.steps -= Math.min(budget.steps, steps - more.steps);
  return answer;
}

/** The same congruences as sums of parts of words. */
function splitSumsOf(flat: FlatSystem): readonly (readonly SumGroup[])[] {
  return [halvedSumsOf(flat), columnSumsOf(flat)].filter((groups) => groups !== undefined);
}

/** A search with half of the budget, so that another may follow. */
function* withHalf<T>(budget: Budget, search: (half: Budget) => Steps<T>): Steps<T> {
  const half = { ...budget, steps: budget.steps / 2 };
  const before = half.steps;
  const answer = yield* search(half);
  budget.steps -= before - half.steps;
  return answer;
}
