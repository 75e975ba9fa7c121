import { hexBytes } from '../base/hex.js';
import type { PageWriter } from '../base/pageWriter.js';
import { phrase } from '../base/phrase.js';
import { remarkAsCode, withoutComments } from './codeComments.js';
import { notHex, oddDigits } from './hexGroups.js';
import { hexListDoubts, hexListInOrder } from './hexListDoubts.js';
import { ARRAY, ARRAY_END, areGroups, HEX_LIST_TYPE, itemsOf, type ListItem, wordItems } from './hexListItems.js';
import { NO_BASE } from './imageForm.js';
import { byteAtDigits } from './imageText.js';
import { storedInWords } from './inWords.js';

import { type ByteStore, byteStore, type Fit, type PrintedRecord, type WrittenForm } from './notation.js';
import { readRest, tellingLines } from './pairs.js';
import { NO_PROBLEMS, type Row, type RowProblem } from './row.js';
import { type ContentsToWrite, endLine } from './toWrite.js';
import { noWords, wordsInDoubt } from './whyWords.js';
import { bytesOfWord, WORDS, type Word } from './word.js';

const TYPE = HEX_LIST_TYPE;

const NAME = { title: phrase('a list of hex'), commentSign: '//' } as const;

const LENGTH = /^\s*[A-Za-z_][\w\s]*_len\s*=\s*(\d{1,10})\s*;\s*$/;

/**
 * Bytes from 0 on without addresses: arrays in C (`xxd -i`), lists of `0x31, 0x32`, pairs of digits with commas, semicolons or
 * blanks between them, one long string of digits (`xxd -p`).
 */
export const hexList: WrittenForm<'hex-list'> = hexListIn(undefined);

function hexListIn(word: Word | undefined): WrittenForm<'hex-list'> {
  return {
    ...NAME,
    id: 'hex-list',
    about: 'Arrays in C, lists of 0x31, of pairs of digits, or one long string of them: bytes from 0 on.',
    language: 'hex-list',
    endings: ['hexlist'],
    commentBehind: '//',
    headers: 'commented',
    blanks: 'fixed',
    ...(word === undefined ? { inWords: hexListInWords } : { word }),
    fits,
    wordsThatFit,
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
      doubts: (rows) => hexListDoubts(rows, word),
      ...(word === undefined && { inOrder: hexListInOrder }),
    },
    readRow: (text, store) => readRow(text, store, word),
    digitPlaces: ({ text, count }) =>
      count === 0 ? [] : itemsOf(text).flatMap(({ at, digits }) => Array.from(digits, (_, i) => at + i)),
    labelSpan: () => undefined,
    print: (record) => print(record, word),
    write,
  };
}

/** The same of numbers of several bytes, or of bytes that were saved as they are stored in words. */
function hexListInWords(word: Word): WrittenForm<'hex-list'> {
  return storedInWords(
    hexListIn(word),
    word,
    (row) => row.count === 0 || wordItems(itemsOf(row.text), word) !== undefined,
  );
}

/** The words in which it may be written: all rows can be read so, and their digits are in groups of them. */
function wordsThatFit(text: string): readonly Word[] {
  const { head, tail } = tellingLines(text);
  const lines = [...head, ...tail];
  return WORDS.filter((word) => {
    const form = hexListInWords(word);
    const rows = lines.map((line) => form.readRow(line, byteStore(line.length)));
    const size = bytesOfWord(word);
    const isInGroups = (items: readonly ListItem[]) =>
      items[0]?.digits.length === 2 * size && (areGroups(items) || items.every(({ isNumber }) => isNumber));
    return rows.every(({ kind }) => kind !== 'broken') && lines.some((line) => isInGroups(itemsOf(line)));
  });
}

function readRow(text: string, store: ByteStore, word: Word | undefined): Row {
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
  const [isArray, isEnd] = [ARRAY.test(plain), ARRAY_END.test(plain)];
  const found = itemsOf(text);
  if (found.length === 0) return isArray ? record(TYPE.array) : isEnd ? record(TYPE.end) : readRest(text, NAME);
  const type = isArray ? (isEnd ? TYPE.whole : TYPE.first) : isEnd ? TYPE.last : TYPE.bytes;
  const from = store.used;
  const problems = found.flatMap((item) => wrongItem(text, item, word) ?? []).slice(0, 8);
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

function wrongItem(text: string, { at, digits, isNumber }: ListItem, word: Word | undefined): RowProblem | undefined {
  const end = at + digits.length;
  const wrong = digits.search(/[^0-9A-F]/i);
  if (wrong >= 0) return notHex(text, at + wrong);
  if (digits.length % 2 === 1) return oddDigits(at, end);
  if (!isNumber || digits.length === 2) return undefined;
  if (word !== undefined && digits.length === 2 * bytesOfWord(word)) return undefined;
  const message = word === undefined ? wordsInDoubt() : noWords(word);
  return { code: 'text-unreadable', start: at, end, message };
}

function print({ type, data }: PrintedRecord, word: Word | undefined): string {
  if (type === TYPE.end) return '};';
  const size = word === undefined || data.length % bytesOfWord(word) !== 0 ? 1 : bytesOfWord(word);
  return Array.from(
    { length: data.length / size },
    (_, i) => `0x${hexBytes(data.subarray(size * i, size * (i + 1)))},`,
  ).join(' ');
}

/** Numbers with `0x` are hex for sure; of digits alone, those that no decimal number has tell. */
function fits(text: string): Fit {
  const { head, tail } = tellingLines(text);
  const store: ByteStore = { bytes: new Uint8Array(text.length), used: 0 };
  const lines = [...head, ...tail];
  const rows: Row[] = [];
  for (const line of lines) {
    const row = readRow(line, store, undefined);
    if (row.kind === 'broken') return 'no';
    rows.push(row);
  }
  const data = rows.filter((row) => row.kind === 'record' && row.count > 0);
  if (data.length === 0) return 'no';
  const all = data.flatMap((row) => itemsOf(row.text));
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
