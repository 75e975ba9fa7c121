import { checksumOf } from '../checksum/registry.js';
import { phrase } from '../words/phrase.js';
import {
  flag,
  isObject,
  items,
  type JsonValue,
  knownKeys,
  member,
  oneOf,
  spanOf,
  text,
  whole,
  wholeOf,
  wrong,
} from './json.js';
import type { Coverage, Geometry, LineSum, LineSumPart, Total, TotalPlace } from './profile.js';
import { dataBytes, readRange } from './readGeometry.js';
import { readPlace } from './readPlace.js';
import { readOrder, readSum, SUM_KEYS } from './readSum.js';

const PARTS: readonly LineSumPart[] = ['module', 'label', 'length', 'data'];

export function readLineSum(value: JsonValue | undefined, geometry: Geometry | undefined): LineSum | undefined {
  if (value === undefined || !isObject(value)) return undefined;
  knownKeys(value, [...SUM_KEYS, 'over', 'labelBytes']);
  const spec = readSum(value);
  if (spec === undefined) return undefined;
  const checksum = checksumOf(spec);
  const width = geometry?.kind === 'lines' ? geometry.sum : 0;
  const needed = Math.ceil(checksum.bits / 8);
  if (width === 0) return wrong(value, phrase('A line sum needs "lines" with "sum" bytes to stand in.'));
  if (width !== needed) return wrong(value, phrase('This sum has {0} bytes; "lines" gives {1} to it.', needed, width));
  const over =
    member(value, 'over') === undefined
      ? PARTS.slice(3)
      : items(member(value, 'over')).flatMap((part) => oneOf(part, PARTS) ?? []);
  if (new Set(over).size < over.length)
    return wrong(member(value, 'over') ?? value, phrase('A part stands here twice.'));
  if (!over.includes('data'))
    return wrong(member(value, 'over') ?? value, phrase('A line sum runs over "data" at least.'));
  return { spec, checksum, order: readOrder(value), over, labelBytes: whole(member(value, 'labelBytes'), 1, 4) ?? 1 };
}

export function readTotals(list: JsonValue | undefined, geometry: Geometry | undefined): readonly Total[] {
  return items(list).flatMap((value) => (isObject(value) ? (readTotal(value, geometry) ?? []) : []));
}

function readTotal(value: JsonValue, geometry: Geometry | undefined): Total | undefined {
  knownKeys(value, [...SUM_KEYS, 'name', 'label', 'line', 'byte', 'address', 'lines', 'over', 'keep']);
  const spec = readSum(value);
  const covers = readCoverage(value, geometry);
  if (spec === undefined || covers === undefined) return undefined;
  const checksum = checksumOf(spec);
  const stored = readStored(value, geometry, Math.ceil(checksum.bits / 8));
  if (stored === undefined) return undefined;
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
}

function readStored(value: JsonValue, geometry: Geometry | undefined, width: number): TotalPlace | undefined {
  if (member(value, 'line') !== undefined) {
    const place = readPlace(value, geometry);
    if (place?.kind !== 'line') return undefined;
    const room = geometry?.kind === 'lines' ? dataBytes(geometry, place.line) : place.byte + width - 1;
    if (place.byte + width - 1 > room) {
      return wrong(
        member(value, 'byte') ?? value,
        phrase('The {0} bytes of this sum run off the end of line {1}.', width, place.line),
      );
    }
    return { kind: 'line', line: place.line, byte: place.byte };
  }
  const address = member(value, 'address');
  if (address !== undefined) {
    const at = whole(address, 0, 0xffffffff);
    if (at === undefined) return undefined;
    if (geometry?.kind === 'addresses' && (at < geometry.from || at + width - 1 > geometry.to)) {
      return wrong(address, phrase('This address is outside the image.'));
    }
    return { kind: 'address', address: at };
  }
  const label = member(value, 'label');
  if (label === undefined) return { kind: 'record', label: 'total' };
  const written: unknown = label.node.value;
  const number = wholeOf(written);
  if (number !== undefined) return { kind: 'record', label: number };
  return typeof written === 'string'
    ? { kind: 'record', label: written }
    : wrong(label, phrase('A label is a number or a word.'));
}

function readCoverage(value: JsonValue, geometry: Geometry | undefined): Coverage | undefined {
  const over = items(member(value, 'over'));
  if (over.some(({ node }) => node.type === 'object')) {
    const ranges = over.flatMap((range) => (isObject(range) ? (readRange(range, 0xffffffff) ?? []) : []));
    return { kind: 'addresses', ranges };
  }
  if (geometry?.kind === 'addresses') {
    return { kind: 'addresses', ranges: [{ from: geometry.from, to: geometry.to }] };
  }
  const parts = over.flatMap((part) => oneOf(part, ['data', 'sums'] as const) ?? []);
  if (parts.length > 0 && !parts.includes('data')) {
    return wrong(member(value, 'over') ?? value, phrase('A total runs over "data", or over "data" and "sums".'));
  }
  const sums = parts.includes('sums');
  const lines = member(value, 'lines');
  if (lines === undefined) return { kind: 'all-lines', sums };
  const match = /^(\d+|0x[0-9a-f]+)-(\d+|0x[0-9a-f]+)$/i.exec(String(lines.node.value));
  const [from, to] = [Number(match?.[1]), Number(match?.[2])];
  if (match !== null && from <= to) return { kind: 'lines', from, to, sums };
  return wrong(lines, phrase('Lines are written "1-18".'));
}
