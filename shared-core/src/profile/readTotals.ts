import { checksumOf } from '../checksum/registry.js';
import { phrase } from '../words/phrase.js';
import {
  flag,
  isObject,
  items,
  type JsonValue,
  knownKeys,
  member,
  missing,
  oneOf,
  onlyOneOf,
  soundOnly,
  spanOf,
  text,
  whole,
  wholeOf,
  wrong,
} from './json.js';
import type { Geometry, LineSum, LineSumPart, Total, TotalPlace } from './profile.js';
import { readCoverage } from './readCoverage.js';
import { dataBytes } from './readGeometry.js';
import { readPlace } from './readPlace.js';
import { readOrder, readSum, SUM_KEYS } from './readSum.js';

const PARTS: readonly LineSumPart[] = ['module', 'label', 'length', 'data'];

/** The sum of each line; undefined where it cannot be computed with what the profile says. */
export function readLineSum(root: JsonValue, geometry: Geometry | undefined): LineSum | undefined {
  const value = member(root, 'lineSum');
  if (value === undefined || !isObject(value)) return undefined;
  knownKeys(value, [...SUM_KEYS, 'over', 'labelBytes']);
  return soundOnly(value, () => {
    const spec = readSum(value);
    if (spec === undefined) return undefined;
    const checksum = checksumOf(spec);
    checkRoom(value, geometry, Math.ceil(checksum.bits / 8));
    const over = readParts(value, member(root, 'module') !== undefined);
    return { spec, checksum, order: readOrder(value), over, labelBytes: whole(member(value, 'labelBytes'), 1, 4) ?? 1 };
  });
}

/** Holds the width of a line's sum against the bytes that `lines` gives to it. */
function checkRoom(value: JsonValue, geometry: Geometry | undefined, needed: number): void {
  const given = geometry?.kind === 'lines' ? geometry.sum : 0;
  const place = member(value, 'bits') ?? member(value, 'method') ?? value;
  if (given === 0) wrong(place, phrase('A line sum needs "lines" with "sum" bytes to stand in.'));
  else if (given !== needed) wrong(place, phrase('This sum has {0} bytes; "lines" gives {1} to it.', needed, given));
}

function readParts(value: JsonValue, knowsModule: boolean): readonly LineSumPart[] {
  const list = member(value, 'over');
  if (list === undefined) return ['data'];
  const over: LineSumPart[] = [];
  for (const item of items(list)) {
    const part = oneOf(item, PARTS);
    if (part === undefined) continue;
    if (over.includes(part)) wrong(item, phrase('"{0}" stands here twice; the first one counts.', part));
    else if (part === 'module' && !knowsModule)
      wrong(item, phrase('The sum covers the number of the module: give it as "module", such as "0x06F4".'));
    over.push(part);
  }
  if (over.length > 0 && !over.includes('data')) wrong(list, phrase('A line sum runs over "data" at least.'));
  return over;
}

export function readTotals(list: JsonValue | undefined, geometry: Geometry | undefined): readonly Total[] {
  return items(list).flatMap((value) => (isObject(value) ? (readTotal(value, geometry) ?? []) : []));
}

function readTotal(value: JsonValue, geometry: Geometry | undefined): Total | undefined {
  knownKeys(value, [...SUM_KEYS, 'name', 'label', 'line', 'byte', 'address', 'lines', 'over', 'keep']);
  return soundOnly(value, () => {
    const spec = readSum(value);
    const covers = readCoverage(value, geometry);
    const checksum = spec && checksumOf(spec);
    const stored = checksum && readStored(value, geometry, Math.ceil(checksum.bits / 8));
    if (spec === undefined || checksum === undefined || covers === undefined || stored === undefined) return undefined;
    return {
      name: text(member(value, 'name')) ?? 'file sum',
      spec,
      checksum,
      order: readOrder(value),
      covers,
      stored,
      keep: flag(member(value, 'keep')) ?? false,
      source: spanOf(value.node),
    };
  });
}

function readStored(value: JsonValue, geometry: Geometry | undefined, width: number): TotalPlace | undefined {
  if (!onlyOneOf(value, ['label', 'line', 'address'])) return undefined;
  const label = member(value, 'label');
  if (member(value, 'line') !== undefined || member(value, 'address') !== undefined) {
    return readPlace(value, geometry, width);
  }
  if (geometry?.kind === 'addresses') {
    const message = phrase('An image has no labels: give the "address" at which this sum is stored.');
    return label === undefined ? missing(value, message) : wrong(label, message);
  }
  if (label === undefined) return { kind: 'record', label: 'total' };
  const written: unknown = label.node.value;
  const number = wholeOf(written);
  if (number === undefined) {
    return typeof written === 'string'
      ? { kind: 'record', label: written }
      : wrong(label, phrase('A label is a number or a word.'));
  }
  return geometry === undefined || dataBytes(geometry, number) === 0
    ? { kind: 'record', label: number }
    : wrong(label, phrase('Line {0} holds data: give "line" and "byte" for a sum inside of it.', number));
}
