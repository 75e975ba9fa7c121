import { hexBytes } from '../base/hex.js';
import type { PageWriter } from '../base/pageWriter.js';
import { phrase } from '../base/phrase.js';
import { remarkAsCode, withoutComments } from './codeComments.js';
import { notHex, oddDigits } from './hexGroups.js';
import { NO_BASE, type RowsDoubt, type RowsInOrder } from './imageForm.js';
import { byteAtDigits } from './imageText.js';
import type { ByteStore, Fit, PrintedRecord, WrittenForm } from './notation.js';
import { readRest, tellingLines } from './pairs.js';
import { NO_PROBLEMS, type RecordRow, type Row, type RowProblem } from './row.js';
import { type ContentsToWrite, endLine } from './toWrite.js';

/** Bytes, the head of an array, bytes behind one, its end, the length that `xxd -i` says, and bytes with the end behind them. */
const TYPE = { bytes: 0, array: 1, first: 2, end: 3, length: 4, last: 5, whole: 6 } as const;

const NAME = { title: phrase('a list of hex'), commentSign: '//' } as const;

/** The head of an array in C, up to its brace or its equals sign. */
const ARRAY = /^[\s\ufeff]*[A-Za-z_][\w\s*]*\[\s*\w*\s*\][^={}]*=\s*(?:\{|$)/;
const LENGTH = /^\s*[A-Za-z_][\w\s]*_len\s*=\s*(\d{1,10})\s*;\s*$/;
const END = /\}\s*;?\s*$/;
const ITEM = /[^\s,;]+/g;

/**
 * Bytes from 0 on without addresses: arrays in C (`xxd -i`), lists of `0x31, 0x32`, pairs of digits with commas, semicolons or
 * blanks between them, one long string of digits (`xxd -p`).
 */
export const hexList: WrittenForm<'hex-list'> = {
  ...NAME,
  id: 'hex-list',
  about: 'Arrays in C, lists of 0x31, of pairs of digits, or one long string of them: bytes from 0 on.',
  language: 'hex-list',
  endings: ['hexlist'],
  commentBehind: '//',
  headers: 'commented',
  blanks: 'fixed',
  fits,
  keeps: { addresses: false, comments: true, start: 'none' },
  image: {
    roles: ['data', 'base', 'data', 'end', 'length', 'data', 'data'],
    running: {
      first: 0,
      unitOf: () => 1,
      isPlaced: (type) => type === TYPE.first || type === TYPE.whole,
      opens: (type) => type === TYPE.array || type === TYPE.first,
      closes: (type) => type === TYPE.last || type === TYPE.whole,
    },
    sum: undefined,
    firstBase: NO_BASE,
    baseOf: (_type, _record, before) => before,
    startIn: () => undefined,
    dataRecord: () => ({ label: 0, type: TYPE.bytes }),
    end: {
      typeFor: () => TYPE.end,
      missing: phrase('The "}" that ends the array is missing: this file may have been cut off.'),
      follows: () => false,
    },
    doubts,
    inOrder,
  },
  readRow,
  digitPlaces: ({ text }) => items(text).flatMap(({ at, digits }) => Array.from(digits, (_, i) => at + i)),
  labelSpan: () => undefined,
  print,
  write,
};

/** The items of a line, each by its digits and where they are. */
function items(text: string): readonly { readonly at: number; readonly digits: string; readonly isNumber: boolean }[] {
  const plain = withoutComments(text).replace('\ufeff', ' ');
  const start = ARRAY.exec(plain)?.[0].length ?? 0;
  const end = END.exec(plain)?.index ?? plain.length;
  return [...plain.slice(start, Math.max(start, end)).matchAll(ITEM)].map(({ 0: item, index }) => {
    const isNumber = /^0x/i.test(item);
    return { at: start + index + (isNumber ? 2 : 0), digits: isNumber ? item.slice(2) : item, isNumber };
  });
}

function readRow(text: string, store: ByteStore): Row {
  const plain = withoutComments(text);
  if (plain.replace('\ufeff', '').trim() === '' && !/^\s*$/.test(text))
    return /^[\s\ufeff]*\/\//.test(text) ? readRest(text, NAME) : { kind: 'comment', text, problems: NO_PROBLEMS };
  if (/^\s*\{?\s*$/.test(plain))
    return /^\s*$/.test(text) ? readRest(text, NAME) : { kind: 'comment', text, problems: NO_PROBLEMS };
  const record = (type: number, label = 0): Row => {
    return { kind: 'record', text, label, type, store: store.bytes, from: store.used, count: 0, problems: NO_PROBLEMS };
  };
  const length = LENGTH.exec(plain);
  if (length !== null) return record(TYPE.length, Number(length[1]));
  const [isArray, isEnd] = [ARRAY.test(plain), END.test(plain)];
  const found = items(text);
  if (found.length === 0) return isArray ? record(TYPE.array) : isEnd ? record(TYPE.end) : readRest(text, NAME);
  const type = isArray ? (isEnd ? TYPE.whole : TYPE.first) : isEnd ? TYPE.last : TYPE.bytes;
  const from = store.used;
  const problems = found.flatMap((item) => wrongItem(text, item) ?? []).slice(0, 8);
  if (problems.length === 0) {
    for (const { at, digits } of found)
      for (let i = 0; i < digits.length; i += 2) store.bytes[store.used++] = byteAtDigits(text, at + i);
    return {
      kind: 'record',
      text,
      label: 0,
      type,
      store: store.bytes,
      from,
      count: store.used - from,
      problems: NO_PROBLEMS,
    };
  }
  const isKnown = found.every(({ digits }) => digits.length === 2);
  return {
    kind: 'broken',
    text,
    label: isKnown ? 0 : undefined,
    problems,
    ...(isKnown && { head: { type, data: found.length } }),
  };
}

function wrongItem(text: string, { at, digits, isNumber }: ReturnType<typeof items>[number]): RowProblem | undefined {
  const end = at + digits.length;
  const wrong = digits.search(/[^0-9A-F]/i);
  if (wrong >= 0) return notHex(text, at + wrong);
  if (digits.length % 2 === 1) return oddDigits(at, end);
  if (!isNumber || digits.length === 2) return undefined;
  const message = phrase('A number of several bytes: nobody can tell the order of them. Write single bytes.');
  return { code: 'text-unreadable', start: at, end, message };
}

function print({ type, data }: PrintedRecord): string {
  if (type === TYPE.end) return '};';
  return Array.from(data, (byte) => `0x${hexBytes([byte])},`).join(' ');
}

/** Words of a type in C whose elements have one byte each, and those that may stand beside them. */
const BYTE_TYPE = /(?:^|\s)(?:char|uchar|byte|u?int8(?:_t)?|[us]8)\s/i;
const WIDER_TYPE = /\*|(?:^|\s)(?:short|int|long|float|double)\s/i;

/** What all rows together leave in doubt: numbers that are decimal in C, elements of several bytes, a size that is not theirs. */
function doubts(rows: readonly Row[]): readonly RowsDoubt[] {
  const found = rows.flatMap((row, at): DoubtRow[] => (row.kind === 'record' ? [{ at, row }] : []));
  const isCode = found.some(({ row }) => showsCode(row));
  const plain = found.find(({ row }) => holdsPlainNumbers(row));
  const decimal = isCode ? plain : undefined;
  const unclear = isCode || found.some(({ row }) => showsHex(row)) ? undefined : plain;
  const heads = found.filter(({ row }) => isHead(row));
  const countFrom = (at: number) => found.reduce((sum, one) => sum + (one.at < at ? 0 : one.row.count), 0);
  return [
    ...(decimal === undefined
      ? []
      : [
          {
            at: decimal.at,
            message: phrase('Numbers without 0x are decimal in C. Write all numbers in hex: 0x10 for 16.'),
          },
        ]),
    ...(unclear === undefined
      ? []
      : [
          {
            at: unclear.at,
            message: phrase(
              'These numbers may be decimal or hex, and none of them shows which. If they are hex, write 0x before each.',
            ),
          },
        ]),
    ...(rows.some(({ kind }) => kind === 'broken')
      ? []
      : heads.flatMap(({ at, row }) => wrongHead(at, row, countFrom(at)) ?? [])),
  ];
}

/** The same a row at a time: there is a doubt only where a row cannot be read, or at the end. */
function inOrder(): RowsInOrder {
  const heads: { readonly row: RecordRow; readonly before: number }[] = [];
  let [isCode, hasPlain, isHex, count] = [false, false, false, 0];
  return {
    takes: (row) => {
      if (row.kind !== 'record') return row.kind !== 'broken';
      if (isHead(row)) heads.push({ row, before: count });
      isCode ||= showsCode(row);
      hasPlain ||= holdsPlainNumbers(row);
      isHex ||= showsHex(row);
      count += row.count;
      return true;
    },
    takesAlike: (_label, store, from, more) => {
      for (let i = from; i < from + more && !isHex; i++) isHex = isHexForSure(store[i] as number);
      count += more;
      return true;
    },
    isSure: () =>
      !(hasPlain && (isCode || !isHex)) &&
      heads.every(({ row, before }) => wrongHead(0, row, count - before) === undefined),
  };
}

function isHead({ text }: RecordRow): boolean {
  return ARRAY.test(withoutComments(text));
}

/** Whether a row shows that its text is code. */
function showsCode(row: RecordRow): boolean {
  const { type } = row;
  return type === TYPE.end || type === TYPE.last || isHead(row) || items(row.text).some(({ isNumber }) => isNumber);
}

function holdsPlainNumbers({ text, count }: RecordRow): boolean {
  return count > 0 && items(text).some(({ isNumber }) => !isNumber);
}

/** Whether numbers without 0x are hex for sure: they are longer than decimal ones of a byte, or have digits that these have not. */
function showsHex({ text }: RecordRow): boolean {
  return items(text).some(({ isNumber, digits }) => !isNumber && (digits.length > 2 || /[A-F]|^0/i.test(digits)));
}

/** The same of the two digits of a byte: no decimal number begins with 0, or has a letter. */
function isHexForSure(byte: number): boolean {
  return byte < 0x10 || byte >= 0xa0 || (byte & 15) > 9;
}

interface DoubtRow {
  readonly at: number;
  readonly row: RecordRow;
}

/** Why the bytes behind the head of an array may not be all of it. */
function wrongHead(at: number, row: RecordRow, count: number): RowsDoubt | undefined {
  const head = /^([^[]*)\[\s*(\w*)\s*\]\s*(\[)?/.exec(withoutComments(row.text).replace('\ufeff', ''));
  const [, before = '', size = '', second] = head ?? [];
  const type = before.replace(/\w+\s*$/, '');
  if (!BYTE_TYPE.test(type) || WIDER_TYPE.test(type) || second !== undefined) {
    const message = phrase(
      'The elements of this array may have more than one byte each. Write it as an array of "unsigned char".',
    );
    return { at, message };
  }
  if (!/^\d/.test(size)) return undefined;
  if (/^(?:0x[0-9A-F]+|[1-9]\d*)$/i.test(size) && Number(size) === count) return undefined;
  return {
    at,
    message: phrase(
      'This array has the size {0}, and {1} bytes follow. Bytes are missing or too many, or the size is wrong.',
      size,
      count,
    ),
  };
}

/** Numbers with `0x` are hex for sure; of digits alone, those that no decimal number has tell. */
function fits(text: string): Fit {
  const { head, tail } = tellingLines(text);
  const store: ByteStore = { bytes: new Uint8Array(text.length), used: 0 };
  const lines = [...head, ...tail];
  const rows: Row[] = [];
  for (const line of lines) {
    const row = readRow(line, store);
    if (row.kind === 'broken') return 'no';
    rows.push(row);
  }
  const data = rows.filter((row) => row.kind === 'record' && row.count > 0);
  if (data.length === 0) return 'no';
  const all = data.flatMap((row) => items(row.text));
  if (all.every(({ isNumber }) => isNumber)) return 'yes';
  if (all.some(({ isNumber }) => isNumber)) return 'maybe';
  const isString = all.length === data.length;
  if (isString) return all.some(({ digits }) => digits.length >= 32) ? 'yes' : 'maybe';
  // Groups of several lengths are no list: the first one is an address.
  if (new Set(all.map(({ digits }) => digits.length)).size > 1) return 'no';
  const isOfPairs = all.every(({ digits }) => digits.length === 2);
  const hasArray = rows.some((row) => row.kind === 'record' && row.count === 0);
  return isOfPairs && !hasArray && all.some(({ digits }) => /[A-F]|^0/i.test(digits)) ? 'yes' : 'maybe';
}

function write({ lineEnd, width, forEachLine }: ContentsToWrite, page: PageWriter): void {
  let column = 0;
  const end = () => {
    if (column > 0) endLine(page, lineEnd);
    column = 0;
  };
  forEachLine(
    (_, data) => {
      for (const byte of data) {
        if (column === width) end();
        if (column > 0) page.character(0x20);
        page.character(0x30);
        page.character(0x78);
        page.byte(byte);
        page.character(0x2c);
        column++;
      }
    },
    (remark) => {
      end();
      page.text(remarkAsCode(remark) + lineEnd);
    },
  );
  end();
}
