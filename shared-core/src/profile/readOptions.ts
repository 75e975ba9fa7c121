import { phrase } from '../base/phrase.js';
import { isObject, items, type JsonValue, knownKeys, member, missing, oneOf, spanOf, text, wrong } from './json.js';
import { optionWidth } from './places.js';
import type { Geometry, Hazard, Option } from './profile.js';
import { isOptionId, readConditions } from './readConditions.js';
import { readConfidence } from './readConfidence.js';
import { readMeaning } from './readMeaning.js';
import { PLACE_KEYS, readBitField, readPlace } from './readPlace.js';
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
    confidence: readConfidence(value),
    evidence: text(member(value, 'evidence')),
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
