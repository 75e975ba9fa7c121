/** What many requests have in common: the dump (or retrofit) that they are about. */
export interface DumpParams extends Accepted {
  readonly uri: string;
}

/** A stretch of a document as editors count: lines and UTF-16 units from 0. */
export interface Stretch {
  readonly start: { readonly line: number; readonly character: number };
  readonly end: { readonly line: number; readonly character: number };
}

/** A stretch in a row of a dump, with how that row begins: by this it is found where rows have moved since. */
export interface Place extends Stretch {
  readonly head: string;
}

/** A message with its reason where something cannot be done. */
export interface Refusal {
  readonly refused: string;
  /** The doubt that a person may accept, so that the request is repeated with what they accept. */
  readonly asks?: { readonly kind: 'unconfirmed' } | { readonly kind: 'despite'; readonly options: readonly string[] };
  /** What would help: a backup, where there is none. */
  readonly helps?: 'backup';
}

/** What a person has accepted of what a refusal asked: goes with any request. */
export interface Accepted {
  /** That the profile is for this module, which the dump does not say. */
  readonly unconfirmed?: boolean;
  /** Ids of options whose condition may stay unmet. */
  readonly despite?: readonly string[];
}

/** An edit of a version of a dump, for the client to make once the person knows what to be careful about. */
export interface EditResult {
  readonly edit: unknown;
  readonly version: number;
  /** What is written, in words. */
  readonly says: string;
  /** What would be written, option by option and byte by byte. */
  readonly inFull: readonly string[];
  /** What a person must know before it is written. */
  readonly cautions: readonly string[];
}

/** Kind of the quick fix that makes all sums right: asked for by itself, it is given wherever the cursor is. */
export const ALL_SUMS = 'quickfix.countersum.allSums';
