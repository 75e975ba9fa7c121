import { digitValue, hex, isHexWord } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { isBlank, notHex, oddDigits } from './hexGroups.js';
import type { ByteStore, Fit } from './notation.js';
import { type BrokenRow, type HeaderRow, NO_PROBLEMS, type RecordRow, type Row, type RowProblem } from './row.js';
import { whyStray, whyUnread } from './stray.js';

/** The part of a line that holds a record: from the first digit after its mark to the first blank. */
export interface RecordText {
  readonly start: number;
  readonly end: number;
}

/** Lines that are no records: blank, a header in a comment (`; @profile NAME`), or text that is left alone. */
export function readOtherLine(text: string): Row {
  if (/^\s*$/.test(text)) return { kind: 'blank', text, problems: NO_PROBLEMS };
  return readCommentedHeader(text) ?? { kind: 'comment', text, problems: NO_PROBLEMS };
}

/** The same of an image, where no text is left alone unless it is marked as a comment: it may be a record once damaged. */
export function readImageComment(text: string): Row {
  const row = readOtherLine(text);
  if (row.kind !== 'comment' || /^[\s\ufeff]*(?:[;#]|\/\/)/.test(text)) return row;
  return strayRow(text, whyStray(text, ';') ?? whyUnread(';'));
}

/** A line that is no record and must not be taken for a comment either. */
export function strayRow(text: string, message: Phrase): BrokenRow {
  const start = text.search(/[^\s\ufeff]/);
  const end = Math.min(text.trimEnd().length, start + 120);
  const problems = [{ code: 'text-unreadable', start, end, message } as const];
  return { kind: 'broken', text, label: undefined, problems, isStray: true };
}

/** A line of one kind of image file in a file of the other, which is no comment: the file claims to be what it is not. */
export function readForeignRecord(text: string, record: RegExp, foreign: string, message: Phrase): Row | undefined {
  if (!record.test(text)) return undefined;
  const start = text.search(/[^\s\ufeff]/);
  const end = Math.min(text.trimEnd().length, start + 120);
  const problems = [{ code: 'text-unreadable', start, end, message } as const];
  return { kind: 'broken', text, label: undefined, problems, foreign };
}

/**
 * A record whose mark is lost, or hidden behind a character or two: length and sum of its bytes say that it is one. As a
 * comment its bytes would be missing without a word.
 */
export function readUnmarkedRecord(
  text: string,
  record: RegExp,
  isSound: (bytes: Uint8Array) => boolean,
  message: Phrase,
) {
  const digits = record.exec(text)?.[1];
  if (digits === undefined) return undefined;
  const bytes = Uint8Array.from({ length: digits.length >> 1 }, (_, i) => byteAtDigits(digits, 2 * i));
  if (!isSound(bytes)) return undefined;
  const start = text.search(/[^\s\ufeff]/);
  return brokenRecord(text, undefined, undefined, [
    { code: 'text-unreadable', start, end: text.trimEnd().length, message },
  ]);
}

/** Image files know no headers; a comment that begins with `@name` serves as one. */
export function readCommentedHeader(text: string): HeaderRow | undefined {
  const match = /^([\s;#/]*)@(\w+)([ \t]*)(.*?)\s*$/.exec(text);
  if (match === null) return undefined;
  const [, before = '', name = '', blanks = '', value = ''] = match;
  // An address, and bytes behind it.
  if (isHexWord(name)) return undefined;
  const start = before.length;
  const nameEnd = start + 1 + name.length;
  const valueStart = nameEnd + blanks.length;
  return {
    kind: 'header',
    text,
    problems: NO_PROBLEMS,
    name,
    value,
    nameSpan: { start, end: nameEnd },
    valueSpan: { start: valueStart, end: valueStart + value.length },
  };
}

export function recordText(text: string, start: number): RecordText {
  let end = start;
  while (end < text.length && !isBlankOrEnd(text.charCodeAt(end))) end++;
  return { start, end };
}

/** A record that could be read, and what is wrong with what stands behind it: most programs do not read such a line. */
export function soundRecord(
  row: Omit<RecordRow, 'kind' | 'problems'>,
  { end }: RecordText,
  commentSign = ';',
): RecordRow {
  const { text } = row;
  let start = end;
  while (start < text.length && isBlankOrEnd(text.charCodeAt(start))) start++;
  const problems = start === text.length ? NO_PROBLEMS : [textBehind(start, text, commentSign)];
  return { kind: 'record', ...row, problems };
}

function isBlankOrEnd(code: number): boolean {
  return isBlank(code) || code === 0x0a || code === 0x0d;
}

function textBehind(start: number, text: string, commentSign: string): RowProblem {
  const message = phrase(
    'Text behind a record: programs that read such files stop here or pass it over. Give it a line of its own that begins with "{0}".',
    commentSign,
  );
  return { code: 'text-unreadable', start, end: text.trimEnd().length, message };
}

/** The byte whose two digits stand at `at`, or -1 where one of them is none. */
export function byteAtDigits(text: string, at: number): number {
  const high = digitValue(text.charCodeAt(at));
  const low = digitValue(text.charCodeAt(at + 1));
  return high > 15 || low > 15 ? -1 : (high << 4) | low;
}

/** A number of so many bytes, most significant first, or -1 where a digit is none. */
export function numberAtDigits(text: string, at: number, bytes: number): number {
  let number = 0;
  for (let i = 0; i < bytes; i++) {
    const byte = byteAtDigits(text, at + 2 * i);
    if (byte < 0) return -1;
    number = number * 256 + byte;
  }
  return number;
}

const IN_IMAGE = phrase('Correct it. A comment has a line of its own that begins with ";".');

/** What is wrong with the digits of a record: characters that are none, or an odd number of them. */
export function digitProblems(text: string, { start, end }: RecordText): readonly RowProblem[] {
  const problems: RowProblem[] = [];
  for (let at = start; at < end && problems.length < 8; at++) {
    if (digitValue(text.charCodeAt(at)) > 15) problems.push(notHex(text, at, IN_IMAGE));
  }
  if (problems.length === 0 && (end - start) % 2 === 1) problems.push(oddDigits(start, end));
  return problems;
}

/** A record whose length byte and digits do not agree, or of which something else than data is missing. */
export function wrongLength({ start, end }: RecordText, said: number, found: number): RowProblem {
  const there = Math.max(0, found);
  const message =
    said < 0 || said === there
      ? TOO_SHORT
      : phrase(
          'The length byte says {0} (hex), but {1} (hex) bytes follow. A digit is missing or too many, or the length byte is wrong.',
          hex(said),
          hex(there),
        );
  return { code: 'record-length', start, end, message };
}

/** Said of a record that ends before its address or its sum does. */
export const TOO_SHORT = phrase('This record is too short: digits are missing.');

export function brokenRecord(
  text: string,
  label: number | undefined,
  head: BrokenRow['head'],
  problems: readonly RowProblem[],
): Row {
  return { kind: 'broken', text, label, problems, ...(head && { head }) };
}

/**
 * Adds the bytes behind the head of a record (`head` digits) to the store and counts them: data, then the sum.
 * Undefined where a digit is none, or too few are there.
 */
export function readBytes(
  text: string,
  { start, end }: RecordText,
  head: number,
  store: ByteStore,
): number | undefined {
  if ((end - start) % 2 === 1 || end - start < head + 2) return undefined;
  for (let at = start; at < end; at += 2) {
    const byte = byteAtDigits(text, at);
    if (byte < 0) return undefined;
    if (at >= start + head) store.bytes[store.used++] = byte;
  }
  return (end - start - head) / 2;
}

/** Whether the first line of a text that is no comment begins a record. */
export function beginsWith(text: string, record: RegExp): Fit {
  const comments = /^(?:[\s\ufeff]*(?:[;#]|\/\/)[^\r\n]*[\r\n])*[\s\ufeff]*/.exec(text)?.[0] ?? '';
  return record.test(text.slice(comments.length, comments.length + 64)) ? 'yes' : 'no';
}
