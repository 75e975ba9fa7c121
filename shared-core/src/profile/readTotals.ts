import { phrase } from '../base/phrase.js';
import { checksumOf } from '../checksum/registry.js';
import { readLineLabel } from '../format/label.js';
import { type TotalLine, totalLineOf } from '../format/totalLines.js';
import {
  flag,
  isObject,
  items,
  type JsonValue,
  knownKeys,
  member,
  missing,
  onlyOneOf,
  soundOnly,
  spanOf,
  text,
  wholeOf,
  wrong,
} from './json.js';
import { dataBytes } from './lineLabels.js';
import type { Geometry, Total, TotalPlace } from './profile.js';
import { readConfidence } from './readConfidence.js';
import { readCoverage } from './readCoverage.js';
import { readPlace } from './readPlace.js';
import { readOrder, readSum, SUM_KEYS } from './readSum.js';

/** Each total is compared with each other that is stored among the data. */
const MOST_TOTALS = 3_000;

export function readTotals(list: JsonValue | undefined, geometry: Geometry | undefined): readonly Total[] {
  return items(list, MOST_TOTALS).flatMap((value) => (isObject(value) ? (readTotal(value, geometry) ?? []) : []));
}

function readTotal(value: JsonValue, geometry: Geometry | undefined): Total | undefined {
  knownKeys(value, [
    ...SUM_KEYS,
    'name',
    'label',
    'pattern',
    'line',
    'byte',
    'address',
    'lines',
    'over',
    'keep',
    'confidence',
  ]);
  return soundOnly(value, () => {
    const spec = readSum(value);
    const covers = readCoverage(value, geometry);
    const checksum = spec && checksumOf(spec);
    const stored = checksum && readStored(value, geometry, Math.ceil(checksum.bits / 8));
    const line = stored && readLine(value, stored);
    if (spec === undefined || checksum === undefined || covers === undefined || stored === undefined) return undefined;
    return {
      line,
      name: text(member(value, 'name')) ?? 'file sum',
      spec,
      checksum,
      order: readOrder(value),
      covers,
      stored,
      keep: flag(member(value, 'keep')) ?? false,
      confidence: readConfidence(value),
      source: spanOf(value.node),
    };
  });
}

/** How the line of a total is written, where it is unlike the others. */
function readLine(value: JsonValue, stored: TotalPlace): TotalLine | undefined {
  const given = member(value, 'pattern');
  const written = text(given);
  if (given === undefined || written === undefined) return undefined;
  if (stored.kind !== 'record')
    return wrong(given, phrase('"pattern" is for a total that has a line of its own: give its "label".'));
  const compiled = totalLineOf(written, stored.label);
  return compiled.ok ? compiled.value : wrong(given, compiled.why);
}

function readStored(value: JsonValue, geometry: Geometry | undefined, width: number): TotalPlace | undefined {
  if (!onlyOneOf(value, ['label', 'line', 'address'])) return undefined;
  const label = member(value, 'label');
  if (member(value, 'line') !== undefined || member(value, 'address') !== undefined) {
    return readPlace(value, geometry, { width });
  }
  if (geometry?.kind === 'addresses') {
    const message = phrase('An image has no labels: give the "address" at which this sum is stored.');
    return label === undefined ? missing(value, message) : wrong(label, message);
  }
  if (label === undefined) return { kind: 'record', label: 'total' };
  const written: unknown = label.node.value;
  const number = wholeOf(written);
  if ((number === undefined && (typeof written !== 'string' || written.trim() === '')) || (number ?? 0) < 0)
    return wrong(label, phrase('A label is a number or a word.'));
  const own = number ?? (written as string);
  const line = number ?? readLineLabel(String(written));
  return geometry === undefined || line === undefined || dataBytes(geometry, line) === 0
    ? { kind: 'record', label: own }
    : wrong(label, phrase('Line {0} holds data: give "line" and "byte" for a sum inside of it.', line));
}
