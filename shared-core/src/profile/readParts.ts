import { phrase } from '../base/phrase.js';
import { entries, isObject, items, type JsonValue, knownKeys, member, missing, wrong } from './json.js';
import { partMask, shareBits } from './places.js';
import type { Geometry, OptionPart } from './profile.js';
import { MOVING_PLACE_KEYS, readBitField, readPlace } from './readPlace.js';
import type { KnownSlots } from './readSlotPlace.js';

/** An option of more parts is none. */
const MOST_PARTS = 64;

/** Where the bits of an option are, the highest first; undefined, with a problem, where that is unclear. */
export function readParts(
  option: JsonValue,
  geometry: Geometry | undefined,
  slots: KnownSlots,
): readonly OptionPart[] | undefined {
  const bits = member(option, 'bits');
  if (bits?.node.type === 'array') return partsApart(option, bits, geometry, slots);
  const place = readPlace(option, geometry, { slots });
  if (place === undefined) return undefined;
  const field = readBitField(bits);
  if (bits !== undefined && field === undefined) return undefined;
  if (bits !== undefined && place.count > 1) return wrong(bits, phrase('"bits" go with one byte, not with several.'));
  return [{ place, bits: field }];
}

/** Parts that name their byte, in the line of the option or one of their own, or their address. */
function partsApart(
  option: JsonValue,
  list: JsonValue,
  geometry: Geometry | undefined,
  slots: KnownSlots,
): readonly OptionPart[] | undefined {
  const line = member(option, 'line');
  const other = entries(option).find(([key]) => (MOVING_PLACE_KEYS.includes(key) && key !== 'line') || key === 'order');
  if (other !== undefined)
    return wrong(
      other[2],
      phrase('"{0}" does not go with bits that lie apart: each part names its own byte.', other[0]),
    );
  const all = items(list, MOST_PARTS);
  if (all.length === 0) return wrong(list, phrase('This list is empty: name the parts, the highest bits first.'));
  const parts: OptionPart[] = [];
  for (const value of all) {
    if (!isObject(value)) return undefined;
    knownKeys(value, ['line', 'byte', 'address', 'slot', 'offset', 'bits']);
    const own = member(value, 'line') ?? member(value, 'address') ?? member(value, 'slot');
    if (own !== undefined && line !== undefined)
      return wrong(own, phrase('This part has a place of its own: leave "line" of the option out.'));
    if (own === undefined && line === undefined)
      return missing(value, phrase('"line" and "byte" (or "address") are wanted here.'));
    const place = readPlace(value, geometry, line === undefined ? { slots } : { line, slots });
    const given = member(value, 'bits');
    const bits = readBitField(given);
    if (place === undefined || (given !== undefined && bits === undefined)) return undefined;
    const part = { place, bits };
    if (shareBits({ parts }, { parts: [part] }))
      return wrong(value, phrase('These bits belong to a part before this one already.'));
    parts.push(part);
  }
  return parts;
}

/** Whether parts are whole bytes. */
export function areWholeBytes(parts: readonly OptionPart[]): boolean {
  return parts.every((part) => partMask(part) === 0xff);
}
