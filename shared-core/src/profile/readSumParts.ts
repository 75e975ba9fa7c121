import { bytesOfNumber } from '../base/number.js';
import { phrase } from '../base/phrase.js';
import { compareLabels } from '../format/label.js';
import {
  entries,
  isObject,
  items,
  type JsonValue,
  knownKeys,
  member,
  missing,
  oneOf,
  text,
  whole,
  wrong,
} from './json.js';
import { dataBytes, firstLabel, lastLabel, sumBytes } from './lineLabels.js';
import { joinedRanges } from './places.js';
import type { AddressRange, Constant, Coverage, Geometry, LineGeometry, LinePart, Place } from './profile.js';
import { hasAddress, readEnds } from './readGeometry.js';
import { lineRange } from './readLineRange.js';
import { lineLabel } from './readLines.js';
import { PLACE_KEYS, readPlace } from './readPlace.js';
import { readOrder } from './readSum.js';

/** More bytes of one part are in no sum. */
const MOST_CONSTANT = 1_024;

export const OVER_NOTHING = phrase('A sum over nothing has no use: name what it runs over, or leave "over" out.');
const TWICE = phrase('These addresses are covered already: no byte counts twice.');

/** Ranges of addresses, each without some of its bytes, and bytes before, between and behind them. */
export function addressParts(
  total: JsonValue,
  list: JsonValue,
  over: readonly JsonValue[],
  geometry: Extract<Geometry, { kind: 'addresses' }> | LineGeometry | undefined,
): Coverage | undefined {
  const before = list.problems.length;
  noLines(total);
  const whole: AddressRange[] = [];
  const ranges: AddressRange[] = [];
  const constants: Constant[] = [];
  for (const value of over) {
    const bytes = constantIn(value, geometry);
    if (bytes !== undefined) constants.push({ before: ranges.length, bytes });
    if (isConstant(value)) continue;
    const range = value.node.type === 'object' ? readPart(value, geometry) : wholeRange(value, geometry);
    if (range === undefined) continue;
    if (whole.some(({ from, to }) => range.from <= to && range.to >= from)) wrong(value, TWICE);
    whole.push(range);
    ranges.push(...without(range, exceptIn(value, range, geometry)));
  }
  if (list.problems.length > before) return undefined;
  return ranges.length === 0 ? wrong(list, OVER_NOTHING) : { kind: 'addresses', ranges, constants };
}

function noLines(total: JsonValue): void {
  const lines = member(total, 'lines');
  if (lines !== undefined) wrong(lines, phrase('An image has no lines: give ranges of addresses as "over".'));
}

function wholeRange(value: JsonValue, geometry: Geometry | undefined): AddressRange | undefined {
  if (typeof value.node.value !== 'string' && !isObject(value)) return undefined;
  if (oneOf(value, ['data'] as const) === undefined) return undefined;
  if (geometry?.kind === 'addresses') return { from: geometry.from, to: geometry.to };
  return wrong(value, phrase('All data of an image are "addresses" of the profile: give these, or ranges here.'));
}

function readPart(value: JsonValue, geometry: Geometry | undefined): AddressRange | undefined {
  knownKeys(value, ['from', 'to', 'except']);
  const range = readEnds(value, 0xffffffff);
  if (range === undefined || geometry?.kind !== 'addresses') return range;
  return hasAddress(geometry, range.from) && hasAddress(geometry, range.to)
    ? range
    : wrong(value, phrase('These addresses run off the image.'));
}

/** The addresses that are taken out of a range. */
function exceptIn(value: JsonValue, range: AddressRange, geometry: Geometry | undefined): readonly AddressRange[] {
  return exceptions(value).flatMap((one) => {
    if (!isObject(one)) return [];
    knownKeys(one, PLACE_KEYS);
    const place = readPlace(one, geometry, { most: 2 ** 32 });
    if (place?.kind !== 'address') return [];
    const last = place.address + place.count - 1;
    if (place.address >= range.from && last <= range.to) return [{ from: place.address, to: last }];
    return wrong(one, NOT_AMONG) ?? [];
  });
}

const NOT_AMONG = phrase('This is not among what it is taken out of.');

function exceptions(value: JsonValue): readonly JsonValue[] {
  const list = value.node.type === 'object' ? member(value, 'except') : undefined;
  const all = items(list);
  if (list?.node.type === 'array' && all.length === 0)
    wrong(list, phrase('Nothing is taken out here: name what, or leave "except" out.'));
  return all;
}

function without({ from, to }: AddressRange, out: readonly AddressRange[]): readonly AddressRange[] {
  const left: AddressRange[] = [];
  let next = from;
  for (const one of joinedRanges(out)) {
    if (one.from > next) left.push({ from: next, to: one.from - 1 });
    next = one.to + 1;
  }
  return next <= to ? [...left, { from: next, to }] : left;
}

/** Lines, each without some of its bytes, and bytes before, between and behind them. */
export function lineParts(
  total: JsonValue,
  list: JsonValue,
  over: readonly JsonValue[],
  geometry: Geometry | undefined,
): Coverage | undefined {
  if (geometry?.kind !== 'lines')
    return wrong(list, phrase('Which lines there are, only "lines" of the profile can tell: describe them first.'));
  const before = list.problems.length;
  const parts: LinePart[] = [];
  const except: Place[] = [];
  const constants: Constant[] = [];
  let sums = false;
  for (const value of over) {
    const bytes = constantIn(value, geometry);
    if (bytes !== undefined) constants.push({ before: parts.length, bytes });
    if (isConstant(value)) continue;
    if (value.node.value === 'sums') {
      if (sums) wrong(value, phrase('"{0}" is given twice here: remove one of them.', 'sums'));
      if (geometry.stretches.every(({ sum }) => sum === 0)) wrong(value, phrase('The lines have no sums to run over.'));
      sums = true;
      continue;
    }
    const part = readLinePart(total, value, geometry);
    if (part === undefined) continue;
    if (parts.some((one) => shareBytes(one, part)))
      wrong(value, phrase('These lines are covered already: no byte counts twice.'));
    parts.push(part);
    except.push(...linesWithout(value, part, geometry));
  }
  const given = member(total, 'lines');
  if (given !== undefined && !over.some(({ node }) => node.value === 'data'))
    wrong(given, phrase('"lines" says which lines "data" means: name them in "over" alone, or "data" there.'));
  if (list.problems.length > before) return undefined;
  return parts.length === 0 ? wrong(list, OVER_NOTHING) : { kind: 'line-parts', parts, except, sums, constants };
}

function readLinePart(total: JsonValue, value: JsonValue, geometry: LineGeometry): LinePart | undefined {
  if (value.node.type !== 'object') {
    if (oneOf(value, ['data', 'sums'] as const) === undefined) return undefined;
    const lines = member(total, 'lines');
    const range =
      lines === undefined ? { from: firstLabel(geometry), to: lastLabel(geometry) } : lineRange(lines, geometry);
    return range && { ...range, bytes: undefined };
  }
  if (member(value, 'from') !== undefined || member(value, 'address') !== undefined)
    return wrong(value, phrase('This dump is in lines: a sum runs over "data", not addresses.'));
  const lines = member(value, 'lines');
  if (lines === undefined) {
    knownKeys(value, [...PLACE_KEYS, 'except']);
    const place = readPlace(value, geometry, { wholeLine: true });
    if (place?.kind !== 'line') return undefined;
    return { from: place.line, to: place.line, bytes: { first: place.byte, count: place.count } };
  }
  knownKeys(value, ['lines', 'except']);
  const range = lineRange(lines, geometry);
  return range && { ...range, bytes: undefined };
}

function shareBytes(one: LinePart, other: LinePart): boolean {
  if (compareLabels(one.from, other.to) > 0 || compareLabels(other.from, one.to) > 0) return false;
  if (one.bytes === undefined || other.bytes === undefined) return true;
  const [a, b] = [one.bytes, other.bytes];
  return a.first < b.first + b.count && b.first < a.first + a.count;
}

/** What is taken out of lines: whole lines, with their sums, or bytes of one. */
function linesWithout(value: JsonValue, part: LinePart, geometry: LineGeometry): readonly Place[] {
  return exceptions(value).flatMap((one) => {
    const place = one.node.type === 'object' ? readOut(one, geometry) : wholeLine(one, geometry);
    if (place === undefined) return [];
    if (place.kind === 'line' && compareLabels(place.line, part.from) >= 0 && compareLabels(place.line, part.to) <= 0)
      return [place];
    return wrong(one, NOT_AMONG) ?? [];
  });
}

function readOut(value: JsonValue, geometry: LineGeometry): Place | undefined {
  knownKeys(value, PLACE_KEYS);
  return readPlace(value, geometry, { wholeLine: true });
}

function wholeLine(value: JsonValue, geometry: LineGeometry): Place | undefined {
  const line = lineLabel(value);
  if (line === undefined) return undefined;
  const count = dataBytes(geometry, line);
  return count === 0
    ? wrong(
        value,
        phrase('There is no line {0}: lines go from {1} to {2}.', line, firstLabel(geometry), lastLabel(geometry)),
      )
    : { kind: 'line', line, byte: 1, count: count + sumBytes(geometry, line) };
}

const DERIVED = ['address-of', 'length-of'] as const;

/** Whether a part is bytes that are the same in every dump: given, or an address or a length. */
function isConstant(value: JsonValue): boolean {
  if (value.node.type !== 'object') return false;
  if (DERIVED.some((key) => member(value, key) !== undefined)) return true;
  return member(value, 'bytes') !== undefined && ['line', 'from', 'lines'].every((key) => !member(value, key));
}

function constantIn(value: JsonValue, geometry: Geometry | undefined): readonly number[] | undefined {
  if (!isConstant(value)) return undefined;
  const key = DERIVED.find((one) => member(value, one) !== undefined);
  if (key !== undefined) return numberIn(value, key, geometry);
  knownKeys(value, ['bytes']);
  const given = member(value, 'bytes');
  const written = text(given);
  if (given === undefined || written === undefined) return undefined;
  const pairs = /^[0-9a-f]{2}(?: [0-9a-f]{2})*$/i.test(written) ? written.match(/[0-9a-f]{2}/gi) : null;
  return pairs !== null && pairs.length <= MOST_CONSTANT
    ? pairs.map((pair) => Number.parseInt(pair, 16))
    : wrong(given, phrase('Bytes of a sum are written in hex with blanks between them, such as "01 F4".'));
}

/** The first address of a range, or how many bytes it has, as a number of some bytes. */
function numberIn(
  value: JsonValue,
  key: (typeof DERIVED)[number],
  geometry: Geometry | undefined,
): readonly number[] | undefined {
  knownKeys(value, [key, 'bytes', 'order']);
  const of = member(value, key);
  const width = whole(member(value, 'bytes'), 1, 8) ?? 4;
  const order = readOrder(value);
  if (of === undefined) return missing(value, phrase('An object { … } is wanted here.'));
  if (entries(value).some(([other]) => other !== key && (DERIVED as readonly string[]).includes(other)))
    return wrong(of, phrase('"{0}" and "{1}" do not go together: give one of them.', ...DERIVED));
  if (geometry?.kind === 'lines')
    return wrong(of, phrase('A dump in lines has no addresses: give the bytes themselves as "bytes".'));
  if (!isObject(of)) return undefined;
  knownKeys(of, PLACE_KEYS);
  const place = readPlace(of, geometry, { most: 2 ** 32 });
  if (place?.kind !== 'address') return undefined;
  const number = BigInt(key === 'address-of' ? place.address : place.count);
  return number >> BigInt(8 * width) === 0n
    ? [...bytesOfNumber(number, width, order)]
    : wrong(of, phrase('This number does not fit into {0} bytes.', width));
}
