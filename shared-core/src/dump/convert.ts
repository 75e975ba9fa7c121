import { hex, hexBytes } from '../bytes/hex.js';
import { INTEL_HEX_TYPE, intelHex } from '../notation/intelHex.js';
import type { NotationId } from '../notation/notation.js';
import { sRecord } from '../notation/sRecord.js';
import { type Phrase, phrase } from '../words/phrase.js';
import { type Contents, contentsOf, type NoContents, type Part } from './contents.js';
import type { Dump } from './dump.js';
import { lineCutter } from './lineCutter.js';
import { printRecord } from './lineSum.js';

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
  if (dump.notation.id === target) {
    return { kind: 'refused', row: 0, why: phrase('This file is written in that notation already.') };
  }
  const contents = contentsOf(dump);
  if ('kind' in contents) return contents;
  const lineEnd = /\r\n$/.test(dump.rows[0]?.text ?? '') ? '\r\n' : '\n';
  const lines = WRITERS[target](contents, Math.min(Math.max(Math.trunc(width), 1), MOST_WIDTH));
  return { kind: 'converted', text: lines.join(lineEnd) + lineEnd, lost: lostIn(contents, target) };
}

const WRITERS: Readonly<Record<ConvertTarget, (contents: Contents, width: number) => readonly string[]>> = {
  'dump-text': dumpTextLines,
  'intel-hex': intelHexLines,
  's-record': sRecordLines,
};

/** An image in dump text: labels are addresses in hex, all equally long; there are no line sums. */
function dumpTextLines({ parts, start }: Contents, width: number): readonly string[] {
  const digits = topOf({ parts, start }) > 0x10000 ? 8 : 4;
  const lines: string[] = start === undefined ? [] : [`@start 0x${hex(start.address, digits)}`];
  const { add, flush } = lineCutter(width, (address, bytes) =>
    lines.push(`0x${hex(address, digits)}: ${hexBytes(bytes, ' ')}`),
  );
  for (const part of parts) {
    if (part.kind === 'data') {
      add(part.address, part.bytes);
      continue;
    }
    flush();
    if (part.kind === 'header') lines.push(`@${part.name} ${part.value}`.trimEnd());
    else lines.push(`# ${part.kind === 'title' ? titleText(part.bytes) : plainComment(part.text)}`.trimEnd());
  }
  flush();
  return lines;
}

/** Marks before a comment give way to the one of dump text. */
function plainComment(text: string): string {
  return text.replace(/^[\s\ufeff;#/]+/, '');
}

function titleText(bytes: Uint8Array): string {
  const text = String.fromCharCode(...bytes);
  return `S0: ${/^[ -~]*$/.test(text) ? text : hexBytes(bytes, ' ')}`;
}

function intelHexLines({ parts, start }: Contents, width: number): readonly string[] {
  const lines: string[] = [];
  const base = (type: number, value: number, bytes: number) =>
    printRecord(
      intelHex,
      0,
      type,
      Uint8Array.from({ length: bytes }, (_, i) => value >>> (8 * (bytes - 1 - i))),
    );
  let upper = 0;
  const { add, flush } = lineCutter(width, (address, bytes) => {
    const above = Math.floor(address / 0x10000);
    if (above !== upper) lines.push(base(INTEL_HEX_TYPE.linearBase, above, 2));
    upper = above;
    lines.push(printRecord(intelHex, address % 0x10000, INTEL_HEX_TYPE.data, bytes));
  });
  for (const part of parts) if (part.kind === 'data') add(part.address, part.bytes);
  flush();
  if (start !== undefined) lines.push(base(INTEL_HEX_TYPE.linearStart, start.address, 4));
  return [...lines, printRecord(intelHex, 0, INTEL_HEX_TYPE.end, new Uint8Array(0))];
}

/** S-records with the shortest addresses that reach all data and the start, counted at the end. */
function sRecordLines(contents: Contents, width: number): readonly string[] {
  const top = topOf(contents);
  const type = top <= 0x10000 ? 1 : top <= 0x1000000 ? 2 : 3;
  const nothing = new Uint8Array(0);
  const data: string[] = [];
  const { add, flush } = lineCutter(width, (address, bytes) => data.push(printRecord(sRecord, address, type, bytes)));
  for (const part of contents.parts) if (part.kind === 'data') add(part.address, part.bytes);
  flush();
  const count = data.length <= 0xffff ? 5 : 6;
  return [
    ...data,
    ...(data.length <= 0xffffff ? [printRecord(sRecord, data.length, count, nothing)] : []),
    printRecord(sRecord, contents.start?.address ?? 0, 10 - type, nothing),
  ];
}

/** The address after the highest that anything is at. */
function topOf({ parts, start }: Contents): number {
  let top = (start?.address ?? 0) + 1;
  for (const part of parts) if (part.kind === 'data') top = Math.max(top, part.address + part.bytes.count);
  return top;
}

function lostIn({ parts, start }: Contents, target: ConvertTarget): readonly Phrase[] {
  if (target === 'dump-text') return [];
  const lost = parts.flatMap((part) => whatIsLost(part));
  return target === 's-record' && start?.address === 0
    ? [...lost, phrase('Row {0}: the start address 0, which S-records cannot tell from none', start.row + 1)]
    : lost;
}

function whatIsLost(part: Part): Phrase[] {
  const row = part.row + 1;
  if (part.kind === 'comment') return [phrase('Row {0}: the comment "{1}"', row, part.text.trim())];
  if (part.kind === 'header') return [phrase('Row {0}: the header "@{1} {2}"', row, part.name, part.value)];
  return part.kind === 'title' ? [phrase('Row {0}: the text of the S0 record', row)] : [];
}
