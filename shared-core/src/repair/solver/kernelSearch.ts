import type { Steps } from '../../base/steps.js';
import { type Chance, chanceFrom } from './chance.js';
import type { IntegerSum, SumGroup } from './integerSums.js';
import type { Kernel } from './kernelOf.js';
import { type Level, levelsOf, type WalkLength, walkLength } from './kernelPlanes.js';
import { mixed, type Walk, walkThrough } from './kernelWalk.js';
import { changeTo } from './latticePoints.js';
import { luby } from './luby.js';
import { type Budget, type Change, type System, spend } from './system.js';

/** So many members, as a power of two, are gone through wholly. */
const MOST_WHOLE = 25;

/** So many are gone through at once; with more of them, others are looked at first. */
const MOST_AT_ONCE = 16;

/**
 * Of a larger one so many members for each level are looked at before it goes on elsewhere, twice what leads straight down:
 * turns are short, in Luby's sequence, since from most places nothing is near.
 */
const NODES_A_LEVEL = 2;

const NODES_A_STEP = 32;

/** Half of what is looked at is near the top; of what is near the bottom, five times what finds one on average. */
const AMPLE = 10;

/** How the solutions of binary equations are gone through for those that fulfil the congruences as well. */
export interface KernelSearch {
  /** How many are looked at until one is likely to be found: as a power of two. */
  readonly bits: number;
  /** Steps after which one is all but certain to be found by chance. */
  readonly ample: number;
  /** Whether all of them are looked at. */
  readonly isWhole: boolean;
  /** 'none' where all were looked at. */
  readonly find: (budget: Budget) => Steps<Change | 'none' | undefined>;
}

type Verified = System & { readonly verifies: (change: Change) => boolean };

/** `others` say the same as the sums, each with more of them. */
export function* kernelSearch(
  system: Verified,
  kernel: Kernel,
  sums: readonly SumGroup[],
  others: readonly (readonly SumGroup[])[] = [],
): Steps<KernelSearch> {
  const ground = yield* groundOf(system, kernel, sums);
  let best = ground;
  for (const other of others) {
    const own = yield* groundOf(system, kernel, other);
    if (own.toFind < best.toFind) best = own;
  }
  const isWhole = ground.whole <= MOST_WHOLE;
  function* find(budget: Budget): Steps<Change | 'none' | undefined> {
    if (!isWhole) return yield* byChance(best, budget);
    if (ground.whole <= MOST_AT_ONCE) return yield* throughAll(ground, budget);
    // Where what was decided first leaves nothing, all of it would be gone through before it is decided otherwise.
    const part = { ...budget, steps: budget.steps / 4 };
    const found = yield* byChance(best, part);
    budget.steps -= budget.steps / 4 - part.steps;
    return found ?? (yield* throughAll(ground, budget));
  }
  const ample = AMPLE * (2 ** best.toFind / MEMBERS_A_NODE) * stepsPerNode(best.from.length);
  return { bits: best.toFind, ample, isWhole, find };
}

/** What is gone through: the kernel in levels, from some values that fulfil the binary equations on. */
interface Ground extends WalkLength {
  readonly system: Verified;
  readonly from: Uint8Array;
  readonly levels: readonly Level[];
  readonly groups: readonly SumGroup[];
  readonly sums: readonly IntegerSum[];
}

function* groundOf(system: Verified, kernel: Kernel, groups: readonly SumGroup[]): Steps<Ground> {
  const sums = groups.flatMap((group) => group.sums);
  const levels = yield* levelsOf(kernel, sums);
  const from = Uint8Array.from(system.free, ({ value }, i) => value ^ (kernel.flips[i] as number));
  return { system, from, levels, groups, sums, ...walkLength(levels, groups) };
}

/** Members near places by chance, until one is found. */
function* byChance(ground: Ground, budget: Budget): Steps<Change | undefined> {
  const { from, levels, groups } = ground;
  const chance = chanceFrom(from.length + levels.length);
  const walk = walkOf(ground);
  for (let turn = 1; ; turn++) {
    walk.begin(mixed(from, levels, chance), likely(groups, chance));
    const found = yield* among(ground, walk, NODES_A_LEVEL * levels.length * luby(turn), budget);
    if (found !== 'none') return found;
  }
}

/** All members; 'none' where none of them does. */
function* throughAll(ground: Ground, budget: Budget): Steps<Change | 'none' | undefined> {
  const walk = walkOf(ground);
  for (const wanted of choicesOf(ground.groups)) {
    walk.begin(ground.from, wanted);
    const found = yield* among(ground, walk, Number.POSITIVE_INFINITY, budget);
    if (found !== 'none') return found;
  }
  return 'none';
}

function walkOf({ levels, sums, from }: Ground): Walk {
  return walkThrough(levels, sums, from.length);
}

/** So many members from where a walk begins; undefined where the budget is used up. */
function* among({ system }: Ground, walk: Walk, most: number, budget: Budget): Steps<Change | 'none' | undefined> {
  const stretch = Math.min(most, NODES_A_STEP);
  const steps = stretch * stepsPerNode(walk.values.length);
  for (let nodes = 0; nodes < most && !walk.isDone(); nodes += stretch) {
    if (!spend(budget, steps)) return undefined;
    while (walk.next(stretch)) {
      const change = changeTo(system, walk.values);
      if (system.verifies(change)) return change;
      if (!spend(budget, STEPS_PER_SOLUTION)) return undefined;
    }
    yield;
  }
  return 'none';
}

/** What each sum is to come to. */
type Choice = readonly number[];

/** All of them, the likely ones first. */
function choicesOf(groups: readonly SumGroup[]): readonly Choice[] {
  let choices: readonly { readonly choice: Choice; readonly chance: number }[] = [{ choice: [], chance: 1 }];
  for (const { wanted } of groups)
    choices = choices.flatMap(({ choice, chance }) =>
      wanted.map((one) => ({ choice: [...choice, ...one.values], chance: chance * one.chance })),
    );
  return [...choices].sort((a, b) => b.chance - a.chance).map(({ choice }) => choice);
}

/** One of them by chance, the likely ones more often. */
function likely(groups: readonly SumGroup[], chance: Chance): Choice {
  return groups.flatMap(({ wanted }) => {
    let left = chance(ONE) / ONE;
    const one = wanted.find(({ chance: own }) => {
      left -= own;
      return left < 0;
    });
    return one?.values ?? [];
  });
}

const ONE = 0x10_0000;
const STEPS_PER_SOLUTION = 40;

/** All ways to go on from a node are looked at at once; many of them are wrong already. */
const MEMBERS_A_NODE = 8;

function stepsPerNode(bytes: number): number {
  return 1 + bytes / 2;
}
