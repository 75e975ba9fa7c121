import { phrase } from '../base/phrase.js';
import { compareLabels, isBetween } from '../format/label.js';
import type { Label } from '../format/row.js';
import { items, type JsonValue, member, oneOf, soundOnly, wholeOf, wrong } from './json.js';
import { firstLabel, lastLabel, positionOf } from './lineLabels.js';
import type { AddressRange, Coverage, Geometry, LineGeometry } from './profile.js';
import { hasAddress, readRange } from './readGeometry.js';
import { labelOf, numbersIn } from './readLines.js';

/** Each range is compared with each other. */
const MOST_RANGES = 1_000;

/** What a total runs over; undefined, with a problem, where that does not fit the dump. */
export function readCoverage(total: JsonValue, geometry: Geometry | undefined): Coverage | undefined {
  return soundOnly(total, () => {
    const list = member(total, 'over');
    const over = items(list, MOST_RANGES);
    const ranges = over.some(({ node }) => node.type === 'object');
    if (list?.node.type === 'array' && over.length === 0)
      return wrong(list, phrase('A sum over nothing has no use: name what it runs over, or leave "over" out.'));
    if (ranges) return { kind: 'addresses', ranges: readRanges(over, geometry) };
    return geometry?.kind === 'addresses' ? wholeImage(total, over, geometry) : readLines(total, over, geometry);
  });
}

function readRanges(over: readonly JsonValue[], geometry: Geometry | undefined): readonly AddressRange[] {
  const ranges: AddressRange[] = [];
  for (const value of over) {
    const range = readRange(value, 0xffffffff);
    if (range === undefined) continue;
    if (geometry?.kind === 'lines')
      wrong(value, phrase('This dump is in lines: a sum runs over "data", not addresses.'));
    else if (geometry !== undefined && !(hasAddress(geometry, range.from) && hasAddress(geometry, range.to)))
      wrong(value, phrase('These addresses run off the image.'));
    else if (ranges.some(({ from, to }) => range.from <= to && range.to >= from))
      wrong(value, phrase('These addresses are covered already: no byte counts twice.'));
    ranges.push(range);
  }
  return ranges;
}

function wholeImage(
  total: JsonValue,
  over: readonly JsonValue[],
  { from, to }: Extract<Geometry, { kind: 'addresses' }>,
): Coverage {
  partsOf(over, ['data']);
  const lines = member(total, 'lines');
  if (lines !== undefined) wrong(lines, phrase('An image has no lines: give ranges of addresses as "over".'));
  return { kind: 'addresses', ranges: [{ from, to }] };
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

/** `"1-18"`, or `"3-1..4-2"` where labels have several numbers; or one line alone. */
export function lineRange(value: JsonValue, geometry: LineGeometry | undefined): LabelRange | undefined {
  const written = typeof value.node.value === 'string' ? value.node.value : String(wholeOf(value.node.value));
  const isOfSeveral = geometry !== undefined && geometry.numbers > 1;
  const pattern = isOfSeveral ? SEVERAL : /^(\d+|0x[0-9a-f]+)(?:-(\d+|0x[0-9a-f]+))?$/i;
  const [, first = '', last = first] = SEVERAL_ENDS.exec(written) ?? pattern.exec(written) ?? [];
  const [from, to] = [first, last].map((end) => {
    const label = labelOf(end);
    return isOfSeveral && numbersIn(label) !== geometry.numbers ? undefined : label;
  });
  if (from === undefined || to === undefined || compareLabels(from, to) > 0)
    return wrong(
      value,
      isOfSeveral
        ? phrase('Lines are written "3-1..4-2", or "3-1" for one alone.')
        : phrase('Lines are written "1-18".'),
    );
  const off = geometry && [from, to].find((label) => positionOf(geometry, label) < 0);
  if (geometry === undefined || off === undefined) return { from, to };
  const [least, most] = [firstLabel(geometry), lastLabel(geometry)];
  return isBetween(off, { from: least, to: most })
    ? wrong(value, phrase('There is no line {0}: lines go from {1} to {2}.', off, least, most))
    : wrong(value, phrase('Lines go from {0} to {1} only.', least, most));
}

export interface LabelRange {
  readonly from: Label;
  readonly to: Label;
}

const SEVERAL_ENDS = /^(\S+?)\.\.(\S+)$/;
const SEVERAL = /^(\S+)$/;
