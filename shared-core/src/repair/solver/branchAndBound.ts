import { chineseRemainder, type Residue, solveCongruence } from './congruence.js';
import { type EqualWeightClass, equalWeightClasses } from './equalWeightClasses.js';
import { isPreferred } from './incumbent.js';
import { infeasibilityProof } from './infeasibility.js';
import { type Lifted, lift } from './lift.js';
import { type Answer, type Budget, type Change, gcd, isModular, type Outcome, type System, spend } from './system.js';

const STEPS_PER_WAY = 4;

/** One step of the search: a class of bytes, and what its growth must leave for the classes after it. */
interface Level {
  readonly class: EqualWeightClass;
  readonly equations: readonly { readonly weight: bigint; readonly modulus: bigint }[];
}

/**
 * Sums that add, over bytes of which many count alike: plain sums of any unit, all of whose bytes at the same place of
 * a unit are one class. Only the growth of each class matters, so there is no search over bytes, and any number of
 * them may change. Each class can only grow by what the rest can still put right, which leaves few ways to go.
 *
 * Undefined where the system is not of this kind, or there would be too many ways.
 */
export function solveByBranchAndBound(system: System, budget: Budget): Answer | undefined {
  if (!system.equations.every(isModular) || system.free.some(({ mask }) => mask !== 0xff)) return undefined;
  const classes = equalWeightClasses(system);
  const lifted = lift(system, classes);
  const levels = levelsOf(classes, lifted);
  if (STEPS_PER_WAY * waysThrough(levels) * lifted.accepted.length > budget.steps) return undefined;
  return search(system, levels, lifted.accepted, budget);
}

function levelsOf(classes: readonly EqualWeightClass[], { moduli }: Lifted): readonly Level[] {
  return classes.map((own, i) => ({
    class: own,
    equations: moduli.map((modulus, e) => ({
      weight: own.weights[e] as bigint,
      // What later classes can make of this sum are multiples of this number.
      modulus: classes.slice(i + 1).reduce((sum, later) => gcd(sum, later.weights[e] as bigint), modulus),
    })),
  }));
}

/** About how many growths of classes are looked at for one outcome. */
function waysThrough(levels: readonly Level[]): number {
  return levels.reduce((ways, { class: { down, up }, equations }) => {
    const steps = equations.map(({ weight, modulus }) =>
      modulus === 0n ? Number.POSITIVE_INFINITY : Number(modulus / gcd(weight, modulus)),
    );
    return ways * (1 + (down + up) / Math.max(1, ...steps));
  }, 1);
}

function search(system: System, levels: readonly Level[], accepted: readonly Outcome[], budget: Budget): Answer {
  let best: { readonly growths: readonly number[]; readonly bytes: number; readonly size: number } | undefined;
  let solutions = 0;
  const growths: number[] = [];

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

  function descend(at: number, left: Outcome, bytes: number): boolean {
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
        if (!spend(budget, STEPS_PER_WAY)) return false;
        growths[at] = growth;
        const rest = left.map((value, e) => value - (level.equations[e]?.weight ?? 0n) * BigInt(growth));
        if (!descend(at + 1, rest, used)) return false;
      }
    }
    return true;
  }

  const whole = accepted.every((outcome) => descend(0, outcome, 0));
  if (best !== undefined) {
    return { kind: 'solved', change: changeOf(best.growths), unique: whole && solutions === 1, fewest: whole };
  }
  return whole
    ? { kind: 'impossible', reach: infeasibilityProof(system) ?? { kind: 'tried' } }
    : { kind: 'gave-up', size: 0 };
}

/** The growths of a residue class within the room of the bytes: from nothing upwards, then downwards. */
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
