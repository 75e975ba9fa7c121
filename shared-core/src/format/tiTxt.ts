import { hex, hexBytes } from '../base/hex.js';
import type { PageWriter } from '../base/pageWriter.js';
import { phrase } from '../base/phrase.js';
import { hexDigitPlaces } from './hexGroups.js';
import { NO_BASE } from './imageForm.js';
import type { ByteStore, Fit, WrittenForm } from './notation.js';
import { readPairs, readRest, tellingLines } from './pairs.js';
import { NO_PROBLEMS, type Row, spanWithin } from './row.js';
import { type ContentsToWrite, endLine, writeHeaders } from './toWrite.js';

/** Types of rows: bytes behind those before, `@ADDRESS`, `q`, and bytes that are printed with an address of their own. */
const TYPE = { data: 0, base: 1, end: 2, placed: 3 } as const;

const PAIRS = /^[ \t]*(?:[0-9A-F]{2}(?:[ \t]+|$))+$/i;
const BASE = /^[\s\ufeff]*@([0-9A-F]{4,8})\s*$/i;

/**
 * TI-TXT (TI SLAU101, appendix A.2; TI SPRUI03; srec_ti_txt(5)): `@ADDRESS` opens a section, bytes follow, `q` ends. It has
 * no comments; ours stand behind the `q`, where programs do not read on.
 */
export const tiTxt: WrittenForm<'ti-txt'> = {
  id: 'ti-txt',
  title: phrase('TI-TXT'),
  about: 'TI-TXT: @ADDRESS, bytes, and q at the end.',
  language: 'ti-txt',
  endings: ['titxt'],
  commentSign: ';',
  commentBehind: undefined,
  headers: 'commented',
  blanks: 'fixed',
  fits,
  keeps: { addresses: true, comments: false, start: 'none' },
  image: {
    roles: ['data', 'base', 'end', 'data'],
    running: { first: undefined, unitOf: () => 1, isPlaced: (type) => type === TYPE.placed },
    sum: undefined,
    firstBase: NO_BASE,
    baseOf: (_type, _record, before) => before,
    startIn: () => undefined,
    dataRecord: (address) => ({ label: address, type: TYPE.placed }),
    end: {
      typeFor: () => TYPE.end,
      missing: phrase('The "q" that ends such a file is missing: this file may have been cut off.'),
    },
  },
  readRow,
  digitPlaces: ({ text, count }) => (count === 0 ? [] : hexDigitPlaces(text, 0, text.length)),
  labelSpan: (row) => {
    return BASE.test(row.text) ? spanWithin(row.text, row.text.indexOf('@') + 1, row.text.trimEnd().length) : undefined;
  },
  print: ({ label, type, data }) => {
    if (type === TYPE.end) return 'q';
    const address = `@${addressText(Number(label))}`;
    if (type === TYPE.base) return address;
    return type === TYPE.placed ? `${address}\n${hexBytes(data, ' ')}` : hexBytes(data, ' ');
  },
  write,
};

function readRow(text: string, store: ByteStore): Row {
  const base = BASE.exec(text);
  if (base !== null) return mark(text, TYPE.base, Number.parseInt(base[1] ?? '', 16), store);
  if (/^\s*q\s*$/i.test(text)) return mark(text, TYPE.end, 0, store);
  return readPairs(text, 0, TYPE.data, 0, store) ?? readRest(text, tiTxt);
}

function mark(text: string, type: number, label: number, { bytes, used }: ByteStore): Row {
  return { kind: 'record', text, label, type, store: bytes, from: used, count: 0, problems: NO_PROBLEMS };
}

/** Without a `q` at its end the same text may be Verilog memory of words of one byte. */
function fits(text: string): Fit {
  const { head, tail } = tellingLines(text);
  const lines = [...head, ...tail];
  if (!BASE.test(lines[0] ?? '')) return 'no';
  const others = lines.filter((line) => !BASE.test(line) && !PAIRS.test(line));
  if (others.length === 0) return 'maybe';
  return others.length === 1 && /^\s*q\s*$/i.test(others[0] ?? '') ? 'yes' : 'no';
}

/** Two digits more than four where the address needs them. */
function addressText(address: number): string {
  return hex(address, address < 0x10000 ? 4 : address < 0x1000000 ? 6 : 8);
}

/** Sections of one stretch of addresses each, in full lines but for the last of each. */
function write(contents: ContentsToWrite, page: PageWriter): void {
  const { lineEnd, width } = contents;
  let next: number | undefined;
  let column = 0;
  contents.forEachLine((address, data) => {
    if (address !== next) {
      if (column > 0) endLine(page, lineEnd);
      page.text(`@${addressText(address)}${lineEnd}`);
      column = 0;
    }
    for (const byte of data) {
      if (column === width) {
        endLine(page, lineEnd);
        column = 0;
      }
      if (column > 0) page.character(0x20);
      page.byte(byte);
      column++;
    }
    next = address + data.length;
  });
  if (column > 0) endLine(page, lineEnd);
  page.text(`q${lineEnd}`);
  writeHeaders(contents, ';', page);
}
