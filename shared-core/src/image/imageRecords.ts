import { hex } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { INTEL_HEX_TYPE } from '../format/intelHex.js';
import type { Notation, NotationId } from '../format/notation.js';
import { byteOf, type RecordRow, type Row } from '../format/row.js';
import { type GatheredBytes, takeRecord } from './imageBytes.js';
import { addPiece, byAddress, type GrowingPieces, type ImagePieces, noPieces } from './imagePieces.js';

/** What can be wrong with the records of a memory image as a whole. */
export type ImageProblemCode =
  | 'no-data'
  | 'end-missing'
  | 'end-counted'
  | 'end-repeated'
  | 'data-after-end'
  | 'overlap'
  | 'record-count'
  | 'address-wrap'
  | 'text-unreadable';

export interface ImageProblem {
  readonly code: ImageProblemCode;
  readonly row: number;
  readonly message: Phrase;
  /** The notation that the file is written in, where it is none of what its name promises. */
  readonly written?: 'intel-hex' | 's-record';
}

/** Whether a problem leaves bytes or addresses in doubt. A count of the records shows as well as an end record that nothing was cut off. */
export function leavesDoubt({ code }: ImageProblem): boolean {
  return code !== 'end-counted';
}

export interface ImageReading {
  /** The data, in the order of the file. */
  readonly pieces: ImagePieces;
  /** In the order of their rows. */
  readonly problems: readonly ImageProblem[];
  /** The row of the last record that says where the program starts. */
  readonly start: number | undefined;
}

/** What the records read so far say of those that follow. */
export interface ImageState {
  /** The data so far; undefined where only their being in order matters. */
  readonly pieces: GrowingPieces | undefined;
  /** The bytes so far, where they are wanted. */
  readonly bytes: GatheredBytes | undefined;
  readonly problems: ImageProblem[];
  /** Where the data so far end, and whether each began at or after the end of those before. */
  reach: number;
  rising: boolean;
  /**
   * Of Intel HEX: what is added to the address of each record, and whether it is a segment's, of 64 KiB. Before any
   * base record there are 64 KiB in all, as in the 8-bit form of the format.
   */
  base: number;
  segmented: boolean;
  /** Row of the first end record. */
  end: number | undefined;
  /** Whether data follow it. */
  followed: boolean;
  start: number | undefined;
  /** Of S-records: how many data records there were. */
  counted: number;
  /** Row of the last record, also of one that cannot be read; -1 where there is none. */
  last: number;
  /** The row of a count record that is right: where it is the last record, nothing was cut off, though no end record follows. */
  closed: number | undefined;
  /** Whether there is a record of which not even type and length can be read. */
  hasUnread: boolean;
  /** The first row with text that is no record. */
  comment: number | undefined;
  /** The first row with a record of the other kind of image, and whether there is any of this kind. */
  foreign: number | undefined;
  holdsOwn: boolean;
}

export function newImage(pieces: GrowingPieces | undefined, bytes?: GatheredBytes): ImageState {
  return {
    pieces,
    bytes,
    problems: [],
    reach: Number.NEGATIVE_INFINITY,
    rising: true,
    base: 0,
    segmented: true,
    end: undefined,
    followed: false,
    start: undefined,
    counted: 0,
    last: -1,
    closed: undefined,
    hasUnread: false,
    comment: undefined,
    foreign: undefined,
    holdsOwn: false,
  };
}

/** The part of the records that says where data lie: absolute addresses, and what does not fit together. */
export function readImage(rows: readonly Row[], notation: Notation): ImageReading {
  const pieces = noPieces();
  const state = newImage(pieces);
  for (let row = 0; row < rows.length; row++) takeRow(state, notation, row, rows[row] as Row);
  return { pieces, problems: imageProblemsOf(state, notation), start: state.start };
}

/** Where data lie. */
export interface DataPlace {
  readonly address: number;
  readonly count: number;
}

/** Adds what the next row says; gives where its data lie, if it has any. */
export function takeRow(state: ImageState, { id }: Notation, row: number, found: Row): DataPlace | undefined {
  if (found.kind === 'comment' || (found.kind === 'broken' && found.isStray)) {
    state.comment ??= row;
    return undefined;
  }
  if (found.kind !== 'record' && found.kind !== 'broken') return undefined;
  state.last = row;
  if (found.kind === 'record') state.holdsOwn = true;
  else if (found.isForeign) state.foreign ??= row;
  const head = headOf(found);
  if (head === undefined) {
    state.hasUnread = true;
    return undefined;
  }
  return id === 'intel-hex' ? takeIntelHex(state, row, found, head) : takeSRecord(state, row, found, head);
}

/** What is wrong with the whole once all rows are taken, in the order of the rows; without pieces, all but overlaps. */
export function imageProblemsOf(state: ImageState, { id }: Notation): readonly ImageProblem[] {
  const { pieces, problems, end, last, reach, rising, comment, foreign, holdsOwn, hasUnread } = state;
  if (!holdsOwn && foreign !== undefined) return [foreignImage(id, foreign)];
  if (last < 0 && comment !== undefined) return [noRecords(id, comment)];
  const all = [
    ...problems,
    ...(reach === Number.NEGATIVE_INFINITY && !hasUnread ? [noData(Math.max(0, last))] : []),
    ...(end === undefined && last >= 0 ? [endMissing(id, last, state.closed === last)] : []),
    ...(rising || pieces === undefined ? [] : overlaps(byAddress(pieces))),
  ];
  return all.sort((a, b) => a.row - b.row);
}

function endMissing(id: Notation['id'], row: number, isCounted: boolean): ImageProblem {
  if (id === 'intel-hex')
    return {
      code: 'end-missing',
      row,
      message: phrase('The end record (:00000001FF) is missing: this file may have been cut off.'),
    };
  const message = isCounted
    ? phrase('There is no end record (S7, S8 or S9); the count of records shows that nothing was cut off.')
    : phrase('The end record (S7, S8 or S9) is missing: this file may have been cut off.');
  return { code: isCounted ? 'end-counted' : 'end-missing', row, message };
}

function noData(row: number): ImageProblem {
  return { code: 'no-data', row, message: phrase('There are no data in this file.') };
}

/** Adds where a run of data bytes lies, which may be empty. */
export function addData(state: ImageState, row: number, address: number, count: number): void {
  if (count === 0) return;
  if (state.pieces !== undefined) addPiece(state.pieces, row, address, count);
  if (address < state.reach) state.rising = false;
  state.reach = Math.max(state.reach, address + count);
}

/** Adds the data of a row, also of one whose bytes cannot be read. */
function addRow(state: ImageState, row: number, address: number, count: number, found: Row): DataPlace | undefined {
  addData(state, row, address, count);
  if (state.bytes !== undefined)
    takeRecord(state.bytes, row, address, count, found.kind === 'record' ? found : undefined);
  return count === 0 ? undefined : { address, count };
}

export interface Head {
  readonly type: number;
  readonly address: number;
  readonly data: number;
}

/** Type, address and data bytes of a record, also of one whose digits cannot all be read. */
export function headOf(row: Row): Head | undefined {
  if (row.kind === 'record') return { type: row.type ?? 0, address: Number(row.label), data: row.count - 1 };
  if (row.kind !== 'broken' || row.head === undefined || row.label === undefined) return undefined;
  return { ...row.head, address: Number(row.label) };
}

function takeIntelHex(
  state: ImageState,
  row: number,
  found: Row,
  { type, address, data }: Head,
): DataPlace | undefined {
  const { problems, base, segmented, end } = state;
  if (type === INTEL_HEX_TYPE.end) {
    if (end !== undefined) problems.push(endRepeated(row, end));
    state.end ??= row;
  } else if (type === INTEL_HEX_TYPE.data) {
    dataAfterEnd(state, row);
    const room = segmented ? 0x10000 - address : 0x100000000 - base - address;
    if (data > room) problems.push(wrap(row, segmented ? '64 KiB' : '4 GiB'));
    return addRow(state, row, base + address, data, found);
  } else if (type === INTEL_HEX_TYPE.segmentBase || type === INTEL_HEX_TYPE.linearBase) {
    state.segmented = type === INTEL_HEX_TYPE.segmentBase;
    if (found.kind === 'record') state.base = baseOf(found, state.segmented);
  } else state.start = row;
  return undefined;
}

/** What a base record adds to the addresses after it. */
export function baseOf(record: RecordRow, segmented: boolean): number {
  const paragraph = byteOf(record, 0) * 256 + byteOf(record, 1);
  return segmented ? paragraph * 16 : paragraph * 0x10000;
}

function takeSRecord(state: ImageState, row: number, found: Row, { type, address, data }: Head): DataPlace | undefined {
  const { problems, end, counted } = state;
  if (type >= 1 && type <= 3) {
    state.counted++;
    dataAfterEnd(state, row);
    // Programs that write short addresses let the last record run over 64 KiB or 16 MiB, and all take it as it is meant.
    if (address + data > 0x100000000) problems.push(wrap(row, '4 GiB'));
    return addRow(state, row, address, data, found);
  } else if (type === 5 || type === 6) {
    if (address === counted) state.closed = row;
    else problems.push(wrongCount(row, address, counted));
  } else if (type >= 7) {
    if (end !== undefined) problems.push(endRepeated(row, end));
    state.end ??= row;
    state.start = row;
  }
  return undefined;
}

/**
 * Pieces, in the order of their addresses, that begin inside one before them. Records on successive rows make one
 * problem: a block that stands in a file twice is one mistake, however many rows it has.
 */
export function overlaps({ length, rows, addresses, counts }: ImagePieces): ImageProblem[] {
  const found: number[] = [];
  const holders = new Map<number, number>();
  let reach = Number.NEGATIVE_INFINITY;
  let holder = 0;
  for (let i = 0; i < length; i++) {
    if ((addresses[i] as number) < reach) {
      found.push(i);
      holders.set(i, holder);
    }
    const end = (addresses[i] as number) + (counts[i] as number);
    if (end > reach) {
      reach = end;
      holder = rows[i] as number;
    }
  }
  found.sort((a, b) => (rows[a] as number) - (rows[b] as number));
  const problems: ImageProblem[] = [];
  for (let from = 0; from < found.length; ) {
    const first = found[from] as number;
    const row = rows[first] as number;
    let to = from + 1;
    while (to < found.length && rows[found[to] as number] === row + to - from) to++;
    problems.push(overlap(row, addresses[first] as number, holders.get(first) as number, to - from));
    from = to;
  }
  return problems;
}

function overlap(row: number, address: number, holder: number, count: number): ImageProblem {
  const message =
    count === 1
      ? phrase('Address {0} is held by the record in row {1} too. Remove one of them.', hex(address, 4), holder + 1)
      : phrase(
          'Address {0} is held by the record in row {1} too; all {2} records from here on repeat addresses of others. Remove one copy.',
          hex(address, 4),
          holder + 1,
          count,
        );
  return { code: 'overlap', row, message };
}

function noRecords(id: NotationId, row: number): ImageProblem {
  const message =
    id === 'intel-hex'
      ? phrase(
          'No line of this file is a record of Intel HEX. If it holds another notation, give it the ending of that.',
        )
      : phrase('No line of this file is an S-record. If it holds another notation, give it the ending of that.');
  return { code: 'text-unreadable', row, message };
}

function foreignImage(id: NotationId, row: number): ImageProblem {
  return id === 'intel-hex'
    ? {
        code: 'text-unreadable',
        row,
        written: 's-record',
        message: phrase('This file holds S-records, not Intel HEX as its name says. Give its name the ending ".s19".'),
      }
    : {
        code: 'text-unreadable',
        row,
        written: 'intel-hex',
        message: phrase('This file holds Intel HEX, not S-records as its name says. Give its name the ending ".hex".'),
      };
}

export function wrongCount(row: number, said: number, counted: number): ImageProblem {
  const message = phrase(
    'This record counts {0} (hex) data records; there are {1} (hex) before it.',
    hex(said),
    hex(counted),
  );
  return { code: 'record-count', row, message };
}

function endRepeated(row: number, first: number): ImageProblem {
  return {
    code: 'end-repeated',
    row,
    message: phrase('A second end record; the first is in row {0}. Remove one.', first + 1),
  };
}

/** Said once: what follows the first such record is the same mistake. */
function dataAfterEnd(state: ImageState, row: number): void {
  const { end, problems } = state;
  if (end === undefined || state.followed) return;
  state.followed = true;
  const message = phrase('Data after the end record in row {0}: most programs will not read them.', end + 1);
  problems.push({ code: 'data-after-end', row, message });
}

function wrap(row: number, limit: string): ImageProblem {
  return {
    code: 'address-wrap',
    row,
    message: phrase(
      'This record runs over the {0} limit of its addresses; programs differ in what they make of it. Split it.',
      limit,
    ),
  };
}
