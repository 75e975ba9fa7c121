import { isBetween } from '../format/label.js';
import type { Label } from '../format/row.js';
import { placeOfTotal } from './places.js';
import type { Coverage, Place, Total } from './profile.js';

/**
 * The order in which totals are computed and written: each after those whose stored value it covers. Totals that cover
 * each other in a circle come one after the other as the profile has them; each can be checked all the same.
 */
export function totalsInOrder(totals: readonly Total[]): readonly Total[] {
  const stored = [...totals.entries()].flatMap(([i, total]) => {
    const place = placeOfTotal(total);
    return place === undefined ? [] : [{ i, total, place }];
  });
  const covered = totals.map((total) =>
    stored.filter((other) => other.total !== total && covers(total, other.place)).map(({ i }) => i),
  );
  return circlesFirst(covered).flatMap((circle) => circle.sort((a, b) => a - b).map((i) => totals[i] as Total));
}

/**
 * The strongly connected components of a graph, each after those that it leads to (Tarjan 1972). A node of no circle is
 * one by itself.
 */
function circlesFirst(next: readonly (readonly number[])[]): readonly number[][] {
  const found: number[][] = [];
  const number = new Map<number, number>();
  const done = new Set<number>();
  const path: number[] = [];
  /** Gives the earliest node on the path that can be reached from this one. */
  function visit(node: number): number {
    let least = number.size;
    number.set(node, least);
    path.push(node);
    for (const other of next[node] ?? []) {
      if (!done.has(other)) least = Math.min(least, number.get(other) ?? visit(other));
    }
    if (least < (number.get(node) as number)) return least;
    const circle = path.splice(path.indexOf(node));
    for (const one of circle) done.add(one);
    found.push(circle);
    return least;
  }
  for (const node of next.keys()) if (!done.has(node)) visit(node);
  return found;
}

/** Whether a sum runs over bytes of a line, or may do so. */
export function coversLine(run: Coverage, line: Label): boolean {
  switch (run.kind) {
    case 'all-lines':
      return true;
    case 'lines':
      return isBetween(line, run);
    case 'line-parts':
      return run.parts.some((part) => isBetween(line, part));
    case 'addresses':
      return false;
  }
}

/** Whether a total runs over bytes of a place in which another is stored. */
function covers({ covers: run }: Total, place: Place): boolean {
  if (place.kind === 'line') return coversLine(run, place.line);
  const last = place.address + place.count - 1;
  return run.kind === 'addresses' && run.ranges.some(({ from, to }) => from <= last && to >= place.address);
}
