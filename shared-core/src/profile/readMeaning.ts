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
import type { Meaning } from './profile.js';

/** Numbers of more bits would not be shown as what they are. */
const WIDEST_NUMBER = 48;

const MEANINGS = ['values', 'number', 'text', 'flags'];

/** What the bits of an option mean; undefined, with a problem, where that is unclear. */
export function readMeaning(option: JsonValue, width: number): Meaning | undefined {
  const given = entries(option).filter(([key]) => MEANINGS.includes(key));
  const [kind] = given[0] ?? [];
  const second = given[1]?.[2];
  if (kind === undefined || second !== undefined) {
    const message = phrase('An option needs one of "values", "number", "text" and "flags" to say what it means.');
    return second === undefined ? missing(option, message) : wrong(second, message);
  }
  const meaning = member(option, kind) as JsonValue;
  if (kind === 'text') {
    return oneOf(meaning, ['ascii']) === undefined ? undefined : { kind: 'text' };
  }
  if (!isObject(meaning)) return undefined;
  if (kind !== 'flags' && width > WIDEST_NUMBER)
    return wrong(
      meaning,
      phrase(
        'A number takes up to {0} bits; here are {1}. Name fewer bytes, or call it "text" or "flags".',
        WIDEST_NUMBER,
        width,
      ),
    );
  if (kind === 'values') return { kind, words: readWords(meaning, 2 ** width - 1, 'value') };
  if (kind === 'flags') return { kind, words: readWords(meaning, width - 1, 'bit') };
  knownKeys(meaning, ['scale', 'offset', 'unit', 'min', 'max', 'signed']);
  const scale = real(member(meaning, 'scale')) ?? 1;
  const min = real(member(meaning, 'min'));
  const max = real(member(meaning, 'max'));
  if (min !== undefined && max !== undefined && min > max)
    return wrong(member(meaning, 'max') ?? meaning, phrase('"max" is lower than "min".'));
  if (scale === 0)
    return wrong(member(meaning, 'scale') ?? meaning, phrase('A scale of 0 makes every value the same.'));
  return {
    kind: 'number',
    scale,
    offset: real(member(meaning, 'offset')) ?? 0,
    unit: text(member(meaning, 'unit')) ?? '',
    min,
    max,
    signed: flag(member(meaning, 'signed')) ?? false,
  };
}

function readWords(map: JsonValue, most: number, what: 'value' | 'bit'): ReadonlyMap<number, string> {
  const words = new Map<number, string>();
  const known = new Set<string>();
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
    else if (word !== undefined) words.set(number, word);
  }
  return words;
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
