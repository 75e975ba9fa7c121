import type { BitField } from '../base/bits.js';
import { hex } from '../base/hex.js';
import { phrase } from '../base/phrase.js';
import {
  isObject,
  items,
  type JsonValue,
  knownKeys,
  member,
  missing,
  onlyOneOf,
  spanOf,
  text,
  whole,
  wrong,
} from './json.js';
import type { Balance, Geometry, Place, Region } from './profile.js';
import { dataBytes, hasAddress } from './readGeometry.js';

export const PLACE_KEYS = ['line', 'byte', 'bytes', 'address'];

/**
 * Reads `line` with `byte` or `bytes`, or `address` with `bytes`; a place off the end of the dump is refused. `width` is
 * how many bytes a place has that names its first one only.
 */
export function readPlace(object: JsonValue, geometry: Geometry | undefined, width = 1): Place | undefined {
  if (!onlyOneOf(object, ['line', 'address']) || !onlyOneOf(object, ['byte', 'bytes'])) return undefined;
  const place = member(object, 'address') === undefined ? linePlace(object, width) : addressPlace(object, width);
  if (place === undefined || geometry === undefined) return place;
  if (place.kind === 'line') {
    const line = member(object, 'line') ?? object;
    if (geometry.kind !== 'lines')
      return wrong(line, phrase('This dump is a memory image: give "address" in place of "line".'));
    const room = dataBytes(geometry, place.line);
    if (room === 0)
      return wrong(
        line,
        phrase('There is no line {0}: lines go from {1} to {2}.', place.line, geometry.from, geometry.to),
      );
    if (place.byte + place.count - 1 <= room) return place;
    const byte = member(object, 'bytes') ?? member(object, 'byte') ?? object;
    return wrong(
      byte,
      phrase('Line {0} has {1} data bytes; there is no byte {2}.', place.line, room, place.byte + place.count - 1),
    );
  }
  const address = member(object, 'address') ?? object;
  if (geometry.kind !== 'addresses')
    return wrong(address, phrase('This dump is in lines: give "line" and "byte" in place of "address".'));
  if (hasAddress(geometry, place.address) && hasAddress(geometry, place.address + place.count - 1)) return place;
  return wrong(
    address,
    phrase(
      'The image goes from {0} to {1}; this is outside.',
      `0x${hex(geometry.from, 4)}`,
      `0x${hex(geometry.to, 4)}`,
    ),
  );
}

function linePlace(object: JsonValue, width: number): Place | undefined {
  const line = whole(member(object, 'line'), 0, 0xffffffff);
  if (line === undefined) {
    return member(object, 'line')
      ? undefined
      : missing(object, phrase('"line" and "byte" (or "address") are wanted here.'));
  }
  const run = member(object, 'bytes');
  if (run !== undefined) {
    const range = byteRange(run);
    return range && { kind: 'line', line, byte: range.first, count: range.count };
  }
  const byte = whole(member(object, 'byte'), 1, 65_535);
  if (byte !== undefined) return { kind: 'line', line, byte, count: width };
  return member(object, 'byte') ? undefined : missing(object, phrase('"byte" or "bytes" is wanted here.'));
}

function addressPlace(object: JsonValue, width: number): Place | undefined {
  const address = whole(member(object, 'address'), 0, 0xffffffff);
  if (address === undefined) return undefined;
  const run = member(object, 'bytes');
  if (run === undefined) return { kind: 'address', address, count: width };
  const count = whole(run, 1, 65_535);
  return count === undefined ? undefined : { kind: 'address', address, count };
}

/** `"3-4"` or a single number: bytes of a line, from 1. */
function byteRange(value: JsonValue): { first: number; count: number } | undefined {
  const match = /^([1-9]\d{0,4})(?:-([1-9]\d{0,4}))?$/.exec(String(value.node.value));
  const first = Number(match?.[1]);
  const last = Number(match?.[2] ?? match?.[1]);
  if (match !== null && last >= first) return { first, count: last - first + 1 };
  return wrong(value, phrase('Bytes are written "3" or "3-4", counted from 1.'));
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

/** Places that are never changed. Where it cannot be told which bytes of a line are meant, it is all of them. */
export function readLocked(list: JsonValue | undefined, geometry: Geometry | undefined): readonly Region[] {
  return readRegions(list, geometry, (value) => {
    const line = whole(member({ node: value.node, problems: [] }, 'line'));
    const count = geometry?.kind === 'lines' && line !== undefined ? dataBytes(geometry, line) : 0;
    return line === undefined || count === 0 ? undefined : { kind: 'line', line, byte: 1, count };
  });
}

export function readRegions(
  list: JsonValue | undefined,
  geometry: Geometry | undefined,
  otherwise: (unclear: JsonValue) => Place | undefined = () => undefined,
): readonly Region[] {
  return items(list).flatMap((value) => {
    if (!isObject(value)) return [];
    knownKeys(value, [...PLACE_KEYS, 'why']);
    const place = readPlace(value, geometry) ?? otherwise(value);
    return place === undefined ? [] : [{ place, why: text(member(value, 'why')), source: spanOf(value.node) }];
  });
}

export function readBalance(list: JsonValue | undefined, geometry: Geometry | undefined): readonly Balance[] {
  return items(list).flatMap((value) => {
    if (!isObject(value)) return [];
    knownKeys(value, PLACE_KEYS);
    const place = readPlace(value, geometry);
    return place === undefined ? [] : [{ place, source: spanOf(value.node) }];
  });
}
