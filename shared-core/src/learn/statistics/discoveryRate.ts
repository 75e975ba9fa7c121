/**
 * Benjamini and Hochberg's q of each p (J. R. Statist. Soc. B 57, 1995): naming all places with q at most 0.05 as found
 * makes, on average, at most 5 % of the found ones false. In the order of the given list.
 */
export function discoveryRates(ps: readonly number[]): number[] {
  const order = [...ps.keys()].sort((i, j) => (ps[i] as number) - (ps[j] as number));
  const qs = new Array<number>(ps.length);
  let lowest = 1;
  for (let rank = order.length; rank >= 1; rank--) {
    const index = order[rank - 1] as number;
    lowest = Math.min(lowest, ((ps[index] as number) * ps.length) / rank);
    qs[index] = lowest;
  }
  return qs;
}
