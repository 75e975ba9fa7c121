import { phrase } from '../base/phrase.js';
import {
  entries,
  flag,
  isObject,
  type JsonValue,
  knownKeys,
  mapEntries,
  member,
  missing,
  oneOf,
  real,
  text,
  wholeOf,
  wrong,
} from './json.js';
import type { Meaning, NumberMeaning } from './profile.js';
import { DATE_KEYS, readDate } from './readDate.js';
import { readText, TEXT_KEYS } from './readText.js';

/** Numbers of more bits would not be shown as what they are. */
const WIDEST_NUMBER = 48;

/** Decimal digits that a number can have and be exact. */
const MOST_DIGITS = 15;

const MEANINGS = ['values', 'number', 'text', 'flags', 'date'] as const;
type MeaningKey = (typeof MEANINGS)[number];

/** Keys that say more of one meaning, and stand beside it. */
const BESIDE: Readonly<Record<string, readonly MeaningKey[]>> = {
  ...Object.fromEntries(DATE_KEYS.map((key) => [key, ['date'] as const])),
  ...Object.fromEntries(TEXT_KEYS.map((key) => [key, ['text'] as const])),
  special: ['number', 'text', 'date'],
};

export const MEANING_KEYS: readonly string[] = [...MEANINGS, ...Object.keys(BESIDE)];

/** What the bits of an option mean; undefined, with a problem, where that is unclear. */
export function readMeaning(option: JsonValue, width: number): Meaning | undefined {
  const [given, second] = entries(option).flatMap(([key, value, keyNode]) => {
    const kind = MEANINGS.find((one) => one === key);
    return kind === undefined ? [] : { kind, value, keyNode };
  });
  if (given === undefined || second !== undefined) {
    const message = phrase(
      'An option needs one of {0} to say what it means.',
      MEANINGS.map((key) => `"${key}"`).join(', '),
    );
    return second === undefined ? missing(option, message) : wrong(second.keyNode, message);
  }
  const { kind: found, value: meaning } = given;
  for (const [key, , keyNode] of entries(option)) {
    const goesWith = BESIDE[key];
    if (goesWith !== undefined && !goesWith.includes(found))
      return wrong(keyNode, phrase('"{0}" and "{1}" do not go together: give one of them.', found, key));
  }
  switch (found) {
    case 'text':
      return readText(option, meaning, width);
    case 'date':
      return readDate(option, meaning, width);
    default:
      return isObject(meaning) ? readObject(found, meaning, width) : undefined;
  }
}

function readObject(kind: 'values' | 'number' | 'flags', meaning: JsonValue, width: number): Meaning | undefined {
  if (kind === 'flags') return { kind, words: readWords(meaning, width - 1, 'bit') };
  const coding =
    kind === 'number' ? (oneOf(member(meaning, 'coding'), ['binary', 'bcd'] as const) ?? 'binary') : 'binary';
  if (coding === 'binary' && width > WIDEST_NUMBER)
    return wrong(
      meaning,
      phrase(
        'A number takes up to {0} bits; here are {1}. Name fewer bytes, or call it "text" or "flags".',
        WIDEST_NUMBER,
        width,
      ),
    );
  return kind === 'values'
    ? { kind, words: readWords(meaning, 2 ** width - 1, 'value') }
    : readNumber(meaning, width, coding);
}

function readNumber(meaning: JsonValue, width: number, coding: NumberMeaning['coding']): NumberMeaning | undefined {
  knownKeys(meaning, ['coding', 'scale', 'offset', 'unit', 'min', 'max', 'signed']);
  const scale = real(member(meaning, 'scale')) ?? 1;
  const min = real(member(meaning, 'min'));
  const max = real(member(meaning, 'max'));
  const signed = flag(member(meaning, 'signed')) ?? false;
  if (min !== undefined && max !== undefined && min > max)
    return wrong(member(meaning, 'max') ?? meaning, phrase('"max" is lower than "min".'));
  if (scale === 0)
    return wrong(member(meaning, 'scale') ?? meaning, phrase('A scale of 0 makes every value the same.'));
  if (coding === 'bcd' && signed)
    return wrong(member(meaning, 'signed') ?? meaning, phrase('Decimal digits have no sign: leave "signed" out.'));
  if (coding === 'bcd' && (width % 4 !== 0 || width > 4 * MOST_DIGITS))
    return wrong(
      member(meaning, 'coding') ?? meaning,
      phrase(
        'A number in decimal digits takes 4 bits for each, up to {0} digits; here are {1} bits. For more digits give "text": "bcd".',
        MOST_DIGITS,
        width,
      ),
    );
  const offset = real(member(meaning, 'offset')) ?? 0;
  return { kind: 'number', coding, scale, offset, unit: text(member(meaning, 'unit')) ?? '', min, max, signed };
}

/** Words for values that are no number, text or date: each can be told from these. */
export function readSpecial(map: JsonValue | undefined, width: number): ReadonlyMap<bigint, string> {
  const words = new Map<bigint, string>();
  if (map === undefined || !isObject(map)) return words;
  const known = new Set<string>();
  const all = mapEntries(map);
  if (all.length === 0)
    missing(map, phrase('This is empty: give a value and what it means, such as "0xFF": "not set".'));
  for (const [key, value, keyNode] of all) {
    const raw = /^(?:0x[0-9a-f]{1,64}|\d{1,40})$/i.test(key) ? BigInt(key) : undefined;
    const word = readWord(value, known);
    if (raw === undefined || raw >= 1n << BigInt(width))
      wrong(
        keyNode,
        phrase('"{0}" is no value that these bits can hold (0 to {1}).', key, String((1n << BigInt(width)) - 1n)),
      );
    else if (words.has(raw)) wrong(keyNode, phrase('"{0}" is given twice here: remove one of them.', key));
    else if (word !== undefined && /^\s*["+\-\u2212\d]/.test(word))
      wrong(value, phrase('"{0}" could be taken for a number, a date or a text: begin with a letter.', word));
    else if (word !== undefined) words.set(raw, word);
  }
  return words;
}

function readWords(map: JsonValue, most: number, what: 'value' | 'bit'): ReadonlyMap<number, string> {
  const words = new Map<number, string>();
  const known = new Set<string>();
  const given: { readonly value: JsonValue; readonly number: number; readonly word: string }[] = [];
  for (const [key, value, keyNode] of mapEntries(map)) {
    const number = wholeOf(key);
    const word = readWord(value, known);
    if (number === undefined || number > most) {
      const message =
        what === 'value'
          ? phrase('"{0}" is no value that these bits can hold (0 to {1}).', key, most)
          : phrase('"{0}" is no bit of this place (0 to {1}).', key, most);
      wrong(keyNode, message);
    } else if (words.has(number)) wrong(keyNode, phrase('"{0}" is given twice here: remove one of them.', key));
    else if (what === 'bit' && word?.includes(','))
      wrong(value, phrase('"{0}" holds a comma, which parts one flag from the next: use other words.', word));
    else if (word !== undefined) {
      words.set(number, word);
      given.push({ value, number, word });
    }
  }
  for (const { value, number, word } of given) {
    const other = otherValue(words, number, word, what);
    if (other !== undefined)
      wrong(
        value,
        phrase(
          '"{0}" could be taken for the value {1}, which means something else here: use other words.',
          word,
          String(other),
        ),
      );
  }
  return words;
}

/** Another value that is known here, for which a word could be taken as it is written as a number. */
function otherValue(
  words: ReadonlyMap<number, string>,
  own: number,
  word: string,
  what: 'value' | 'bit',
): bigint | undefined {
  const plain = word.trim();
  if (!/^(?:0x[0-9a-f]{1,32}|\d{1,40})$/i.test(plain)) return undefined;
  const meant = BigInt(plain);
  if (what === 'value') return meant !== BigInt(own) && words.has(Number(meant)) ? meant : undefined;
  const known = [...words.keys()].reduce((bits, bit) => bits | (1n << BigInt(bit)), 0n);
  return meant !== 1n << BigInt(own) && (meant & ~known) === 0n ? meant : undefined;
}

/** Words by which a value is told from the others and can be asked for. */
function readWord(value: JsonValue, known: Set<string>): string | undefined {
  const word = text(value);
  if (word === undefined) return undefined;
  const plain = word.trim().toLowerCase();
  if (plain === '') return wrong(value, phrase('These words are empty: say what this means.'));
  if (known.has(plain)) return wrong(value, phrase('"{0}" means two things here: use other words for one.', word));
  known.add(plain);
  return word;
}
