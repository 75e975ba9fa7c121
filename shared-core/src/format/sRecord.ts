import { hex, hexBytes } from '../base/hex.js';
import { phrase } from '../base/phrase.js';
import {
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
import type { ByteStore, Notation } from './notation.js';
import { type RecordRow, type Row, spanWithin } from './row.js';

/** Address bytes of types 0 to 9; type 4 is reserved. */
const ADDRESS_BYTES: readonly (number | undefined)[] = [2, 2, 3, 4, undefined, 2, 3, 4, 3, 2];

/** Motorola S-records (M68000 Family Programmer's Reference Manual, appendix C): `STLLAAAA…CC`. */
export const sRecord: Notation = {
  id: 's-record',
  readRow,
  digitPlaces: ({ text, type, count }) => {
    const first = markOf(text) + 4 + 2 * (ADDRESS_BYTES[type ?? 1] ?? 2);
    return Array.from({ length: 2 * count }, (_, i) => first + i);
  },
  labelSpan: (row) => {
    const mark = row.kind === 'record' || row.kind === 'broken' ? markOf(row.text) : -1;
    if (mark < 0) return undefined;
    const type = row.kind === 'record' ? row.type : Number(row.text.charAt(mark + 1));
    return spanWithin(row.text, mark + 4, mark + 4 + 2 * (ADDRESS_BYTES[type ?? 1] ?? 2));
  },
  print: ({ label, type = 1, data, sum }) => {
    const address = ADDRESS_BYTES[type] ?? 2;
    return `S${type}${hex(address + data.length + 1)}${hex(Number(label), 2 * address)}${hexBytes(data)}${hexBytes(sum)}`;
  },
  sumPrefix: ({ type, label, count }: RecordRow) => {
    const address = ADDRESS_BYTES[type ?? 1] ?? 2;
    const prefix = [address + count];
    for (let i = address - 1; i >= 0; i--) prefix.push((Number(label) >>> (8 * i)) & 0xff);
    return prefix;
  },
};

function markOf(text: string): number {
  return text.search(/\S/);
}

function readRow(text: string, store: ByteStore): Row {
  const match = /^[\s\ufeff]*[Ss]([0-9])(?=\S|\s*$)/.exec(text);
  if (match === null) return readIntelHex(text) ?? readUnmarked(text) ?? readImageComment(text);
  const type = Number(match[1]);
  const digits = recordText(text, match[0].length);
  const addressBytes = ADDRESS_BYTES[type];
  if (addressBytes === undefined) {
    const message = phrase('S-records know types 0 to 9 without 4; this is {0}.', type);
    return brokenRecord(text, undefined, undefined, [
      { code: 'record-type', start: digits.start - 1, end: digits.start, message },
    ]);
  }
  const length = byteAtDigits(text, digits.start);
  const address = numberAtDigits(text, digits.start + 2, addressBytes);
  const from = store.used;
  const count = readBytes(text, digits, 2 + 2 * addressBytes, store);
  if (count === undefined) {
    store.used = from;
    const problems = digitProblems(text, digits);
    const known = length > addressBytes && address >= 0;
    const head = known ? { type, data: length - addressBytes - 1 } : undefined;
    return brokenRecord(
      text,
      known ? address : undefined,
      head,
      problems.length > 0 ? problems : [wrongLength(digits, length, (digits.end - digits.start) / 2 - 1)],
    );
  }
  if (count + addressBytes !== length) {
    return brokenRecord(text, undefined, undefined, [wrongLength(digits, length, count + addressBytes)]);
  }
  return soundRecord({ text, label: address, type, store: store.bytes, from, count }, digits);
}

function readIntelHex(text: string): Row | undefined {
  const message = phrase('This is Intel HEX in a file of S-records. Name the file *.hex, or put ; before the line.');
  return readForeignRecord(text, /^[\s\ufeff]*:(?:[0-9A-F]{2}){5,}\s*$/i, message);
}

function readUnmarked(text: string): Row | undefined {
  const message = phrase(
    'This is a record that does not begin with "S", so its bytes are not read. Put "S" before its digits, or take the line out.',
  );
  const isSound = (bytes: Uint8Array) =>
    bytes[0] === bytes.length - 1 && (bytes.reduce((sum, byte) => sum + byte, 0) & 0xff) === 0xff;
  return readUnmarkedRecord(
    text,
    /^[\s\ufeff]*(?:[^\s\w]?|[^\s\w;#]{1,2}S)[0-35-9]((?:[0-9A-F]{2}){4,})\s*$/i,
    isSound,
    message,
  );
}
