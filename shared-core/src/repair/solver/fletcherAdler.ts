import type { Steps } from '../../base/steps.js';
import { solveCongruence } from './congruence.js';
import {
  type Budget,
  type Change,
  type FreeByte,
  isModular,
  type ModularSum,
  type System,
  spend,
  turnsOf,
} from './system.js';

/** The most bytes that are looked at: pairs of them are tried, so that twice as many take four times as long. */
const MOST_BYTES = 64;

/** The first sum has two weights at most: one for each byte of a unit of Fletcher-32, a single one elsewhere. */
const MOST_WEIGHTS = 2;

/** The most whole numbers of a residue class, and the most accepted outcomes, that are tried. */
const MOST_CANDIDATES = 16;
const MOST_OUTCOMES = 256;

/**
 * Finds some change, of any number of bytes, that brings a Fletcher or Adler sum right, after the search for the fewest
 * bytes gave up. The bytes used have equal weight in the first sum: where one rises by what another falls by, the first
 * sum stays and the second moves by the distance between their places.
 *
 * `none` where no values of the bytes can give both sums; undefined where none was found, though there may be one.
 */
export function* someFletcherAdler(system: System, budget: Budget): Steps<Change | 'none' | undefined> {
  const [first, second, ...more] = system.equations;
  if (first === undefined || second === undefined || more.length > 0) return undefined;
  if (!isModular(first) || !isModular(second) || first.modulus !== second.modulus) return undefined;
  for (const members of equalWeightBytes(system, first)) {
    const change = yield* changeOfEqualWeights(system, first, second, members, budget);
    if (change === 'none' ? members.length === system.free.length : change !== undefined) return change;
  }
  return undefined;
}

/** The same with bytes of equal weight in the first sum. */
function* changeOfEqualWeights(
  system: System,
  first: ModularSum,
  second: ModularSum,
  members: readonly number[],
  budget: Budget,
): Steps<Change | 'none' | undefined> {
  // Both sums are measured in units of the weight in the first, so that neighbouring places are 1 apart.
  const weight = first.weights[members[0] as number] as bigint;
  const inverse = solveCongruence(weight, 1n, first.modulus)?.value;
  if (inverse === undefined) return undefined;
  const inUnits = (value: bigint | undefined) => Number(((value as bigint) * inverse) % first.modulus);
  const modulus = Number(first.modulus);
  const bytes = members.map((index) => {
    const { value } = system.free[index] as FreeByte;
    return { index, value, place: inUnits(second.weights[index]) };
  });
  let isOpen = system.accepted.length > MOST_OUTCOMES;
  for (const outcome of system.accepted.slice(0, MOST_OUTCOMES)) {
    const residue = inUnits(outcome[1]);
    for (const rise of wholeNumbers(inUnits(outcome[0]), modulus, bytes)) {
      if (!reaches(bytes, rise, residue, modulus)) continue;
      isOpen = true;
      const change = yield* changeFor(bytes, rise, residue, modulus, budget);
      if (change !== undefined && system.verifies?.(change) !== false) return change;
    }
  }
  return isOpen ? undefined : 'none';
}

/** Whether some number of a residue class is between the least and the most that the second sum can move by with a rise. */
function reaches(bytes: readonly Member[], rise: number, residue: number, modulus: number): boolean {
  const byPlace = [...bytes].sort((a, b) => a.place - b.place);
  const low = filled(byPlace, rise);
  const high = filled(byPlace.reverse(), rise);
  return low + ((((residue - low) % modulus) + modulus) % modulus) <= high;
}

/** The move of the second sum where all bytes fall to 0, and then the first ones rise as far as the rise allows. */
function filled(bytes: readonly Member[], rise: number): number {
  let left = bytes.reduce((sum, { value }) => sum + value, rise);
  let sum = 0;
  for (const { value, place } of bytes) {
    const taken = Math.min(255, left);
    left -= taken;
    sum += (taken - value) * place;
  }
  return sum;
}

interface Member {
  readonly index: number;
  readonly value: number;
  /** What a rise of 1 adds to the second sum. */
  readonly place: number;
}

/** The free bytes by their weight in the first sum, the most numerous first. */
function equalWeightBytes({ free }: System, { weights }: ModularSum): readonly (readonly number[])[] {
  const groups = new Map<bigint, number[]>();
  for (const [index, { mask }] of free.entries()) {
    if (mask !== 0xff) continue;
    const weight = weights[index] as bigint;
    groups.set(weight, [...(groups.get(weight) ?? []), index]);
  }
  return [...groups.values()]
    .sort((a, b) => b.length - a.length)
    .slice(0, MOST_WEIGHTS)
    .map((group) => group.slice(0, MOST_BYTES));
}

/** The whole numbers of a residue class that the bytes can rise or fall by together, nearest to 0 first. */
function wholeNumbers(residue: number, modulus: number, bytes: readonly Member[]): readonly number[] {
  // At most 64 bytes rise by at most 16,320, so that of a modulus of 255 there are many, of the larger ones at most one.
  const down = bytes.reduce((sum, { value }) => sum + value, 0);
  const up = 255 * bytes.length - down;
  const rises: number[] = [];
  for (let rise = residue - modulus * Math.floor((residue + down) / modulus); rise <= up; rise += modulus)
    rises.push(rise);
  return rises.sort((a, b) => Math.abs(a) - Math.abs(b));
}

/** Numbers of a residue class, as near to another number as any. */
function nearest(residue: number, modulus: number, to: number): readonly number[] {
  const middle = Math.round((to - residue) / modulus);
  return Array.from({ length: MOST_CANDIDATES }, (_, i) => residue + modulus * (middle + i - MOST_CANDIDATES / 2));
}

/** The change of the fewest bytes among those that are found with each byte in turn taking the rise first. */
function* changeFor(
  bytes: readonly Member[],
  rise: number,
  residue: number,
  modulus: number,
  budget: Budget,
): Steps<Change | undefined> {
  let best: Change | undefined;
  const isDue = turnsOf();
  for (let start = 0; start < bytes.length; start++) {
    const growth = spread(bytes, rise, start);
    const moved = growth.reduce((sum, by, i) => sum + by * (bytes[i] as Member).place, 0);
    for (const wanted of nearest(residue, modulus, moved)) {
      if (!spend(budget, bytes.length * bytes.length)) return best;
      if (isDue(bytes.length * bytes.length)) yield;
      const grown = shifted(bytes, growth, wanted - moved);
      const change = grown?.flatMap((by, i): Change => {
        const { index, value } = bytes[i] as Member;
        return by === 0 ? [] : [{ index, value: value + by }];
      });
      if (change !== undefined && (best === undefined || change.length < best.length)) best = change;
    }
  }
  return best;
}

/** Lets a byte take a rise as far as it can, and those after it what is left. */
function spread(bytes: readonly Member[], rise: number, start: number): readonly number[] {
  const growth = bytes.map(() => 0);
  let left = rise;
  for (let i = 0; i < bytes.length; i++) {
    const at = (start + i) % bytes.length;
    const { value } = bytes[at] as Member;
    growth[at] = Math.min(255 - value, Math.max(-value, left));
    left -= growth[at] as number;
  }
  return growth;
}

/** Moves the second sum by `distance` in pairs, one byte rising by what another falls by; undefined where that fails. */
function shifted(bytes: readonly Member[], growth: readonly number[], distance: number): readonly number[] | undefined {
  const grown = [...growth];
  let left = distance;
  while (left !== 0) {
    const step = bestPair(bytes, grown, left);
    if (step === undefined) return undefined;
    (grown[step.up] as number) += step.by;
    (grown[step.down] as number) -= step.by;
    left -= step.moves;
  }
  return grown;
}

interface Step {
  readonly up: number;
  readonly down: number;
  readonly by: number;
  readonly moves: number;
}

/** The pair that leaves the shortest distance; of several, the one that changes fewer bytes that were unchanged. */
function bestPair(bytes: readonly Member[], grown: readonly number[], left: number): Step | undefined {
  let best: Step | undefined;
  let most = 0;
  for (let up = 0; up < bytes.length; up++) {
    const rising = bytes[up] as Member;
    const room = 255 - rising.value - (grown[up] as number);
    for (let down = 0; down < bytes.length; down++) {
      const falling = bytes[down] as Member;
      const apart = rising.place - falling.place;
      // Below 0 where that is the wrong way.
      const by = Math.min(room, falling.value + (grown[down] as number), Math.floor(left / apart));
      const added = Number(grown[up] === 0) + Number(grown[down] === 0);
      const gain = 3 * by * Math.abs(apart) - added;
      if (gain > most) {
        best = { up, down, by, moves: by * apart };
        most = gain;
      }
    }
  }
  return best;
}
