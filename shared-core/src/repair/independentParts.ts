import { withTied } from '../model/copies.js';
import type { Dump } from '../model/dump.js';
import type { FreeCell } from './freeCells.js';

/** Totals with the groups of bytes that move them: no byte of another part does. */
export interface Part {
  readonly groups: readonly (readonly FreeCell[])[];
  /** Those of the totals to bring right that are in this part, and all that must come out right in it. */
  readonly totals: readonly number[];
  readonly demands: readonly number[];
}

/**
 * Totals that must come out right in parts that have no byte in common, each of which is solved by itself; those parts
 * that hold a total to bring right. Undefined where it is all one, or where no byte moves one of these.
 */
export function independentParts(
  dump: Dump,
  groups: readonly (readonly FreeCell[])[],
  totals: readonly number[],
  demands: readonly number[],
): readonly Part[] | undefined {
  const parents = new Map<number, number>();
  const rootOf = (row: number): number => {
    let root = row;
    for (let up = parents.get(root) as number; up !== root; up = parents.get(root) as number) {
      parents.set(root, parents.get(up) as number);
      root = up;
    }
    return root;
  };
  /** Makes rows one; the first of them. */
  const join = (rows: Iterable<number>): number | undefined => {
    let first: number | undefined;
    for (const row of rows) {
      if (first === undefined) first = row;
      else parents.set(rootOf(row), rootOf(first));
    }
    return first;
  };
  const rowsOf = groups.map((cells) => [...new Set(withTied(dump, cells).map(({ row }) => row))]);
  for (const row of rowsOf.flat()) parents.set(row, row);
  for (const rows of rowsOf) join(rows);
  const rowOfTotal = new Map<number, number>();
  for (const index of demands) {
    const moving = new Set<number>();
    dump.totals[index]?.run.each((row) => {
      if (parents.has(row)) moving.add(row);
    });
    const row = join(moving);
    if (row !== undefined) rowOfTotal.set(index, row);
  }
  if (totals.some((index) => !rowOfTotal.has(index))) return undefined;
  const partOf = new Map<number, { groups: (readonly FreeCell[])[]; totals: number[]; demands: number[] }>();
  for (const index of totals) {
    const root = rootOf(rowOfTotal.get(index) as number);
    if (!partOf.has(root)) partOf.set(root, { groups: [], totals: [], demands: [] });
    partOf.get(root)?.totals.push(index);
  }
  for (const [index, row] of rowOfTotal) partOf.get(rootOf(row))?.demands.push(index);
  for (const [i, cells] of groups.entries()) {
    const [row] = rowsOf[i] as readonly number[];
    if (row !== undefined) partOf.get(rootOf(row))?.groups.push(cells);
  }
  const parts = [...partOf.values()];
  return parts.length < 2 ? undefined : parts;
}
