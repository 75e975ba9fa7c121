import { hex } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { labelText, readLabel } from '../format/dumpText.js';
import { readLineLabel } from '../format/label.js';
import { byteStore, type Notation } from '../format/notation.js';
import { type Label, type RecordRow, type Row, recordName } from '../format/row.js';
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
  return lineNamer(dump)(label);
}

/** The same for many labels. */
export function lineNamer(dump: Parameters<typeof lineCalled>[0]): (label: Label) => string {
  let alike: ((label: Label) => string) | undefined;
  return (label) => {
    if (dump.layout.kind !== 'lines') return labelText(label);
    const row = dump.layout.rowOf(label);
    if (row !== undefined) return lineCalled(dump, row);
    alike ??= namerAlike(dump);
    return alike(label);
  };
}

/**
 * The label that a person means, among all that there are: as the dump calls its line, with or without what is before its
 * digits, or else by its number. What is shown counts: where lines are numbered in hex, 10 is the one after 0F, and 16 none.
 */
export function labelMeant(
  dump: Parameters<typeof lineCalled>[0],
  labels: readonly Label[],
  written: string,
): Label | undefined {
  const called = lineNamer(dump);
  const exact = labels.find((label) => called(label) === written);
  if (exact !== undefined) return exact;
  const digits = written.replace(/^0+(?=[0-9a-f])/i, '');
  const endsSo = /^[0-9a-f]+$/i.test(digits) ? new RegExp(`(?:^|[^0-9a-f])0*${digits}$`, 'i') : undefined;
  const [shown, ...others] = labels.filter((label) => endsSo?.test(called(label)));
  if (shown !== undefined) return others.length === 0 ? shown : undefined;
  const number = readLineLabel(written);
  const byNumber = labels.find((label) => label === readLabel(written) || label === number);
  if (byNumber === undefined || !/^\d+$/.test(digits)) return byNumber;
  return called(byNumber).endsWith(digits) ? byNumber : undefined;
}

/** What lines that are not there would be called, were they written as the others are. */
function namerAlike({ notation, rows }: Parameters<typeof lineCalled>[0]): (label: Label) => string {
  const byte = Uint8Array.of(0);
  const widths = notation.labelWidths?.(rows);
  return (label) => {
    const text = notation.print({ label, type: undefined, data: byte, sum: byte }, widths);
    return calledIn(notation, label, notation.readRow(text, byteStore(text.length)));
  };
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
  const label = labelOfRow(record) ?? row + 1;
  return layout.kind === 'image' ? labelText(label) : calledIn(notation, label, record);
}

/**
 * What is before the bytes of a line of another program, where that names it, of one whose bytes cannot be read up to its
 * number; else its label, in dump text in hex where it is written so.
 */
function calledIn(notation: Notation, of: Label, row: Row | undefined): string {
  const label = labelText(of);
  if (row?.kind !== 'record' && row?.kind !== 'broken') return label;
  const { start = 0, end = 0 } = notation.labelSpan(row) ?? {};
  const written = row.text.slice(start, end);
  if (notation.id !== 'pattern') return /^0x/i.test(written) ? written : label;
  const first = row.kind === 'record' ? Math.min(...notation.digitPlaces(row)) : end;
  const before = row.text.slice(0, Number.isFinite(first) ? first : 0).trim();
  const called = before.replace(/[^0-9A-Za-z]+$/, '').replace(/^[^0-9A-Za-z]+/, '');
  if (called === '' || called.length > LONGEST_CALLED) return label;
  // A line without a number is found by its words alone.
  const isNumbered = /\d/.test(label);
  return (isNumbered ? /\s/ : /\s{2}|[^\p{L}\p{N}\s_.-]/u).test(called) ? label : called;
}
