import type { Steps } from '../../base/steps.js';
import { chineseRemainder, type Residue, solveCongruence } from './congruence.js';
import { type EqualWeightClass, equalWeightClasses } from './equalWeightClasses.js';
import { isPreferred } from './incumbent.js';
import { type Lifted, lift } from './lift.js';
import {
  type Answer,
  type Budget,
  type Change,
  gcd,
  isModular,
  type Outcome,
  type System,
  spend,
  turnsOf,
} from './system.js';

const STEPS_PER_BRANCH = 4;

/** One level of the search tree: a class of bytes, and for each equation the modulus that the later classes leave open. */
interface Level {
  readonly class: EqualWeightClass;
  readonly equations: readonly { readonly weight: bigint; readonly modulus: bigint }[];
}

/**
 * Solves plain sums over whole bytes. Bytes of equal weight form a class (in a sum of units: all bytes at the same place
 * of a unit), and only the growth of each class is branched on, so that any number of bytes may change. A growth must
 * leave a rest that the later classes can still bring about, and may not use more bytes than the best answer so far.
 *
 * Undefined where the system is not of this kind, or has too many branches.
 */
export function* solveByBranchAndBound(system: System, budget: Budget): Steps<Answer | undefined> {
  if (!system.equations.every(isModular) || system.free.some(({ mask }) => mask !== 0xff)) return undefined;
  const classes = yield* equalWeightClasses(system);
  const lifted = lift(system, classes);
  const levels = levelsOf(classes, lifted);
  if (STEPS_PER_BRANCH * leavesOf(levels) * lifted.accepted.length > budget.steps) return undefined;
  return yield* search(system, levels, lifted.accepted, budget);
}

function levelsOf(classes: readonly EqualWeightClass[], { moduli }: Lifted): readonly Level[] {
  const levels: Level[] = [];
  // From the last class on: the later ones can move each sum by multiples of these numbers only.
  let open = moduli;
  for (const own of [...classes].reverse()) {
    levels.push({
      class: own,
      equations: open.map((modulus, e) => ({ weight: own.weights[e] as bigint, modulus })),
    });
    open = open.map((modulus, e) => gcd(modulus, own.weights[e] as bigint));
  }
  return levels.reverse();
}

/** Estimates how many leaves the search tree has for one outcome. */
function leavesOf(levels: readonly Level[]): number {
  return levels.reduce((leaves, { class: { down, up }, equations }) => {
    const steps = equations.map(({ weight, modulus }) =>
      modulus === 0n ? Number.POSITIVE_INFINITY : Number(modulus / gcd(weight, modulus)),
    );
    return leaves * (1 + (down + up) / Math.max(1, ...steps));
  }, 1);
}

function* search(
  system: System,
  levels: readonly Level[],
  accepted: readonly Outcome[],
  budget: Budget,
): Steps<Answer> {
  let best: { readonly growths: readonly number[]; readonly bytes: number; readonly size: number } | undefined;
  let solutions = 0;
  const growths: number[] = [];
  const isDue = turnsOf();

  function changeOf(all: readonly number[]): Change {
    return levels.flatMap((level, i) => level.class.changeOf(all[i] as number));
  }

  function found(bytes: number): void {
    const size = growths.reduce((sum, growth) => sum + Math.abs(growth), 0);
    if (system.verifies && !system.verifies(changeOf(growths))) return;
    if (best === undefined || bytes < best.bytes) solutions = 0;
    solutions += levels.every((level, i) => level.class.isOnlyWay(growths[i] as number)) ? 1 : 2;
    const isBetter =
      best === undefined ||
      bytes < best.bytes ||
      size < best.size ||
      (size === best.size && isPreferred(changeOf(growths), changeOf(best.growths)));
    if (isBetter) best = { growths: [...growths], bytes, size };
  }

  function* descend(at: number, left: Outcome, bytes: number): Steps<boolean> {
    const level = levels[at];
    if (level === undefined) {
      found(bytes);
      return true;
    }
    const residue = level.equations.reduce<Residue | undefined>(
      (sum, { weight, modulus }, e) =>
        sum && chineseRemainder(sum, solveCongruence(weight, left[e] as bigint, modulus)),
      { value: 0n, modulus: 1n },
    );
    if (residue === undefined) return true;
    for (const { from, to, step } of walks(residue, level.class)) {
      for (let growth = from; step > 0 ? growth <= to : growth >= to; growth += step) {
        const used = bytes + level.class.bytesFor(growth);
        if (best !== undefined && used > best.bytes) break;
        if (!spend(budget, STEPS_PER_BRANCH)) return false;
        if (isDue(STEPS_PER_BRANCH)) yield;
        growths[at] = growth;
        const rest = left.map((value, e) => value - (level.equations[e]?.weight as bigint) * BigInt(growth));
        if (!(yield* descend(at + 1, rest, used))) return false;
      }
    }
    return true;
  }

  let whole = true;
  for (const outcome of accepted) {
    whole = yield* descend(0, outcome, 0);
    if (!whole) break;
  }
  if (best !== undefined) {
    return { kind: 'solved', change: changeOf(best.growths), unique: whole && solutions === 1, fewest: whole };
  }
  return whole ? { kind: 'impossible', proof: { kind: 'tried' } } : { kind: 'gave-up', size: 0 };
}

/** The growths in a residue class within the room of the bytes: from 0 upwards, then downwards. */
function walks({ value, modulus }: Residue, { down, up }: EqualWeightClass) {
  if (modulus === 0n) {
    const only = value >= BigInt(-down) && value <= BigInt(up) ? [Number(value)] : [];
    return only.map((growth) => ({ from: growth, to: growth, step: 1 }));
  }
  // A step beyond the room of the bytes is not taken anyway, so it need not fit a plain number exactly.
  const [first, step] = [Number(value), Number(modulus)];
  return [
    { from: first, to: up, step },
    { from: first - step, to: -down, step: -step },
  ];
}
