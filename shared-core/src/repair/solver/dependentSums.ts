import type { Steps } from '../../base/steps.js';
import { coversAny, substituted } from './substitution.js';
import {
  bringsAbout,
  type Demand,
  type DependentSum,
  equationsOf,
  gapOf,
  type RunSum,
  type SumTask,
  storedNow,
} from './sums.js';
import {
  type Budget,
  combine,
  type Equation,
  isBinary,
  modulo,
  type Outcome,
  rest,
  type System,
  spend,
  turnsOf,
} from './system.js';

/** Dependent sums of more bits than this are not enumerated. */
const MOST_BITS = 16;

/** The most outcomes that are listed. */
const MOST_OUTCOMES = 0x10000;

const STEPS_PER_OUTCOME = 40;
const STEPS_PER_PLACE = 2;

/** A sum with its equations over all numbered bytes, after the substitution of dependent sums. */
interface WithEquations<Sum extends RunSum> {
  readonly sum: Sum;
  readonly equations: readonly Equation[];
}

interface KeptDependentSum extends WithEquations<DependentSum> {
  /** The number of its first stored byte. */
  readonly first: number;
}

/**
 * The equations of a task over its free bytes alone. A dependent sum is substituted into the sums that cover it where
 * the result is of the same kind; else each of its values gives an accepted outcome of its own. Undefined where there
 * are too many of those, or the budget is used up.
 */
export function* systemOfTask(task: SumTask, budget: Budget): Steps<System | undefined> {
  const { kept, demands } = yield* substituteDependentSums(task);
  const free = task.free.length;
  const driven = kept.filter(({ equations }) => equations.some((equation) => coversAny(equation, 0, free)));
  const accepted = yield* outcomesOf(kept, demands, driven, budget);
  if (accepted === undefined) return undefined;
  const equations = [...driven, ...demands].flatMap((sum) => sum.equations.map((equation) => over(equation, free)));
  // A small change of exclusive or and CRC flips few bits, one of sums that add grows by little.
  const measure = task.demands.every(({ checksum }) => checksum.law.kind === 'binary') ? 'bits' : 'growth';
  const system: System = { free: task.free, equations, accepted, measure };
  return hasTwoZeros(task) ? { ...system, verifies: (change) => bringsAbout(task, change) } : system;
}

/** Substitutes each dependent sum into all sums after it where that works; the others are kept. */
function* substituteDependentSums({ free, dependentSums, demands }: SumTask): Steps<{
  readonly kept: readonly KeptDependentSum[];
  readonly demands: readonly WithEquations<Demand>[];
}> {
  const all: (readonly Equation[])[] = [];
  const isDue = turnsOf();
  for (const sum of [...dependentSums, ...demands]) all.push(yield* equationsOf(sum, isDue));
  const kept: KeptDependentSum[] = [];
  let first = free.length;
  for (const [i, sum] of dependentSums.entries()) {
    const own = all[i] as readonly Equation[];
    const later = all.slice(i + 1).map((list) => list.map((equation) => substituted(equation, sum, own, first)));
    if (later.every((list) => list.every((equation) => equation !== undefined))) {
      all.splice(i + 1, later.length, ...(later as Equation[][]));
    } else {
      kept.push({ sum, equations: own, first });
    }
    first += storedNow(sum).length;
    if (isDue(STEPS_PER_PLACE * (free.length + later.length))) yield;
  }
  return {
    kept,
    demands: demands.map((sum, i) => ({ sum, equations: all[dependentSums.length + i] as readonly Equation[] })),
  };
}

/**
 * For each combination of values of the kept dependent sums: what the free bytes must do to those that they drive, and
 * to the demands.
 */
function* outcomesOf(
  kept: readonly KeptDependentSum[],
  demands: readonly WithEquations<Demand>[],
  driven: readonly KeptDependentSum[],
  budget: Budget,
): Steps<readonly Outcome[] | undefined> {
  /** Values of the first dependent sums: what free bytes must do for them, and what they do to all sums after them. */
  interface Branch {
    readonly wanted: Outcome;
    readonly done: readonly Outcome[];
  }
  const nothing = ({ equations }: { readonly equations: readonly Equation[] }): Outcome => equations.map(() => 0n);
  // Whether all can be listed is known before any is.
  const combinations = driven.reduce((all, { sum }) => all * 2 ** sum.checksum.bits, 1);
  if (combinations > MOST_OUTCOMES || kept.some(({ sum }) => sum.checksum.bits > MOST_BITS)) return undefined;
  let branches: readonly Branch[] = [{ wanted: [], done: [...kept, ...demands].map(nothing) }];
  for (const [i, dependentSum] of kept.entries()) {
    const isDriven = driven.includes(dependentSum);
    const count = 2 ** dependentSum.sum.checksum.bits;
    const outcomes = isDriven ? branches.length * count : branches.length;
    if (STEPS_PER_OUTCOME * (outcomes + count) > budget.steps) return undefined;
    const later = [...kept.slice(i + 1), ...demands];
    const values = yield* valuesOf(dependentSum, later, budget);
    if (values === undefined) return undefined;
    const byOwn = isDriven ? undefined : valuesByOwn(values);
    const next: Branch[] = [];
    const isDue = turnsOf();
    for (const { wanted, done } of branches) {
      const [own, ...others] = done as [Outcome, ...Outcome[]];
      // A sum that the free bytes do not drive takes the value that earlier dependent sums give it.
      for (const value of isDriven ? values : (byOwn?.get(own.join()) ?? [])) {
        const after = later.map((sum, k) => combine(sum, others[k] as Outcome, value.moves[k] as Outcome));
        if (!spend(budget, STEPS_PER_OUTCOME)) return undefined;
        if (isDue(STEPS_PER_OUTCOME)) yield;
        next.push({ wanted: isDriven ? [...wanted, ...rest(dependentSum, value.own, own)] : wanted, done: after });
      }
    }
    branches = next;
  }
  const goals = demands.map(({ sum }) => gapOf(sum)(sum.wanted));
  const accepted: Outcome[] = [];
  const isDue = turnsOf();
  for (const { wanted, done } of branches) {
    accepted.push([
      ...wanted,
      ...demands.flatMap((demand, i) => rest(demand, goals[i] as Outcome, done[i] as Outcome)),
    ]);
    if (isDue(STEPS_PER_OUTCOME)) yield;
  }
  return accepted;
}

/** One value of a dependent sum: what must be done to reach it, and what its stored bytes then do to later sums. */
interface DependentValue {
  readonly own: Outcome;
  readonly moves: readonly Outcome[];
}

function* valuesOf(
  { sum, first }: KeptDependentSum,
  later: readonly WithEquations<RunSum>[],
  budget: Budget,
): Steps<readonly DependentValue[] | undefined> {
  const before = storedNow(sum);
  const gap = gapOf(sum);
  const moves = later.map(({ equations }) => equations.map((equation) => movesOf(equation, first, before)));
  const values: DependentValue[] = [];
  const isDue = turnsOf();
  for (let value = 0n; value < 1n << BigInt(sum.checksum.bits); value++) {
    const after = sum.bytesOf(value);
    if (!spend(budget, STEPS_PER_OUTCOME)) return undefined;
    values.push({ own: gap(value), moves: moves.map((all) => all.map((move) => move(after))) });
    if (isDue(STEPS_PER_OUTCOME)) yield;
  }
  return values;
}

/** Values by what must be done to reach them. Two zeros share a key: they are told apart when a change is found. */
function valuesByOwn(values: readonly DependentValue[]): ReadonlyMap<string, readonly DependentValue[]> {
  const byOwn = new Map<string, DependentValue[]>();
  for (const value of values) {
    const known = byOwn.get(value.own.join());
    if (known) known.push(value);
    else byOwn.set(value.own.join(), [value]);
  }
  return byOwn;
}

/** What new stored bytes do to an equation. Each byte acts by itself, so the parts are computed once. */
function movesOf(equation: Equation, first: number, before: Uint8Array): (after: Uint8Array) => bigint {
  const parts = Array.from(before, (old, i) =>
    Array.from({ length: 256 }, (_, value) => moveOf(equation, first + i, old, value)),
  );
  return (after) => {
    let sum = 0n;
    for (const [i, value] of after.entries()) {
      const part = parts[i]?.[value] as bigint;
      sum = isBinary(equation) ? sum ^ part : (sum + part) % equation.modulus;
    }
    return sum;
  };
}

function moveOf(equation: Equation, number: number, old: number, value: number): bigint {
  if (!isBinary(equation)) return modulo((equation.weights[number] as bigint) * BigInt(value - old), equation.modulus);
  const effects = equation.effects[number] as readonly bigint[];
  return effects.reduce((sum, effect, bit) => ((old ^ value) & (1 << bit) ? sum ^ effect : sum), 0n);
}

function over(equation: Equation, count: number): Equation {
  return isBinary(equation)
    ? { ...equation, effects: equation.effects.slice(0, count) }
    : { ...equation, weights: equation.weights.slice(0, count) };
}

/** Whether there may be values that congruences cannot tell apart, which an odd modulus has. */
function hasTwoZeros({ dependentSums, demands }: SumTask): boolean {
  return [...dependentSums, ...demands].some(
    ({ checksum: { law } }) => law.kind === 'modular' && law.equations.some(({ modulus }) => modulus % 2n === 1n),
  );
}
