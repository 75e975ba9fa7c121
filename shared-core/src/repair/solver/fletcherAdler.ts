import { solveCongruence } from './congruence.js';
import { type Budget, type Change, isModular, type ModularSum, type System, spend } from './system.js';

/** Bytes that are looked at; pairs of them are tried, so that twice as many take four times as long. */
const MOST_BYTES = 64;

/** Bytes count in two ways at most in Fletcher's sum of two-byte units, and in one way in the others. */
const MOST_KINDS = 2;

/** More whole numbers that leave the wanted residue are not tried, nor more accepted outcomes. */
const MOST_CANDIDATES = 16;
const MOST_OUTCOMES = 256;

/**
 * Some change that brings a sum of two right (Fletcher, Adler), of however many bytes, where a search for the fewest has
 * come to its end without one. All bytes used count alike in the first sum, so that what one rises by another can fall
 * by: each such pair moves the second sum by what lies between their places, and leaves the first as it is.
 *
 * `none` where the bytes cannot reach both sums together, whatever they hold; undefined where none is found so, and there
 * may be one all the same.
 */
export function someFletcherAdler(system: System, budget: Budget): Change | 'none' | undefined {
  const [first, second, ...more] = system.equations;
  if (first === undefined || second === undefined || more.length > 0) return undefined;
  if (!isModular(first) || !isModular(second) || first.modulus !== second.modulus) return undefined;
  for (const members of alikeBytes(system, first)) {
    const change = changeOfAlike(system, first, second, members, budget);
    if (change === 'none' ? members.length === system.free.length : change !== undefined) return change;
  }
  return undefined;
}

/** The same with bytes that count alike in the first sum. */
function changeOfAlike(
  system: System,
  first: ModularSum,
  second: ModularSum,
  members: readonly number[],
  budget: Budget,
): Change | 'none' | undefined {
  // Both sums are told in what one of these bytes counts in the first, so that places next to each other are 1 apart.
  const weight = first.weights[members[0] as number] as bigint;
  const inUnits = (value: bigint) => solveCongruence(weight, value, first.modulus)?.value;
  if (inUnits(1n) === undefined) return undefined;
  const modulus = Number(first.modulus);
  const bytes = members.map((index) => {
    const value = system.free[index]?.value ?? 0;
    return { index, value, place: signedPlace(inUnits(second.weights[index] as bigint) ?? 0n, modulus) };
  });
  let mayBe = system.accepted.length > MOST_OUTCOMES;
  for (const outcome of system.accepted.slice(0, MOST_OUTCOMES)) {
    const residue = Number(inUnits(outcome[1] as bigint) ?? 0n);
    for (const rise of wholeNumbers(inUnits(outcome[0] as bigint), modulus, bytes)) {
      if (!reaches(bytes, rise, residue, modulus)) continue;
      mayBe = true;
      const change = changeFor(bytes, rise, residue, modulus, budget);
      if (change === 'used-up') return undefined;
      if (change !== undefined && system.verifies?.(change) !== false) return change;
    }
  }
  return mayBe ? undefined : 'none';
}

/** Whether a number of a residue class lies between the least and the most that a rise can make of the second sum. */
function reaches(bytes: readonly Member[], rise: number, residue: number, modulus: number): boolean {
  const byPlace = [...bytes].sort((a, b) => a.place - b.place);
  const low = filled(byPlace, rise);
  const high = filled(byPlace.reverse(), rise);
  return low + ((((residue - low) % modulus) + modulus) % modulus) <= high;
}

/** The second sum where all bytes have fallen as far as they can, and then the first ones rise as far as the rise allows. */
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
  /** What a rise by 1 adds to the second sum. */
  readonly place: number;
}

/** The free bytes that count alike in the first sum, the first of each kind, the most numerous kinds first. */
function alikeBytes({ free }: System, { weights }: ModularSum): readonly (readonly number[])[] {
  const groups = new Map<bigint, number[]>();
  for (const [index, { mask }] of free.entries()) {
    if (mask !== 0xff) continue;
    const weight = weights[index] as bigint;
    groups.set(weight, [...(groups.get(weight) ?? []), index]);
  }
  return [...groups.values()]
    .filter(({ length }) => length > 1)
    .sort((a, b) => b.length - a.length)
    .slice(0, MOST_KINDS)
    .map((group) => group.slice(0, MOST_BYTES));
}

function signedPlace(units: bigint, modulus: number): number {
  const weight = Number(units);
  return weight > modulus / 2 ? weight - modulus : weight;
}

/** Whole numbers that leave a residue, as far as the bytes can rise or fall together, nearest to 0 first. */
function wholeNumbers(residue: bigint | undefined, modulus: number, bytes: readonly Member[]): readonly number[] {
  if (residue === undefined) return [];
  // At most 64 bytes rise by at most 16,320, so that of a modulus of 255 there are many, of the larger ones at most one.
  const down = bytes.reduce((sum, { value }) => sum + value, 0);
  const up = 255 * bytes.length - down;
  const first = Number(residue) - modulus * Math.floor((Number(residue) + down) / modulus);
  const rises = Array.from(
    { length: Math.max(0, Math.floor((up - first) / modulus) + 1) },
    (_, i) => first + i * modulus,
  );
  return rises.sort((a, b) => Math.abs(a) - Math.abs(b));
}

/** Numbers of a residue class, those nearest to another number first. */
function nearest(residue: number, modulus: number, to: number): readonly number[] {
  const base = residue + modulus * Math.round((to - residue) / modulus);
  return Array.from({ length: MOST_CANDIDATES }, (_, i) => base + modulus * (i % 2 === 0 ? i / 2 : -(i + 1) / 2)).sort(
    (a, b) => Math.abs(a - to) - Math.abs(b - to),
  );
}

/** The change of the fewest bytes that is found from any byte that takes the rise first. */
function changeFor(
  bytes: readonly Member[],
  rise: number,
  residue: number,
  modulus: number,
  budget: Budget,
): Change | 'used-up' | undefined {
  let best: Change | undefined;
  for (let start = 0; start < bytes.length; start++) {
    const growth = spread(bytes, rise, start);
    const moved = growth.reduce((sum, by, i) => sum + by * (bytes[i] as Member).place, 0);
    for (const wanted of nearest(residue, modulus, moved)) {
      if (!spend(budget, bytes.length * bytes.length)) return best ?? 'used-up';
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
  for (let i = 0; i < bytes.length && left !== 0; i++) {
    const at = (start + i) % bytes.length;
    const { value } = bytes[at] as Member;
    growth[at] = Math.min(255 - value, Math.max(-value, left));
    left -= growth[at] as number;
  }
  return growth;
}

/** Moves the second sum by `distance` in pairs, one byte rising by what another falls by; undefined where that does not come out. */
function shifted(bytes: readonly Member[], growth: readonly number[], distance: number): readonly number[] | undefined {
  const grown = [...growth];
  let left = distance;
  for (let pairs = 0; left !== 0; pairs++) {
    const step = pairs < bytes.length ? bestPair(bytes, grown, left) : undefined;
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

/** The pair that leaves least to do; of several, the one that changes fewer bytes anew. */
function bestPair(bytes: readonly Member[], grown: readonly number[], left: number): Step | undefined {
  let best: Step | undefined;
  let fewest = 3;
  for (let up = 0; up < bytes.length; up++) {
    const room = 255 - (bytes[up] as Member).value - (grown[up] as number);
    if (room <= 0) continue;
    for (let down = 0; down < bytes.length; down++) {
      const apart = (bytes[up] as Member).place - (bytes[down] as Member).place;
      if (apart === 0 || apart > 0 !== left > 0) continue;
      const by = Math.min(room, (bytes[down] as Member).value + (grown[down] as number), Math.floor(left / apart));
      if (by <= 0) continue;
      const anew = (grown[up] === 0 ? 1 : 0) + (grown[down] === 0 ? 1 : 0);
      const gain = Math.abs(by * apart) - Math.abs(best?.moves ?? 0);
      if (gain < 0 || (gain === 0 && anew >= fewest)) continue;
      best = { up, down, by, moves: by * apart };
      fewest = anew;
    }
  }
  return best;
}
