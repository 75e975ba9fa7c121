import { hex } from '../base/hex.js';
import type { TextEdit } from '../base/span.js';
import { editLine } from '../base/span.js';
import { byteOf, bytesOf, contentOf, type RecordRow, type Row } from '../format/row.js';
import { type AddressView, byteAtAddress, viewByAddress } from '../model/byAddress.js';
import { editsOf } from '../model/byteWrite.js';
import type { Dump } from '../model/dump.js';
import { computeLineSum, printRecord } from '../model/lineSum.js';
import { joinedRanges } from '../profile/places.js';

/** Bytes of a record that is set in. */
const WIDTH = 16;

/**
 * The text of one memory image with the bytes of another, address by address: every record keeps its spelling and its
 * width. A byte that the other lacks is shown as two hyphens; a record of which it lacks all bytes is left out; what
 * only the other has is set in before the next higher address. What people wrote between the records is that of the other.
 */
export function imageInSpacingOf(spelling: Dump, bytes: Dump): string {
  const other = viewByAddress(bytes);
  const { order, keys } = spelling.layout;
  const addressOf = new Map(Array.from(order, (row, i) => [row, keys[i] as number] as const));
  const added = addedRecords(spelling, bytes, other);
  const texts = writtenIn(bytes);
  const isWrittenAlike =
    writtenIn(spelling)
      .map(({ text }) => text)
      .join('') === texts.map(({ text }) => text).join('');
  const lines: string[] = [];
  let nextText = isWrittenAlike ? texts.length : 0;
  const writeTexts = (upTo: number) => {
    while (nextText < texts.length && (texts[nextText]?.before ?? 0) <= upTo) lines.push(texts[nextText++]?.text ?? '');
  };
  let next = 0;
  let dataSeen = 0;
  spelling.rows.forEach((row, index) => {
    const address = addressOf.get(index);
    // Behind the last data come the records that end the file.
    const before = address ?? (dataSeen === addressOf.size && row.kind === 'record' ? Number.POSITIVE_INFINITY : 0);
    while (next < added.length && (added[next]?.address ?? 0) < before) lines.push(added[next++]?.text ?? '');
    if (address === undefined) {
      if (isWrittenAlike || !isWritten(row)) lines.push(row.text);
    } else {
      writeTexts(address);
      dataSeen++;
      lines.push(row.kind === 'record' ? recordWith(spelling, index, row, address, bytes, other) : row.text);
    }
  });
  for (const { text } of added.slice(next)) lines.push(text);
  writeTexts(Number.POSITIVE_INFINITY);
  return lines.join('');
}

/** Lines that hold no record. */
function isWritten({ kind }: Row): boolean {
  return kind === 'header' || kind === 'comment' || kind === 'blank';
}

/** What people wrote between the records of an image, each with the address of the data behind it. */
function writtenIn({ rows, layout }: Dump): readonly { readonly before: number; readonly text: string }[] {
  const addressOf = new Map(Array.from(layout.order, (row, i) => [row, layout.keys[i] as number] as const));
  const found: { readonly before: number; readonly text: string }[] = [];
  let before = Number.POSITIVE_INFINITY;
  for (let row = rows.length - 1; row >= 0; row--) {
    before = addressOf.get(row) ?? before;
    const one = rows[row] as Row;
    if (isWritten(one)) found.push({ before, text: one.text });
  }
  return found.reverse();
}

function recordWith(
  spelling: Dump,
  row: number,
  record: RecordRow,
  address: number,
  bytes: Dump,
  other: AddressView,
): string {
  const count = spelling.layout.dataCount[row] as number;
  const values = Array.from({ length: count }, (_, i) => byteAtAddress(bytes, other, address + i));
  if (values.every((value, i) => value === byteOf(record, i))) return record.text;
  const known = values.filter((value) => value !== undefined);
  if (known.length === 0) return '';
  // A row that stands for others has no digits to show.
  if (spelling.notation.digitPlaces(record).length === 0) return record.text;
  if (known.length < count) return editLine(record.text, withHyphens(spelling, row, record, values));
  return editLine(record.text, editsOf(spelling, withSum(spelling, row, record, known)));
}

/** Writes of all bytes, and of the sum that goes with them. */
function withSum({ rule }: Dump, row: number, record: RecordRow, values: readonly number[]) {
  const store = bytesOf(record).slice();
  store.set(values);
  if (rule !== undefined) store.set(computeLineSum(rule, { ...record, store, from: 0 }), values.length);
  return [...store].flatMap((value, byte) =>
    value === byteOf(record, byte) ? [] : [{ row, byte, value, reason: 'restore' as const }],
  );
}

function withHyphens(
  { notation }: Dump,
  row: number,
  record: RecordRow,
  values: readonly (number | undefined)[],
): readonly TextEdit[] {
  const places = notation.digitPlaces(record);
  return values.flatMap((value, byte) =>
    [0, 1].flatMap((digit) => {
      const start = places[2 * byte + digit] as number;
      const text = value === undefined ? '-' : hex(value).charAt(digit);
      return value === byteOf(record, byte) ? [] : [{ row, start, end: start + 1, text }];
    }),
  );
}

interface Added {
  readonly address: number;
  readonly text: string;
}

/** Records of what only the other image holds, in the order of their addresses. */
function addedRecords(spelling: Dump, bytes: Dump, other: AddressView): readonly Added[] {
  const own = joinedRanges(viewByAddress(spelling).spans.map(({ address, count }) => rangeOf(address, count)));
  const added: Added[] = [];
  let at = 0;
  for (const { address, count } of other.spans) {
    let data: number[] = [];
    for (let i = 0; i <= count; i++) {
      const here = address + i;
      while ((own[at]?.to ?? Number.POSITIVE_INFINITY) < here) at++;
      const isOwn = i === count || (own[at]?.from ?? Number.POSITIVE_INFINITY) <= here;
      const value = isOwn ? undefined : byteAtAddress(bytes, other, here);
      if (value !== undefined) data.push(value);
      if (data.length > 0 && (value === undefined || data.length === WIDTH)) {
        const first = here - data.length + (value === undefined ? 0 : 1);
        added.push({ address: first, text: printed(spelling, first, data) });
        data = [];
      }
    }
  }
  return added;
}

function rangeOf(address: number, count: number) {
  return { from: address, to: address + count - 1 };
}

/** A record of data in the notation of the image, without the base record that may belong before it. */
function printed({ notation, rows }: Dump, address: number, data: readonly number[]): string {
  const text = rows[0]?.text ?? '';
  const lineEnd = text.slice(contentOf(text).length) || '\n';
  const bytes = Uint8Array.from(data);
  const record = notation.image?.dataRecord(address);
  if (record === undefined) {
    const sum = new Uint8Array(0);
    return notation.print({ label: address, type: undefined, data: bytes, sum }) + lineEnd;
  }
  return printRecord(notation, record.label, record.type, bytes) + lineEnd;
}
