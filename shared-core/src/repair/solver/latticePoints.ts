import type { Steps } from '../../base/steps.js';
import { type ByteLattice, byteLatticeOf } from './byteLattice.js';
import { type Chance, chanceFrom } from './chance.js';
import { type Budget, type Change, isModular, type System, spend, turnsOf } from './system.js';

/** Nodes before a search begins anew elsewhere; each is twice as long as the one before. */
const FIRST_NODES = 1000;

const NODES_A_STEP = 200;

/** A node visits all unknowns, as often as there are rows. */
const STEPS_PER_NODE = 3;

/** What the sums themselves take to say whether a change does. */
const STEPS_PER_SOLUTION = 40;

/** Values of bytes that fulfil congruences: found by what is near the middle of their room, then elsewhere by chance. */
export interface Solutions {
  readonly lattice: ByteLattice;
  readonly wanted: { readonly growth: readonly number[] };
}

/** The lattice of all bytes of a system with one outcome. */
export function* solutionsOf(system: System): Steps<Solutions | undefined> {
  const lattice = yield* byteLatticeOf(system, [...system.free.keys()]);
  const growth = system.equations.flatMap((equation, i) =>
    isModular(equation) ? [Number(system.accepted[0]?.[i])] : [],
  );
  return lattice && { lattice, wanted: { growth } };
}

/** Values near the middle of the room of each byte, or moved from it by chance. */
export function centerOf({ free }: System, chance?: Chance): Uint8Array {
  return Uint8Array.from(free, ({ mask, value }) => {
    const middle = chance === undefined ? 0x7f : 0x40 + chance(0x80);
    return (value & ~mask) | (mask === 0xff ? middle : chance === undefined ? mask & 0x77 : mask & chance(0x100));
  });
}

/** Solves congruences alone; 'none' where all values were looked at. */
export function* latticePoints(
  system: System & { readonly verifies: (change: Change) => boolean },
  { lattice, wanted }: Solutions,
  budget: Budget,
): Steps<Change | 'none' | undefined> {
  const chance = chanceFrom(system.free.length);
  const isDue = turnsOf();
  for (let most = FIRST_NODES, turn = 0; ; most *= 2, turn++) {
    const values = lattice.valuesNear(centerOf(system, turn === 0 ? undefined : chance), wanted);
    if (values === undefined) return 'none';
    for (let left = most; left > 0 && !values.isDone(); left -= NODES_A_STEP) {
      if (!spend(budget, NODES_A_STEP * STEPS_PER_NODE)) return undefined;
      for (let found = values.next(NODES_A_STEP); found; found = values.next(NODES_A_STEP)) {
        const change = changeTo(system, found);
        if (system.verifies(change)) return change;
        if (!spend(budget, STEPS_PER_NODE)) return undefined;
        if (isDue(STEPS_PER_SOLUTION)) yield;
      }
      yield;
    }
    if (values.isDone()) return 'none';
  }
}

export function changeTo({ free }: System, values: Uint8Array): Change {
  return free.flatMap(({ value: old }, index) => {
    const value = values[index] as number;
    return value === old ? [] : [{ index, value }];
  });
}
