import type { Steps } from '../../base/steps.js';
import { type Chance, chanceFrom } from './chance.js';
import type { IntegerSum } from './integerSums.js';
import type { Kernel } from './kernelOf.js';
import { type Level, levelsOf, mixed, walkLength, walkThrough } from './kernelPlanes.js';
import { changeTo } from './latticePoints.js';
import { type Budget, type Change, type System, spend } from './system.js';

/** So many members, as a power of two, are gone through wholly. */
const MOST_WHOLE = 25;

/** So many are gone through at once; with more of them, others are looked at first. */
const MOST_AT_ONCE = 16;

/**
 * Of a larger one so many members are looked at before it goes on elsewhere: turns are short, and each second one of a
 * length is followed by one twice as long (Luby's sequence), since from most places nothing is near.
 */
const NODES_A_TURN = 256;

const NODES_A_STEP = 256;

/** How the solutions of binary equations are gone through for those that fulfil the congruences as well. */
export interface KernelSearch {
  /** How many are looked at until one is likely to be found: as a power of two. */
  readonly bits: number;
  /** Whether all of them are looked at. */
  readonly isWhole: boolean;
  /** 'none' where all were looked at. */
  readonly find: (budget: Budget) => Steps<Change | 'none' | undefined>;
}

type Verified = System & { readonly verifies: (change: Change) => boolean };

export function* kernelSearch(system: Verified, kernel: Kernel, sums: readonly IntegerSum[]): Steps<KernelSearch> {
  const levels = yield* levelsOf(kernel, sums);
  const from = Uint8Array.from(system.free, ({ value }, i) => value ^ (kernel.flips[i] as number));
  const { toFind, whole } = walkLength(levels, sums);
  const isWhole = whole <= MOST_WHOLE;
  const ground: Ground = { system, from, levels, sums };
  function* find(budget: Budget): Steps<Change | 'none' | undefined> {
    if (!isWhole) return yield* byChance(ground, budget);
    if (whole <= MOST_AT_ONCE) return yield* throughAll(ground, budget);
    // Where what was decided first leaves nothing, all of it would be gone through before it is decided otherwise.
    const part = { ...budget, steps: budget.steps / 4 };
    const found = yield* byChance(ground, part);
    budget.steps -= budget.steps / 4 - part.steps;
    return found ?? (yield* throughAll(ground, budget));
  }
  return { bits: toFind, isWhole, find };
}

/** What is gone through: the kernel in levels, from some values that fulfil the binary equations on. */
interface Ground {
  readonly system: Verified;
  readonly from: Uint8Array;
  readonly levels: readonly Level[];
  readonly sums: readonly IntegerSum[];
}

/** Members near places by chance, until one is found. */
function* byChance(ground: Ground, budget: Budget): Steps<Change | undefined> {
  const { from, levels, sums } = ground;
  const chance = chanceFrom(from.length + levels.length);
  for (let turn = 1; ; turn++) {
    const found = yield* among(
      ground,
      mixed(from, levels, chance),
      likely(sums, chance),
      NODES_A_TURN * luby(turn),
      budget,
    );
    if (found !== 'none') return found;
  }
}

/** All members; 'none' where none of them does. */
function* throughAll(ground: Ground, budget: Budget): Steps<Change | 'none' | undefined> {
  for (const wanted of choicesOf(ground.sums)) {
    const found = yield* among(ground, ground.from, wanted, Number.POSITIVE_INFINITY, budget);
    if (found !== 'none') return found;
  }
  return 'none';
}

/** So many members from a place on; undefined where the budget is used up. */
function* among(
  { system, levels, sums }: Ground,
  from: Uint8Array,
  wanted: Choice,
  most: number,
  budget: Budget,
): Steps<Change | 'none' | undefined> {
  const steps = NODES_A_STEP * (1 + from.length / 16);
  const aims = sums.map(({ weights }, i) => ({ weights, wanted: wanted[i] as number }));
  const walk = walkThrough(levels, from, aims);
  for (let nodes = 0; nodes < most && !walk.isDone(); nodes += NODES_A_STEP) {
    if (!spend(budget, steps)) return undefined;
    while (walk.next(NODES_A_STEP)) {
      const change = changeTo(system, walk.values);
      if (system.verifies(change)) return change;
      if (!spend(budget, STEPS_PER_SOLUTION)) return undefined;
    }
    yield;
  }
  return 'none';
}

/** 1, 1, 2, 1, 1, 2, 4, 1, 1, 2, 1, 1, 2, 4, 8 … */
function luby(at: number): number {
  const whole = 2 ** Math.ceil(Math.log2(at + 1));
  return whole === at + 1 ? whole / 2 : luby(at + 1 - whole / 2);
}

/** What each sum is to come to. */
type Choice = readonly number[];

/** All of them, the likely ones first. */
function choicesOf(sums: readonly IntegerSum[]): readonly Choice[] {
  let choices: readonly { readonly choice: Choice; readonly chance: number }[] = [{ choice: [], chance: 1 }];
  for (const { wanted } of sums)
    choices = choices.flatMap(({ choice, chance }) =>
      wanted.map((one) => ({ choice: [...choice, one.sum], chance: chance * one.chance })),
    );
  return [...choices].sort((a, b) => b.chance - a.chance).map(({ choice }) => choice);
}

/** One of them by chance, the likely ones more often. */
function likely(sums: readonly IntegerSum[], chance: Chance): Choice {
  return sums.map(({ wanted }) => {
    let left = chance(ONE) / ONE;
    const one = wanted.find(({ chance: own }) => {
      left -= own;
      return left < 0;
    });
    return (one ?? wanted.at(-1))?.sum ?? 0;
  });
}

const ONE = 2 ** 20;
const STEPS_PER_SOLUTION = 40;
