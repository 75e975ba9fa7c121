import { nearestName } from '../base/nearestName.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { type Refused, refuse } from '../base/result.js';
import type { HeaderRow } from '../format/row.js';
import { WORDS, wordOf } from '../format/word.js';
import { HEADER_NAMES, type PlacedHeader } from './headers.js';

type NameAndValue = Pick<HeaderRow, 'name' | 'value'>;

/** A header by its name and value, and where it is. */
export interface NamedValue extends Pick<PlacedHeader, 'row'> {
  readonly header: NameAndValue;
}

/** Whether a header is meant to say the words of its file and does not: by its value, or the way its name is spelled. */
export function isWrongWord({ name, value }: NameAndValue): boolean {
  if (name === 'word') return wordOf(value) === undefined;
  if (name === '') return /^word(?:\s|$)/i.test(value);
  return !HEADER_NAMES.some((known) => known === name) && nearestName(name, HEADER_NAMES) === 'word';
}

/** What is wrong with such a header. */
export function whyWrongWord({ name, value }: NameAndValue): Phrase {
  return phrase(
    '"{0}" does not say in which words the bytes are. Write "@word" and one of {1}, or remove it.',
    `@${name} ${value}`.trimEnd(),
    WORDS.join(', '),
  );
}

/** Why nobody can tell in which words a file is written: a header says none of them, or two say different ones. */
export function whyWordUnclear(headers: readonly NamedValue[]): Refused | undefined {
  const wrong = headers.find(({ header }) => isWrongWord(header));
  if (wrong !== undefined) return refuse(phrase('Row {0}: {1}', wrong.row + 1, whyWrongWord(wrong.header)), wrong.row);
  const [first, ...others] = headers.filter(({ header }) => header.name === 'word');
  const other = others.find(({ header }) => header.value !== first?.header.value);
  return (
    other &&
    refuse(
      phrase('Row {0}: "@word" is given twice, with different values. Remove the wrong one.', other.row + 1),
      other.row,
    )
  );
}
