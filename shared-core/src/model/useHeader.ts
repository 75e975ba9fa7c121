import { type Phrase, phrase } from '../base/phrase.js';
import type { Dump } from './dump.js';
import { headerValues } from './headers.js';

/** What "@use" may say a dump is here for, where it is not to be worked on. */
export const USES = ['comparison', 'another-module'] as const;

export type Use = (typeof USES)[number];

type Headed = Pick<Dump, 'rows' | 'headers'>;

/** The use that a value of the header names; undefined for any other value. */
export function useOf(value: string): Use | undefined {
  return USES.find((use) => use === value.toLowerCase());
}

function isUsed(dump: Headed, use: Use): boolean {
  return headerValues(dump, 'use').some((value) => useOf(value) === use);
}

/** Whether a dump is only here to compare others with: it is no step of any job, and is never written. */
export function isForComparison(dump: Headed): boolean {
  return isUsed(dump, 'comparison');
}

/** Whether a dump is said to be no later reading of any other module that is here. */
export function isOfAnotherModule(dump: Headed): boolean {
  return isUsed(dump, 'another-module');
}

/** Why a dump that is only to be compared with is not written. */
export function whyForComparison(): Phrase {
  return phrase(
    'This dump is only here to compare with ("@use comparison"), so it is never written. To work on it, take that header out of it.',
  );
}
