import { hex, hexBytes } from '../base/hex.js';
import type { PageWriter } from '../base/pageWriter.js';
import { phrase } from '../base/phrase.js';
import { consecutivePlaces } from './hexGroups.js';
import { type AddressBase, NO_BASE } from './imageForm.js';
import {
  beginsWith,
  brokenRecord,
  byteAtDigits,
  digitProblems,
  numberAtDigits,
  readBytes,
  readForeignRecord,
  readImageComment,
  readUnmarkedRecord,
  recordText,
  soundRecord,
  wrongLength,
} from './imageText.js';
import type { ByteStore, WrittenForm } from './notation.js';
import { byteOf, bytesOf, type Row, spanWithin } from './row.js';
import { type ContentsToWrite, endLine, writeHeaders } from './toWrite.js';

/** Digits before the data: length, address, type. */
const HEAD = 8;

const TYPE = {
  data: 0,
  end: 1,
  segmentBase: 2,
  segmentStart: 3,
  linearBase: 4,
  linearStart: 5,
} as const;

/** Data bytes that each type but data must have. */
const FIXED_LENGTHS: readonly (number | undefined)[] = [undefined, 0, 2, 4, 2, 4];

/** Intel HEX (Intel, Hexadecimal Object File Format Specification, revision A, 1988): `:LLAAAATT…CC`. */
export const intelHex: WrittenForm<'intel-hex'> = {
  id: 'intel-hex',
  title: phrase('Intel HEX'),
  about: 'Intel HEX records.',
  language: 'intel-hex',
  endings: ['hex', 'ihx', 'ihex', 'h86'],
  commentSign: ';',
  commentBehind: undefined,
  headers: 'commented',
  blanks: 'fixed',
  fits: (text) => beginsWith(text, /^:[0-9A-F]{10}/i),
  keeps: { addresses: true, comments: false, start: 'any' },
  image: {
    roles: ['data', 'end', 'base', 'start', 'base', 'start'],
    sum: {
      complement: 'twos',
      over: ['length', 'address', 'type', 'data'],
      prefix: ({ count, label, type }) => [count - 1, Number(label) >> 8, Number(label) & 0xff, type ?? 0],
    },
    // Before any base record there are 64 KiB in all, as in the 8-bit form of the format.
    firstBase: segment(0),
    baseOf: (type, record, before) => {
      const number = record && byteOf(record, 0) * 256 + byteOf(record, 1);
      if (type === TYPE.segmentBase) return segment(number === undefined ? before.base : number * 16);
      const base = number === undefined ? before.base : number * 0x10000;
      return { base, room: NO_BASE.room - base, limit: NO_BASE.limit };
    },
    startIn: (record) => {
      if (record.type !== TYPE.segmentStart && record.type !== TYPE.linearStart) return undefined;
      const [a = 0, b = 0, c = 0, d = 0] = bytesOf(record, 0, 4);
      const [high, low] = [a * 256 + b, c * 256 + d];
      return record.type === TYPE.segmentStart ? high * 16 + low : high * 0x10000 + low;
    },
    dataRecord: (address) => ({ label: address % 0x10000, type: TYPE.data }),
    end: {
      typeFor: () => TYPE.end,
      missing: phrase('The end record (:00000001FF) is missing: this file may have been cut off.'),
    },
  },
  readRow,
  digitPlaces: ({ text, count }) => {
    const first = text.indexOf(':') + 1 + HEAD;
    return consecutivePlaces(first, 2 * count);
  },
  labelSpan: (row) => {
    const mark = row.kind === 'record' || row.kind === 'broken' ? row.text.indexOf(':') : -1;
    return mark < 0 ? undefined : spanWithin(row.text, mark + 3, mark + 7);
  },
  print: ({ label, type, data, sum }) =>
    `:${hex(data.length)}${hex(Number(label), 4)}${hex(type ?? 0)}${hexBytes(data)}${hexBytes(sum)}`,
  write,
};

function segment(base: number): AddressBase {
  return { base, room: 0x10000, limit: '64 KiB' };
}

function readRow(text: string, store: ByteStore): Row {
  const mark = text.indexOf(':');
  if (mark < 0 || /\S/.test(text.slice(0, mark).replace('\ufeff', '')))
    return readSRecord(text) ?? readUnmarked(text) ?? readImageComment(text);
  const digits = recordText(text, mark + 1);
  const length = byteAtDigits(text, digits.start);
  const address = numberAtDigits(text, digits.start + 2, 2);
  const type = byteAtDigits(text, digits.start + 6);
  const from = store.used;
  const count = readBytes(text, digits, HEAD, store);
  if (count === undefined) {
    const known = length >= 0 && address >= 0 && type >= 0;
    const problems = digitProblems(text, digits);
    const said = problems.length > 0 ? problems : [wrongLength(digits, length, 0)];
    return brokenRecord(text, known ? address : undefined, known ? { type, data: length } : undefined, said);
  }
  if (count !== length + 1) return brokenRecord(text, undefined, undefined, [wrongLength(digits, length, count - 1)]);
  if (type >= FIXED_LENGTHS.length) {
    const message = phrase('Intel HEX knows record types 00 to 05; this is {0}.', hex(type));
    return brokenRecord(text, undefined, undefined, [
      { code: 'record-type', start: digits.start + 6, end: digits.start + 8, message },
    ]);
  }
  const fixed = FIXED_LENGTHS[type];
  if (fixed !== undefined && fixed !== length) {
    const message = phrase('A record of type {0} has {1} data bytes; this one has {2}.', hex(type), fixed, length);
    return brokenRecord(text, undefined, undefined, [
      { code: 'record-length', start: digits.start, end: digits.start + 2, message },
    ]);
  }
  return soundRecord({ text, label: address, type, store: store.bytes, from, count }, digits);
}

function readUnmarked(text: string): Row | undefined {
  const message = phrase(
    'This is a record that does not begin with ":", so its bytes are not read. Put ":" before its digits, or take the line out.',
  );
  const isSound = (bytes: Uint8Array) =>
    bytes[0] === bytes.length - 5 && (bytes.reduce((sum, byte) => sum + byte, 0) & 0xff) === 0;
  return readUnmarkedRecord(
    text,
    /^[\s\ufeff]*(?:[^\s\w:]?|[^\s\w:;#]{1,2}:)((?:[0-9A-F]{2}){5,})\s*$/i,
    isSound,
    message,
  );
}

function readSRecord(text: string): Row | undefined {
  const message = phrase('This is an S-record in a file of Intel HEX. Name the file *.s19, or put ; before the line.');
  return readForeignRecord(text, /^[\s\ufeff]*S[0-9](?:[0-9A-F]{2}){4,}\s*$/i, 's-record', message);
}

function write(contents: ContentsToWrite, page: PageWriter): void {
  const record = (address: number, type: number, data: Uint8Array) => {
    page.character(0x3a);
    page.byte(data.length);
    page.number(address, 2);
    page.byte(type);
    page.bytes(data);
    let sum = data.length + (address >> 8) + address + type;
    for (let i = 0; i < data.length; i++) sum += data[i] as number;
    page.byte(-sum & 0xff);
    endLine(page, contents.lineEnd);
  };
  const upper = { now: 0 };
  contents.forEachLine((address, data) => {
    const above = Math.floor(address / 0x10000);
    if (above !== upper.now) record(0, TYPE.linearBase, bytesOfWhole(above, 2));
    upper.now = above;
    record(address % 0x10000, TYPE.data, data);
  });
  if (contents.start !== undefined) record(0, TYPE.linearStart, bytesOfWhole(contents.start, 4));
  record(0, TYPE.end, new Uint8Array(0));
  writeHeaders(contents, ';', page);
}

function bytesOfWhole(value: number, count: number): Uint8Array {
  return Uint8Array.from({ length: count }, (_, i) => value >>> (8 * (count - 1 - i)));
}
