import { hex } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { labelText, readLabel } from '../format/dumpText.js';
import { readLineLabel } from '../format/label.js';
import { byteStore } from '../format/notation.js';
import { type BrokenRow, type Label, type RecordRow, recordName } from '../format/row.js';
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

/** Lines that are looked at for how a dump names them; of a longer one they are spread over all of it. */
const SAMPLE = 16;

/** What lines that are not there would be called as the others are written; by their labels where these do not show how. */
function namerAlike(dump: Parameters<typeof lineCalled>[0]): (label: Label) => string {
  const { rows, notation, layout } = dump;
  const widths = notation.labelWidths?.(rows);
  const printed = (label: Label, inSmall: boolean): string | undefined => {
    const plain = notation.print({ label, type: undefined, data: Uint8Array.of(0), sum: Uint8Array.of(0) }, widths);
    const { start = 0, end = 0 } = notation.labelSpan(notation.readRow(plain, byteStore(plain.length))) ?? {};
    const number = plain.slice(start, end);
    const text = plain.slice(0, start) + (inSmall ? number.toLowerCase() : number) + plain.slice(end);
    const row = notation.readRow(text, byteStore(text.length));
    return row.kind === 'record' && row.label === label ? nameWritten(notation, row) : undefined;
  };
  const step = Math.ceil(layout.order.length / SAMPLE);
  const known = Array.from(layout.order).flatMap((row, at) => {
    const record = at % step === 0 ? rows[row] : undefined;
    return record?.kind === 'record' ? { label: record.label, own: lineCalled(dump, row) } : [];
  });
  const inSmall = [false, true].find((small) => known.every((one) => printed(one.label, small) === one.own));
  return (label) => (known.length > 0 && inSmall !== undefined && printed(label, inSmall)) || labelText(label);
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
  if (layout.kind === 'image' || (record?.kind !== 'record' && record?.kind !== 'broken')) return label;
  return nameWritten(notation, record) ?? label;
}

/** What is before the bytes of a line, where that names it; of one whose bytes cannot be read, up to its number. */
function nameWritten(notation: Dump['notation'], row: RecordRow | BrokenRow): string | undefined {
  const { start = 0, end = 0 } = notation.labelSpan(row) ?? {};
  if (notation.id !== 'pattern') {
    const written = row.text.slice(start, end);
    return /^0x/i.test(written) ? written : undefined;
  }
  const first = row.kind === 'record' ? Math.min(...notation.digitPlaces(row)) : end;
  const before = row.text.slice(0, Number.isFinite(first) ? first : 0).trim();
  const called = before.replace(/[^0-9A-Za-z]+$/, '').replace(/^[^0-9A-Za-z]+/, '');
  if (called === '' || called.length > LONGEST_CALLED) return undefined;
  // A line without a number is found by its words alone.
  const isNumbered = row.label !== undefined && /\d/.test(labelText(row.label));
  return (isNumbered ? /\s/ : /\s{2}|[^\p{L}\p{N}\s_.-]/u).test(called) ? undefined : called;
}
