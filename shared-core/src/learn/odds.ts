import { listed, type Phrase, phrase } from '../base/phrase.js';
import { SURE } from './learnSums/lineSums.js';

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

/** A chance in figures; one that is too small to mean anything as a number is not written out, and none is 0. */
export function chanceInFigures(chance: number): Phrase {
  return chance < LEAST_CHANCE ? phrase('less than {0}', LEAST_CHANCE) : listed([Number(chance.toPrecision(2))]);
}

/** The words, and behind them the figure that they are from. */
export function oddsWithFigures(chance: number): Phrase {
  return phrase('{0} (chance {1})', oddsInWords(chance), chanceInFigures(chance));
}

const LEAST_CHANCE = 1e-30;

/** Rounded down to two digits, so that nothing is said to be surer than it is. */
function twoDigitsBelow(number: number): number {
  const step = 10 ** Math.max(0, Math.floor(Math.log10(number)) - 1);
  return Math.floor((number * (1 + 1e-9)) / step) * step;
}
