import { type Budget, type Change, type System, spend } from './system.js';
import type { Tables } from './tables.js';

/** A way to change a few bytes: the free bytes in rising order, and the bits to flip in each. */
interface Form {
  readonly indexes: number[];
  readonly flips: number[];
}

/** Forms of up to this many bytes are kept in a table. */
const MOST_KEPT = 2;

/** The most bytes for which changes are searched for: as many on each side as a table can hold. */
export const MOST_BYTES_MEETING = 2 * MOST_KEPT;

/**
 * Any mix of sums, by meeting in the middle: the ways to change half of the bytes are kept by what they do, and each
 * way to change the others looks up what is left to do. Visits every change of exactly `size` bytes that gives an
 * accepted outcome; false where the budget was used up before.
 */
export function meetInTheMiddle(
  system: System,
  tables: Tables,
  size: number,
  budget: Budget,
  found: (change: Change) => void,
): boolean {
  const { moduli, outcomes, accepted } = tables;
  const lanes = moduli.length;
  const kept = keptBytes(tables, size);
  const store = storeOf(tables, kept, budget);
  if (store === undefined) return false;
  const left = new Float64Array(lanes);
  return visitForms(tables, size - kept, budget, outcomes, (form, done) => {
    const last = form.indexes.at(-1) ?? -1;
    for (let outcome = 0; outcome < outcomes; outcome++) {
      for (let lane = 0; lane < lanes; lane++) {
        left[lane] = less(accepted[outcome * lanes + lane] as number, done[lane] as number, moduli[lane] as number);
      }
      store.lookUp(left, last, (other) => found(changeOf(system, form, other)));
    }
  });
}

/** Steps that a search for changes of `size` bytes takes. */
export function stepsToMeetInTheMiddle(tables: Tables, size: number): number {
  return stepsWhenKeeping(tables, size, keptBytes(tables, size));
}

function stepsWhenKeeping(tables: Tables, size: number, kept: number): number {
  return 2 * formCount(tables, kept) + formCount(tables, size - kept) * tables.outcomes;
}

/** How many of the bytes are best kept in the table: more where there are many outcomes to look up for each form. */
function keptBytes(tables: Tables, size: number): number {
  const least = Math.max(1, size - MOST_KEPT);
  if (least > 1 || size === 1) return least;
  return stepsWhenKeeping(tables, size, 1) <= stepsWhenKeeping(tables, size, 2) ? 1 : 2;
}

/** The number of ways to change exactly `size` bytes. */
function formCount({ flips }: Tables, size: number): number {
  const counts = [1, ...Array.from({ length: size }, () => 0)];
  for (const { length } of flips) {
    for (let bytes = size; bytes > 0; bytes--) (counts[bytes] as number) += (counts[bytes - 1] as number) * length;
  }
  return counts[size] as number;
}

/** Calls back with every form of `size` bytes and what it does; both are overwritten by the next. */
function visitForms(
  { moduli, flips, effects }: Tables,
  size: number,
  budget: Budget,
  steps: number,
  visit: (form: Form, done: Float64Array) => void,
): boolean {
  const lanes = moduli.length;
  const form: Form = { indexes: [], flips: [] };
  const done = Array.from({ length: size + 1 }, () => new Float64Array(lanes));
  function descend(place: number, from: number): boolean {
    if (place === size) {
      visit(form, done[size] as Float64Array);
      return true;
    }
    const [before, after] = [done[place] as Float64Array, done[place + 1] as Float64Array];
    for (let index = from; index <= flips.length - (size - place); index++) {
      const [own, table] = [flips[index] as Uint8Array, effects[index] as Float64Array];
      if (place === size - 1 && !spend(budget, own.length * steps)) return false;
      form.indexes[place] = index;
      for (const flipped of own) {
        form.flips[place] = flipped;
        for (let lane = 0; lane < lanes; lane++) {
          after[lane] = plus(before[lane] as number, table[flipped * lanes + lane] as number, moduli[lane] as number);
        }
        if (!descend(place + 1, index + 1)) return false;
      }
    }
    return true;
  }
  return descend(0, 0);
}

interface Store {
  /** All kept forms that do exactly this and lie wholly behind the byte `after`. */
  readonly lookUp: (done: Float64Array, after: number, visit: (form: Form) => void) => void;
}

/** A hash table over all forms of `size` bytes, in plain arrays: there may be millions. */
function storeOf(tables: Tables, size: number, budget: Budget): Store | undefined {
  const count = formCount(tables, size);
  if (count > budget.steps) return undefined;
  const { moduli, effects } = tables;
  const lanes = moduli.length;
  const mask = 2 ** Math.ceil(Math.log2(count + 1)) - 1;
  const heads = new Int32Array(mask + 1).fill(-1);
  const next = new Int32Array(count);
  const indexes = new Int32Array(count * size);
  const flips = new Uint8Array(count * size);
  let entry = 0;
  const whole = visitForms(tables, size, budget, 1, (form, done) => {
    for (let i = 0; i < size; i++) {
      indexes[entry * size + i] = form.indexes[i] as number;
      flips[entry * size + i] = form.flips[i] as number;
    }
    const slot = hashOf(done) & mask;
    next[entry] = heads[slot] as number;
    heads[slot] = entry++;
  });
  if (!whole) return undefined;
  const does = (at: number, wanted: Float64Array) => {
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
      for (let at = heads[hashOf(done) & mask] as number; at >= 0; at = next[at] as number) {
        if ((indexes[at * size] as number) <= after || !does(at, done)) continue;
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

function changeOf({ free }: System, ...forms: readonly Form[]): Change {
  return forms.flatMap(({ indexes, flips }) =>
    indexes.map((index, i) => ({ index, value: (free[index]?.value ?? 0) ^ (flips[i] as number) })),
  );
}
