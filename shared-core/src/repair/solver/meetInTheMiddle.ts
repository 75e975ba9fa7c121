import type { Steps } from '../../base/steps.js';
import { type Budget, type Change, type FreeByte, type System, spend, turnsOf } from './system.js';
import { changesCount, type Tables } from './tables.js';

/** A change of a few bytes: their indexes in rising order, and the bits to flip in each. */
interface Part {
  readonly indexes: number[];
  readonly flips: number[];
}

/**
 * Meet in the middle, for any mix of sums: all parts of half the size are kept in a table by their effect, and each part
 * of the other half looks up the effect that is still missing. Visits every change of exactly `size` bytes that gives an
 * accepted outcome; false where the budget was used up before.
 */
export function* meetInTheMiddle(
  system: System,
  tables: Tables,
  size: number,
  budget: Budget,
  found: (change: Change) => void,
): Steps<boolean> {
  const { moduli, outcomes, accepted } = tables;
  const lanes = moduli.length;
  const kept = keptBytes(tables, size);
  const store = yield* storeOf(tables, kept, budget);
  if (store === undefined) return false;
  const left = new Float64Array(lanes);
  return yield* visitParts(tables, size - kept, budget, outcomes, (part, done) => {
    const last = part.indexes.at(-1) ?? -1;
    for (let outcome = 0; outcome < outcomes; outcome++) {
      for (let lane = 0; lane < lanes; lane++) {
        left[lane] = less(accepted[outcome * lanes + lane] as number, done[lane] as number, moduli[lane] as number);
      }
      store.lookUp(left, last, (other) => found(changeOf(system, part, other)));
    }
  });
}

/** Steps that a search for changes of `size` bytes takes. */
export function stepsToMeetInTheMiddle(tables: Tables, size: number): number {
  return stepsWhenKeeping(tables, size, keptBytes(tables, size));
}

function stepsWhenKeeping(tables: Tables, size: number, kept: number): number {
  return 2 * changesCount(tables.flips, kept) + changesCount(tables.flips, size - kept) * tables.outcomes;
}

/** How many of the bytes are best kept in the table: about half, more where each part looks up many outcomes. */
function keptBytes(tables: Tables, size: number): number {
  const steps = Array.from({ length: size }, (_, i) => stepsWhenKeeping(tables, size, i + 1));
  return 1 + steps.indexOf(Math.min(...steps));
}

/** Calls back with every part of `size` bytes and its effect; both are overwritten by the next. */
function* visitParts(
  { moduli, flips, effects }: Tables,
  size: number,
  budget: Budget,
  steps: number,
  visit: (part: Part, done: Float64Array) => void,
): Steps<boolean> {
  const lanes = moduli.length;
  const part: Part = { indexes: [], flips: [] };
  const done = Array.from({ length: size + 1 }, () => new Float64Array(lanes));
  const isDue = turnsOf();
  function* descend(place: number, from: number): Steps<boolean> {
    const [before, after] = [done[place] as Float64Array, done[place + 1] as Float64Array];
    for (let index = from; index <= flips.length - (size - place); index++) {
      const [own, table] = [flips[index] as Uint8Array, effects[index] as Float64Array];
      if (place === size - 1 && !spend(budget, own.length * steps)) return false;
      part.indexes[place] = index;
      for (const flipped of own) {
        part.flips[place] = flipped;
        for (let lane = 0; lane < lanes; lane++) {
          after[lane] = plus(before[lane] as number, table[flipped * lanes + lane] as number, moduli[lane] as number);
        }
        if (place < size - 1) {
          if (!(yield* descend(place + 1, index + 1))) return false;
          continue;
        }
        visit(part, after);
        if (isDue(steps)) yield;
      }
    }
    return true;
  }
  if (size > 0) return yield* descend(0, 0);
  visit(part, done[0] as Float64Array);
  return true;
}

interface Store {
  /** All kept parts that have exactly this effect and only bytes behind `after`. */
  readonly lookUp: (done: Float64Array, after: number, visit: (part: Part) => void) => void;
}

/** A hash table of all parts of `size` bytes, in plain arrays: there may be millions. */
function* storeOf(tables: Tables, size: number, budget: Budget): Steps<Store | undefined> {
  const count = changesCount(tables.flips, size);
  if (count > budget.steps) return undefined;
  const { moduli, effects } = tables;
  const lanes = moduli.length;
  const mask = 2 ** Math.ceil(Math.log2(count + 1)) - 1;
  /** The number of the last entry of each slot, from 1 on. */
  const heads = new Int32Array(mask + 1);
  const next = new Int32Array(count);
  const indexes = new Int32Array(count * size);
  const flips = new Uint8Array(count * size);
  let entry = 0;
  const whole = yield* visitParts(tables, size, budget, 1, (part, done) => {
    for (let i = 0; i < size; i++) {
      indexes[entry * size + i] = part.indexes[i] as number;
      flips[entry * size + i] = part.flips[i] as number;
    }
    const slot = hashOf(done) & mask;
    next[entry] = heads[slot] as number;
    heads[slot] = ++entry;
  });
  if (!whole) return undefined;
  const hasEffect = (at: number, wanted: Float64Array) => {
    for (let lane = 0; lane < lanes; lane++) {
      let sum = 0;
      for (let i = 0; i < size; i++) {
        const effect = effects[indexes[at * size + i] as number] as Float64Array;
        sum = plus(sum, effect[(flips[at * size + i] as number) * lanes + lane] as number, moduli[lane] as number);
      }
      if (sum !== wanted[lane]) return false;
    }
    return true;
  };
  return {
    lookUp: (done, after, visit) => {
      for (let at = (heads[hashOf(done) & mask] as number) - 1; at >= 0; at = (next[at] as number) - 1) {
        if ((indexes[at * size] as number) <= after || !hasEffect(at, done)) continue;
        visit({
          indexes: Array.from(indexes.subarray(at * size, (at + 1) * size)),
          flips: Array.from(flips.subarray(at * size, (at + 1) * size)),
        });
      }
    },
  };
}

function hashOf(done: Float64Array): number {
  let hash = 0;
  for (let lane = 0; lane < done.length; lane++) {
    hash = Math.imul(hash ^ ((done[lane] as number) | 0), 0x9e3779b1);
    hash ^= hash >>> 15;
  }
  return hash;
}

function plus(a: number, b: number, modulus: number): number {
  if (modulus === 0) return (a ^ b) >>> 0;
  const sum = a + b;
  return sum >= modulus ? sum - modulus : sum;
}

function less(a: number, b: number, modulus: number): number {
  if (modulus === 0) return (a ^ b) >>> 0;
  return a >= b ? a - b : a - b + modulus;
}

function changeOf({ free }: System, ...parts: readonly Part[]): Change {
  return parts.flatMap(({ indexes, flips }) =>
    indexes.map((index, i) => ({ index, value: (free[index] as FreeByte).value ^ (flips[i] as number) })),
  );
}
