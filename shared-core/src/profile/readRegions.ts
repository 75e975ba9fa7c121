import { phrase } from '../base/phrase.js';
import { flag, isObject, items, type JsonValue, knownKeys, member, spanOf, text, wrong } from './json.js';
import { dataBytes } from './lineLabels.js';
import { joinedRanges } from './places.js';
import type { AddressRange, Balance, Geometry, Place, Region } from './profile.js';
import { lineLabel } from './readLines.js';
import { MOVING_PLACE_KEYS, PLACE_KEYS, readPlace } from './readPlace.js';
import type { KnownSlots } from './readSlotPlace.js';

/** Bytes are looked up one by one where they are locked, volatile or balance places. */
const MOST_IN_REGION = 0x100000;

/** Places that are never changed. Where it cannot be told which bytes of a line are meant, it is all of them. */
export function readLocked(
  list: JsonValue | undefined,
  geometry: Geometry | undefined,
  slots: KnownSlots,
): readonly Region[] {
  return readRegions(list, geometry, slots, (value) => {
    const line = lineLabel(member({ node: value.node, problems: [] }, 'line'));
    const count = geometry?.kind === 'lines' && line !== undefined ? dataBytes(geometry, line) : 0;
    return line === undefined || count === 0 ? undefined : { kind: 'line', line, byte: 1, count };
  });
}

export function readRegions(
  list: JsonValue | undefined,
  geometry: Geometry | undefined,
  slots: KnownSlots,
  otherwise: (unclear: JsonValue) => Place | undefined = () => undefined,
): readonly Region[] {
  return items(list).flatMap((value) => {
    if (!isObject(value)) return [];
    knownKeys(value, [...MOVING_PLACE_KEYS, 'why', 'personal']);
    const personal = flag(member(value, 'personal')) === true ? ({ personal: true } as const) : {};
    const place = readPlace(value, geometry, { wholeLine: true, most: MOST_IN_REGION, slots }) ?? otherwise(value);
    return place === undefined
      ? []
      : [{ place, why: text(member(value, 'why')), ...personal, source: spanOf(value.node) }];
  });
}

export function readBalance(
  list: JsonValue | undefined,
  geometry: Geometry | undefined,
  slots: KnownSlots,
): readonly Balance[] {
  return items(list).flatMap((value) => {
    if (!isObject(value)) return [];
    knownKeys(value, MOVING_PLACE_KEYS);
    const place = readPlace(value, geometry, { wholeLine: true, most: MOST_IN_REGION, slots });
    return place === undefined ? [] : [{ place, source: spanOf(value.node) }];
  });
}

/** Addresses of an image that it need not hold. */
export function readAbsent(list: JsonValue | undefined, geometry: Geometry | undefined): readonly AddressRange[] {
  if (list === undefined) return [];
  if (geometry?.kind !== 'addresses')
    return wrong(list, phrase('"absent" goes with "addresses": only they say what an image must hold.')) ?? [];
  const absent = items(list).flatMap((value) => {
    if (!isObject(value)) return [];
    knownKeys(value, PLACE_KEYS);
    const place = readPlace(value, geometry, { most: 2 ** 32 });
    return place?.kind === 'address' ? [{ from: place.address, to: place.address + place.count - 1 }] : [];
  });
  const [first] = joinedRanges(absent);
  if (first?.from === geometry.from && first.to === geometry.to)
    wrong(list, phrase('This allows every address to be missing: list only those that may be.'));
  return absent;
}
