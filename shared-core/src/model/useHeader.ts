import { nearestName } from '../base/nearestName.js';
import { type Phrase, type PhrasePart, phrase } from '../base/phrase.js';
import type { HeaderRow } from '../format/row.js';
import type { Dump } from './dump.js';
import { HEADER_NAMES, headersOf, headerValues, type PlacedHeader } from './headers.js';

/** What "@use" may say a dump is here for, where it is not to be worked on. */
export const USES = ['comparison', 'another-module', 'masked'] as const;

export type Use = (typeof USES)[number];

type Headed = Pick<Dump, 'rows' | 'headers'>;

/** The use that a value of the header names; undefined for any other value. */
export function useOf(value: string): Use | undefined {
  return USES.find((use) => use === value.toLowerCase());
}

function isUsed(dump: Headed, use: Use): boolean {
  return headerValues(dump, 'use').some((value) => useOf(value) === use);
}

/** Whether a dump is only here to compare others with: it is no step of any job, and no byte of it is ever changed. */
export function isForComparison(dump: Headed): boolean {
  return isUsed(dump, 'comparison') || isMasked(dump);
}

/** Whether a dump is a copy for others in which bytes were invented, as *Share a Copy…* makes it: no module may ever hold it. */
export function isMasked(dump: Headed): boolean {
  return isUsed(dump, 'masked');
}

/** Whether a dump is said to be of none of the other modules that are here. */
export function isOfAnotherModule(dump: Headed): boolean {
  return isUsed(dump, 'another-module');
}

/** Whether a dump is marked as one that says nothing of the modules that are worked on here. */
export function isSetAside(dump: Headed): boolean {
  return isForComparison(dump) || isOfAnotherModule(dump);
}

/** Why a dump that is only to be compared with is not written. */
export function whyForComparison(dump: Headed): Phrase {
  if (isMasked(dump))
    return phrase(
      'This dump is a copy for others with invented bytes ("@use masked"), so no byte of it is changed and no module may hold it. Work on what was read from the module.',
    );
  return phrase(
    'This dump is only here to compare with ("@use comparison"), so no byte of it is changed. To work on it, take that header out of it.',
  );
}

/** Why a dump is no backup, no plan and no reading of any module; undefined where its "@use" does not say so. */
export function whySetAside(name: PhrasePart, dump: Headed): Phrase | undefined {
  if (isMasked(dump))
    return phrase(
      '{0} is a copy for others with invented bytes ("@use masked"), so it shows nothing of this module. Take what was read from the module.',
      name,
    );
  if (isForComparison(dump))
    return phrase(
      '{0} is only here to compare with ("@use comparison"), so it shows nothing of this module. Take what was read from the module.',
      name,
    );
  return isOfAnotherModule(dump)
    ? phrase(
        '{0} is of none of the modules here ("@use another-module"), so it shows nothing of this one. Take what was read from this module, or take that header out where it is wrong.',
        name,
      )
    : undefined;
}

/** Whether a header is meant to say what a dump is here for and does not: by its value, or the way its name is spelled. */
export function isWrongUse({ name, value }: Pick<HeaderRow, 'name' | 'value'>): boolean {
  if (name === 'use') return useOf(value) === undefined;
  const said = `${name} ${value}`.toLowerCase();
  return isNearlyUse({ name, value }) && USES.some((use) => said.includes(use));
}

/** Whether a header that has no meaning is probably meant to be "@use". */
export function isNearlyUse({ name, value }: Pick<HeaderRow, 'name' | 'value'>): boolean {
  if (name === '') return /^use(?:\s|$)/i.test(value);
  if (HEADER_NAMES.some((known) => known === name)) return false;
  return nearestName(name, HEADER_NAMES) === 'use' || /^use(?![\p{L}\d_])/iu.test(name);
}

/** What is wrong with such a header. */
export function whyWrongUse({ name, value }: Pick<HeaderRow, 'name' | 'value'>): Phrase {
  return phrase(
    '"{0}" does not say what the dump is here for. Write "@use" and one of {1}, or remove it.',
    `@${name} ${value}`.trimEnd(),
    USES.join(', '),
  );
}

/** The first header of which nobody can tell what it says the dump is here for. */
export function unclearUse(dump: Headed): PlacedHeader | undefined {
  return headersOf(dump).find(({ header }) => isWrongUse(header));
}
