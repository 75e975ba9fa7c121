import { hex } from '../base/hex.js';
import type { PageWriter } from '../base/pageWriter.js';
import { phrase } from '../base/phrase.js';
import { hexViewDoubts } from './hexViewDoubts.js';
import { withoutFilling } from './hexViewFilling.js';
import { fitsHexView, wordsThatFitHexView } from './hexViewFit.js';
import { hexViewInOrder } from './hexViewInOrder.js';
import { completeRepeats } from './hexViewRepeats.js';
import {
  characterOrder,
  HEX_VIEW,
  HEX_VIEW_ADDRESS,
  HEX_VIEW_TYPE,
  hexViewPlaces,
  hexViewShape,
  readHexViewRow,
  shownCharacter,
} from './hexViewRow.js';
import { NO_BASE } from './imageForm.js';
import type { PrintedRecord, WrittenForm } from './notation.js';
import { spanWithin } from './row.js';
import { type ContentsToWrite, endLine } from './toWrite.js';
import { bytesOfWord, isTurned, type Word } from './word.js';

const TYPE = HEX_VIEW_TYPE;

/**
 * What viewers of bytes print: xxd(1), hexdump(1) with -C, od(1) with -A x -t x1. Addresses are hex; the characters beside
 * the bytes are checked, and change with them.
 */
export const hexView: WrittenForm<'hex-view'> = hexViewIn(undefined);

/** The same of single bytes, or in words of several. */
function hexViewIn(word: Word | undefined): WrittenForm<'hex-view'> {
  return {
    ...HEX_VIEW,
    id: 'hex-view',
    about: 'What xxd, hexdump -C and od -A x -t x1 print.',
    language: 'hex-view',
    endings: ['xxd', 'hexdump'],
    commentBehind: undefined,
    // xxd -r takes hex digits in any line for data.
    headers: 'none',
    blanks: 'kept',
    ...(word === undefined ? { inWords: hexViewIn } : { word }),
    fits: fitsHexView,
    wordsThatFit: wordsThatFitHexView,
    keeps: { addresses: true, gaps: false, comments: false, start: 'none' },
    image: {
      roles: ['data', 'data', 'data', 'data', 'end'],
      sum: undefined,
      doubts: (rows) => hexViewDoubts(rows, word),
      ...(word === undefined && { inOrder: hexViewInOrder }),
      firstBase: NO_BASE,
      baseOf: (_type, _record, before) => before,
      startIn: () => undefined,
      dataRecord: (address) => ({ label: address, type: TYPE.xxd }),
      end: {
        typeFor: () => TYPE.end,
        missing: phrase('The length that ends such a listing is missing: this file may have been cut off.'),
        follows: (type) => type === TYPE.hexdump || type === TYPE.od,
        saysLength: true,
      },
    },
    readRow: (text, store) => readHexViewRow(text, store, word),
    digitPlaces: ({ text, count }) => placesOfCount(hexViewPlaces(text, word), count),
    labelSpan: ({ kind, text }) => {
      const match = kind === 'record' || kind === 'broken' ? HEX_VIEW_ADDRESS.exec(text) : null;
      return match ? spanWithin(text, (match[1] ?? '').length, match[0].length) : undefined;
    },
    characters: ({ text }) => {
      const shape = hexViewShape(text, word);
      const start = shape?.characters?.start;
      if (shape === undefined || start === undefined) return undefined;
      const order = characterOrder(text, shape, word);
      return (byte) => start + order(byte);
    },
    smallDigits: true,
    complete: word === undefined ? completeRepeats : (rows) => completeRepeats(withoutFilling(rows, word)),
    print: word === undefined ? print : (record) => printInWords(record, word),
    write: word === undefined ? write : (contents, page) => writeInWords(contents, page, word),
  };
}

/** Zero bytes that a viewer puts behind the last one are none of a row. */
function placesOfCount(places: readonly number[], count: number): readonly number[] {
  return places.length === 2 * count ? places : places.slice(0, 2 * count);
}

function print({ label, type, data }: PrintedRecord): string {
  const address = hex(Number(label), 8).toLowerCase();
  const shown = Array.from(data, shownCharacter).join('');
  const pairs = Array.from(data, (byte) => hex(byte).toLowerCase());
  if (type === TYPE.end) return address;
  if (type === TYPE.od) return `${address} ${pairs.join(' ')}`;
  if (type === TYPE.hexdump) {
    const halves = [pairs.slice(0, 8), pairs.slice(8)].map((half) => half.join(' '));
    return `${address}  ${halves.join('  ').padEnd(50)}|${shown}|`;
  }
  return `${address}: ${pairs.join(' ').padEnd(47)}  ${shown}`;
}

/** As `xxd -e` writes words, or `xxd -g` with the highest byte first; or as `od` does. */
function printInWords({ label, type, data }: PrintedRecord, word: Word): string {
  const address = hex(Number(label), 8).toLowerCase();
  if (type === TYPE.end) return address;
  const size = bytesOfWord(word);
  const words = Array.from({ length: Math.ceil(data.length / size) }, (_, i) => {
    const pairs = Array.from(data.subarray(size * i, size * (i + 1)), (byte) => hex(byte).toLowerCase());
    return isTurned(word)
      ? pairs
          .reverse()
          .join('')
          .padStart(2 * size)
      : pairs.join('');
  });
  if (type === TYPE.od) return `${address} ${words.join(' ')}`;
  const shown = Array.from(data, shownCharacter).join('');
  const area = (2 * size + 1) * Math.ceil(WIDTH / size);
  return `${address}: ${words.join(' ').padEnd(area)} ${shown}`;
}

function writeInWords({ lineEnd, forEachLine }: ContentsToWrite, page: PageWriter, word: Word): void {
  forEachLine((label, data) => {
    page.text(`${printInWords({ label, type: TYPE.xxd, data, sum: NOTHING }, word)}${lineEnd}`);
  });
}

const NOTHING = new Uint8Array(0);

/** Bytes of a line, unless another number is asked for. */
const WIDTH = 16;

/** As xxd -g1 writes it, which shows the order of the bytes whatever they are, but that lines begin at multiples of their width. */
function write({ width, lineEnd, forEachLine }: ContentsToWrite, page: PageWriter): void {
  const area = 3 * width;
  const place = new Uint8Array(4);
  forEachLine((address, data) => {
    for (let i = 0; i < 4; i++) place[i] = address >>> (24 - 8 * i);
    page.bytes(place, undefined, 'small');
    page.character(0x3a);
    page.bytes(data, 0x20, 'small');
    for (let used = 3 * data.length; used < area + 2; used++) page.character(0x20);
    for (let i = 0; i < data.length; i++) page.character(SHOWN[data[i] as number] as number);
    endLine(page, lineEnd);
  });
}

/** What is shown of each byte. */
const SHOWN = Uint8Array.from({ length: 256 }, (_, byte) => shownCharacter(byte).charCodeAt(0));
