import { phrase } from '../base/phrase.js';
import {
  isObject,
  items,
  type JsonValue,
  knownKeys,
  member,
  missing,
  oneOf,
  soundOnly,
  spanOf,
  text,
  whole,
  wrong,
} from './json.js';
import { dataBytes, labelAt, positionOf } from './lineLabels.js';
import type { Copies, Geometry, Place } from './profile.js';
import { lineRange } from './readLineRange.js';
import { lineLabel } from './readLines.js';
import { PLACE_KEYS, readPlace } from './readPlace.js';

/** Each copy is compared with each other. */
const MOST_COPIES = 100;

type Runs = readonly Place[];

/** Bytes that are in several places: a run of bytes, or whole lines. */
export function readCopies(list: JsonValue | undefined, geometry: Geometry | undefined): readonly Copies[] {
  return items(list, MOST_COPIES).flatMap((value) => (isObject(value) ? (readOne(value, geometry) ?? []) : []));
}

function readOne(value: JsonValue, geometry: Geometry | undefined): Copies | undefined {
  knownKeys(value, ['name', 'place', 'lines', 'at', 'as', 'agree']);
  return soundOnly(value, () => {
    const name = text(member(value, 'name')) ?? 'copies';
    const isInverted = oneOf(member(value, 'as'), ['same', 'inverted'] as const) === 'inverted';
    const agree = member(value, 'agree');
    const byMajority = oneOf(agree, ['all', 'majority'] as const) === 'majority';
    const first = firstPlace(value, geometry);
    const others = member(value, 'at');
    if (others === undefined) return missing(value, phrase('Name where the copies are as "at".'));
    if (first === undefined) return undefined;
    const all = items(others, MOST_COPIES);
    if (all.length === 0 && others.node.type === 'array')
      return wrong(others, phrase('This list is empty: name at least one copy.'));
    const copies = all.flatMap((one) => {
      const place = copyAt(one, first, geometry);
      return place === undefined ? [] : [place];
    });
    if (byMajority && agree !== undefined && copies.length < 2)
      wrong(agree, phrase('A majority takes three places or more, and here are {0}.', copies.length + 1));
    return { name, places: [first, ...copies], isInverted, byMajority, source: spanOf(value.node) };
  });
}

/** The place that the others are copies of. */
function firstPlace(value: JsonValue, geometry: Geometry | undefined): Runs | undefined {
  const [place, lines] = [member(value, 'place'), member(value, 'lines')];
  if (place !== undefined && lines !== undefined)
    return wrong(lines, phrase('"{0}" and "{1}" do not go together: give one of them.', 'place', 'lines'));
  if (lines !== undefined) return wholeLines(lines, geometry);
  if (place === undefined) return missing(value, phrase('Name what is copied as "place", or whole lines as "lines".'));
  return isObject(place) ? runAt(place, geometry) : undefined;
}

function runAt(value: JsonValue, geometry: Geometry | undefined, width = 1): Runs | undefined {
  knownKeys(value, PLACE_KEYS);
  const place = readPlace(value, geometry, { wholeLine: true, lengthInLine: true, width });
  return place && [place];
}

/** The data of whole lines. */
export function wholeLines(value: JsonValue, geometry: Geometry | undefined): Runs | undefined {
  if (geometry?.kind !== 'lines')
    return wrong(value, phrase('How long whole lines are, only "lines" of the profile can tell.'));
  const range = lineRange(value, geometry);
  if (range === undefined) return undefined;
  const first = positionOf(geometry, range.from);
  const count = positionOf(geometry, range.to) - first + 1;
  return Array.from({ length: count }, (_, i) => {
    const line = labelAt(geometry, first + i);
    return { kind: 'line', line, byte: 1, count: dataBytes(geometry, line) };
  });
}

/** Another place with as many bytes as the first: its address, its line, or its lines. */
function copyAt(value: JsonValue, first: Runs, geometry: Geometry | undefined): Runs | undefined {
  const [start] = first;
  if (start === undefined) return undefined;
  if (value.node.type === 'object') {
    const place = isObject(value) ? runAt(value, geometry, start.count) : undefined;
    return place && sameSize(value, first, place);
  }
  if (start.kind === 'address') {
    const address = whole(value, 0, 0xffffffff);
    if (address === undefined) return undefined;
    const last = address + start.count - 1;
    const { from, to } = geometry?.kind === 'addresses' ? geometry : { from: 0, to: 0xffffffff };
    return address < from || last > to
      ? wrong(value, phrase('These addresses run off the image.'))
      : [{ ...start, address }];
  }
  if (geometry?.kind === 'lines' && isWhole(first, geometry)) {
    const lines = wholeLines(value, geometry);
    return lines && sameSize(value, first, lines);
  }
  const line = lineLabel(value);
  if (line === undefined) return undefined;
  const room = geometry?.kind === 'lines' ? dataBytes(geometry, line) : Number.POSITIVE_INFINITY;
  return start.byte + start.count - 1 > room
    ? wrong(
        value,
        phrase('Line {0} has {1} data bytes; there is no byte {2}.', line, room, start.byte + start.count - 1),
      )
    : [{ ...start, line }];
}

function isWhole(runs: Runs, geometry: Extract<Geometry, { kind: 'lines' }>): boolean {
  return runs.every((run) => run.kind === 'line' && run.count === dataBytes(geometry, run.line));
}

function sameSize(value: JsonValue, first: Runs, runs: Runs): Runs | undefined {
  const isSame = first.length === runs.length && first.every(({ count }, i) => runs[i]?.count === count);
  return isSame ? runs : wrong(value, phrase('This has other bytes than the place that it is a copy of.'));
}
