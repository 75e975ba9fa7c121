import { type Phrase, phrase } from './phrase.js';

/** Beyond this probability of chance a rule is no finding, and rarer rules are tried too. */
export const SURE = 1e-6;

/**
 * How likely it is that a find is mere chance, in words. `isUndecided`: something else fits as well, so that the chance
 * of each says nothing.
 */
export function oddsInWords(chance: number, isUndecided = false): Phrase {
  if (isUndecided || !(chance <= 0.5)) return phrase('undecided');
  return chance <= SURE
    ? phrase('practically certain')
    : phrase('could be chance: 1 in {0}', twoDigitsBelow(1 / chance));
}

/** Rounded down to two digits, so that nothing is said to be surer than it is. */
export function twoDigitsBelow(number: number): number {
  const step = 10 ** Math.max(0, Math.floor(Math.log10(number)) - 1);
  return Math.floor((number * (1 + 1e-9)) / step) * step;
}
