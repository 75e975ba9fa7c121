import { HEX_VIEW_TYPE, hexViewShape, isFilledFrom, readHexViewRow } from './hexViewRow.js';
import { hasWords } from './hexViewWords.js';
import { byteStore, type Fit } from './notation.js';
import { tellingLines } from './pairs.js';
import { bytesOf, type RecordRow } from './row.js';
import { WORDS, type Word } from './word.js';

interface ListedRow {
  readonly row: RecordRow;
  /** Behind `*`, or at the end of a text of which the middle was not looked at. */
  readonly isApart: boolean;
}

/**
 * Whether a text is what a viewer of bytes prints: all rows are of one kind, the characters beside the bytes are theirs,
 * and the addresses are hex. Read as decimal or octal they would follow each other as well, so that nothing else is sure.
 */
export function fitsHexView(text: string): Fit {
  const rows = rowsListed(text);
  if (rows === undefined) return 'no';
  const data = rows.filter(({ row }) => row.type !== HEX_VIEW_TYPE.end);
  const type = data[0]?.row.type;
  if (type === undefined || data.some(({ row }) => row.type !== type)) return 'no';
  const hasCharacters = data.every(({ row }) => hexViewShape(row.text)?.characters !== undefined || isBlank(row));
  if (type === HEX_VIEW_TYPE.xxd && !hasCharacters) return 'no';
  if (follow(rows, 16)) return 'yes';
  return hasCharacters && !follow(rows, 10) && !follow(rows, 8) && rises(rows) ? 'yes' : 'no';
}

/** The words in which it may be written: all rows can be read so, and follow each other. */
export function wordsThatFitHexView(text: string): readonly Word[] {
  // Most texts are told by their first line, of which groups of two or four bytes are wanted.
  const [first = ''] = tellingLines(text).head;
  if (!/^\s*[0-9A-F]{4,16}:?\s+(?:[0-9A-F]{4}){1,2}(?!\S)/i.test(first)) return [];
  return WORDS.filter((word) => {
    const rows = rowsListed(text, word);
    const type = rows?.[0]?.row.type;
    if (rows === undefined || type === undefined || type === HEX_VIEW_TYPE.end) return false;
    const isAlike = rows.every(({ row }) => row.type === type || row.type === HEX_VIEW_TYPE.end);
    return isAlike && rows.some(({ row }) => hasWords(row.text, digitsOf(row, word))) && follow(rows, 16, word);
  });
}

function digitsOf({ text }: RecordRow, word: Word): { readonly start: number; readonly end: number } {
  return hexViewShape(text, word) ?? { start: 0, end: 0 };
}

/** The rows that say how a text is written; undefined where one of them cannot be read. */
function rowsListed(text: string, word?: Word): readonly ListedRow[] | undefined {
  const { head, tail } = tellingLines(text);
  const lines = [...head, ...tail];
  const rows: ListedRow[] = [];
  for (const [i, line] of lines.entries()) {
    if (line.trim() === '*') continue;
    const row = readHexViewRow(line, byteStore(line.length), word);
    if (row.kind !== 'record' || row.problems.length > 0) return undefined;
    rows.push({ row, isApart: i === head.length || (i > 0 && lines[i - 1]?.trim() === '*') });
  }
  return rows;
}

/** Whether each row begins where the one before ends, with addresses read to a base. */
function follow(rows: readonly ListedRow[], base: number, word?: Word): boolean {
  return rows.every(({ row, isApart }, i) => {
    const before = rows[i - 1]?.row;
    if (before === undefined || isApart) return true;
    const count = addressOf(row, base) - addressOf(before, base);
    // The last word is printed whole.
    const isFilled = word !== undefined && row.type === HEX_VIEW_TYPE.end && isFilledFrom(before, count, word);
    return count === before.count || isFilled;
  });
}

function rises(rows: readonly ListedRow[]): boolean {
  return rows.every(({ row }, i) => {
    const before = rows[i - 1]?.row;
    return before === undefined || Number(row.label) >= Number(before.label) + before.count;
  });
}

/** Whether all characters of a row are blanks, which editors take away at the ends of lines. */
function isBlank(row: RecordRow): boolean {
  return bytesOf(row).every((byte) => byte === 0x20);
}

function addressOf({ text }: RecordRow, base: number): number {
  const digits = /^\s*([0-9A-F]+)/i.exec(text)?.[1] ?? '';
  const isOfBase = (base === 8 ? /^[0-7]+$/ : base === 10 ? /^\d+$/ : /./).test(digits);
  return isOfBase ? Number.parseInt(digits, base) : Number.NaN;
}
