import { phrase } from '../base/phrase.js';
import {
  entries,
  flag,
  isObject,
  items,
  type JsonValue,
  knownKeys,
  mapEntries,
  member,
  missing,
  oneOf,
  real,
  spanOf,
  text,
  whole,
  wholeOf,
  wrong,
} from './json.js';
import { optionWidth } from './places.js';
import type { Condition, Geometry, Hazard, Meaning, Option } from './profile.js';
import { PLACE_KEYS, readBitField, readPlace } from './readPlace.js';
import { readOrder } from './readSum.js';

const HAZARDS: readonly Hazard[] = [
  'braking',
  'steering',
  'restraints',
  'lighting',
  'emissions',
  'security',
  'driver-assistance',
  'high-voltage',
  'other',
];

const OPTION_KEYS = [
  ...PLACE_KEYS,
  'id',
  'title',
  'group',
  'bits',
  'order',
  'values',
  'number',
  'text',
  'flags',
  'needs',
  'excludes',
  'hazard',
  'confidence',
  'evidence',
];

export function readOptions(list: JsonValue | undefined, geometry: Geometry | undefined): readonly Option[] {
  return items(list).flatMap((value) => (isObject(value) ? (readOption(value, geometry) ?? []) : []));
}

/** The ids of all options that are written down, also of those that cannot be read. */
export function idsOf(list: JsonValue | undefined): readonly string[] {
  return (list?.node.children ?? []).flatMap((node) => {
    const id: unknown = list && member({ ...list, node }, 'id')?.node.value;
    return typeof id === 'string' ? [id] : [];
  });
}

/** Whether a text can be the id of an option. */
export function isOptionId(text: string): boolean {
  return /^[\w.-]+$/.test(text);
}

function readOption(value: JsonValue, geometry: Geometry | undefined): Option | undefined {
  knownKeys(value, OPTION_KEYS);
  const given = member(value, 'id');
  const id = text(given);
  if (id === undefined || !isOptionId(id)) {
    const message = phrase('An option needs an "id" of letters, digits, "_", "." and "-".');
    if (given === undefined) missing(value, message);
    else if (id !== undefined) wrong(given, message);
    return undefined;
  }
  const place = readPlace(value, geometry);
  if (place === undefined) return undefined;
  const bits = readBitField(member(value, 'bits'));
  if (bits !== undefined && place.count > 1) {
    return wrong(member(value, 'bits') ?? value, phrase('"bits" go with one byte, not with several.'));
  }
  const meaning = readMeaning(value, optionWidth({ bits, place }));
  if (meaning === undefined) return undefined;
  if (bits !== undefined && meaning.kind === 'text')
    return wrong(member(value, 'bits') ?? value, phrase('A text takes whole bytes, not bits.'));
  return {
    id,
    title: text(member(value, 'title')) ?? id,
    group: text(member(value, 'group')),
    place,
    bits,
    order: readOrder(value),
    meaning,
    needs: readConditions(member(value, 'needs')),
    excludes: readConditions(member(value, 'excludes')),
    hazards: readHazards(member(value, 'hazard')),
    confidence: oneOf(member(value, 'confidence'), ['confirmed', 'likely', 'guess'] as const),
    evidence: text(member(value, 'evidence')),
    source: spanOf(value.node),
  };
}

/** One word, or a list of them, each once. */
function readHazards(value: JsonValue | undefined): readonly Hazard[] {
  if (value === undefined) return [];
  const isList = value.node.type === 'array';
  const among = isList ? items(value) : [value];
  if (among.length === 0) wrong(value, phrase('This list is empty: name what a wrong setting touches.'));
  const hazards: Hazard[] = [];
  for (const one of among) {
    const hazard = oneOf(one, HAZARDS);
    if (hazard === undefined) continue;
    if (hazards.includes(hazard)) wrong(one, phrase('"{0}" is given twice here: remove one of them.', hazard));
    else hazards.push(hazard);
  }
  return hazards;
}

/** Numbers of more bits would not be shown as what they are. */
const WIDEST_NUMBER = 48;

const MEANINGS = ['values', 'number', 'text', 'flags'];

function readMeaning(option: JsonValue, width: number): Meaning | undefined {
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

function readConditions(list: JsonValue | undefined): readonly Condition[] {
  return items(list).flatMap((value) => {
    if (!isObject(value)) return [];
    knownKeys(value, ['profile', 'option', 'in']);
    const option = text(member(value, 'option'));
    if (option === undefined) {
      if (member(value, 'option') === undefined)
        missing(value, phrase('"option" is missing: the id of the other option.'));
      return [];
    }
    if (!isOptionId(option))
      wrong(member(value, 'option') ?? value, phrase('"{0}" can be no id of an option.', option));
    if (member(value, 'in') === undefined) {
      missing(value, phrase('"in" is missing: the values of the other option that are meant.'));
      return [];
    }
    const among = readNumbers(member(value, 'in'));
    const path = member(value, 'profile');
    const profile = readPath(path);
    // A path that cannot be read does not make it an option of this profile.
    if (path !== undefined && profile === undefined) return [];
    return [{ profile, option, in: among, source: spanOf(value.node) }];
  });
}

function readPath(value: JsonValue | undefined): string | undefined {
  const path = text(value);
  if (value === undefined || path?.trim() !== '') return path;
  return wrong(value, phrase('This path is empty: name the profile of the other module.'));
}

/** Whole numbers, each once, and at least one. */
function readNumbers(list: JsonValue | undefined): readonly number[] {
  const numbers = new Set<number>();
  const all = items(list);
  if (list?.node.type === 'array' && all.length === 0)
    wrong(list, phrase('This list is empty: name the values that are meant.'));
  for (const value of all) {
    const number = whole(value);
    if (number === undefined) continue;
    if (numbers.has(number)) wrong(value, phrase('"{0}" is given twice here: remove one of them.', number));
    numbers.add(number);
  }
  return [...numbers];
}
