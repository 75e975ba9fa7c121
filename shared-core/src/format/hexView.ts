import { hex } from '../base/hex.js';
import type { PageWriter } from '../base/pageWriter.js';
import { phrase } from '../base/phrase.js';
import { hexViewDoubts } from './hexViewDoubts.js';
import { fitsHexView } from './hexViewFit.js';
import { hexViewInOrder } from './hexViewInOrder.js';
import { completeRepeats } from './hexViewRepeats.js';
import {
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

const TYPE = HEX_VIEW_TYPE;

/**
 * What viewers of bytes print: xxd(1), hexdump(1) with -C, od(1) with -A x -t x1. Addresses are hex; the characters beside
 * the bytes are checked, and change with them.
 */
export const hexView: WrittenForm<'hex-view'> = {
  ...HEX_VIEW,
  id: 'hex-view',
  about: 'What xxd, hexdump -C and od -A x -t x1 print.',
  language: 'hex-view',
  endings: ['xxd', 'hexdump'],
  commentBehind: undefined,
  // xxd -r takes hex digits in any line for data.
  headers: 'none',
  blanks: 'kept',
  fits: fitsHexView,
  keeps: { addresses: true, gaps: false, comments: false, start: 'none' },
  image: {
    roles: ['data', 'data', 'data', 'data', 'end'],
    sum: undefined,
    doubts: hexViewDoubts,
    inOrder: hexViewInOrder,
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
  readRow: readHexViewRow,
  digitPlaces: ({ text, type, count }) => (count === 0 || type === TYPE.repeated ? [] : hexViewPlaces(text)),
  labelSpan: ({ kind, text }) => {
    const match = kind === 'record' || kind === 'broken' ? HEX_VIEW_ADDRESS.exec(text) : null;
    return match ? spanWithin(text, (match[1] ?? '').length, match[0].length) : undefined;
  },
  characters: ({ text, count, type }) => {
    const start = count === 0 || type === TYPE.repeated ? undefined : hexViewShape(text)?.characters?.start;
    return start === undefined ? undefined : (byte) => start + byte;
  },
  smallDigits: true,
  complete: completeRepeats,
  print,
  write,
};

function print({ label, type, data }: PrintedRecord): string {
  const address = hex(Number(label), 8).toLowerCase();
  const shown = Array.from(data, shownCharacter).join('');
  const pairs = Array.from(data, (byte) => hex(byte).toLowerCase());
  if (type === TYPE.end) return address;
  if (type === TYPE.od) return `${address} ${pairs.join(' ')}`;
  if (type === TYPE.hexdump) {
    const halves = [pairs.slice(0, 8), pairs.slice(8)].map((half) => half.join(' '));
    return `${address}  ${halves.join('  ').trimEnd().padEnd(50)}|${shown}|`;
  }
  return `${address}: ${pairs.join(' ').padEnd(47)}  ${shown}`;
}

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
