import { phrase } from '../base/phrase.js';
import { checksumOf } from '../checksum/registry.js';
import { readDataRanges } from './dataRanges.js';
import { isObject, items, type JsonValue, knownKeys, member, oneOf, soundOnly, whole, wrong } from './json.js';
import type { Geometry, LineSum, LineSumPart } from './profile.js';
import { readConfidence } from './readConfidence.js';
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
  { module, front }: { readonly module: number | undefined; readonly front: boolean },
): LineSum | undefined {
  const value = member(root, 'lineSum');
  if (value === undefined || !isObject(value)) return undefined;
  knownKeys(value, [...SUM_KEYS, 'over', 'labelBytes', 'data', 'sumAt', 'confidence']);
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
    const data = readDataRanges(member(value, 'data'), geometry);
    return {
      ...{ spec, checksum, order: readOrder(value), over, labelBytes: whole(labelBytes, 1, 4) ?? 1, data, front },
      confidence: readConfidence(value),
    };
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
