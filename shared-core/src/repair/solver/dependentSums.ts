import { coversAny, substituted } from './substitution.js';
import { bringsAbout, type DependentSum, equationsOf, gapOf, type RunSum, type SumTask, storedNow } from './sums.js';
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
} from './system.js';

/** Dependent sums of more bits than this are not gone through value by value. */
const MOST_BITS = 16;

/** More outcomes than this are not listed. */
const MOST_OUTCOMES = 0x10000;

const STEPS_PER_OUTCOME = 80;

/** A sum with its equations over all numbered bytes, as far as dependent sums are substituted into them. */
interface Ruled<Sum extends RunSum> {
  readonly sum: Sum;
  readonly equations: readonly Equation[];
}

interface RuledDependentSum extends Ruled<DependentSum> {
  /** The number of its first stored byte. */
  readonly first: number;
}

/**
 * The equations of a task over its free bytes alone. A dependent sum is substituted into the sums that cover it where that
 * leaves them of their kind; else each value it can take is an outcome of its own. Undefined where those would be too
 * many, or the budget is used up.
 */
export function systemOfTask(task: SumTask, budget: Budget): System | undefined {
  const { kept, demands } = substituteDependentSums(task);
  const free = task.free.length;
  const driven = kept.filter(({ equations }) => equations.some((equation) => coversAny(equation, 0, free)));
  const accepted = outcomesOf(kept, demands, driven, budget);
  if (accepted === undefined) return undefined;
  const equations = [...driven, ...demands].flatMap((ruled) => ruled.equations.map((all) => over(all, free)));
  // Sums of single bits are best changed by few bits, sums that add by little.
  const measure = task.demands.every(({ checksum }) => checksum.law.kind === 'binary') ? 'bits' : 'growth';
  const system: System = { free: task.free, equations, accepted, measure };
  return hasTwoZeros(task) ? { ...system, verifies: (change) => bringsAbout(task, change) } : system;
}

/** Substitutes as many dependent sums as can be into the sums after them; the others are kept. */
function substituteDependentSums({ free, dependentSums, demands }: SumTask) {
  const rules = [...dependentSums, ...demands].map((sum) => equationsOf(sum));
  const kept: RuledDependentSum[] = [];
  let first = free.length;
  for (const [i, sum] of dependentSums.entries()) {
    const own = rules[i] as readonly Equation[];
    const later = rules.slice(i + 1).map((all) => all.map((equation) => substituted(equation, sum, own, first)));
    if (later.every((all) => all.every((equation) => equation !== undefined))) {
      rules.splice(i + 1, later.length, ...(later as Equation[][]));
    } else {
      kept.push({ sum, equations: own, first });
    }
    first += storedNow(sum).length;
  }
  return {
    kept,
    demands: demands.map((sum, i) => ({ sum, equations: rules[dependentSums.length + i] as readonly Equation[] })),
  };
}

/**
 * For each set of values that kept dependent sums can take, what the free bytes must do to each of them that they act on,
 * and to the demands.
 */
function outcomesOf(
  kept: readonly RuledDependentSum[],
  demands: readonly Ruled<RunSum & { readonly wanted: bigint }>[],
  driven: readonly RuledDependentSum[],
  budget: Budget,
): readonly Outcome[] | undefined {
  /** What has been settled: what free bytes must do, and what the dependent sums so far do to all sums after them. */
  interface Way {
    readonly wanted: Outcome;
    readonly done: readonly Outcome[];
  }
  const nothing = (ruled: { readonly equations: readonly Equation[] }): Outcome => ruled.equations.map(() => 0n);
  let ways: readonly Way[] = [{ wanted: [], done: [...kept, ...demands].map(nothing) }];
  for (const [i, dependentSum] of kept.entries()) {
    if (dependentSum.sum.checksum.bits > MOST_BITS) return undefined;
    const isDriven = driven.includes(dependentSum);
    const values = 2 ** dependentSum.sum.checksum.bits;
    const outcomes = isDriven ? ways.length * values : ways.length;
    if (outcomes > MOST_OUTCOMES || !spend(budget, STEPS_PER_OUTCOME * Math.max(outcomes, values))) return undefined;
    const later = [...kept.slice(i + 1), ...demands];
    const forms = formsOf(dependentSum, later);
    const byMove = isDriven ? undefined : formsByMove(forms);
    const next: Way[] = [];
    for (const { wanted, done } of ways) {
      const [own, ...others] = done as [Outcome, ...Outcome[]];
      // What the free bytes do not act on takes the value that earlier dependent sums give it.
      for (const form of isDriven ? forms : (byMove?.get(own.join()) ?? [])) {
        const after = later.map((ruled, k) => combine(ruled, others[k] as Outcome, form.moves[k] as Outcome));
        next.push({ wanted: isDriven ? [...wanted, ...rest(dependentSum, form.own, own)] : wanted, done: after });
      }
    }
    ways = next;
  }
  const goals = demands.map(({ sum }) => gapOf(sum)(sum.wanted));
  return ways.map(({ wanted, done }) => [
    ...wanted,
    ...demands.flatMap((demand, i) => rest(demand, goals[i] as Outcome, done[i] as Outcome)),
  ]);
}

/** A value that a dependent sum can take: what must be done to it, and what its stored bytes then do to later sums. */
interface DependentSumForm {
  readonly own: Outcome;
  readonly moves: readonly Outcome[];
}

function formsOf({ sum, first }: RuledDependentSum, later: readonly Ruled<RunSum>[]): readonly DependentSumForm[] {
  const before = storedNow(sum);
  const gap = gapOf(sum);
  const moves = later.map(({ equations }) => equations.map((equation) => movesOf(equation, first, before)));
  return Array.from({ length: 2 ** sum.checksum.bits }, (_, value) => {
    const after = sum.bytesOf(BigInt(value));
    return { own: gap(BigInt(value)), moves: moves.map((all) => all.map((move) => move(after))) };
  });
}

/** Of two zeros both are there: they are told apart when a change is found. */
function formsByMove(forms: readonly DependentSumForm[]): ReadonlyMap<string, readonly DependentSumForm[]> {
  const byMove = new Map<string, DependentSumForm[]>();
  for (const form of forms) {
    const known = byMove.get(form.own.join());
    if (known) known.push(form);
    else byMove.set(form.own.join(), [form]);
  }
  return byMove;
}

/** What new stored bytes do to an equation. Each byte does its part by itself, so the parts are computed once. */
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

/** Whether values exist that congruences cannot tell apart: a modulus that is no power of two leaves some. */
function hasTwoZeros({ dependentSums, demands }: SumTask): boolean {
  return [...dependentSums, ...demands].some(
    ({ checksum: { law } }) => law.kind === 'modular' && law.equations.some(({ modulus }) => modulus % 2n === 1n),
  );
}
