import { hex } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { labelText } from '../format/dumpText.js';
import { type Label, type RecordRow, recordName } from '../format/row.js';
import type { Dump } from './dump.js';
import { labelOfRow, rowOfLine } from './layout.js';

/** What a line of a dump is called; a record of an image goes by its address. */
export function lineName({ layout }: Pick<Dump, 'layout'>, label: Label): Phrase {
  return layout.kind === 'image' ? phrase('Address {0}', labelText(label)) : phrase('Line {0}', labelText(label));
}

/** The head of the column of their names in a table. */
export function lineHead({ layout }: Pick<Dump, 'layout'>): Phrase {
  return layout.kind === 'image' ? phrase('Address') : phrase('Line');
}

/** What is before the bytes of a line is what a program calls it, unless it is longer than this. */
const LONGEST_CALLED = 16;

/** What a dump calls the line of a label, as `lineCalled`; the label itself where the dump has no such line. */
export function calledLine(dump: Parameters<typeof lineCalled>[0], label: Label): string {
  const row = dump.layout.kind === 'lines' ? rowOfLine(dump.layout, label) : undefined;
  return row === undefined ? labelText(label) : lineCalled(dump, row);
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
