import { hex, hexBytes, isHexWord } from '../base/hex.js';
import type { PageWriter } from '../base/pageWriter.js';
import { phrase } from '../base/phrase.js';
import type { Span } from '../base/span.js';
import { hexDigitPlaces, isBlank, readHexGroups } from './hexGroups.js';
import { readCommentedHeader } from './imageText.js';
import { storedInWords } from './inWords.js';
import type { ByteStore, PrintedRecord, WrittenForm } from './notation.js';
import { type HeaderRow, type Label, NO_PROBLEMS, type Row } from './row.js';
import { type ContentsToWrite, endLine } from './toWrite.js';

const HASH = 0x23;
const AT_SIGN = 0x40;
const COLON = 0x3a;
const SLASH = 0x2f;
const SEMICOLON = 0x3b;
const ZERO = 0x30;

/** A number of so many decimal digits is exact, and short enough for any label. */
const MOST_DIGITS = 9;

/** The project's own text form: `label: hex groups`, `@name value`, `# comment`. */
export const dumpText: WrittenForm<'dump-text'> = {
  id: 'dump-text',
  title: phrase('dump text'),
  about: 'Lines of label, data and sum.',
  language: 'cfgdump',
  endings: ['cfgdump'],
  commentSign: '#',
  commentBehind: '#',
  headers: 'own',
  blanks: 'free',
  // What is in no other form is read as dump text, which says of each line what it cannot read.
  fits: () => 'no',
  keeps: { addresses: true, comments: true, start: 'any' },
  image: undefined,
  inWords: (word) => storedInWords(dumpText, word),
  readRow,
  digitPlaces: (row) => hexDigitPlaces(row.text, row.text.indexOf(':') + 1, bytesEnd(row.text)),
  labelSpan: ({ text }) => labelSpan(text),
  print,
  write,
};

function readRow(text: string, store: ByteStore): Row {
  const end = contentEnd(text);
  const start = skipBlanks(text, 0);
  if (start === end) return { kind: 'blank', text, problems: NO_PROBLEMS };
  const first = text.charCodeAt(start);
  if (first === HASH) return { kind: 'comment', text, problems: NO_PROBLEMS };
  if (first === AT_SIGN) return readHeader(text, start, end) ?? unreadable(text, start, end);
  // A text that another form is read as has its headers behind the sign of that form.
  if (first === SLASH || first === SEMICOLON) return readCommentedHeader(text) ?? unreadable(text, start, end);
  return readRecord(text, start, end, store);
}

function readRecord(text: string, start: number, end: number, store: ByteStore): Row {
  // The label is read as it is passed over, since most are a few decimal digits and a large dump has one in each line.
  let at = start;
  let number = 0;
  for (; at < end; at++) {
    const code = text.charCodeAt(at);
    const digit = code - ZERO;
    if (digit >= 0 && digit <= 9) number = number * 10 + digit;
    else if (isLabelCode(code)) number = Number.NaN;
    else break;
  }
  const colon = skipBlanks(text, at);
  if (at === start || text.charCodeAt(colon) !== COLON) return unreadable(text, start, end);
  const label = at - start <= MOST_DIGITS && !Number.isNaN(number) ? number : readLabel(text.slice(start, at));
  const from = store.used;
  const comment = text.indexOf('#', colon);
  const problems = readHexGroups(text, colon + 1, comment < 0 ? end : comment, store);
  if (problems.length > 0) return { kind: 'broken', text, label, problems };
  const count = store.used - from;
  return { kind: 'record', text, label, type: undefined, store: store.bytes, from, count, problems: NO_PROBLEMS };
}

function unreadable(text: string, start: number, end: number): Row {
  const message = phrase(
    'This line is no record (label: hex), no header (@name value) and no comment (# text). Complete it, or put # before it.',
  );
  // A mark on thousands of characters says no more than one on the first.
  const problem = { code: 'text-unreadable', start, end: Math.min(end, start + 120), message } as const;
  return { kind: 'broken', text, label: undefined, problems: [problem] };
}

/** No name is made of hex digits alone: that is an address, and bytes behind it. */
function readHeader(text: string, start: number, end: number): HeaderRow | undefined {
  let nameEnd = start + 1;
  while (nameEnd < end && !isBlank(text.charCodeAt(nameEnd))) nameEnd++;
  if (isHexWord(text.slice(start + 1, nameEnd))) return undefined;
  const valueStart = skipBlanks(text, nameEnd);
  let valueEnd = end;
  while (valueEnd > valueStart && isBlank(text.charCodeAt(valueEnd - 1))) valueEnd--;
  return {
    kind: 'header',
    text,
    problems: NO_PROBLEMS,
    name: text.slice(start + 1, nameEnd),
    value: text.slice(valueStart, valueEnd),
    nameSpan: { start, end: nameEnd },
    valueSpan: { start: valueStart, end: valueEnd },
  };
}

/** A label as it is meant: decimal digits, or `0x` and hex digits, are a number; anything else is a word. */
export function readLabel(text: string): Label {
  if (/^(?:\d{1,10}|0x[0-9a-f]{1,8})$/i.test(text)) return Number(text);
  return text;
}

/** A label in canonical form, as messages and canonical text show it. */
export function labelText(label: Label): string {
  return String(label);
}

/** The label of a line `label: …`, or undefined where the line has no such beginning. */
function labelSpan(text: string): Span | undefined {
  const start = skipBlanks(text, 0);
  let end = start;
  while (end < text.length && isLabelCode(text.charCodeAt(end))) end++;
  const colon = skipBlanks(text, end);
  return end > start && text[colon] === ':' ? { start, end } : undefined;
}

function isLabelCode(code: number): boolean {
  const letter = code & ~0x20;
  return (
    (code >= 0x30 && code <= 0x39) ||
    (letter >= 0x41 && letter <= 0x5a) ||
    code === 0x5f ||
    code === 0x2e ||
    code === 0x2d
  );
}

function print({ label, data, sum }: PrintedRecord): string {
  const name = typeof label === 'number' && label > 0xffff ? `0x${hex(label, 8)}` : labelText(label);
  const bytes = hexBytes(data, ' ');
  return sum.length === 0 ? `${name}: ${bytes}` : `${name}: ${bytes} | ${hexBytes(sum, ' ')}`;
}

/** Where the hex groups end: before a comment, or at the end of the line. */
function bytesEnd(text: string): number {
  const comment = text.indexOf('#');
  return comment < 0 ? contentEnd(text) : comment;
}

function contentEnd(text: string): number {
  let end = text.length;
  if (text.charCodeAt(end - 1) === 0x0a) end--;
  if (text.charCodeAt(end - 1) === 0x0d) end--;
  return end;
}

function skipBlanks(text: string, start: number): number {
  let at = start;
  while (isBlank(text.charCodeAt(at))) at++;
  return at;
}

/** An image in dump text: labels are addresses in hex, all equally long; there are no line sums. */
function write({ top, start, lineEnd, forEachLine }: ContentsToWrite, page: PageWriter): void {
  const bytes = top > 0x10000 ? 4 : 2;
  if (start !== undefined) page.text(`@start 0x${hex(start, 2 * bytes)}${lineEnd}`);
  forEachLine(
    (address, data) => {
      page.character(ZERO);
      page.character(0x78);
      page.number(address, bytes);
      page.character(COLON);
      page.bytes(data, 0x20);
      endLine(page, lineEnd);
    },
    (remark) => {
      const text =
        remark.kind === 'header'
          ? `@${remark.name} ${remark.value}`
          : `# ${remark.kind === 'title' ? titleText(remark.bytes) : plainComment(remark.text)}`;
      page.text(text.trimEnd() + lineEnd);
    },
  );
}

/** Marks before a comment give way to the one of dump text. */
function plainComment(text: string): string {
  return text.replace(/^[\s\ufeff;#/]+/, '');
}

function titleText(bytes: Uint8Array): string {
  const text = String.fromCharCode(...bytes);
  return `S0: ${/^[ -~]*$/.test(text) ? text : hexBytes(bytes, ' ')}`;
}
