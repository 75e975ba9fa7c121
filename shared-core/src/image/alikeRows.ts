import { digitValue } from '../base/hex.js';
import { shownCharacter } from '../format/hexViewRow.js';
import type { RowsInOrder } from '../format/imageForm.js';
import type { Notation } from '../format/notation.js';
import { NO_PROBLEMS, type RecordRow } from '../format/row.js';
import type { LinePlace, Skip } from './forEachLine.js';
import { type GatheredBytes, noBytes, reserve } from './imageBytes.js';
import { addSound, placeOfSound } from './imageRecords.js';
import type { ImageState } from './imageState.js';
import { type RowTemplate, templateOf } from './rowTemplates.js';

const LF = 0x0a;
const CR = 0x0d;

/** In the table of pairs: no two hex digits. More than all sound pairs of a row add up to. */
const NO_PAIR = 1 << 24;

/** Whether the row of these data is wanted for itself. */
export type IsWanted = (address: number, count: number) => boolean;

/** Rows that were passed over one after the other: nothing but data, whose addresses follow each other. */
export interface PassedRows {
  readonly row: number;
  readonly rows: number;
  /** Bytes of the file. */
  readonly length: number;
  readonly type: number;
  readonly address: number;
  readonly count: number;
}

/** Fewer rows than these are passed over again as quickly as they are remembered. */
const FEW = 8;

/** More rows than these are remembered apart, as all of them are looked at again where one of them is wanted. */
const MANY = 512;

/** Passes over rows of data that are like one before. */
export interface AlikeRows {
  /** Passes over all rows that it can; it stops at the first line that is anything else, or that is wanted. */
  readonly skip: Skip;
  /** Shows a sound row of data that was read by itself: rows that are like it are passed over from now on. */
  readonly learn: (row: RecordRow) => void;
  /** The last row that was passed over, without its text. */
  readonly last: () => { readonly row: number; readonly one: RecordRow } | undefined;
  /** What was passed over, for a next pass over the same file. */
  readonly passed: readonly PassedRows[];
}

/**
 * Passes over rows by what one of the same shape has shown: a look at each character tells in a fraction of the time that
 * reading takes whether a line differs from it in digits alone. For the state they count as if they had been read. What a pass
 * before this one has passed over (`known`) needs no look at all.
 */
export function alikeRows(
  notation: Notation,
  state: ImageState,
  isWanted: IsWanted,
  inOrder: RowsInOrder | undefined,
  known: readonly PassedRows[] = [],
): AlikeRows {
  const running = notation.image?.running;
  const values = digitTable(notation.capitals === true);
  const pairs = pairTable(values);
  const shown = Uint8Array.from({ length: 256 }, (_, byte) => shownCharacter(byte).charCodeAt(0));
  const byLength = new Map<number, RowTemplate>();
  const bytes: GatheredBytes = state.bytes ?? noBytes();
  let current: RowTemplate | undefined;
  /** A row that a template has and that is to be read all the same. */
  let refused = -1;
  let lastRow = -1;
  let lastLabel = 0;
  let lastFrom = 0;
  let lastTemplate: RowTemplate | undefined;
  const passed: PassedRows[] = [];
  let nextKnown = 0;

  const remember = (row: number, end: number, length: number, type: number, address: number, next: number) => {
    if (end >= row + FEW) passed.push({ row, rows: end - row, length, type, address, count: next - address });
  };

  /** Passes over rows of one template. */
  const passRun = (template: RowTemplate, chunk: Uint8Array, view: DataView, place: LinePlace): void => {
    const { type, length, count, fixedAt, fixed, labelAt, labelEnd, digits, isDense, characters, sum } = template;
    const { store } = bytes;
    let { at, row } = place;
    let [begin, next] = [-1, -1];
    let [firstAt, firstRow] = [at, row];
    let isOneRun = true;
    lines: for (; at + length < chunk.length; ) {
      const end = at + length;
      const behind = chunk[end] === LF ? end + 1 : chunk[end] === CR && chunk[end + 1] === LF ? end + 2 : -1;
      if (behind < 0) break;
      for (let i = 0; i < fixed.length; i++) if (chunk[at + (fixedAt[i] as number)] !== fixed[i]) break lines;
      let label = 0;
      let wrong = 0;
      for (let i = labelAt; i < labelEnd; i++) {
        const value = values[chunk[at + i] as number] as number;
        wrong |= value;
        label = label * 16 + value;
      }
      const { used } = bytes;
      const all = isDense
        ? copyDense(pairs, view, at + (digits[0] as number), count, store, used)
        : copyApart(pairs, view, at, digits, count, store, used);
      if (wrong > 15 || all >= NO_PAIR) break;
      if (sum !== undefined && !isRight(template, chunk, at, all, store, used)) break;
      if (characters >= 0)
        for (let i = 0; i < count; i++)
          if (chunk[at + characters + i] !== shown[store[used + i] as number]) break lines;
      const address = placeOfSound(state, running, type, label, count);
      if (address < 0) break;
      if (isWanted(address, count) || inOrder?.takesAlike(label, store, used, count) === false) {
        refused = row;
        break;
      }
      lastLabel = label;
      lastFrom = used;
      lastTemplate = template;
      addSound(state, notation, row, type, address, count);
      if (begin < 0) begin = address;
      else if (address !== next) isOneRun = false;
      next = address + count;
      row++;
      at = behind;
      if (row - firstRow < MANY) continue;
      if (isOneRun) remember(firstRow, row, at - firstAt, type, begin, next);
      begin = -1;
      firstAt = at;
      firstRow = row;
      isOneRun = true;
    }
    if (row > place.row) lastRow = row - 1;
    if (isOneRun) remember(firstRow, row, at - firstAt, type, begin, next);
    place.at = at;
    place.row = row;
  };

  const isRight = (
    { sum, labelAt, labelEnd, digits, count }: RowTemplate,
    chunk: Uint8Array,
    at: number,
    ofBytes: number,
    store: Uint8Array,
    used: number,
  ): boolean => {
    if (sum === undefined) return true;
    const { sign, isOfDigits, mask, made } = sum;
    let all = ofBytes;
    for (let i = labelEnd - 1, shift = 0; i >= labelAt; i--, shift ^= 4)
      all += (values[chunk[at + i] as number] as number) << (isOfDigits ? 0 : shift);
    if (isOfDigits) for (let i = used; i < used + count; i++) all -= 15 * ((store[i] as number) >> 4);
    let stored = 0;
    for (let i = count; i < digits.length; i++) {
      const first = at + (digits[i] as number);
      const high = values[chunk[first] as number] as number;
      const low = values[chunk[first + 1] as number] as number;
      if ((high | low) > 15) return false;
      stored = (stored << 8) | (high << 4) | low;
    }
    return ((stored + sign * all) & mask) === made;
  };

  /** Rows that show what is around them are looked at each time. */
  const isKnownWhole = inOrder === undefined && notation.complete === undefined && state.bytes === undefined;

  const passKnown = (chunk: Uint8Array, place: LinePlace): void => {
    while (isKnownWhole && nextKnown < known.length) {
      const { row, rows, length, type, address, count } = known[nextKnown] as PassedRows;
      if (row > place.row) return;
      nextKnown++;
      if (row < place.row || place.at + length > chunk.length || isWanted(address, count)) continue;
      addSound(state, notation, row + rows - 1, type, address, count);
      state.counted += rows - 1;
      place.at += length;
      place.row += rows;
    }
  };

  return {
    passed,
    skip: (chunk, place) => {
      passKnown(chunk, place);
      if (current === undefined || state.end !== undefined) return;
      reserve(bytes, chunk.length >> 1);
      const view = new DataView(chunk.buffer, chunk.byteOffset, chunk.length);
      for (;;) {
        passRun(current, chunk, view, place);
        const other = byLength.get(lengthOfLine(chunk, place.at));
        if (other === undefined || other === current || refused === place.row) return;
        const before = place.row;
        passRun(other, chunk, view, place);
        if (place.row === before) return;
        current = other;
      }
    },
    learn: (row) => {
      const type = row.type ?? 0;
      if (refused === state.last || running?.opens?.(type) || running?.closes?.(type)) return;
      const template = templateOf(notation, row);
      if (template === undefined) return;
      byLength.set(template.length, template);
      current = template;
    },
    last: () => {
      if (lastTemplate === undefined) return undefined;
      const { type, count } = lastTemplate;
      const { store } = bytes;
      const one = { kind: 'record', text: '', label: lastLabel, type, store, from: lastFrom, count } as const;
      return { row: lastRow, one: { ...one, problems: NO_PROBLEMS } };
    },
  };
}

/** Characters of the line that begins at a place, as far as the chunk shows it. */
function lengthOfLine(chunk: Uint8Array, at: number): number {
  let end = at;
  while (end < chunk.length && chunk[end] !== LF && chunk[end] !== CR) end++;
  return end - at;
}

/** Puts the bytes of digits that follow each other into a store; gives what they add up to. */
function copyDense(
  pairs: Int32Array,
  view: DataView,
  from: number,
  count: number,
  store: Uint8Array,
  used: number,
): number {
  const end = used + count;
  let put = used;
  let at = from;
  let sum = 0;
  for (; put + 2 <= end; at += 4) {
    const two = view.getUint32(at, true);
    const first = pairs[two & 0xffff] as number;
    const second = pairs[two >>> 16] as number;
    store[put++] = first;
    store[put++] = second;
    sum += first + second;
  }
  if (put === end) return sum;
  const last = pairs[view.getUint16(at, true)] as number;
  store[put] = last;
  return sum + last;
}

/** The same where something stands between them. */
function copyApart(
  pairs: Int32Array,
  view: DataView,
  at: number,
  digits: Uint16Array,
  count: number,
  store: Uint8Array,
  used: number,
): number {
  let sum = 0;
  for (let i = 0; i < count; i++) {
    const value = pairs[view.getUint16(at + (digits[i] as number), true)] as number;
    store[used + i] = value;
    sum += value;
  }
  return sum;
}

/** Codes of characters to the values of digits; above 15 where they are none. */
function digitTable(capitals: boolean): Uint8Array {
  return Uint8Array.from({ length: 256 }, (_, code) => (capitals && code >= 0x61 ? 0xff : digitValue(code)));
}

/** Two characters of text, the first in the low byte, to the byte that they write: one look in place of four. */
function pairTable(values: Uint8Array): Int32Array {
  const pairs = new Int32Array(0x10000).fill(NO_PAIR);
  const codes = [...values.keys()].filter((code) => (values[code] as number) < 16);
  for (const high of codes)
    for (const low of codes) pairs[high | (low << 8)] = ((values[high] as number) << 4) | (values[low] as number);
  return pairs;
}
