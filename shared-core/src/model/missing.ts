import { bytesOfNumber } from '../base/number.js';
import { bytesOf, type Label, NO_PROBLEMS, type RecordRow } from '../format/row.js';
import { dataBytes, sumBytes } from '../profile/lineLabels.js';
import { type Dump, ruleOf } from './dump.js';
import { printerLike } from './formatRows.js';
import { computeLineSum } from './lineSum.js';

/** A line that the profile wants, as text in the spacing of the dump, and the bytes in it. */
export interface WantedLine {
  readonly label: Label;
  readonly text: string;
}

/**
 * Writes lines with given data bytes and their sums right, in the spacing of the dump; undefined where the dump is not
 * in lines, or how they are summed is not known.
 */
export function lineWriter(dump: Dump): ((label: Label, data: Uint8Array) => WantedLine) | undefined {
  const { rule, profile } = dump;
  const geometry = profile.geometry?.kind === 'lines' ? profile.geometry : undefined;
  if (geometry === undefined || (rule === undefined && geometry.stretches.some(({ sum }) => sum > 0))) return undefined;
  const print = printerLike(dump);
  return (label, data) => {
    const hasSum = rule !== undefined && sumBytes(geometry, label) > 0;
    const sum = hasSum ? computeLineSum(rule, recordOf(label, data, rule.width)) : new Uint8Array();
    return { label, text: print({ label, type: undefined, data, sum }) };
  };
}

/** The line that stores a total which the dump lacks, with its right value; undefined where it cannot be computed or is there. */
export function totalLine(dump: Dump, index: number): WantedLine | undefined {
  const bound = dump.totals[index];
  const state = dump.states[index];
  if (bound === undefined || state === undefined) return undefined;
  const { total, run, stored, width } = bound;
  if (total.stored.kind !== 'record') return undefined;
  if (stored !== undefined || state.unreadable > 0 || run.obstacle !== undefined || dump.layout.repeated.length > 0)
    return undefined;
  if (run.length === 0) return undefined;
  const { label } = total.stored;
  const data = bytesOfNumber(total.checksum.valueOf(state.state), width, total.order);
  return { label, text: printerLike(dump)({ label, type: undefined, data, sum: new Uint8Array() }) };
}

/** Data bytes that the profile wants in a line; undefined where it wants no such line. */
export function dataCountOf({ profile: { geometry } }: Pick<Dump, 'profile'>, label: Label): number | undefined {
  return geometry?.kind === 'lines' ? dataBytes(geometry, label) || undefined : undefined;
}

/**
 * What is to be written behind a line that holds its data and not yet its sum: the sum, with what most lines have
 * before it. Undefined where the line is of another length.
 */
export function lackingSum(dump: Dump, row: number): { readonly at: number; readonly text: string } | undefined {
  const record = dump.rows[row];
  const { notation } = dump;
  if (record?.kind !== 'record' || record.type !== undefined || ruleOf(dump, row) === undefined) return undefined;
  if (record.count === 0 || record.count !== dataCountOf(dump, record.label)) return undefined;
  const line = lineWriter(dump)?.(record.label, bytesOf(record));
  const last = notation.digitPlaces(record).at(-1);
  if (line === undefined || last === undefined) return undefined;
  const whole = notation.readRow(line.text, { bytes: new Uint8Array(line.text.length), used: 0 });
  const places = whole.kind === 'record' ? notation.digitPlaces(whole) : [];
  const [lastOfData, firstOfSum] = [places[2 * record.count - 1], places[2 * record.count]];
  // A sum that is written before the data cannot be put behind them.
  return lastOfData === undefined || firstOfSum === undefined || firstOfSum < lastOfData
    ? undefined
    : { at: last + 1, text: line.text.slice(lastOfData + 1) };
}

function recordOf(label: Label, data: Uint8Array, sumBytes: number): RecordRow {
  const store = new Uint8Array(data.length + sumBytes);
  store.set(data);
  const problems = NO_PROBLEMS;
  return { kind: 'record', text: '', label, type: undefined, store, from: 0, count: store.length, problems };
}
