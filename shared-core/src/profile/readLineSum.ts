import { phrase } from '../base/phrase.js';
import { checksumOf } from '../checksum/registry.js';
import { isObject, items, type JsonValue, knownKeys, member, oneOf, soundOnly, whole, wrong } from './json.js';
import type { DataRange, Geometry, LineSum, LineSumPart } from './profile.js';
import { readOrder, readSum, SUM_KEYS } from './readSum.js';

export const LINE_SUM_PARTS: readonly LineSumPart[] = [
  'module',
  'label',
  'label.1',
  'label.2',
  'label.3',
  'label.4',
  'length',
  'data',
];

/** The sum of each line; undefined where it cannot be computed with what the profile says. */
export function readLineSum(
  root: JsonValue,
  geometry: Geometry | undefined,
  module: number | undefined,
): LineSum | undefined {
  const value = member(root, 'lineSum');
  if (value === undefined || !isObject(value)) return undefined;
  knownKeys(value, [...SUM_KEYS, 'over', 'labelBytes', 'data', 'sumAt']);
  return soundOnly(value, () => {
    const spec = readSum(value);
    if (spec === undefined) return undefined;
    const checksum = checksumOf(spec);
    checkRoom(value, geometry, Math.ceil(checksum.bits / 8));
    const numbers = geometry?.kind === 'lines' ? geometry.numbers : 1;
    const over = readParts(value, { knowsModule: member(root, 'module') !== undefined, numbers });
    // A number of the module that cannot be read was marked where it stands; no sum is made with a default for it.
    if (over.includes('module') && module === undefined) return undefined;
    const labelBytes = member(value, 'labelBytes');
    if (labelBytes !== undefined && !over.some(isOfLabel))
      wrong(labelBytes, phrase('"labelBytes" has no effect here: the sum does not run over "label".'));
    const data = readCovered(member(value, 'data'), geometry);
    return { spec, checksum, order: readOrder(value), over, labelBytes: whole(labelBytes, 1, 4) ?? 1, data };
  });
}

/** Whether the sum of a line is before its data. */
export function hasFrontSum(root: JsonValue): boolean {
  const sum = member(root, 'lineSum');
  const place = sum && member(sum, 'sumAt');
  if (oneOf(place, ['back', 'front'] as const) !== 'front') return false;
  const notation = member(root, 'notation');
  const pattern = notation && member(notation, 'pattern')?.node.value;
  if (!/\{sum[:}]/.test(String(pattern))) return true;
  if (place !== undefined)
    wrong(place, phrase('The pattern says where the sum is by {0}: leave "sumAt" out.', '{sum}'));
  return false;
}

/** One range of data bytes: "3", "3-6", "3-end", "3-end-2". */
const RANGE = /^([1-9]\d{0,4})(?:-(?:([1-9]\d{0,4})|end(?:-([1-9]\d{0,2}))?))?$/;

/** The data bytes that a line's sum covers, such as "1-4,6-8" or "2-end"; undefined for all. */
function readCovered(value: JsonValue | undefined, geometry: Geometry | undefined): readonly DataRange[] | undefined {
  if (value === undefined) return undefined;
  const ranges: DataRange[] = [];
  const shortest = shortestLine(geometry);
  for (const written of String(value.node.value).split(',')) {
    const [, first, last, spare] = RANGE.exec(written) ?? [];
    const isOpen = written.includes('end');
    const range = {
      first: Number(first),
      last: isOpen ? undefined : Number(last ?? first),
      spare: isOpen ? Number(spare ?? 0) : 0,
    };
    const before = ranges.at(-1);
    const isAfter = before === undefined || (before.last !== undefined && range.first > before.last);
    if (first === undefined || !isAfter || (range.last ?? range.first) < range.first)
      return wrong(
        value,
        phrase('Data bytes are written "1-4,6-8", "2-end" or "1-end-1" for all but the last, in rising order.'),
      );
    if (Math.max(range.first, range.last ?? 0) > shortest - range.spare)
      return wrong(value, phrase('A line has {0} data bytes, too few for "{1}".', shortest, written));
    ranges.push(range);
  }
  return ranges;
}

function shortestLine(geometry: Geometry | undefined): number {
  if (geometry?.kind !== 'lines') return Number.POSITIVE_INFINITY;
  const counts = geometry.stretches.flatMap(({ data }) => (typeof data === 'number' ? data : [...data.values()]));
  return counts.reduce((least, count) => Math.min(least, count), 65_535);
}

/** Whether a part is the label of the line, or one of its numbers. */
function isOfLabel(part: LineSumPart): boolean {
  return part === 'label' || part.startsWith('label.');
}

/** Compares the width of a line's sum with the bytes that `lines` gives to it; some stretches may have no sum. */
function checkRoom(value: JsonValue, geometry: Geometry | undefined, needed: number): void {
  const given = (geometry?.kind === 'lines' ? geometry.stretches : []).map(({ sum }) => sum).filter((sum) => sum > 0);
  const other = given.find((sum) => sum !== needed);
  const place = member(value, 'bits') ?? member(value, 'method') ?? value;
  if (given.length === 0) wrong(place, phrase('A line sum needs "lines" with "sum" bytes to stand in.'));
  else if (other !== undefined) wrong(place, phrase('This sum has {0} bytes; "lines" gives {1} to it.', needed, other));
}

function readParts(
  value: JsonValue,
  { knowsModule, numbers }: { readonly knowsModule: boolean; readonly numbers: number },
): readonly LineSumPart[] {
  const list = member(value, 'over');
  if (list === undefined) return ['data'];
  const over: LineSumPart[] = [];
  const all = items(list);
  for (const item of all) {
    const part = oneOf(item, LINE_SUM_PARTS);
    if (part === undefined) continue;
    const twin = over.find((one) => sameBytes(one, part));
    if (twin === part) wrong(item, phrase('"{0}" is given twice here: remove one of them.', part));
    else if (twin !== undefined) wrong(item, phrase('"label" is all numbers of a label: give it, or some of them.'));
    else if (part === 'module' && !knowsModule)
      wrong(item, phrase('The sum covers the number of the module: give it as "module", such as "0x06F4".'));
    else if (isOfLabel(part) && part !== 'label' && Number(part.slice(-1)) > numbers)
      wrong(item, phrase('The labels of these lines have {0} numbers, so there is no "{1}".', numbers, part));
    over.push(part);
  }
  if (list.node.type === 'array' && over.length === all.length && !over.includes('data'))
    wrong(list, phrase('A line sum runs over "data" at least.'));
  return over;
}

/** Whether two parts have bytes in common. */
function sameBytes(one: LineSumPart, other: LineSumPart): boolean {
  return one === other || (isOfLabel(one) && isOfLabel(other) && (one === 'label' || other === 'label'));
}
