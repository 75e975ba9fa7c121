import { hex, hexBytes } from '../base/hex.js';
import type { PageWriter } from '../base/pageWriter.js';
import { phrase } from '../base/phrase.js';
import { remarkAsCode, withoutComments } from './codeComments.js';
import { hexDigitPlaces, notHex, oddDigits } from './hexGroups.js';
import { type ImageForm, NO_BASE, type RowsDoubt } from './imageForm.js';
import { byteAtDigits, strayRow } from './imageText.js';
import { isAtWords, noWholeWords, storedInWords } from './inWords.js';
import type { ByteStore, Fit, PrintedRecord, WrittenForm } from './notation.js';
import { readRest, tellingLines } from './pairs.js';
import { type BrokenRow, NO_PROBLEMS, type Row, type RowProblem, spanWithin } from './row.js';
import { type ContentsToWrite, endLine } from './toWrite.js';
import { bytesOfWord, type Word } from './word.js';

/** Bytes of the longest word. The type of a row of words is how many bytes they have, and as many more where `@` stands before them. */
const MOST_BYTES = 8;
const BASE = 0;

const NAME = { title: phrase('Verilog memory'), commentSign: '//' } as const;

const IMAGE: ImageForm = {
  roles: ['base', ...new Array<'data'>(2 * MOST_BYTES).fill('data')],
  running: {
    first: 0,
    unitOf,
    isPlaced: (type) => type > MOST_BYTES,
  },
  sum: undefined,
  firstBase: NO_BASE,
  baseOf: (_type, _record, before) => before,
  startIn: () => undefined,
  dataRecord: (address) => ({ label: address, type: MOST_BYTES + 1 }),
  end: undefined,
};

/** Bytes of the words of a row. */
function unitOf(type: number): number {
  return type > MOST_BYTES ? type - MOST_BYTES : type;
}

/**
 * What Verilog's `$readmemh` reads (IEEE 1364; srec_vmem(5)): words of hex, most significant digit first; `@` gives the number
 * of the word that follows, which counts words and not bytes.
 */
export const verilog: WrittenForm<'verilog'> = {
  ...NAME,
  id: 'verilog',
  about: 'Verilog memory, for $readmemh: @WORD and words of 1 to 8 bytes.',
  language: 'verilog-memory',
  endings: ['vmem', 'memh'],
  commentBehind: '//',
  headers: 'commented',
  blanks: 'fixed',
  inWords: verilogInWords,
  fits,
  keeps: { addresses: true, comments: true, start: 'none' },
  image: IMAGE,
  readRow,
  digitPlaces: ({ text, count }) => {
    const plain = withoutComments(text);
    return count === 0 ? [] : hexDigitPlaces(plain, wordsStart(plain), plain.length);
  },
  labelSpan: ({ text }) => {
    const match = PLACE.exec(withoutComments(text));
    return match ? spanWithin(text, match[0].length - (match[1] ?? '').length, match[0].length) : undefined;
  },
  print,
  write,
};

/**
 * The same of a memory whose words have another order of bytes, or were saved byte for byte as they are stored: a word has
 * as many bytes as it is said to have, or one.
 */
function verilogInWords(word: Word): WrittenForm<'verilog'> {
  const form = storedInWords(verilog, word, (row) => {
    const bytes = unitOf(row.type ?? BASE);
    return row.type === BASE || bytes === bytesOfWord(word) || (bytes === 1 && isAtWords(row, word));
  });
  return { ...form, image: { ...IMAGE, doubts: (rows) => baseWithinWord(rows, word) } };
}

/** Where `@` by itself begins single bytes within a word. */
function baseWithinWord(rows: readonly Row[], word: Word): readonly RowsDoubt[] {
  const isOfBytes = rows.some((row) => row.kind === 'record' && row.type === 1);
  const at = rows.findIndex((row) => row.kind === 'record' && row.type === BASE && !isAtWords(row, word));
  return isOfBytes && at >= 0 ? [{ at, message: noWholeWords(word) }] : [];
}

const PLACE = /^[\s\ufeff]*@([0-9A-F]{1,8})(?!\S)/i;

/** Behind the `@` and its number, where there is one. */
function wordsStart(plain: string): number {
  return PLACE.exec(plain)?.[0].length ?? 0;
}

function readRow(text: string, store: ByteStore): Row {
  const plain = withoutComments(text);
  if (plain.replace('\ufeff', '').trim() === '') return readCodeComment(text);
  const place = PLACE.exec(plain);
  const label = place === null ? 0 : Number.parseInt(place[1] ?? '', 16);
  const start = place?.[0].length ?? 0;
  const words = [...plain.slice(start).replace('\ufeff', ' ').matchAll(/\S+/g)];
  const from = store.used;
  const first = words[0]?.[0].length ?? 0;
  const bytes = first / 2;
  const type = place === null ? bytes : words.length === 0 ? BASE : MOST_BYTES + bytes;
  for (const word of words) {
    const at = start + word.index;
    const wrong = wrongWord(word[0], at, first);
    if (wrong !== undefined) {
      const isKnown = first % 2 === 0 && bytes <= MOST_BYTES && words.every(([one]) => one.length === first);
      const head = isKnown ? { type, data: bytes * words.length } : undefined;
      return {
        kind: 'broken',
        text,
        label: isKnown ? label : undefined,
        problems: [wrong],
        ...(head && { head }),
      } satisfies BrokenRow;
    }
    for (let i = 0; i < first; i += 2) store.bytes[store.used++] = byteAtDigits(text, at + i);
  }
  const count = store.used - from;
  return { kind: 'record', text, label, type, store: store.bytes, from, count, problems: NO_PROBLEMS };
}

/** A row of data behind the sign of a comment, which may be a damaged row. */
const HIDDEN_ROW =
  /^[\s\ufeff]*\/\/(?:[ \t]*@[0-9A-F]{1,8}(?:[ \t]+(?:[0-9A-F]{2})+)+|(?:[0-9A-F]{2})+(?:[ \t]+(?:[0-9A-F]{2})+)+)\s*$/i;
const whyHidden = phrase(
  'Behind "//" is a row of data here. Take the "//" out if it is one, or else write it between "/*" and "*/".',
);

/** A line with nothing but comments: a header, or what people wrote. */
function readCodeComment(text: string): Row {
  if (HIDDEN_ROW.test(text)) return strayRow(text, whyHidden);
  return /^\s*$/.test(text) || /^[\s\ufeff]*\/\//.test(text)
    ? readRest(text, NAME)
    : { kind: 'comment', text, problems: NO_PROBLEMS };
}

function wrongWord(word: string, at: number, first: number): RowProblem | undefined {
  const wrong = word.search(/[^0-9A-F]/i);
  if (wrong >= 0 && /^[0-9A-FXZ_]+$/i.test(word)) {
    const message = phrase('Words with "_", and digits x and z that stand for no value, are not read here.');
    return { code: 'text-unreadable', start: at, end: at + word.length, message };
  }
  if (wrong >= 0) {
    const problem = notHex(word, wrong);
    return { ...problem, start: at + problem.start, end: at + problem.end };
  }
  if (word.length % 2 === 1) return oddDigits(at, at + word.length);
  if (word.length === first && first <= 2 * MOST_BYTES) return undefined;
  const message = phrase(
    'The words of a row have the same number of digits, 2 to 16; here are {0} and the first one has {1}.',
    word.length,
    first,
  );
  return { code: 'text-unreadable', start: at, end: at + word.length, message };
}

function print({ label, type = 1, data }: PrintedRecord): string {
  const place = `@${hex(Number(label), 8)}`;
  if (type === BASE) return place;
  const bytes = unitOf(type);
  const words = hexBytes(data).match(new RegExp(`.{1,${2 * bytes}}`, 'g')) ?? [];
  return type > MOST_BYTES ? `${place} ${words.join(' ')}` : words.join(' ');
}

/** With `@` it is no list of bytes; words of several bytes alone may be both. */
function fits(text: string): Fit {
  const { head, tail } = tellingLines(text);
  let first: string | undefined;
  let hasPlace = false;
  for (const line of [...head, ...tail]) {
    const plain = withoutComments(line);
    hasPlace ||= PLACE.test(plain);
    for (const word of plain.replace(PLACE, '').split(/\s+/)) {
      if (word === '') continue;
      first ??= word;
      if (!/^(?:[0-9A-F]{2}){1,8}$/i.test(word) || word.length !== first.length) return 'no';
    }
  }
  if (first === undefined) return 'no';
  return hasPlace ? 'yes' : first.length > 2 ? 'maybe' : 'no';
}

/** In words of one byte, with the address of each line. */
function write({ lineEnd, forEachLine }: ContentsToWrite, page: PageWriter): void {
  forEachLine(
    (address, data) => {
      page.character(0x40);
      page.number(address, 4);
      page.bytes(data, 0x20);
      endLine(page, lineEnd);
    },
    (remark) => page.text(remarkAsCode(remark) + lineEnd),
  );
}
