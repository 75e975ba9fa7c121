import { hex } from '../base/hex.js';
import { phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import type { Contents } from '../convert/contents.js';
import { headersText, type Places } from '../convert/convert.js';
import { dumpText } from '../format/dumpText.js';
import { type RawBytes, rawText } from '../format/rawBytes.js';
import { bytesOf } from '../format/row.js';
import { readRows } from '../format/rows.js';
import { bytesOfWord, turnedBytes, type Word } from '../format/word.js';

/** What stands for the form of raw bytes, as the command line names it. */
export const BINARY = 'binary';

/** What raw bytes have a place for; their headers are beside them. */
export const IN_BINARY: Places = {
  title: phrase('a binary'),
  headers: 'commented',
  keeps: { addresses: false, comments: false, start: 'none' },
};

/** How raw bytes are shown as lines of dump text. */
export interface BinaryView {
  /** The address of the first byte. */
  readonly offset: number;
  readonly word: Word | undefined;
}

/** The bytes of a file as they are shown, with the headers that are kept beside them. */
export function rawBytesOf(bytes: Uint8Array, headers: string, { offset, word }: BinaryView): Result<RawBytes> {
  if (offset + bytes.length > 0x100000000) return refuse(phrase('its bytes would run over the last address, FFFFFFFF'));
  const ordered = inOrder(bytes, word);
  if (!ordered.ok) return ordered;
  const open = headers === '' || headers.endsWith('\n') ? headers : `${headers}\n`;
  return done({ bytes: ordered.value, offset, word, headers: open });
}

/** Raw bytes as lines of dump text with their addresses, behind the headers that are kept beside them. */
export function textOfBinary(bytes: Uint8Array, headers: string, view: BinaryView): Result<string> {
  const raw = rawBytesOf(bytes, headers, view);
  return raw.ok ? done(rawText(raw.value)) : raw;
}

/** The bytes and the headers of such a text; refused where a line is none of them, or the addresses do not follow each other. */
export function binaryOfText(
  text: string,
  { offset, word }: BinaryView,
): Result<{ readonly bytes: Uint8Array; readonly headers: string }> {
  const rows = readRows(text, dumpText);
  const bytes = new Uint8Array(text.length >> 1);
  const headers: string[] = [];
  let used = 0;
  for (const [index, row] of rows.entries()) {
    if (row.kind === 'header' || row.kind === 'comment') headers.push(row.text);
    if (row.kind === 'header' || row.kind === 'comment' || row.kind === 'blank') continue;
    if (row.kind === 'broken' || row.label !== offset + used)
      return refuse(phrase('row {0} is no line of the bytes of a binary, or one is missing before it', index + 1));
    if (row.text.includes('#'))
      return refuse(phrase('row {0} has a comment behind its bytes: give it a row of its own', index + 1));
    bytes.set(bytesOf(row), used);
    used += row.count;
  }
  const ordered = inOrder(bytes.subarray(0, used), word);
  return ordered.ok ? done({ bytes: ordered.value, headers: headers.join('') }) : ordered;
}

/** What is read again of a binary that such a text is saved in. */
export function textReadBack(text: string, view: BinaryView): Result<string> {
  const saved = binaryOfText(text, view);
  return saved.ok ? textOfBinary(saved.value.bytes, saved.value.headers, view) : saved;
}

/** The contents of a dump as raw bytes and headers; refused where they do not begin at the offset, or have gaps. */
export function binaryOfContents(
  { parts }: Contents,
  { offset, word }: BinaryView,
): Result<{ readonly bytes: Uint8Array; readonly headers: string }> {
  const data = parts.flatMap((part) => (part.kind === 'data' ? [part] : [])).sort((a, b) => a.address - b.address);
  const bytes = new Uint8Array(data.reduce((sum, part) => sum + part.bytes.count, 0));
  let used = 0;
  for (const { row, address, bytes: run } of data) {
    if (address !== offset + used) {
      const [wanted, found] = [hex(offset + used, 4), hex(address, 4)];
      return refuse(
        used === 0
          ? phrase('Its data begin at {0}. Say so with "--offset 0x{0}".', found)
          : phrase('Row {0}: the data go on at {1} and not at {2}, and a binary has no gaps.', row + 1, found, wanted),
      );
    }
    bytes.set(run.store.subarray(run.from, run.from + run.count), used);
    used += run.count;
  }
  const ordered = inOrder(bytes, word);
  return ordered.ok ? done({ bytes: ordered.value, headers: headersText({ parts }) }) : ordered;
}

/** Bytes with those of each word turned round where the least significant is stored first; the same way back. */
function inOrder(bytes: Uint8Array, word: Word | undefined): Result<Uint8Array> {
  if (word === undefined) return done(bytes);
  const count = bytesOfWord(word);
  if (bytes.length % count !== 0)
    return refuse(phrase('it has {0} bytes, which are no whole words of {1}', bytes.length, count));
  return done(turnedBytes(bytes, word));
}
