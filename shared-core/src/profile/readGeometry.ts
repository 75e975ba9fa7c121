import { phrase } from '../base/phrase.js';
import { FORM_IDS, formOf } from '../format/forms.js';
import { compilePattern } from '../format/pattern.js';
import {
  isObject,
  items,
  type JsonValue,
  knownKeys,
  mapEntries,
  member,
  missing,
  oneOf,
  text,
  whole,
  wholeOf,
  wrong,
} from './json.js';
import type { AddressGeometry, AddressRange, Geometry, LineGeometry, Profile } from './profile.js';

const MOST_LINES = 1_000_000;

export function readGeometry(root: JsonValue): Geometry | undefined {
  const lines = member(root, 'lines');
  const addresses = member(root, 'addresses');
  if (lines !== undefined && addresses !== undefined) {
    return wrong(addresses, phrase('A dump is either "lines" or "addresses", not both.'));
  }
  if (lines !== undefined) return isObject(lines) ? readLines(lines) : undefined;
  if (addresses === undefined) return undefined;
  const range = readRange(addresses, 0xffffffff);
  return range && { kind: 'addresses', ...range };
}

/** An object of `from` and `to`, both included. */
export function readRange(object: JsonValue, most: number): AddressRange | undefined {
  if (!isObject(object)) return undefined;
  knownKeys(object, ['from', 'to']);
  return readEnds(object, most);
}

/** `from` and `to` of an object, both included. */
export function readEnds(object: JsonValue, most: number): AddressRange | undefined {
  const from = whole(member(object, 'from'), 0, most);
  const to = whole(member(object, 'to'), 0, most);
  if (from === undefined || to === undefined) {
    if (member(object, 'from') === undefined || member(object, 'to') === undefined)
      missing(object, phrase('"from" and "to" are both wanted here.'));
    return undefined;
  }
  return from <= to ? { from, to } : wrong(member(object, 'to') ?? object, phrase('"to" is lower than "from".'));
}

function readLines(object: JsonValue): LineGeometry | undefined {
  knownKeys(object, ['from', 'to', 'step', 'data', 'sum']);
  const range = readEnds(object, 0xffffffff);
  const data = member(object, 'data');
  if (data === undefined) return missing(object, phrase('"data" is missing: how many data bytes has a line?'));
  if (range === undefined) return undefined;
  const sum = whole(member(object, 'sum'), 0, 8) ?? 0;
  const step = whole(member(object, 'step'), 1, 0xffff) ?? 1;
  if ((range.to - range.from) % step !== 0)
    return wrong(
      member(object, 'step') ?? object,
      phrase('Lines from {0} in steps of {1} do not come to {2}.', range.from, step, range.to),
    );
  if ((range.to - range.from) / step >= MOST_LINES)
    return wrong(object, phrase('No dump has more than {0} lines.', MOST_LINES));
  if (data.node.type !== 'object') {
    const count = whole(data, 1, 65_535);
    return count === undefined ? undefined : { kind: 'lines', ...range, step, data: count, sum };
  }
  const counts = new Map<number, number>();
  for (const [key, value, keyNode] of mapEntries(data)) {
    const label = wholeOf(key);
    const count = whole(value, 1, 65_535);
    if (label === undefined || !hasLine({ ...range, step }, label)) {
      wrong(keyNode, phrase('"{0}" is none of the lines {1} to {2}.', key, range.from, range.to));
    } else if (counts.has(label)) wrong(keyNode, phrase('"{0}" is given twice here: remove one of them.', key));
    else if (count !== undefined) counts.set(label, count);
  }
  for (let label = range.from; label <= range.to; label += step) {
    if (!counts.has(label)) return wrong(data, phrase('The count for line {0} is missing.', label));
  }
  return { kind: 'lines', ...range, step, data: counts, sum };
}

export function readNotation(root: JsonValue, geometry: Geometry | undefined): Profile['notation'] {
  const value = member(root, 'notation');
  if (value === undefined) return undefined;
  if (value.node.type !== 'object') {
    const id = oneOf(value, FORM_IDS);
    const form = id && formOf(id);
    if (form?.image !== undefined && geometry?.kind === 'lines')
      return wrong(
        value,
        phrase('A memory image has no lines with numbers: describe it by "addresses" in place of "lines".'),
      );
    return form;
  }
  knownKeys(value, ['pattern', 'otherwise', 'headings']);
  const pattern = member(value, 'pattern');
  const written = text(pattern);
  if (pattern === undefined) return missing(value, phrase('A form of your own needs "pattern".'));
  const otherwise = oneOf(member(value, 'otherwise'), ['keep', 'report'] as const) ?? 'keep';
  if (written === undefined) return undefined;
  const headings = items(member(value, 'headings')).flatMap((one) => {
    const line = text(one);
    if (line !== undefined && line.trim() === '') return wrong(one, phrase('A heading is a line of text.')) ?? [];
    return line ?? [];
  });
  const compiled = compilePattern(written, otherwise, headings);
  return compiled.ok ? compiled.value : wrong(pattern, compiled.why);
}

export function hasAddress({ from, to }: AddressGeometry, address: number): boolean {
  return address >= from && address <= to;
}

/** Whether the labels of a dump are to have this one among them. */
export function hasLine({ from, to, step }: Pick<LineGeometry, 'from' | 'to' | 'step'>, label: number): boolean {
  return label >= from && label <= to && (label - from) % step === 0;
}

/** Data bytes of a line by this geometry; 0 for a line it does not have. */
export function dataBytes(geometry: LineGeometry, line: number): number {
  if (!hasLine(geometry, line)) return 0;
  return typeof geometry.data === 'number' ? geometry.data : (geometry.data.get(line) ?? 0);
}
