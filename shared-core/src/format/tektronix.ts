import { hex, hexBytes } from '../base/hex.js';
import type { PageWriter } from '../base/pageWriter.js';
import { phrase } from '../base/phrase.js';
import { notHex, oddDigits } from './hexGroups.js';
import { NO_BASE } from './imageForm.js';
import { brokenRecord, byteAtDigits, recordText, soundRecord, strayRow, TOO_SHORT } from './imageText.js';
import type { ByteStore, Fit, PrintedRecord, WrittenForm } from './notation.js';
import { readRest, tellingLines } from './pairs.js';
import { type RecordRow, type Row, type RowProblem, spanWithin } from './row.js';
import { type ContentsToWrite, endLine, writeHeaders } from './toWrite.js';

const TYPE = { symbol: 3, data: 6, end: 8 } as const;

/** Characters that a sum counts, each by its place. */
const VALUES = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ$%._abcdefghijklmnopqrstuvwxyz';

/** Digits of the addresses that are written. */
const WRITTEN = 8;

const NAME = { title: phrase('Tektronix extended'), commentSign: ';' } as const;

/**
 * Tektronix extended (UniSite manual, translation format 94; srec_tektronix_extended(5)): `%LLTCC`, the number of address
 * digits, the address, data. The length counts characters, and the sum adds up what characters are worth.
 */
export const tektronixExtended: WrittenForm<'tektronix-extended'> = {
  ...NAME,
  id: 'tektronix-extended',
  about: 'Tektronix extended records.',
  language: 'tektronix-extended',
  endings: ['tekx', 'tek'],
  commentBehind: undefined,
  headers: 'commented',
  blanks: 'fixed',
  capitals: true,
  fits,
  keeps: { addresses: true, comments: false, start: 'not-zero' },
  image: {
    roles: [undefined, undefined, undefined, 'symbol', undefined, undefined, 'data', undefined, 'end'],
    sum: {
      complement: 'none',
      over: ['length', 'address', 'type', 'data'],
      prefix: (row) => valuesOf(headOf(row)),
      counts: 'digits',
    },
    firstBase: NO_BASE,
    baseOf: (_type, _record, before) => before,
    startIn: ({ label }) => (label === 0 ? undefined : Number(label)),
    dataRecord: (address) => ({ label: address, type: TYPE.data }),
    end: {
      typeFor: () => TYPE.end,
      missing: phrase('The end record (type 8) is missing: this file may have been cut off.'),
    },
  },
  readRow,
  digitPlaces: ({ text, count, type }) => {
    const mark = text.indexOf('%');
    const data = mark + 7 + addressDigits(text, mark);
    const own = type === TYPE.symbol ? [] : Array.from({ length: 2 * (count - 1) }, (_, i) => data + i);
    return [...own, mark + 4, mark + 5];
  },
  labelSpan: (row) => {
    const mark = row.kind === 'record' || row.kind === 'broken' ? row.text.indexOf('%') : -1;
    if (mark < 0 || (row.kind === 'record' && row.type === TYPE.symbol)) return undefined;
    return spanWithin(row.text, mark + 7, mark + 7 + addressDigits(row.text, mark));
  },
  print,
  write,
};

/** How many digits the address behind the head of a record has; 0 stands for 16. */
function addressDigits(text: string, mark: number): number {
  const digits = Number.parseInt(text.charAt(mark + 6), 16);
  return digits === 0 ? 16 : Number.isNaN(digits) ? 0 : digits;
}

/** All characters of a record that its sum covers, but its data: length, type, and the address with the number of its digits. */
function headOf({ text, type, label, count }: RecordRow): string {
  const mark = text.indexOf('%');
  if (mark < 0) return `${headText(type ?? TYPE.data, count - 1)}${WRITTEN}${hex(Number(label), WRITTEN)}`;
  const end = type === TYPE.symbol ? text.trimEnd().length : mark + 7 + addressDigits(text, mark);
  return text.slice(mark + 1, mark + 4) + text.slice(mark + 6, end);
}

function headText(type: number, data: number): string {
  return `${hex(6 + WRITTEN + 2 * data)}${type}`;
}

function valuesOf(characters: string): readonly number[] {
  return Array.from(characters, (character) => Math.max(0, VALUES.indexOf(character)));
}

function print({ label, type = TYPE.data, data, sum }: PrintedRecord): string {
  return `%${headText(type, data.length)}${hexBytes(sum)}${WRITTEN}${hex(Number(label), WRITTEN)}${hexBytes(data)}`;
}

function readRow(text: string, store: ByteStore): Row {
  const mark = text.indexOf('%');
  if (mark < 0 || text.slice(0, mark).replace('\ufeff', '').trim() !== '')
    return isUnmarked(text) ? strayRow(text, whyUnmarked) : readRest(text, NAME);
  const characters = recordText(text, mark + 1);
  const { start, end } = characters;
  const broken = (problem: RowProblem, label?: number, head?: { readonly type: number; readonly data: number }) =>
    brokenRecord(text, label, head, [problem]);
  const length = byteAtDigits(text, start);
  const type = Number.parseInt(text.charAt(start + 2), 16);
  const sum = byteAtDigits(text, start + 3);
  const wrongHead = [0, 1, 2, 3, 4, 5].find((at) => !isDigit(text.charAt(start + at)));
  if (wrongHead !== undefined && start + wrongHead < end) return broken(notHex(text, start + wrongHead));
  if (wrongHead !== undefined || end - start !== length) return broken(wrongLength(characters, length));
  if (type === TYPE.symbol) {
    const [from, count] = [store.used, 1];
    store.bytes[store.used++] = sum;
    return soundRecord({ text, label: 0, type, store: store.bytes, from, count }, characters);
  }
  if (type !== TYPE.data && type !== TYPE.end) {
    const message = phrase('Tektronix extended knows record types 3, 6 and 8; this is {0}.', hex(type, 1));
    return broken({ code: 'record-type', start: start + 2, end: start + 3, message });
  }
  const data = start + 6 + addressDigits(text, mark);
  const address = Number.parseInt(text.slice(start + 6, data), 16);
  for (let at = start + 6; at < end; at++) {
    if (isDigit(text.charAt(at))) continue;
    const isKnown = at >= data && (end - data) % 2 === 0;
    return broken(
      notHex(text, at),
      isKnown ? address : undefined,
      isKnown ? { type, data: (end - data) / 2 } : undefined,
    );
  }
  if (data > end) return broken(wrongLength(characters, length));
  if ((end - data) % 2 === 1) return broken(oddDigits(data, end));
  if (address > 0xffffffff)
    return broken({
      code: 'text-unreadable',
      start: start + 6,
      end: data,
      message: phrase('This address is above the last one, FFFFFFFF.'),
    });
  if (type === TYPE.end && data < end) {
    const bytes = (end - data) / 2;
    const message = phrase('A record of type {0} has {1} data bytes; this one has {2}.', hex(type, 1), 0, bytes);
    return broken({ code: 'record-length', start: data, end, message });
  }
  const from = store.used;
  for (let at = data; at < end; at += 2) store.bytes[store.used++] = byteAtDigits(text, at);
  store.bytes[store.used++] = sum;
  return soundRecord({ text, label: address, type, store: store.bytes, from, count: store.used - from }, characters);
}

const whyUnmarked = phrase(
  'This is a record without the "%" before it: its length and its sum are right. Put the "%" in, or words behind it if it is a comment.',
);

/** Whether a line is a record whose mark is lost or another character: as a comment its bytes would be missing without a word. */
function isUnmarked(text: string): boolean {
  const record = /^[\s\ufeff]*[^\s\w]?([0-9A-F]{2}[368][0-9A-F]{3}[\w$.]*)\s*$/.exec(text)?.[1];
  if (record === undefined || byteAtDigits(record, 0) !== record.length) return false;
  const sum = valuesOf(record.slice(0, 3) + record.slice(5)).reduce((all, value) => all + value, 0);
  return (sum & 0xff) === byteAtDigits(record, 3);
}

/** A digit of this form; small letters are other characters, and worth more in its sums. */
function isDigit(character: string): boolean {
  return /^[0-9A-F]$/.test(character);
}

function wrongLength({ start, end }: { readonly start: number; readonly end: number }, said: number): RowProblem {
  const there = end - start;
  const message =
    said < 0 || said === there
      ? TOO_SHORT
      : phrase(
          'The length says {0} (hex) characters behind "%", and there are {1} (hex). A digit is missing or too many, or the length is wrong.',
          hex(said),
          hex(there),
        );
  return { code: 'record-length', start, end, message };
}

function fits(text: string): Fit {
  const [first = ''] = tellingLines(text).head;
  return /^\s*%[0-9A-F]{2}[368][0-9A-F]{3}/.test(first) ? 'yes' : 'no';
}

function write(contents: ContentsToWrite, page: PageWriter): void {
  const record = (type: number, address: number, data: Uint8Array) => {
    let sum = type + WRITTEN + digitSum(6 + WRITTEN + 2 * data.length) + digitSum(address);
    for (let i = 0; i < data.length; i++) sum += ((data[i] as number) >> 4) + ((data[i] as number) & 15);
    page.character(0x25);
    page.byte(6 + WRITTEN + 2 * data.length);
    page.character(0x30 + type);
    page.byte(sum & 0xff);
    page.character(0x30 + WRITTEN);
    page.number(address, WRITTEN / 2);
    page.bytes(data);
    endLine(page, contents.lineEnd);
  };
  contents.forEachLine((address, data) => {
    for (let at = 0; at < data.length; at += MOST_BYTES)
      record(TYPE.data, address + at, data.subarray(at, at + MOST_BYTES));
  });
  record(TYPE.end, contents.start ?? 0, new Uint8Array(0));
  writeHeaders(contents, ';', page);
}

/** What the digits of a number add up to. */
function digitSum(number: number): number {
  let sum = 0;
  for (let left = number; left > 0; left = Math.floor(left / 16)) sum += left % 16;
  return sum;
}

/** As many bytes as a length of two digits has room for. */
const MOST_BYTES = 120;
