import { randomNumbers } from './oracle/build.js';

/** Random choices that a seed determines, so that every case can be made again. */
export interface Dice {
  /** A whole number from `from` to `to`, both included. */
  readonly int: (from: number, to: number) => number;
  readonly pick: <T>(among: readonly T[]) => T;
  /** True once in so many times. */
  readonly once: (inSoMany: number) => boolean;
  /** So many picks of a list, no entry twice, in random order. */
  readonly some: <T>(among: readonly T[], count: number) => readonly T[];
}

export function diceOf(seed: number): Dice {
  const next = randomNumbers(seed);
  // Seeds that lie close together begin alike; the first numbers are thrown away.
  for (let i = 0; i < 4; i++) next();
  const int = (from: number, to: number) => from + Math.floor(next() * (to - from + 1));
  const pick = <T>(among: readonly T[]): T => {
    if (among.length === 0) throw new RangeError('nothing to pick from');
    return among[int(0, among.length - 1)] as T;
  };
  return {
    int,
    pick,
    once: (inSoMany) => int(1, inSoMany) === 1,
    some: (among, count) => {
      const left = [...among];
      return Array.from({ length: Math.min(count, left.length) }, () => left.splice(int(0, left.length - 1), 1)).flat();
    },
  };
}

/** A seed for one case of many. */
export function seedOf(seed: number, index: number): number {
  return (Math.imul(seed + 1, 0x9e3779b1) ^ Math.imul(index + 1, 0x85ebca6b)) >>> 0;
}
