/** How many times as many cases of each law there are as usual; `npm run attack` says more. */
export const casesTimes = (): number => Number(process.env.COUNTERSUM_CASES ?? 1);

/** So many random cases of a law in `npm test`, and many times as many in an attack. */
export const cases = (count: number): { readonly numRuns: number } => ({ numRuns: count * casesTimes() });
