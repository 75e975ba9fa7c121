import type { BitField } from '../base/bits.js';
import { hex } from '../base/hex.js';
import { phrase } from '../base/phrase.js';
import { entries, type JsonValue, member, missing, onlyOneOf, whole, wrong } from './json.js';
import { dataBytes, firstLabel, lastLabel } from './lineLabels.js';
import type { Geometry, Place } from './profile.js';
import { hasAddress, readEnds } from './readGeometry.js';
import { lineLabel } from './readLines.js';
import { type KnownSlots, readSlotPlace } from './readSlotPlace.js';

/** How a place may be given: each beginning, and what may say more of it. */
const FORMS = {
  line: ['byte', 'bytes'],
  address: ['bytes', 'length'],
  from: ['to'],
  to: [],
} as const;
type Beginning = keyof typeof FORMS;
const BEGINNINGS = Object.keys(FORMS) as readonly Beginning[];

export const PLACE_KEYS = ['line', 'byte', 'bytes', 'address', 'length', 'from', 'to'];

/** The same where a place may be in a record that moves. */
export const MOVING_PLACE_KEYS = [...PLACE_KEYS, 'slot', 'offset'];

/** More bytes than these are no line, no number and no text. */
export const MOST_BYTES = 65_535;

/** What a place may be, by what it is for. */
export interface PlaceRules {
  /** How many bytes a place has that names its first one only. */
  readonly width?: number;
  /** Whether a line without bytes is meant as a whole. */
  readonly wholeLine?: boolean;
  /** Whether bytes of a line may be given as the first one and how many. */
  readonly lengthInLine?: boolean;
  /** The most bytes that it may have. */
  readonly most?: number;
  /** The line that is meant where the place names only a byte. */
  readonly line?: JsonValue;
  /** The records that move in which it may be. */
  readonly slots?: KnownSlots;
}

/**
 * Reads `line` with `byte` or `bytes`, `address` with `length` or `bytes`, or `from` and `to`; undefined, with a problem,
 * for a place that is unclear or off the end of the dump.
 */
export function readPlace(
  object: JsonValue,
  geometry: Geometry | undefined,
  { width = 1, wholeLine = false, lengthInLine = false, most = MOST_BYTES, line, slots }: PlaceRules = {},
): Place | undefined {
  if (slots !== undefined && (member(object, 'slot') ?? member(object, 'offset')) !== undefined)
    return readSlotPlace(object, slots, line);
  const begin = BEGINNINGS.find((key) => member(object, key) !== undefined) ?? (line && 'line');
  if (begin === undefined) return missing(object, phrase('"line" and "byte" (or "address") are wanted here.'));
  const length = lengthInLine && begin === 'line' ? member(object, 'length') : undefined;
  if (!goTogether(object, begin, length !== undefined)) return undefined;
  const count = length === undefined ? width : whole(length, 1, MOST_BYTES);
  if (count === undefined) return undefined;
  if (begin === 'line')
    return linePlace(object, member(object, 'line') ?? line, geometry, count, wholeLine && length === undefined);
  const place = begin === 'address' ? addressPlace(object, width, most) : rangePlace(object, most);
  return place === undefined || isInImage(object, begin, place, geometry) ? place : undefined;
}

function goTogether(object: JsonValue, begin: Beginning, withLength: boolean): boolean {
  const more: readonly string[] = withLength ? [...FORMS[begin], 'length'] : FORMS[begin];
  const [other] = entries(object).filter(([key]) => PLACE_KEYS.includes(key) && key !== begin && !more.includes(key));
  // A length goes with the first byte, and says the same as a range of bytes.
  if (other === undefined) return onlyOneOf(object, withLength ? ['bytes', 'length'] : more);
  wrong(other[2], phrase('"{0}" and "{1}" do not go together: give one of them.', begin, other[0]));
  return false;
}

function linePlace(
  object: JsonValue,
  named: JsonValue | undefined,
  geometry: Geometry | undefined,
  width: number,
  wholeLine: boolean,
): Place | undefined {
  const given = named ?? object;
  const line = lineLabel(given);
  if (line === undefined) return undefined;
  if (geometry?.kind === 'addresses')
    return wrong(given, phrase('This dump is a memory image: give "address" in place of "line".'));
  const room = geometry && dataBytes(geometry, line);
  if (geometry !== undefined && room === 0)
    return wrong(
      given,
      phrase('There is no line {0}: lines go from {1} to {2}.', line, firstLabel(geometry), lastLabel(geometry)),
    );
  const bytes = member(object, 'bytes') ?? member(object, 'byte');
  if (bytes === undefined) {
    if (!wholeLine) return missing(object, phrase('"byte" or "bytes" is wanted here.'));
    if (room !== undefined) return { kind: 'line', line, byte: 1, count: room };
    return missing(object, phrase('"byte" or "bytes" is wanted here: how long the line is, only "lines" can tell.'));
  }
  const range = member(object, 'bytes') === undefined ? firstOf(bytes, width) : byteRange(bytes);
  if (range === undefined) return undefined;
  const last = range.first + range.count - 1;
  if (last > (room ?? MOST_BYTES))
    return wrong(bytes, phrase('Line {0} has {1} data bytes; there is no byte {2}.', line, room ?? MOST_BYTES, last));
  return { kind: 'line', line, byte: range.first, count: range.count };
}

interface ByteRange {
  readonly first: number;
  readonly count: number;
}

function firstOf(byte: JsonValue, width: number): ByteRange | undefined {
  const first = whole(byte, 1, MOST_BYTES);
  return first === undefined ? undefined : { first, count: width };
}

/** `"3-4"` or a single number: bytes of a line, from 1. */
function byteRange(value: JsonValue): ByteRange | undefined {
  const match = /^([1-9]\d{0,4})(?:-([1-9]\d{0,4}))?$/.exec(String(value.node.value));
  const first = Number(match?.[1]);
  const last = Number(match?.[2] ?? match?.[1]);
  if (match !== null && last >= first) return { first, count: last - first + 1 };
  return wrong(value, phrase('Bytes are written "3" or "3-4", counted from 1.'));
}

type AddressPlace = Extract<Place, { kind: 'address' }>;

function addressPlace(object: JsonValue, width: number, most: number): AddressPlace | undefined {
  const address = whole(member(object, 'address'), 0, 0xffffffff);
  const given = member(object, 'length') ?? member(object, 'bytes');
  const count = given === undefined ? width : whole(given, 1, most);
  return address === undefined || count === undefined ? undefined : { kind: 'address', address, count };
}

function rangePlace(object: JsonValue, most: number): AddressPlace | undefined {
  const range = readEnds(object, 0xffffffff);
  if (range === undefined) return undefined;
  const count = range.to - range.from + 1;
  return count <= most
    ? { kind: 'address', address: range.from, count }
    : wrong(member(object, 'to') ?? object, phrase('These are {0} bytes; at most {1} go into one place.', count, most));
}

function isInImage(
  object: JsonValue,
  begin: Beginning,
  { address, count }: AddressPlace,
  geometry: Geometry | undefined,
): boolean {
  const given = member(object, begin) ?? object;
  if (geometry?.kind === 'lines') {
    wrong(given, phrase('This dump is in lines: give "line" and "byte" in place of "{0}".', begin));
    return false;
  }
  const image = geometry ?? { kind: 'addresses', from: 0, to: 0xffffffff };
  if (hasAddress(image, address) && hasAddress(image, address + count - 1)) return true;
  const [from, to] = [image.from, image.to].map((end) => `0x${hex(end, 4)}`);
  wrong(given, phrase('The image goes from {0} to {1}; this is outside.', from ?? '', to ?? ''));
  return false;
}

/** `"7-4"` or `"3"`: bits from 0, the least significant. */
export function readBitField(value: JsonValue | undefined): BitField | undefined {
  if (value === undefined) return undefined;
  const match = /^([0-7])(?:-([0-7]))?$/.exec(String(value.node.value));
  const ends = [Number(match?.[1]), Number(match?.[2] ?? match?.[1])];
  if (match === null)
    return wrong(value, phrase('Bits are written "7-4" or "3", counted from 0, the least significant, to 7.'));
  return { high: Math.max(...ends), low: Math.min(...ends) };
}
