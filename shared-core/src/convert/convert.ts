import { hex, hexBytes } from '../base/hex.js';
import { type PageWriter, pageWriter, type TextSink } from '../base/pageWriter.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { INTEL_HEX_TYPE } from '../format/intelHex.js';
import type { NotationId } from '../format/notation.js';
import type { Dump } from '../model/dump.js';
import { isSeal } from '../model/headers.js';
import { type Contents, contentsOf, type NoContents, type Part } from './contents.js';
import { lineCutter } from './lineCutter.js';

/** Notations that a dump can be written in. */
export type ConvertTarget = Exclude<NotationId, 'pattern'>;

export type Conversion =
  | {
      readonly kind: 'converted';
      readonly text: string;
      /** What the other notation has no place for. No bytes and no addresses are ever among it. */
      readonly lost: readonly Phrase[];
    }
  | NoContents;

/** Data bytes of a line, unless another number is asked for. Programs that read lines of any length write this one. */
const WIDTH = 16;

/** The most that every notation has room for: the length byte of an S-record counts five bytes more. */
export const MOST_WIDTH = 250;

/**
 * The same bytes at the same addresses in another notation, with right sums, the line ends of the original and, where
 * it says so, the start address. Refused where a byte or an address of the original is in doubt.
 */
export function convert(dump: Dump, target: ConvertTarget, width: number = WIDTH): Conversion {
  if (dump.notation.id === target) return sameNotation();
  const contents = contentsOf(dump);
  if ('kind' in contents) return contents;
  const texts: string[] = [];
  const ascii = (bytes: Uint8Array) => {
    for (let at = 0; at < bytes.length; at += PIECE)
      texts.push(String.fromCharCode.apply(null, bytes.subarray(at, at + PIECE) as unknown as number[]));
  };
  writeContents(contents, target, width, { ascii, text: (text) => texts.push(text) });
  return { kind: 'converted', text: texts.join(''), lost: lostIn(contents, target) };
}

/** Codes that become a string in one call. */
const PIECE = 4096;

export function sameNotation(): NoContents {
  return { kind: 'refused', row: 0, why: phrase('This file is written in that notation already.') };
}

/** Writes the contents of a dump in a notation, of any size. */
export function writeContents(
  contents: Contents,
  target: ConvertTarget,
  width: number | undefined,
  sink: TextSink,
): void {
  const page = pageWriter(sink);
  WRITERS[target](contents, Math.min(Math.max(Math.trunc(width ?? WIDTH), 1), MOST_WIDTH), page);
  page.flush();
}

type Writer = (contents: Contents, width: number, page: PageWriter) => void;

const WRITERS: Readonly<Record<ConvertTarget, Writer>> = {
  'dump-text': writeDumpText,
  'intel-hex': writeIntelHex,
  's-record': writeSRecords,
};

const BLANK = 0x20;
const NOTHING = new Uint8Array(0);

/** An image in dump text: labels are addresses in hex, all equally long; there are no line sums. */
function writeDumpText(contents: Contents, width: number, page: PageWriter): void {
  const { parts, start, lineEnd } = contents;
  const bytes = topOf(contents) > 0x10000 ? 4 : 2;
  if (start !== undefined) page.text(`@start 0x${hex(start.address, 2 * bytes)}${lineEnd}`);
  const { add, flush } = lineCutter(width, (address, data) => {
    page.character(0x30);
    page.character(0x78);
    page.number(address, bytes);
    page.character(0x3a);
    for (const byte of data) {
      page.character(BLANK);
      page.byte(byte);
    }
    endLine(page, lineEnd);
  });
  for (const part of parts) {
    if (part.kind === 'data') {
      add(part.address, part.bytes);
      continue;
    }
    flush();
    if (part.kind === 'start' || (part.kind === 'header' && isSeal(part))) continue;
    const text =
      part.kind === 'header'
        ? `@${part.name} ${part.value}`
        : `# ${part.kind === 'title' ? titleText(part.bytes) : plainComment(part.text)}`;
    page.text(text.trimEnd() + lineEnd);
  }
  flush();
}

function endLine(page: PageWriter, lineEnd: Contents['lineEnd']): void {
  if (lineEnd === '\r\n') page.character(0x0d);
  page.character(0x0a);
}

/** Marks before a comment give way to the one of dump text. */
function plainComment(text: string): string {
  return text.replace(/^[\s\ufeff;#/]+/, '');
}

function titleText(bytes: Uint8Array): string {
  const text = String.fromCharCode(...bytes);
  return `S0: ${/^[ -~]*$/.test(text) ? text : hexBytes(bytes, ' ')}`;
}

function writeIntelHex({ parts, start, lineEnd }: Contents, width: number, page: PageWriter): void {
  const record = (address: number, type: number, data: Uint8Array) => {
    page.character(0x3a);
    page.byte(data.length);
    page.number(address, 2);
    page.byte(type);
    let sum = data.length + (address >> 8) + address + type;
    for (let i = 0; i < data.length; i++) {
      const byte = data[i] as number;
      sum += byte;
      page.byte(byte);
    }
    page.byte(-sum & 0xff);
    endLine(page, lineEnd);
  };
  const upper = { now: 0 };
  const { add, flush } = lineCutter(width, (address, data) => {
    const above = Math.floor(address / 0x10000);
    if (above !== upper.now) record(0, INTEL_HEX_TYPE.linearBase, bytesOfWhole(above, 2));
    upper.now = above;
    record(address % 0x10000, INTEL_HEX_TYPE.data, data);
  });
  for (const part of parts) if (part.kind === 'data') add(part.address, part.bytes);
  flush();
  if (start !== undefined) record(0, INTEL_HEX_TYPE.linearStart, bytesOfWhole(start.address, 4));
  record(0, INTEL_HEX_TYPE.end, NOTHING);
  writeHeaders(parts, lineEnd, page);
}

function bytesOfWhole(value: number, count: number): Uint8Array {
  return Uint8Array.from({ length: count }, (_, i) => value >>> (8 * (count - 1 - i)));
}

/** S-records with the shortest addresses that reach all data and the start, counted at the end. */
function writeSRecords(contents: Contents, width: number, page: PageWriter): void {
  const top = topOf(contents);
  const type = top <= 0x10000 ? 1 : top <= 0x1000000 ? 2 : 3;
  const record = (address: number, kind: number, addressBytes: number, data: Uint8Array) => {
    page.character(0x53);
    page.character(0x30 + kind);
    page.byte(addressBytes + data.length + 1);
    page.number(address, addressBytes);
    let sum = addressBytes + data.length + 1;
    for (let i = 0; i < addressBytes; i++) sum += (address >>> (8 * i)) & 0xff;
    for (let i = 0; i < data.length; i++) {
      const byte = data[i] as number;
      sum += byte;
      page.byte(byte);
    }
    page.byte(~sum & 0xff);
    endLine(page, contents.lineEnd);
  };
  const records = { count: 0 };
  const { add, flush } = lineCutter(width, (address, data) => {
    record(address, type, type + 1, data);
    records.count++;
  });
  for (const part of contents.parts) if (part.kind === 'data') add(part.address, part.bytes);
  flush();
  const { count } = records;
  if (count <= 0xffffff) record(count, count <= 0xffff ? 5 : 6, count <= 0xffff ? 2 : 3, NOTHING);
  record(contents.start?.address ?? 0, 10 - type, type + 1, NOTHING);
  writeHeaders(contents.parts, contents.lineEnd, page);
}

/** Headers stand behind the end record of an image, where programs that read it do not look. */
function writeHeaders(parts: Contents['parts'], lineEnd: Contents['lineEnd'], page: PageWriter): void {
  for (const part of parts) {
    if (part.kind === 'header' && isKept(part)) page.text(`; @${part.name} ${part.value}`.trimEnd() + lineEnd);
  }
}

/** A seal is that of the records as they were; where the program starts has a record of its own. */
function isKept(header: Extract<Part, { readonly kind: 'header' }>): boolean {
  return !isSeal(header) && header.name !== 'start';
}

/** The address after the highest that anything is at. */
function topOf({ parts, start }: Contents): number {
  let top = (start?.address ?? 0) + 1;
  for (const part of parts) if (part.kind === 'data') top = Math.max(top, part.address + part.bytes.count);
  return top;
}

/** What the other notation has no place for. */
export function lostIn({ parts, start }: Contents, target: ConvertTarget): readonly Phrase[] {
  const never = parts.filter((part) => part.kind === 'start' || (part.kind === 'header' && isSeal(part)));
  if (target === 'dump-text') return never.flatMap((part) => whatIsLost(part));
  const lost = parts.flatMap((part) => whatIsLost(part));
  return target === 's-record' && start?.address === 0
    ? [...lost, phrase('Row {0}: the start address 0, which S-records cannot tell from none', start.row + 1)]
    : lost;
}

function whatIsLost(part: Part): Phrase[] {
  const row = part.row + 1;
  if (part.kind === 'comment') return [phrase('Row {0}: the comment "{1}"', row, part.text.trim())];
  if (part.kind === 'header')
    return isKept(part) ? [] : [phrase('Row {0}: the header "@{1} {2}"', row, part.name, part.value)];
  if (part.kind === 'title') return [phrase('Row {0}: the text of the S0 record', row)];
  return part.kind === 'start' ? [phrase('Row {0}: a start address that a later row replaces', row)] : [];
}
