/** How many times as many cases there are as `npm test` looks at; `npm run attack` says more. */
export function timesMore({ COUNTERSUM_TIMES = '1' } = process.env): number {
  return Number(COUNTERSUM_TIMES);
}

/** A law holds for so many random cases in `npm test`, and for many times as many in an attack. */
export const times = (count: number): { readonly numRuns: number } => ({ numRuns: count * timesMore() });
