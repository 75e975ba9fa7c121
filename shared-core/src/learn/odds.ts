import { oddsInWords, SURE, twoDigitsBelow } from '../base/odds.js';
import { listed, type Phrase, phrase } from '../base/phrase.js';
import type { LearnCandidate, PartChances } from './learning.js';

/** How sure a rule is, with the part that is in doubt where the other is not, or both of them. */
export function oddsOfParts({ chance, chances: { lines, total }, undecided, eitherEnd }: Sureness): Phrase {
  const whole = oddsInWords(chance, undecided);
  if (eitherEnd && isSure({ chance, undecided }))
    return phrase('practically certain, but not which of two bytes of a line is its sum');
  if (undecided || chance <= SURE || lines === null || total === null || Math.max(lines, total) > 0.5) return whole;
  const [ofLines, ofTotal] = [twoDigitsBelow(1 / lines), twoDigitsBelow(1 / total)];
  if (lines <= SURE && total > SURE)
    return phrase('the line sums are practically certain; the file sum could be chance: 1 in {0}', ofTotal);
  if (total <= SURE && lines > SURE)
    return phrase('the line sums could be chance: 1 in {0}; the file sum is practically certain', ofLines);
  return phrase('the line sums could be chance: 1 in {0}; the file sum too: 1 in {1}', ofLines, ofTotal);
}

/** Whether nothing needs to be learned from more dumps. */
export function isSure({ chance, undecided }: Pick<Sureness, 'chance' | 'undecided'>): boolean {
  return !undecided && chance <= SURE;
}

/** Whether the dumps cannot tell a rule from the best one: one that explains fewer lines fits less. */
export function fitsAsWell(rule: LearnCandidate, best: LearnCandidate | undefined): boolean {
  return best !== undefined && rule !== best && rule.undecided && rule.linesExplained >= best.linesExplained;
}

interface Sureness {
  readonly chance: number;
  readonly chances: PartChances;
  readonly undecided: boolean;
  readonly eitherEnd: boolean;
}

/** A chance in figures; one that is too small to mean anything as a number is not written out, and none is 0. */
export function chanceInFigures(chance: number): Phrase {
  return chance < LEAST_CHANCE ? phrase('less than {0}', LEAST_CHANCE) : listed([Number(chance.toPrecision(2))]);
}

/** A chance as people say it: "1 in 30", and one beyond what anybody can picture as less than the smallest that is said so. */
export function chanceAsOneIn(chance: number): Phrase {
  if (!(chance <= 0.5)) return chanceInFigures(chance);
  return chance < 1 / LARGEST_ODDS
    ? phrase('less than 1 in {0}', grouped(LARGEST_ODDS))
    : phrase('1 in {0}', grouped(twoDigitsBelow(1 / chance)));
}

const LARGEST_ODDS = 1e9;

/** Digits in groups of three, apart by a space that does not break. */
function grouped(number: number): string {
  return String(number).replace(/(?<=\d)(?=(?:\d{3})+$)/g, '\u00a0');
}

/** The words, and behind them the figure that they are from, where they do not say it themselves. */
export function oddsWithFigures(chance: number, words: Phrase = oddsInWords(chance)): Phrase {
  if (chance > SURE && chance <= 0.5) return words;
  return phrase('{0} (chance {1})', words, chanceInFigures(chance));
}

const LEAST_CHANCE = 1e-30;
