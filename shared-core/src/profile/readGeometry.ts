import { phrase } from '../base/phrase.js';
import { FORM_IDS, formOf } from '../format/forms.js';
import { isHeadingText } from '../format/headings.js';
import { compilePattern } from '../format/pattern.js';
import { isObject, items, type JsonValue, knownKeys, member, missing, oneOf, text, whole, wrong } from './json.js';
import type { AddressGeometry, AddressRange, Geometry, Profile } from './profile.js';
import { readLines } from './readLines.js';

export function readGeometry(root: JsonValue): Geometry | undefined {
  const lines = member(root, 'lines');
  const addresses = member(root, 'addresses');
  if (lines !== undefined && addresses !== undefined) {
    return wrong(addresses, phrase('A dump is either "lines" or "addresses", not both.'));
  }
  if (lines !== undefined) return readLines(lines);
  if (addresses === undefined) return undefined;
  const range = readRange(addresses, 0xffffffff);
  return range && { kind: 'addresses', ...range };
}

/** An object of `from` and `to`, both included. */
function readRange(object: JsonValue, most: number): AddressRange | undefined {
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
    if (line !== undefined && !isHeadingText(line))
      return (
        wrong(one, phrase('A heading is a line of text; with {0} for what differs it begins with a word.', '{skip}')) ??
        []
      );
    return line ?? [];
  });
  const compiled = compilePattern(written, otherwise, headings);
  if (!compiled.ok) return wrong(pattern, compiled.why);
  const { numbers } = compiled.value;
  if (geometry?.kind === 'lines' && numbers !== undefined && numbers !== geometry.numbers)
    return wrong(
      pattern,
      phrase('Labels by this pattern have {0} numbers, those of "lines" have {1}.', numbers, geometry.numbers),
    );
  return compiled.value;
}

export function hasAddress({ from, to }: AddressGeometry, address: number): boolean {
  return address >= from && address <= to;
}
