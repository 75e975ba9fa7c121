import { phrase } from '../base/phrase.js';
import type { Span } from '../base/span.js';
import type { Dump } from '../model/dump.js';
import { headerOf } from '../model/headers.js';
import { type Problem, problem } from './problem.js';

/** Letters' values and place weights of the check digit: 49 CFR 565.15(c), tables IV and V. */
const LETTERS = 'ABCDEFGHJKLMNPRSTUVWXYZ';
const LETTER_VALUES = '12345678123457923456789';
const WEIGHTS = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];
const CHECK_PLACE = 8;
const LOOK_ALIKE: Readonly<Record<string, string>> = { I: '1', O: '0', Q: '0' };

/** Sum of the weighted values of a 17-character VIN; the check digit is this modulo 11, with X for 10. */
export function vinWeightedSum(vin: string): number {
  return Array.from(vin).reduce((sum, character, i) => sum + characterValue(character) * (WEIGHTS[i] as number), 0);
}

/** The check digit that a VIN's other characters make (49 CFR 565.15(c)). */
export function vinCheckDigit(vin: string): string {
  return '0123456789X'.charAt(vinWeightedSum(vin) % 11);
}

function characterValue(character: string): number {
  const letter = LETTERS.indexOf(character);
  return letter < 0 ? Number(character) : Number(LETTER_VALUES[letter]);
}

/** What is wrong with the `@vin` header. A VIN made for markets outside North America need not carry a check digit. */
export function vinProblems(dump: Dump): Problem[] {
  const found = headerOf(dump, 'vin');
  if (found === undefined) return [];
  const { row, header } = found;
  const vin = header.value.toUpperCase();
  const at = (span: Span) => ({ row, start: span.start, end: span.end });
  const wrong = vin.search(/[^A-HJ-NPR-Z0-9]/);
  if (wrong >= 0) {
    const character = vin.charAt(wrong);
    const start = header.valueSpan.start + wrong;
    const meant = LOOK_ALIKE[character];
    const message =
      meant === undefined
        ? phrase('A VIN has digits and letters, but no I, O or Q; "{0}" is none of them.', character)
        : phrase('A VIN has no "{0}"; "{1}" is probably meant.', character, meant);
    return [problem('vin-characters', at({ start, end: start + 1 }), message, meant ? { meant } : {})];
  }
  if (vin.length !== 17) {
    const message = phrase('A VIN has 17 characters; this one has {0}.', vin.length);
    return [problem('vin-characters', at(header.valueSpan), message)];
  }
  const digit = vinCheckDigit(vin);
  if (vin.charAt(CHECK_PLACE) === digit) return [];
  const start = header.valueSpan.start + CHECK_PLACE;
  const message = phrase(
    'The 9th character of this VIN is {0}; as a check digit it would be {1}. Cars made for North America carry one, others need not: compare the VIN with the car.',
    vin.charAt(CHECK_PLACE),
    digit,
  );
  return [problem('vin-check-digit', at({ start, end: start + 1 }), message)];
}
