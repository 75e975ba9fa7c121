import type { Answer, Change, FreeByte, System } from './system.js';

/** The best change so far among those of one size, and a count of them. */
export interface Incumbent {
  readonly found: (change: Change) => void;
  /** The answer once a change was found; `complete` says that every change of this size was looked at. */
  readonly answer: (complete: boolean) => Answer | undefined;
}

export function incumbentOf(system: System): Incumbent {
  const size = sizeOfChange(system);
  let best: Change | undefined;
  let smallest = Number.POSITIVE_INFINITY;
  let count = 0;
  return {
    found: (change) => {
      const own = size(change);
      const isBetter = best === undefined || own < smallest || (own === smallest && isPreferred(change, best));
      if ((count > 1 && !isBetter) || system.verifies?.(change) === false) return;
      count++;
      if (isBetter) [best, smallest] = [change, own];
    },
    answer: (complete) =>
      best === undefined
        ? undefined
        : { kind: 'solved', change: best, unique: complete && count === 1, fewest: complete },
  };
}

/** Whether a change uses better bytes than another of as many: free bytes are listed best first. */
export function isPreferred(change: Change, other: Change): boolean {
  const indexes = (all: Change) => all.map(({ index }) => index).sort((a, b) => a - b);
  const [own, others] = [indexes(change), indexes(other)];
  const at = own.findIndex((index, i) => index !== others[i]);
  return at >= 0 && (own[at] as number) < (others[at] as number);
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
