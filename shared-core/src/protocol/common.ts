/** What many requests have in common: the dump that they are about. */
export interface DumpParams {
  readonly uri: string;
}

/** A stretch of a document as editors count: lines and UTF-16 units from 0. */
export interface Stretch {
  readonly start: { readonly line: number; readonly character: number };
  readonly end: { readonly line: number; readonly character: number };
}

/** A message with its reason where something cannot be done. */
export interface Refusal {
  readonly refused: string;
}

/** Kind of the quick fix that makes all sums right: asked for by itself, it is given wherever the cursor is. */
export const ALL_SUMS = 'quickfix.countersum.allSums';
