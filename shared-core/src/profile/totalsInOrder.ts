import { placeOfTotal } from './places.js';
import type { Total } from './profile.js';

export interface OrderedTotals {
  /** Each after those whose stored value it covers, else as they stood. */
  readonly ordered: readonly Total[];
  /** Totals that cover each other in a circle, so that none can be computed first: each covers the next, the last the first. */
  readonly circles: readonly (readonly Total[])[];
}

/** The order in which totals can be computed. Those in a circle have none and are only among the circles. */
export function totalsInOrder(totals: readonly Total[]): OrderedTotals {
  const ordered = new Set<Total>();
  const circles: (readonly Total[])[] = [];
  function visit(total: Total, above: readonly Total[]): void {
    if (ordered.has(total)) return;
    const path = [...above, total];
    for (const other of totals.filter((one) => one !== total && covers(total, one))) {
      const at = path.indexOf(other);
      if (at < 0) visit(other, path);
      else circles.push(path.slice(at));
    }
    ordered.add(total);
  }
  for (const total of totals) visit(total, []);
  const circular = new Set(circles.flat());
  return { ordered: [...ordered].filter((total) => !circular.has(total)), circles };
}

/** Whether a total runs over bytes in which another is stored. */
function covers({ covers: run }: Total, other: Total): boolean {
  const place = placeOfTotal(other);
  if (place === undefined) return false;
  if (place.kind === 'address') {
    const last = place.address + place.count - 1;
    return run.kind === 'addresses' && run.ranges.some(({ from, to }) => from <= last && to >= place.address);
  }
  return run.kind === 'all-lines' || (run.kind === 'lines' && place.line >= run.from && place.line <= run.to);
}
