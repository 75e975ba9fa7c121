import type { Steps } from '../../base/steps.js';
import { type Chance, chanceFrom } from './chance.js';
import type { IntegerSum } from './integerSums.js';
import type { Kernel } from './kernelOf.js';
import { type Level, levelsOf, mixed, walkLength, walkThrough } from './kernelPlanes.js';
import { changeTo } from './latticePoints.js';
import { type Budget, type Change, type System, spend } from './system.js';

/** So many members, as a power of two, are gone through wholly. */
const MOST_WHOLE = 25;

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
  return { bits: toFind, isWhole, find: (budget) => find(system, from, levels, sums, isWhole, budget) };
}

function* find(
  system: Verified,
  from: Uint8Array,
  levels: readonly Level[],
  sums: readonly IntegerSum[],
  isWhole: boolean,
  budget: Budget,
): Steps<Change | 'none' | undefined> {
  const chance = chanceFrom(from.length + levels.length);
  const steps = NODES_A_STEP * (1 + from.length / 16);
  const choices = isWhole ? choicesOf(sums) : [];
  for (let turn = 0; !isWhole || turn < choices.length; turn++) {
    const wanted = isWhole ? (choices[turn] as Choice) : likely(sums, chance);
    const aims = sums.map(({ weights }, i) => ({ weights, wanted: wanted[i] as number }));
    const walk = walkThrough(levels, isWhole ? from : mixed(from, levels, chance), aims);
    const most = isWhole ? Number.POSITIVE_INFINITY : NODES_A_TURN * luby(turn + 1);
    for (let nodes = 0; nodes < most && !walk.isDone(); nodes += NODES_A_STEP) {
      if (!spend(budget, steps)) return undefined;
      while (walk.next(NODES_A_STEP)) {
        const change = changeTo(system, walk.values);
        if (system.verifies(change)) return change;
        if (!spend(budget, STEPS_PER_SOLUTION)) return undefined;
      }
      yield;
    }
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

function choicesOf(sums: readonly IntegerSum[]): readonly Choice[] {
  let choices: readonly Choice[] = [[]];
  for (const { wanted } of sums) choices = choices.flatMap((choice) => wanted.map(({ sum }) => [...choice, sum]));
  return choices;
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
