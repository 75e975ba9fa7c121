import type { Phrase } from './phrase.js';

/** What was asked for, or one sentence that says why it cannot be had. */
export type Result<T> = { readonly ok: true; readonly value: T } | Refused;

export interface Refused {
  readonly ok: false;
  readonly why: Phrase;
  /** The row of the text that is in the way, where one is. */
  readonly row?: number;
  /** What the person may accept so that it can be had after all. */
  readonly asks?: Ask;
  /** What would help: a backup, where there is none. */
  readonly helps?: 'backup';
}

/** A doubt that a person may accept: that the profile is for this module, or options whose condition is not met. */
export type Ask = { readonly kind: 'unconfirmed' } | { readonly kind: 'despite'; readonly options: readonly string[] };

export function done<T>(value: T): Result<T> {
  return { ok: true, value };
}

export function refuse(why: Phrase, row?: number): Refused {
  return row === undefined ? { ok: false, why } : { ok: false, why, row };
}

export function refuseUnless(asks: Ask, why: Phrase): Refused {
  return { ok: false, why, asks };
}

/** What was asked for, where why it cannot be had does not matter. */
export function valueIn<T>(result: Result<T>): T | undefined {
  return result.ok ? result.value : undefined;
}
