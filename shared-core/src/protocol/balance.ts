import type { DumpParams, EditResult, Stretch } from './common.js';

/** Client to server: the edit that makes every sum right, as the quick fix does; `null` where all are. */
export const CORRECT_CHECKSUMS = 'countersum/correctChecksums';
export type CorrectChecksumsResult = EditResult | null;

/** Client to server: the lines that could balance the dump's kept sums. */
export const BALANCE_CHOICES = 'countersum/balanceChoices';
export interface BalanceParams extends DumpParams {
  /** What is selected in the dump. */
  readonly selection?: Stretch;
}
/** The lines of a dump; for a memory image the addresses to ask for, which may be none. */
export type BalanceChoices = readonly BalanceChoice[] | { readonly suggested: string };
export interface BalanceChoice {
  readonly title: string;
  /** What is written where, or why it cannot be. */
  readonly detail: string;
  readonly edit: unknown | null;
  /** What would be written, byte by byte. */
  readonly inFull: readonly string[];
  /** What a person must know before it is written. */
  readonly cautions: readonly string[];
}

/** Client to server: how the bytes at some addresses of a memory image (such as "1F0..1FF") could balance its kept sums. */
export const BALANCE_AT = 'countersum/balanceAt';
export interface BalanceAtParams extends DumpParams {
  readonly addresses: string;
}
