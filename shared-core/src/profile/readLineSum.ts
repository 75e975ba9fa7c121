import { phrase } from '../base/phrase.js';
import { checksumOf } from '../checksum/registry.js';
import { isObject, items, type JsonValue, knownKeys, member, oneOf, soundOnly, whole, wrong } from './json.js';
import type { Geometry, LineSum, LineSumPart } from './profile.js';
import { readOrder, readSum, SUM_KEYS } from './readSum.js';

const PARTS: readonly LineSumPart[] = ['module', 'label', 'length', 'data'];

/** The sum of each line; undefined where it cannot be computed with what the profile says. */
export function readLineSum(
  root: JsonValue,
  geometry: Geometry | undefined,
  module: number | undefined,
): LineSum | undefined {
  const value = member(root, 'lineSum');
  if (value === undefined || !isObject(value)) return undefined;
  knownKeys(value, [...SUM_KEYS, 'over', 'labelBytes']);
  return soundOnly(value, () => {
    const spec = readSum(value);
    if (spec === undefined) return undefined;
    const checksum = checksumOf(spec);
    checkRoom(value, geometry, Math.ceil(checksum.bits / 8));
    const over = readParts(value, member(root, 'module') !== undefined);
    // A number of the module that cannot be read was marked where it stands; no sum is made with a default for it.
    if (over.includes('module') && module === undefined) return undefined;
    const labelBytes = member(value, 'labelBytes');
    if (labelBytes !== undefined && !over.includes('label'))
      wrong(labelBytes, phrase('"labelBytes" has no effect here: the sum does not run over "label".'));
    return { spec, checksum, order: readOrder(value), over, labelBytes: whole(labelBytes, 1, 4) ?? 1 };
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
  const all = items(list);
  for (const item of all) {
    const part = oneOf(item, PARTS);
    if (part === undefined) continue;
    if (over.includes(part)) wrong(item, phrase('"{0}" is given twice here: remove one of them.', part));
    else if (part === 'module' && !knowsModule)
      wrong(item, phrase('The sum covers the number of the module: give it as "module", such as "0x06F4".'));
    over.push(part);
  }
  if (list.node.type === 'array' && over.length === all.length && !over.includes('data'))
    wrong(list, phrase('A line sum runs over "data" at least.'));
  return over;
}
