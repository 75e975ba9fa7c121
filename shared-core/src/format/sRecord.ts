import { hex, hexBytes } from '../base/hex.js';
import type { PageWriter } from '../base/pageWriter.js';
import { phrase } from '../base/phrase.js';
import { consecutivePlaces } from './hexGroups.js';
import { NO_BASE } from './imageForm.js';
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
import { type Row, spanWithin } from './row.js';
import { type ContentsToWrite, endLine, writeHeaders } from './toWrite.js';

/** Address bytes of types 0 to 9; type 4 is reserved. */
const ADDRESS_BYTES: readonly (number | undefined)[] = [2, 2, 3, 4, undefined, 2, 3, 4, 3, 2];

/** Motorola S-records (M68000 Family Programmer's Reference Manual, appendix C): `STLLAAAA…CC`. */
export const sRecord: WrittenForm<'s-record'> = {
  id: 's-record',
  title: phrase('S-records'),
  about: 'Motorola S-records.',
  language: 's-record',
  endings: ['s19', 's28', 's37', 'srec', 'mot'],
  commentSign: ';',
  commentBehind: undefined,
  headers: 'commented',
  blanks: 'fixed',
  fits: (text) => beginsWith(text, /^S[0-9][0-9A-F]{6}/i),
  keeps: { addresses: true, comments: false, start: 'not-zero' },
  image: {
    roles: ['title', 'data', 'data', 'data', undefined, 'count', 'count', 'end', 'end', 'end'],
    sum: {
      complement: 'ones',
      over: ['length', 'address', 'data'],
      prefix: ({ type, label, count }) => {
        const address = ADDRESS_BYTES[type ?? 1] ?? 2;
        const prefix = [address + count];
        for (let i = address - 1; i >= 0; i--) prefix.push((Number(label) >>> (8 * i)) & 0xff);
        return prefix;
      },
    },
    // Programs that write short addresses let the last record run over 64 KiB or 16 MiB, and all take it as it is meant.
    firstBase: NO_BASE,
    baseOf: (_type, _record, before) => before,
    // An end record cannot do without an address; 0 is what is written where nothing starts.
    startIn: ({ label }) => (label === 0 ? undefined : Number(label)),
    dataRecord: (address) => ({ label: address, type: address < 0x10000 ? 1 : address < 0x1000000 ? 2 : 3 }),
    end: {
      // S1 ends with S9, S2 with S8 and S3 with S7.
      typeFor: (types) => 10 - Math.max(1, ...types),
      missing: phrase('The end record (S7, S8 or S9) is missing: this file may have been cut off.'),
      missingButCounted: phrase(
        'There is no end record (S7, S8 or S9); the count of records shows that nothing was cut off.',
      ),
    },
  },
  readRow,
  digitPlaces: ({ text, type, count }) => {
    const first = markOf(text) + 4 + 2 * (ADDRESS_BYTES[type ?? 1] ?? 2);
    return consecutivePlaces(first, 2 * count);
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
  write,
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
  return readForeignRecord(text, /^[\s\ufeff]*:(?:[0-9A-F]{2}){5,}\s*$/i, 'intel-hex', message);
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

/** S-records with the shortest addresses that reach all data and the start, counted at the end. */
function write(contents: ContentsToWrite, page: PageWriter): void {
  const { top, lineEnd } = contents;
  const type = top <= 0x10000 ? 1 : top <= 0x1000000 ? 2 : 3;
  const record = (address: number, kind: number, addressBytes: number, data: Uint8Array) => {
    page.character(0x53);
    page.character(0x30 + kind);
    page.byte(addressBytes + data.length + 1);
    page.number(address, addressBytes);
    let sum = addressBytes + data.length + 1;
    for (let i = 0; i < addressBytes; i++) sum += (address >>> (8 * i)) & 0xff;
    for (let i = 0; i < data.length; i++) sum += data[i] as number;
    page.bytes(data);
    page.byte(~sum & 0xff);
    endLine(page, lineEnd);
  };
  const records = { count: 0 };
  contents.forEachLine((address, data) => {
    record(address, type, type + 1, data);
    records.count++;
  });
  const { count } = records;
  const nothing = new Uint8Array(0);
  if (count <= 0xffffff) record(count, count <= 0xffff ? 5 : 6, count <= 0xffff ? 2 : 3, nothing);
  record(contents.start ?? 0, 10 - type, type + 1, nothing);
  writeHeaders(contents, ';', page);
}
