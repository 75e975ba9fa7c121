import { hex } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { labelText, readLabel } from '../format/dumpText.js';
import { readLineLabel } from '../format/label.js';
import { type Label, type RecordRow, recordName } from '../format/row.js';
import type { Dump } from './dump.js';
import { labelOfRow } from './layout.js';

/** What a line of a dump is called; a record of an image goes by its address. */
export function lineName(dump: Parameters<typeof calledLine>[0], label: Label): Phrase {
  return dump.layout.kind === 'image'
    ? phrase('Address {0}', labelText(label))
    : phrase('Line {0}', calledLine(dump, label));
}

/** The head of the column of their names in a table. */
export function lineHead({ layout }: Pick<Dump, 'layout'>): Phrase {
  return layout.kind === 'image' ? phrase('Address') : phrase('Line');
}

/** What is before the bytes of a line is what a program calls it, unless it is longer than this. */
const LONGEST_CALLED = 16;

/** What a dump calls the line of a label, as `lineCalled`; one that is not there as the others are called. */
export function calledLine(dump: Parameters<typeof lineCalled>[0], label: Label): string {
  if (dump.layout.kind !== 'lines') return labelText(label);
  const row = dump.layout.rowOf(label);
  return row === undefined ? calledAlike(dump, label) : lineCalled(dump, row);
}

/**
 * The label that a person means, among all that there are: as the dump calls its line, or else by its number. What is
 * shown counts first: where lines are numbered in hex, 10 is the one after 0F.
 */
export function labelMeant(
  dump: Parameters<typeof lineCalled>[0],
  labels: readonly Label[],
  written: string,
): Label | undefined {
  const number = readLineLabel(written);
  return (
    labels.find((label) => calledLine(dump, label) === written) ??
    labels.find((label) => label === readLabel(written) || label === number)
  );
}

/** What a line would be called by the first and the last one with a number, where their names differ in that alone. */
function calledAlike(dump: Parameters<typeof lineCalled>[0], label: Label): string {
  const { order } = dump.layout;
  const numbered = order.filter((row) => typeof labelOfRow(dump.rows[row]) === 'number');
  const [first, last] = [numbered[0], numbered.at(-1)].map((row) =>
    row === undefined ? undefined : aroundNumber(dump, row),
  );
  if (first === undefined || last === undefined || typeof label !== 'number') return labelText(label);
  // Below ten nobody can tell decimal from hex.
  if (label > 9 && Number(last.digits) < 10) return labelText(label);
  const isZeroed = /^0\d/.test(first.digits) || /^0\d/.test(last.digits);
  const [width, other] = [first.digits.length, last.digits.length];
  return first.before === last.before && first.after === last.after && (width === other || !isZeroed)
    ? `${first.before}${String(label).padStart(isZeroed ? width : 0, '0')}${first.after}`
    : labelText(label);
}

/** What is around the number of a line in its name; undefined where that is another number, or one of several. */
function aroundNumber(dump: Parameters<typeof lineCalled>[0], row: number) {
  const parts = /^(?<before>\D*)(?<digits>\d+)(?<after>\D*)$/.exec(lineCalled(dump, row))?.groups;
  const { before = '', digits = '', after = '' } = parts ?? {};
  return digits !== '' && Number(digits) === labelOfRow(dump.rows[row]) ? { before, digits, after } : undefined;
}

/** What messages call the line in a row; of a memory image the address as it is written there. */
export function recordCalled(dump: Parameters<typeof lineCalled>[0], row: number, record: RecordRow): Label {
  return dump.layout.kind === 'lines' ? lineCalled(dump, row) : recordName(record);
}

/**
 * What a dump itself calls the line in a row, such as "L07" or "SUM", so that a person finds it in the text; by its label
 * where the text says nothing else.
 */
export function lineCalled(
  { rows, notation, layout }: Pick<Dump, 'rows' | 'notation' | 'layout'>,
  row: number,
): string {
  const record = rows[row];
  const address = layout.kind === 'image' ? layout.keys[layout.order.indexOf(row)] : undefined;
  if (address !== undefined) return hex(address, 4);
  const label = labelText(labelOfRow(record) ?? row + 1);
  if (record?.kind !== 'record' || layout.kind === 'image' || notation.id !== 'pattern') return label;
  const first = Math.min(...notation.digitPlaces(record));
  const before = record.text.slice(0, Number.isFinite(first) ? first : 0).trim();
  const called = before.replace(/[^0-9A-Za-z]+$/, '').replace(/^[^0-9A-Za-z]+/, '');
  if (called === '' || called.length > LONGEST_CALLED) return label;
  // A line without a number is found by its words alone.
  const isNumbered = /\d/.test(label);
  return (isNumbered ? /\s/ : /\s{2}|[^\p{L}\p{N}\s_.-]/u).test(called) ? label : called;
}
