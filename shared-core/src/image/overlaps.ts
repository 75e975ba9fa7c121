import type { ImagePieces } from './imagePieces.js';
import { type ImageProblem, overlap } from './imageProblems.js';

/**
 * Pieces, in the order of their addresses, that begin inside one before them. Records on successive rows make one
 * problem: a block that stands in a file twice is one mistake, however many rows it has.
 */
export function overlaps({ length, rows, addresses, counts }: ImagePieces): ImageProblem[] {
  const found: number[] = [];
  const holders = new Map<number, number>();
  let reach = Number.NEGATIVE_INFINITY;
  let holder = 0;
  for (let i = 0; i < length; i++) {
    if ((addresses[i] as number) < reach) {
      found.push(i);
      holders.set(i, holder);
    }
    const end = (addresses[i] as number) + (counts[i] as number);
    if (end > reach) {
      reach = end;
      holder = rows[i] as number;
    }
  }
  found.sort((a, b) => (rows[a] as number) - (rows[b] as number));
  const problems: ImageProblem[] = [];
  for (let from = 0; from < found.length; ) {
    const first = found[from] as number;
    const row = rows[first] as number;
    let to = from + 1;
    while (to < found.length && rows[found[to] as number] === row + to - from) to++;
    problems.push(overlap(row, addresses[first] as number, holders.get(first) as number, to - from));
    from = to;
  }
  return problems;
}
