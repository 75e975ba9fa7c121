import { type Phrase, phrase } from './phrase.js';

/** A number with its unit, where it has one. */
export function withUnit(number: number | string, unit: string): Phrase {
  return unit === '' ? phrase('{0}', number) : phrase('{0} {1}', number, unit);
}
