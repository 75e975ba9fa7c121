import type { Steps } from '../../base/steps.js';
import { type ByteLattice, byteLatticeOf, type Values } from './byteLattice.js';
import { type Chance, chanceFrom, shuffled } from './chance.js';
import { type Effects, effectTable, emptyEffectTable } from './effectTable.js';
import type { Gf2Matrix } from './gf2Matrix.js';
import { centerOf, changeTo, type Solutions } from './latticePoints.js';
import { type Budget, type Change, type FreeByte, isModular, mustStop, type System, spend } from './system.js';

/** A half of the bytes is kept in a table with at most so many of its values at first, and in the end. */
const KEPT = { first: 2 ** 13, most: 2 ** 17 };

/** For each value kept so many of the other half are looked up before both begin anew. */
const LOOKED_UP_FOR_KEPT = 8;

const NODES_TO_BEGIN = 4000;
const NODES_A_STEP = 100;
const VALUES_A_STEP = 200;
const STEPS_PER_NODE = 3;
const STEPS_PER_VALUE = 15;

/**
 * Solves congruences and binary equations together, where both are wide. From values that fulfil the congruences the
 * bytes go on in two halves, each by its own lattice, so that the congruences hold whatever one half does; then the
 * halves meet in the middle on what is binary. 'none' where no values fulfil the congruences.
 */
export function* latticeMeet(
  system: System & { readonly verifies: (change: Change) => boolean },
  { lattice, wanted }: Solutions,
  matrix: Gf2Matrix,
  rank: number,
  budget: Budget,
): Steps<Change | 'none' | undefined> {
  const chance = chanceFrom(system.free.length);
  const effects = effectTable(system, matrix);
  const all = [...system.free.keys()];
  for (let turn = 0; ; turn++) {
    const begin = lattice.valuesNear(centerOf(system, turn === 0 ? undefined : chance), wanted);
    const from = begin?.next(NODES_TO_BEGIN)?.slice();
    if (!spend(budget, NODES_TO_BEGIN)) return undefined;
    yield;
    if (from === undefined) {
      if (begin === undefined || begin.isDone()) return 'none';
      continue;
    }
    const size = Math.min(KEPT.most, Math.round(KEPT.first * 2 ** (turn / 2)));
    const halves = yield* halvesOf(
      system,
      from,
      rank,
      turn % 2 === 0 ? byWeights(system, chance) : shuffled(all, chance),
      chance,
    );
    if (!spend(budget, system.free.length ** 3)) return undefined;
    if (halves === undefined) continue;
    const found = yield* meet(system, from, effects, halves, size, budget);
    if (found !== undefined) return found;
    if (budget.steps < 0 || mustStop(budget)) return undefined;
  }
}

/** Keeps some values of one half by their effects, and looks up what is missing to those of the other. */
function* meet(
  system: System & { readonly verifies: (change: Change) => boolean },
  from: Uint8Array,
  effects: Effects,
  [kept, lookedUp]: readonly [Half, Half],
  size: number,
  budget: Budget,
): Steps<Change | undefined> {
  const table = emptyEffectTable(effects, kept.bytes, size);
  let found: Change | undefined;
  yield* visitValues(kept.values, size, budget, table.add);
  yield* visitValues(lookedUp.values, LOOKED_UP_FOR_KEPT * size, budget, (values) => {
    const other = table.missing(lookedUp.bytes, values);
    if (other === undefined) return true;
    const whole = from.slice();
    for (const [i, byte] of kept.bytes.entries()) whole[byte] = other[i] as number;
    for (const [i, byte] of lookedUp.bytes.entries()) whole[byte] = values[i] as number;
    const change = changeTo(system, whole);
    if (system.verifies(change)) found = change;
    return found === undefined;
  });
  return found;
}

/** Visits at most so many values, until `visit` has enough or the budget is used up. */
function* visitValues(
  values: Values,
  most: number,
  budget: Budget,
  visit: (values: Uint8Array) => boolean,
): Steps<void> {
  for (let count = 0; count < most && !values.isDone(); ) {
    const before = count;
    for (let left = VALUES_A_STEP; left > 0; left--) {
      const next = values.next(NODES_A_STEP);
      if (next === undefined) break;
      count++;
      if (!visit(next)) return;
    }
    if (!spend(budget, NODES_A_STEP * STEPS_PER_NODE + STEPS_PER_VALUE * (count - before))) return;
    yield;
  }
}

interface Half {
  readonly bytes: readonly number[];
  readonly bits: number;
  readonly values: Values;
}

/** All bytes in an order by chance in which those of equal weight lie together: one rises where the other falls. */
function byWeights({ free, equations }: System, chance: Chance): readonly number[] {
  const classes = new Map<string, number[]>();
  for (const index of free.keys()) {
    const key = equations.map((equation) => (isModular(equation) ? equation.weights[index] : '')).join();
    const known = classes.get(key);
    if (known) known.push(index);
    else classes.set(key, [index]);
  }
  return shuffled([...classes.values()], chance).flat();
}

/** The bytes in two halves in a given order, the first with about half as many values as the binary sums have. */
function* halvesOf(
  system: System,
  from: Uint8Array,
  rank: number,
  order: readonly number[],
  chance: Chance,
): Steps<readonly [Half, Half] | undefined> {
  let kept: Half | undefined;
  let count = Math.floor(order.length / 2);
  for (const most = Math.min(16, rank / 2); count < order.length - 1; count++) {
    kept = yield* halfOf(system, from, order.slice(0, count), chance);
    if (kept !== undefined && kept.bits >= most) break;
  }
  const other = yield* halfOf(system, from, order.slice(count), chance);
  return kept && other && [kept, other];
}

function* halfOf(system: System, from: Uint8Array, bytes: readonly number[], chance: Chance): Steps<Half | undefined> {
  const own = yield* byteLatticeOf(system, bytes);
  if (own === undefined) return undefined;
  const free = bytes.map((byte) => system.free[byte] as FreeByte);
  return { bytes, bits: own.bits, values: valuesAnywhere(own, free, from, bytes, chance) };
}

/**
 * So many values near one place are taken before it goes on near another: neighbours differ in their low bits alone. Where
 * there are few values, all of them are gone through from one place.
 */
const VALUES_NEAR = 64;
const MOST_BITS_FROM_ONE_PLACE = 12;

/** Values of some bytes with which the congruences stay as they are with `from`, from all over their room. */
function valuesAnywhere(
  lattice: ByteLattice,
  free: readonly FreeByte[],
  from: Uint8Array,
  bytes: readonly number[],
  chance: Chance,
): Values {
  const like = Uint8Array.from(bytes, (byte) => from[byte] as number);
  let near = lattice.valuesNear(like, { like });
  let left = lattice.bits > MOST_BITS_FROM_ONE_PLACE ? VALUES_NEAR : Number.POSITIVE_INFINITY;
  return {
    isDone: () => near === undefined || near.isDone(),
    next: (nodes) => {
      if (left-- === 0) {
        near = lattice.valuesNear(
          Uint8Array.from(like, (value, i) => value ^ (chance(256) & (free[i] as FreeByte).mask)),
          { like },
        );
        left = VALUES_NEAR;
      }
      const values = near?.next(nodes);
      // Where nothing is near, it is quicker to go on elsewhere.
      if (values === undefined && Number.isFinite(left)) left = 0;
      return values;
    },
  };
}
