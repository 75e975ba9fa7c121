import { phrase } from '../base/phrase.js';
import { items, type JsonValue, member, oneOf, soundOnly, wrong } from './json.js';
import type { Coverage, Geometry, LineGeometry } from './profile.js';
import { lineRange } from './readLineRange.js';
import { addressParts, lineParts, OVER_NOTHING } from './readSumParts.js';

/** Each range is compared with each other. */
const MOST_RANGES = 1_000;

/** What a total runs over; undefined, with a problem, where that does not fit the dump. */
export function readCoverage(total: JsonValue, geometry: Geometry | undefined): Coverage | undefined {
  return soundOnly(total, () => {
    const list = member(total, 'over');
    const over = items(list, MOST_RANGES);
    if (list?.node.type === 'array' && over.length === 0) return wrong(list, OVER_NOTHING);
    if (list === undefined || !over.some(({ node }) => node.type === 'object'))
      return geometry?.kind === 'addresses' ? wholeImage(total, over, geometry) : readLines(total, over, geometry);
    const isInLines =
      geometry === undefined ? over.every((one) => member(one, 'from') === undefined) : geometry.kind === 'lines';
    return isInLines ? lineParts(total, list, over, geometry) : addressParts(total, list, over, geometry);
  });
}

function wholeImage(
  total: JsonValue,
  over: readonly JsonValue[],
  { from, to }: Extract<Geometry, { kind: 'addresses' }>,
): Coverage {
  partsOf(over, ['data']);
  const lines = member(total, 'lines');
  if (lines !== undefined) wrong(lines, phrase('An image has no lines: give ranges of addresses as "over".'));
  return { kind: 'addresses', ranges: [{ from, to }], constants: [] };
}

function readLines(
  total: JsonValue,
  over: readonly JsonValue[],
  geometry: LineGeometry | undefined,
): Coverage | undefined {
  const parts = partsOf(over, ['data', 'sums']);
  if (parts.length > 0 && parts.every(({ name }) => name === 'sums')) {
    return wrong(member(total, 'over') ?? total, phrase('A total runs over "data", or over "data" and "sums".'));
  }
  const sums = parts.find(({ name }) => name === 'sums')?.part;
  if (sums !== undefined && geometry?.stretches.every(({ sum }) => sum === 0))
    wrong(sums, phrase('The lines have no sums to run over.'));
  const lines = member(total, 'lines');
  if (lines === undefined) return { kind: 'all-lines', sums: sums !== undefined };
  const range = lineRange(lines, geometry);
  return range && { kind: 'lines', ...range, sums: sums !== undefined };
}

/** Words for what is covered, each once. */
function partsOf<T extends string>(over: readonly JsonValue[], words: readonly T[]) {
  const parts = over.map((part) => ({ part, name: oneOf(part, words) }));
  for (const [i, { part, name }] of parts.entries()) {
    if (name !== undefined && parts.findIndex((one) => one.name === name) < i)
      wrong(part, phrase('"{0}" is given twice here: remove one of them.', name));
  }
  return parts;
}
