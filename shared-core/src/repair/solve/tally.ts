import type { Answer, Change, FreeByte, System } from './system.js';

/** Keeps the smallest of all changes of one number of bytes that are found, and counts them. */
export interface Tally {
  readonly found: (change: Change) => void;
  readonly best: () => Change | undefined;
  /** The answer, once something was found; `complete` where every change of as many bytes was looked at. */
  readonly answer: (complete: boolean) => Answer | undefined;
}

export function tallyOf(system: System): Tally {
  const size = sizeOfChange(system);
  let best: Change | undefined;
  let smallest = Number.POSITIVE_INFINITY;
  let count = 0;
  return {
    found: (change) => {
      const own = size(change);
      if ((count > 1 && own >= smallest) || system.holds?.(change) === false) return;
      count++;
      // Of equally small changes the first stays: it uses the bytes that are preferred.
      if (own < smallest) [best, smallest] = [change, own];
    },
    best: () => best,
    answer: (complete) =>
      best === undefined
        ? undefined
        : { kind: 'solved', change: best, unique: complete && count === 1, fewest: complete },
  };
}

function sizeOfChange({ measure, free }: System): (change: Change) => number {
  const each = measure === 'bits' ? (a: number, b: number) => ones(a ^ b) : (a: number, b: number) => Math.abs(a - b);
  return (change) => change.reduce((sum, { index, value }) => sum + each(value, (free[index] as FreeByte).value), 0);
}

/** How many bits are set. */
export function ones(bits: number): number {
  let count = 0;
  for (let left = bits; left !== 0; left &= left - 1) count++;
  return count;
}
