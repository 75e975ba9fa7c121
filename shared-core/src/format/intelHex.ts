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

/** Digits before the data: length, address, type. */
const HEAD = 8;

export const INTEL_HEX_TYPE = {
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
export const intelHex: Notation = {
  id: 'intel-hex',
  readRow,
  digitPlaces: ({ text, count }) => {
    const first = text.indexOf(':') + 1 + HEAD;
    return Array.from({ length: 2 * count }, (_, i) => first + i);
  },
  labelSpan: (row) => {
    const mark = row.kind === 'record' || row.kind === 'broken' ? row.text.indexOf(':') : -1;
    return mark < 0 ? undefined : spanWithin(row.text, mark + 3, mark + 7);
  },
  print: ({ label, type, data, sum }) =>
    `:${hex(data.length)}${hex(Number(label), 4)}${hex(type ?? 0)}${hexBytes(data)}${hexBytes(sum)}`,
  sumPrefix: ({ count, label, type }: RecordRow) => [count - 1, Number(label) >> 8, Number(label) & 0xff, type ?? 0],
};

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
    store.used = from;
    const known = length >= 0 && address >= 0 && type >= 0;
    const problems = digitProblems(text, digits);
    const said = problems.length > 0 ? problems : [wrongLength(digits, length, (digits.end - digits.start) / 2 - 5)];
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
  return readForeignRecord(text, /^[\s\ufeff]*S[0-9](?:[0-9A-F]{2}){4,}\s*$/i, message);
}
