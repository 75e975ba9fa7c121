import { hex, hexBytes } from '../base/hex.js';
import type { PageWriter } from '../base/pageWriter.js';
import { phrase } from '../base/phrase.js';
import { consecutivePlaces, notHex, oddDigits } from './hexGroups.js';
import {
  brokenRecord,
  byteAtDigits,
  numberAtDigits,
  readBytes,
  recordText,
  soundRecord,
  wrongLength,
} from './imageText.js';
import type { ByteStore, Fit, WrittenForm } from './notation.js';
import { readRest } from './pairs.js';
import { type Row, type RowProblem, spanWithin } from './row.js';
import { type ContentsToWrite, endLine, writeHeaders } from './toWrite.js';

const TYPE = { data: 0, end: 1 } as const;

/** Digits before the data: length, address. */
const HEAD = 6;

const NAME = { title: phrase('MOS Technology hex'), commentSign: '#' } as const;

/**
 * MOS Technology hex (srec_mos_tech(5)): `;LLAAAA…SSSS`, with a sum of 16 bits. The last record has no data: in place of
 * an address and of a sum it has the number of data records.
 */
export const mosTech: WrittenForm<'mos-tech'> = {
  ...NAME,
  id: 'mos-tech',
  about: 'MOS Technology hex records.',
  language: 'mos-tech',
  endings: ['mos'],
  commentBehind: undefined,
  headers: 'commented',
  blanks: 'fixed',
  fits,
  keeps: { addresses: true, top: 0x10000, comments: false, start: 'none' },
  image: {
    roles: ['data', 'end'],
    sum: {
      complement: 'none',
      bytes: 2,
      isLabel: (type) => type === TYPE.end,
      over: ['length', 'address', 'data'],
      prefix: ({ count, label }) => [count - 2, Number(label) >> 8, Number(label) & 0xff],
    },
    firstBase: { base: 0, room: 0x10000, limit: '64 KiB' },
    baseOf: (_type, _record, before) => before,
    startIn: () => undefined,
    dataRecord: (address) => ({ label: address, type: TYPE.data }),
    end: {
      typeFor: () => TYPE.end,
      missing: phrase('The end record (;00 and the number of records) is missing: this file may have been cut off.'),
      countsUpTo: 0xffff,
    },
  },
  readRow,
  digitPlaces: ({ text, count }) => {
    const first = text.indexOf(';') + 1 + HEAD;
    return consecutivePlaces(first, 2 * count);
  },
  labelSpan: (row) => {
    const mark = row.kind === 'record' || row.kind === 'broken' ? row.text.indexOf(';') : -1;
    return mark < 0 ? undefined : spanWithin(row.text, mark + 3, mark + 7);
  },
  print: ({ label, data, sum }) => `;${hex(data.length)}${hex(Number(label), 4)}${hexBytes(data)}${hexBytes(sum)}`,
  write,
};

function readRow(text: string, store: ByteStore): Row {
  const mark = text.indexOf(';');
  if (mark < 0 || /\S/.test(text.slice(0, mark).replace('\ufeff', ''))) return readRest(text, NAME);
  const digits = recordText(text, mark + 1);
  const { start, end } = digits;
  const length = byteAtDigits(text, start);
  const address = numberAtDigits(text, start + 2, 2);
  const type = length === 0 ? TYPE.end : TYPE.data;
  const from = store.used;
  const count = readBytes(text, digits, HEAD, store);
  if (count === length + 2)
    return soundRecord({ text, label: address, type, store: store.bytes, from, count }, digits, NAME.commentSign);
  const wrong = text.slice(start, end).search(/[^0-9A-F]/i);
  if (wrong < 0 && count !== undefined)
    return brokenRecord(text, undefined, undefined, [wrongLength(digits, length, count - 2)]);
  const isKnown = length > 0 && address >= 0;
  const problem =
    (start === end && text.trimEnd().length > end) || text[start] === '@'
      ? noRecord(text, mark)
      : wrong >= 0
        ? notHex(text, start + wrong)
        : (end - start) % 2 === 1
          ? oddDigits(start, end)
          : wrongLength(digits, length, 0);
  return brokenRecord(text, isKnown ? address : undefined, isKnown ? { type, data: length } : undefined, [problem]);
}

/** What stands behind the mark of a record as comments of other forms do. */
function noRecord(text: string, mark: number): RowProblem {
  const message = phrase(
    '";" begins a record here. A comment or a header has a line of its own that begins with "{0}".',
    NAME.commentSign,
  );
  return { code: 'record-length', start: mark, end: Math.max(mark + 1, text.trimEnd().length), message };
}

/** Comments of other forms begin with the same mark, but length and sum of a record are right. */
function fits(text: string): Fit {
  const first = /^[\s\ufeff]*(?:#[^\r\n]*[\r\n\s]+)*;((?:[0-9A-F]{2}){5,})\s*?(?:[\r\n]|$)/i.exec(text)?.[1] ?? '';
  const bytes = Array.from({ length: first.length / 2 }, (_, i) => byteAtDigits(first, 2 * i));
  const [length = -1] = bytes;
  const all = bytes.slice(0, -2).reduce((sum, byte) => sum + byte, 0);
  return bytes.length === length + 5 && all === numberAtDigits(first, first.length - 4, 2) ? 'yes' : 'no';
}

function write(contents: ContentsToWrite, page: PageWriter): void {
  const { lineEnd, forEachLine } = contents;
  let records = 0;
  forEachLine((address, data) => {
    let sum = data.length + (address >> 8) + (address & 0xff);
    for (let i = 0; i < data.length; i++) sum += data[i] as number;
    page.character(0x3b);
    page.byte(data.length);
    page.number(address, 2);
    page.bytes(data);
    page.number(sum, 2);
    endLine(page, lineEnd);
    records++;
  });
  page.character(0x3b);
  page.byte(0);
  page.number(records, 2);
  page.number(records, 2);
  endLine(page, lineEnd);
  writeHeaders(contents, NAME.commentSign, page);
}
