import { intelHex } from '../format/intelHex.js';
import type { Notation } from '../format/notation.js';
import { sRecord } from '../format/sRecord.js';
import type { LinePlace, Skip } from './forEachLine.js';
import { type GatheredBytes, reserve, takeStored } from './imageBytes.js';
import { addData, type ImageState } from './imageState.js';

const LF = 0x0a;
const CR = 0x0d;
const COLON = 0x3a;
const LETTER_S = 0x53;
const DIGIT_0 = 0x30;

/** In the table of pairs: no two hex digits. More than all sound pairs of a record add up to. */
const NO_PAIR = 1 << 20;

/** Whether the row of these data is wanted for itself. */
export type IsWanted = (address: number, count: number) => boolean;

/** The most bytes that a record holds behind its head, the sum included. */
const MOST_BYTES = 256;

/**
 * Passes over data records that nothing is wrong with, as one would read them row by row, and adds their places (and
 * bytes, where those are gathered) to the state. It stops at the first line that is anything else, or that is wanted:
 * that line is the notation's to explain.
 */
export function validRecordFastPath(
  notation: Notation,
  state: ImageState,
  isWanted: IsWanted = () => false,
): Skip | undefined {
  const skip = FAST_PATHS.get(notation);
  if (skip === undefined) return undefined;
  const pairs = pairTable();
  return (chunk, place) => skip(chunk, place, state, pairs, isWanted);
}

type FastPath = (chunk: Uint8Array, place: LinePlace, state: ImageState, pairs: Int32Array, isWanted: IsWanted) => void;

/** Forms that files of many megabytes are written in; of all others each line goes through the notation. */
const FAST_PATHS: ReadonlyMap<Notation, FastPath> = new Map<Notation, FastPath>([
  [intelHex, skipIntelHex],
  [sRecord, skipSRecords],
]);

/** Two characters of text, the first in the low byte, to the byte that they write: one look in place of four. */
function pairTable(): Int32Array {
  const pairs = new Int32Array(0x10000).fill(NO_PAIR);
  const codes = Array.from('0123456789ABCDEFabcdef', (digit) => digit.charCodeAt(0));
  for (const high of codes)
    for (const low of codes)
      pairs[high | (low << 8)] = Number.parseInt(String.fromCharCode(high) + String.fromCharCode(low), 16);
  return pairs;
}

function skipIntelHex(
  chunk: Uint8Array,
  place: LinePlace,
  state: ImageState,
  pairs: Int32Array,
  isWanted: IsWanted,
): void {
  const {
    base: { base, room: top },
    end,
    bytes,
  } = state;
  if (end !== undefined) return;
  const view = new DataView(chunk.buffer, chunk.byteOffset, chunk.length);
  let { at, row } = place;
  // The shortest record, without data, has eleven characters.
  while (at + 11 < chunk.length && chunk[at] === COLON) {
    const count = pairAt(pairs, view, at + 1);
    const address = (pairAt(pairs, view, at + 3) << 8) | pairAt(pairs, view, at + 5);
    const recordEnd = at + 11 + 2 * count;
    if (recordEnd >= chunk.length || pairAt(pairs, view, at + 7) !== 0 || address + count > top) break;
    const data = at + 9;
    const own = bytes ? copyPairs(pairs, view, data, recordEnd, bytes) : sumOfPairs(pairs, view, data, recordEnd);
    const sum = count + (address >> 8) + address + own;
    const next = afterLineEnd(chunk, recordEnd);
    if (sum >= NO_PAIR || (sum & 0xff) !== 0 || next < 0 || isWanted(base + address, count)) break;
    addData(state, row, base + address, count);
    if (bytes) takeStored(bytes, row, base + address, count);
    row++;
    at = next;
  }
  pass(place, state, at, row);
}

function skipSRecords(
  chunk: Uint8Array,
  place: LinePlace,
  state: ImageState,
  pairs: Int32Array,
  isWanted: IsWanted,
): void {
  const { end, bytes } = state;
  if (end !== undefined) return;
  const view = new DataView(chunk.buffer, chunk.byteOffset, chunk.length);
  let { at, row } = place;
  while (at + 4 < chunk.length && chunk[at] === LETTER_S) {
    // Types 1, 2 and 3 have addresses of 2, 3 and 4 bytes; the length counts address, data and sum.
    const type = (chunk[at + 1] as number) - DIGIT_0;
    const length = pairAt(pairs, view, at + 2);
    const count = length - type - 2;
    const recordEnd = at + 4 + 2 * length;
    if (type < 1 || type > 3 || count < 0 || recordEnd >= chunk.length) break;
    const dataAt = at + 6 + 2 * type;
    let address = 0;
    for (let i = at + 4; i < dataAt; i += 2) address = address * 256 + pairAt(pairs, view, i);
    const head = length + sumOfPairs(pairs, view, at + 4, dataAt);
    const own = bytes ? copyPairs(pairs, view, dataAt, recordEnd, bytes) : sumOfPairs(pairs, view, dataAt, recordEnd);
    const sum = head + own;
    const next = afterLineEnd(chunk, recordEnd);
    if (sum >= NO_PAIR || (sum & 0xff) !== 0xff || next < 0 || address + count > 0x100000000) break;
    if (isWanted(address, count)) break;
    addData(state, row, address, count);
    if (bytes) takeStored(bytes, row, address, count);
    state.counted++;
    row++;
    at = next;
  }
  pass(place, state, at, row);
}

function pass(place: LinePlace, state: ImageState, at: number, row: number): void {
  if (row > place.row) {
    state.last = row - 1;
    state.holdsOwn = true;
  }
  place.at = at;
  place.row = row;
}

function pairAt(pairs: Int32Array, view: DataView, at: number): number {
  return pairs[view.getUint16(at, true)] as number;
}

/** Sum of the bytes that the pairs of digits from `from` to before `to` write, two pairs at a time. */
function sumOfPairs(pairs: Int32Array, view: DataView, from: number, to: number): number {
  let sum = 0;
  let at = from;
  for (; at + 4 <= to; at += 4) {
    const two = view.getUint32(at, true);
    sum += (pairs[two & 0xffff] as number) + (pairs[two >>> 16] as number);
  }
  return at < to ? sum + pairAt(pairs, view, at) : sum;
}

/** The same, leaving the bytes behind the used ones of the store. */
function copyPairs(pairs: Int32Array, view: DataView, from: number, to: number, bytes: GatheredBytes): number {
  reserve(bytes, MOST_BYTES);
  const { store } = bytes;
  let sum = 0;
  let put = bytes.used;
  let at = from;
  for (; at + 4 <= to; at += 4) {
    const two = view.getUint32(at, true);
    const first = pairs[two & 0xffff] as number;
    const second = pairs[two >>> 16] as number;
    store[put++] = first;
    store[put++] = second;
    sum += first + second;
  }
  if (at >= to) return sum;
  const last = pairAt(pairs, view, at);
  store[put] = last;
  return sum + last;
}

/** Where the next line begins if a line ends at `at`; -1 where it goes on, or the chunk does not show its end. */
function afterLineEnd(chunk: Uint8Array, at: number): number {
  if (chunk[at] === LF) return at + 1;
  return chunk[at] === CR && chunk[at + 1] === LF ? at + 2 : -1;
}
