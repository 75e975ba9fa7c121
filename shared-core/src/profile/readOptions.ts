import { phrase } from '../base/phrase.js';
import {
  flag,
  isObject,
  items,
  type JsonValue,
  knownKeys,
  member,
  missing,
  oneOf,
  spanOf,
  text,
  wrong,
} from './json.js';
import { optionWidth } from './places.js';
import type { AppliesTo, Geometry, Hazard, Option } from './profile.js';
import { isOptionId, readConditions } from './readConditions.js';
import { readConfidence } from './readConfidence.js';
import { MEANING_KEYS, readMeaning, readSpecial } from './readMeaning.js';
import { areWholeBytes, readParts } from './readParts.js';
import { MOVING_PLACE_KEYS } from './readPlace.js';
import { readRepeat, repeatedIds } from './readRepeat.js';
import { readSeen } from './readSeen.js';
import type { KnownSlots } from './readSlotPlace.js';
import { readOrder } from './readSum.js';

export const HAZARDS: readonly Hazard[] = [
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
  ...MOVING_PLACE_KEYS,
  'id',
  'title',
  'group',
  'bits',
  'order',
  'reversed',
  'swapped',
  'repeat',
  ...MEANING_KEYS,
  'needs',
  'excludes',
  'hazard',
  'confidence',
  'evidence',
  'seen',
  'personal',
];

export function readOptions(
  list: JsonValue | undefined,
  geometry: Geometry | undefined,
  slots: KnownSlots,
  appliesTo: AppliesTo | undefined,
): readonly Option[] {
  return items(list).flatMap((value) => {
    const option = isObject(value) ? readOption(value, geometry, slots, appliesTo) : undefined;
    return option === undefined ? [] : (readRepeat(option, member(value, 'repeat'), geometry, slots) ?? []);
  });
}

/** The ids of all options that are written down, also of those that cannot be read. */
export function idsOf(list: JsonValue | undefined): readonly string[] {
  return (list?.node.children ?? []).flatMap((node) => {
    const value = list && { ...list, node };
    const id: unknown = value && member(value, 'id')?.node.value;
    return value !== undefined && typeof id === 'string' ? repeatedIds(id, member(value, 'repeat')) : [];
  });
}

function readOption(
  value: JsonValue,
  geometry: Geometry | undefined,
  slots: KnownSlots,
  appliesTo: AppliesTo | undefined,
): Option | undefined {
  knownKeys(value, OPTION_KEYS);
  const given = member(value, 'id');
  const id = text(given);
  if (id === undefined || !isOptionId(id)) {
    const message = phrase('An option needs an "id" of letters, digits, "_", "." and "-".');
    if (given === undefined) missing(value, message);
    else if (id !== undefined) wrong(given, message);
    return undefined;
  }
  const parts = readParts(value, geometry, slots);
  if (parts === undefined) return undefined;
  const width = optionWidth({ parts });
  const meaning = readMeaning(value, width);
  if (meaning === undefined) return undefined;
  const swapped = oneOf(member(value, 'swapped'), ['nibbles'] as const) !== undefined;
  if (!areWholeBytes(parts)) {
    const bits = member(value, 'bits') ?? value;
    if (meaning.kind === 'text') return wrong(bits, phrase('A text takes whole bytes, not bits.'));
    if (swapped) return wrong(bits, phrase('"swapped" takes whole bytes, not bits.'));
  }
  const seen = readSeen(value, appliesTo);
  return {
    id,
    title: text(member(value, 'title')) ?? id,
    group: text(member(value, 'group')),
    parts,
    // The parts of a date stand in the order in which they are written; only a year may be turned.
    order: meaning.kind === 'date' ? 'big' : readOrder(value),
    reversed: oneOf(member(value, 'reversed'), ['bits'] as const) !== undefined,
    swapped,
    meaning,
    special: readSpecial(member(value, 'special'), width),
    needs: readConditions(member(value, 'needs')),
    excludes: readConditions(member(value, 'excludes')),
    hazards: readHazards(member(value, 'hazard')),
    confidence: readConfidence(value) ?? seen?.confidence,
    evidence: text(member(value, 'evidence')),
    ...(seen && { seen }),
    ...(flag(member(value, 'personal')) === true && { personal: true as const }),
    source: spanOf(value.node),
  };
}

/** One word, or a list of them, each once. */
function readHazards(value: JsonValue | undefined): readonly Hazard[] {
  if (value === undefined) return [];
  const isList = value.node.type === 'array';
  const among = isList ? items(value) : [value];
  if (among.length === 0) wrong(value, phrase('This list is empty: name what a wrong setting affects.'));
  const hazards: Hazard[] = [];
  for (const one of among) {
    const hazard = oneOf(one, HAZARDS);
    if (hazard === undefined) continue;
    if (hazards.includes(hazard)) wrong(one, phrase('"{0}" is given twice here: remove one of them.', hazard));
    else hazards.push(hazard);
  }
  return hazards;
}
