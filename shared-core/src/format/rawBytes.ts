import { asciiText } from '../base/asciiText.js';
import { hex, hexBytes } from '../base/hex.js';
import { pageWriter } from '../base/pageWriter.js';
import { dumpText } from './dumpText.js';
import { NO_PROBLEMS, type RecordRow, type Row } from './row.js';
import { readRows } from './rows.js';
import type { Word } from './word.js';

/** Raw bytes that are read as lines of dump text with their addresses, behind the headers that are kept beside them. */
export interface RawBytes {
  /** In the order in which they are shown. */
  readonly bytes: Uint8Array;
  /** The address of the first one. */
  readonly offset: number;
  /** The words in which they are stored, where a person said so: they are in the order of addresses all the same. */
  readonly word?: Word | undefined;
  /** Whole lines, or nothing. */
  readonly headers: string;
}

/** Bytes of a line, which begins at a multiple of them. */
const WIDTH = 16;

/** Of texts above 50 MB an editor tells its extensions nothing: lines of more bytes than this have fewer blanks. */
const MOST_APART = 13 * 1024 * 1024;
const GROUP = 4;

/** Bytes of a group in the lines of some bytes. */
function groupOf({ bytes }: RawBytes): number {
  return bytes.length > MOST_APART ? GROUP : 1;
}

function shownBytes(raw: RawBytes, from: number, to: number): string {
  const group = groupOf(raw);
  if (group === 1) return hexBytes(raw.bytes.subarray(from, to), ' ');
  const groups: string[] = [];
  for (let at = from; at < to; at += group) groups.push(hexBytes(raw.bytes.subarray(at, Math.min(to, at + group))));
  return groups.join(' ');
}

/** How many lines the bytes make. */
export function rawLineCount({ bytes, offset }: RawBytes): number {
  return bytes.length === 0 ? 0 : Math.ceil(((offset % WIDTH) + bytes.length) / WIDTH);
}

/** Where the bytes of a line are. */
export function rawLine({ bytes, offset }: RawBytes, line: number): { readonly from: number; readonly count: number } {
  const from = Math.max(0, line * WIDTH - (offset % WIDTH));
  return { from, count: Math.min(bytes.length, (line + 1) * WIDTH - (offset % WIDTH)) - from };
}

/** A line as a row, as it would be read from its text. */
export function rawRow(raw: RawBytes, line: number): RecordRow {
  const { bytes, offset } = raw;
  const { from, count } = rawLine(raw, line);
  const label = offset + from;
  const text = `0x${hex(label, addressDigits(raw))}: ${shownBytes(raw, from, from + count)}\n`;
  return { kind: 'record', text, label, type: undefined, store: bytes, from, count, problems: NO_PROBLEMS };
}

/** The rows of the headers. */
export function rawHeaderRows({ headers }: RawBytes): readonly Row[] {
  return readRows(headers, dumpText).slice(0, -1);
}

/** Whether a row among the headers is none, so that it counts among the lines of data. */
export function holdsData({ kind }: Row): boolean {
  return kind === 'record' || kind === 'broken';
}

/** What stands behind the last line. */
export const RAW_END: Row = { kind: 'blank', text: '', problems: NO_PROBLEMS };

/** All rows, as they would be read from the text. */
export function rawRows(raw: RawBytes): readonly Row[] {
  const lines = Array.from({ length: rawLineCount(raw) }, (_, line) => rawRow(raw, line));
  return [...rawHeaderRows(raw), ...lines, RAW_END];
}

/** The text, and how many characters it has. */
export function rawText(raw: RawBytes): string {
  const { bytes, offset, headers } = raw;
  const [digits, group] = [addressDigits(raw), groupOf(raw)];
  const texts = [headers];
  const page = pageWriter({ ascii: (codes) => texts.push(asciiText(codes)), text: (text) => texts.push(text) });
  for (let line = 0; line < rawLineCount(raw); line++) {
    const { from, count } = rawLine(raw, line);
    page.character(0x30);
    page.character(0x78);
    page.number(offset + from, digits / 2);
    page.character(0x3a);
    if (group === 1) page.bytes(bytes.subarray(from, from + count), 0x20);
    else
      for (let at = from; at < from + count; at += group) {
        page.character(0x20);
        page.bytes(bytes.subarray(at, Math.min(from + count, at + group)));
      }
    page.character(0x0a);
  }
  page.flush();
  return texts.join('');
}

export function rawTextLength(raw: RawBytes): number {
  const [count, group] = [rawLineCount(raw), groupOf(raw)];
  const groupsIn = (line: number) => Math.ceil(rawLine(raw, line).count / group);
  // All lines but the first and the last are full.
  const groups = count < 2 ? count * groupsIn(0) : groupsIn(0) + groupsIn(count - 1) + (count - 2) * (WIDTH / group);
  return raw.headers.length + (addressDigits(raw) + 4) * count + 2 * raw.bytes.length + groups;
}

function addressDigits({ bytes, offset }: RawBytes): number {
  return offset + bytes.length > 0x10000 ? 8 : 4;
}
