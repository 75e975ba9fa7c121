import { hexBytes } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import type { WrittenForm } from './notation.js';
import { octalWordsIn } from './octalView.js';
import { readingsIn } from './readings.js';

/** Why a text is not read before a person says how it is written. */
export function whyUnclear(forms: readonly WrittenForm[], text: string): Phrase {
  if (forms.length === 0) return whyOctal(text);
  if (forms.some(({ word }) => word !== undefined)) return whyInWords(forms, text);
  const ids = forms.map(({ id }) => id).join(', ');
  return forms.length === 1
    ? phrase(
        'This may be written as {0}, but that is not certain. Give its name the ending of that, or say so with "--from {0}" where a command takes it.',
        ids,
      )
    : phrase(
        'This can be read as each of these: {0}. Give its name the ending of that, or say which with "--from FORM" where a command takes it.',
        ids,
      );
}

/** How a person says on the command line that a text is written in a form. */
function asSaid({ id, word }: WrittenForm): string {
  return word === undefined ? `--from ${id}` : `--from ${id} --word ${word}`;
}

function whyInWords(forms: readonly WrittenForm[], text: string): Phrase {
  const samples = readingsIn(text, forms).map(({ form, sample }) => `"${asSaid(form)}" (${sample})`);
  return phrase(
    'These digits are words of several bytes, of which nobody can tell the order. Say which it is, here with the first bytes that there would be: {0}. A profile says so as "word".',
    samples.join(', '),
  );
}

function whyOctal(text: string): Phrase {
  const bytes = octalWordsIn(text);
  return bytes === undefined
    ? phrase(
        'The addresses of this listing are octal or decimal, and here they are hex. Print it again in hex: od -A x -t x1.',
      )
    : phrase(
        'These are octal words of two bytes, as od prints them by itself; with the lowest byte first they begin with {0}. Only hex is read here. Print it again in hex: od -A x -t x1.',
        hexBytes(bytes.subarray(0, 8), ' '),
      );
}
