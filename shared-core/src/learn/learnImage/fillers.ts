import type { Images } from './images.js';
import type { Run } from './naturalEnds.js';

export interface Filler extends Run {
  readonly value: number;
}

/** Shorter runs of one value are not called filler. */
const LEAST = 16;

/** Stretches in which all images hold one and the same value. */
export function fillersIn({ bytes, segments }: Images): readonly Filler[] {
  const [first] = bytes;
  if (first === undefined) return [];
  const found: Filler[] = [];
  for (const { from, count } of segments) {
    let start = from;
    for (let i = from; i <= from + count; i++) {
      const value = first[start] as number;
      if (i < from + count && bytes.every((image) => image[i] === value)) continue;
      if (i - start >= LEAST) found.push({ from: start, end: i, value });
      // The byte that ends a run may begin the next one, where all images agree on it.
      start = i < from + count && bytes.every((image) => image[i] === first[i]) ? i : i + 1;
    }
  }
  return found.sort((a, b) => b.end - b.from - (a.end - a.from));
}
