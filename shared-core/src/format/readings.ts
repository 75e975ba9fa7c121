import { hex, hexBytes } from '../base/hex.js';
import { dumpText, labelText } from './dumpText.js';
import { FORMS } from './forms.js';
import type { WrittenForm } from './notation.js';
import { recognise } from './notationOf.js';
import { bytesOf, type RecordRow, type Row } from './row.js';
import { readRows } from './rows.js';

/** One way to read a text, and the first record that it would have then. */
export interface Reading {
  readonly form: WrittenForm;
  readonly sample: string;
}

/** The ways to read a text whose name says nothing of its form; only one where that is sure. */
export interface Readings {
  readonly isCertain: boolean;
  readonly readings: readonly Reading[];
}

/** As many records of two bytes or more are no coincidence, where every other line is a header, a comment or blank. */
const ENOUGH = 3;

export function readingsOf(text: string): Readings {
  const found = recognise('', text);
  const head = text.slice(0, HEAD);
  if (found.kind === 'unclear') return { isCertain: false, readings: readingsIn(head, [...found.forms, dumpText]) };
  const isCertain = found.form !== dumpText || isDumpText(readRows(text, dumpText));
  if (isCertain) return { isCertain, readings: readingsIn(head, [found.form]) };
  // Lines of bytes most of which a form does not read are in a form of their own, though one of them looks like a record.
  const forms = looksLikeDump(text) ? FORMS.filter((form) => readsMost(readRows(head, form))) : FORMS;
  return { isCertain, readings: readingsIn(head, forms) };
}

function readsMost(rows: readonly Row[]): boolean {
  const records = rows.filter(isRecord).length;
  return records > 0 && records >= rows.filter(({ kind }) => kind === 'broken').length;
}

/** Whether a text is a dump in some form, also one that nobody has described: a record can be read, or a header, or it looks like one. */
export function isTextOfHex(text: string): boolean {
  return (
    looksLikeDump(text) ||
    readingsOf(text).readings.length > 0 ||
    readRows(text.slice(0, HEAD), dumpText).some(({ kind }) => kind === 'header')
  );
}

/** Whether half the lines of a text or more hold bytes in hex: a dump in a form that nobody has described, as likely as not. */
export function looksLikeDump(text: string): boolean {
  const lines = text.slice(0, HEAD).split(/\r\n?|\n/);
  const ofBytes = lines.filter((line) => BYTES.test(line)).length;
  return ofBytes >= ENOUGH && 2 * ofBytes >= lines.filter((line) => line.trim() !== '').length;
}

/** Four bytes apart from each other, four words, or as many digits together. */
const BYTES =
  /(?<![\p{L}\p{N}])(?:(?:(?:0x)?[\da-f]{2}[ \t,;|]+){3}(?:0x)?[\da-f]{2}|(?:[\da-f]{4}[ \t]+){3}[\da-f]{4}|(?:[\da-f]{2}){4,})(?![\p{L}\p{N}])/iu;

/** What a text would be in each of some forms. */
export function readingsIn(text: string, forms: readonly WrittenForm[]): readonly Reading[] {
  return forms.flatMap((form) => readingIn(form, readRows(text.slice(0, HEAD), form)));
}

/** As much of a text as has a record for a sample. */
const HEAD = 1 << 16;

function isDumpText(rows: readonly Row[]): boolean {
  const records = rows.filter(isRecord);
  return (
    records.length >= ENOUGH && records.every(({ count }) => count >= 2) && rows.every(({ kind }) => kind !== 'broken')
  );
}

/** The bytes of a line on the screen that show whether a reading is right. */
const SHOWN = 8;

function readingIn(form: WrittenForm, rows: readonly Row[]): readonly Reading[] {
  const first = rows.filter(isRecord).find((row) => isOfData(form, row));
  if (first === undefined) return [];
  // The sum of a record, where it has one, is its last byte.
  const bytes = bytesOf(first).subarray(0, form.image?.sum === undefined ? undefined : -1);
  return [{ form, sample: `${placeOf(form, first)}${sampleOf(bytes)}` }];
}

/** The first bytes of a line. */
export function sampleOf(bytes: Uint8Array): string {
  return `${hexBytes(bytes.subarray(0, SHOWN), ' ')}${bytes.length > SHOWN ? ' …' : ''}`;
}

function isOfData({ image }: WrittenForm, { type, count }: RecordRow): boolean {
  return (
    count > (image?.sum === undefined ? 0 : 1) &&
    (image === undefined || type === undefined || image.roles[type] === 'data')
  );
}

function placeOf({ image }: WrittenForm, { label }: RecordRow): string {
  if (image?.running !== undefined) return '';
  return typeof label === 'number' && image !== undefined ? `${hex(label, 4)}: ` : `${labelText(label)}: `;
}

function isRecord(row: Row): row is RecordRow {
  return row.kind === 'record';
}
