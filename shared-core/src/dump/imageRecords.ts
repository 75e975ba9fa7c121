import { hex } from '../bytes/hex.js';
import { INTEL_HEX_TYPE } from '../notation/intelHex.js';
import type { Notation } from '../notation/notation.js';
import { byteOf, type RecordRow, type Row } from '../notation/row.js';
import { type Phrase, phrase } from '../words/phrase.js';

/** What can be wrong with the records of a memory image as a whole. */
export type ImageProblemCode =
  | 'end-missing'
  | 'end-repeated'
  | 'data-after-end'
  | 'overlap'
  | 'record-count'
  | 'address-wrap';

export interface ImageProblem {
  readonly code: ImageProblemCode;
  readonly row: number;
  readonly message: Phrase;
}

/** A run of data of one record, at its absolute address. */
export interface ImagePiece {
  readonly row: number;
  readonly address: number;
  readonly count: number;
}

export interface ImageReading {
  /** In the order of the file. */
  readonly pieces: readonly ImagePiece[];
  readonly problems: readonly ImageProblem[];
  /** Where the program starts, in the last record that says so: its type, and its data or address. */
  readonly start: { readonly row: number } | undefined;
}

/** The part of the records that says where data lie: absolute addresses, and what does not fit together. */
export function readImage(rows: readonly Row[], { id }: Notation): ImageReading {
  return id === 'intel-hex' ? readIntelHex(rows) : readSRecords(rows);
}

/** Type, address and data bytes of a record, also of one whose digits cannot all be read. */
function headOf(row: Row): { type: number; address: number; data: number } | undefined {
  if (row.kind === 'record') return { type: row.type ?? 0, address: Number(row.label), data: row.count - 1 };
  if (row.kind !== 'broken' || row.head === undefined || row.label === undefined) return undefined;
  return { ...row.head, address: Number(row.label) };
}

function readIntelHex(rows: readonly Row[]): ImageReading {
  const pieces: ImagePiece[] = [];
  const problems: ImageProblem[] = [];
  let base = 0;
  let segmented = false;
  let end: number | undefined;
  let start: { row: number } | undefined;
  for (let row = 0; row < rows.length; row++) {
    const head = headOf(rows[row] as Row);
    if (head === undefined) continue;
    const { type, address, data } = head;
    if (type === INTEL_HEX_TYPE.end) {
      if (end !== undefined) problems.push(endRepeated(row, end));
      end ??= row;
    } else if (type === INTEL_HEX_TYPE.data) {
      if (end !== undefined) problems.push(dataAfterEnd(row, end));
      const room = segmented ? 0x10000 - address : 0x100000000 - base - address;
      if (data > room) problems.push(wrap(row, segmented ? '64 KiB' : '4 GiB'));
      if (data > 0) pieces.push({ row, address: base + address, count: data });
    } else if (type === INTEL_HEX_TYPE.segmentBase || type === INTEL_HEX_TYPE.linearBase) {
      segmented = type === INTEL_HEX_TYPE.segmentBase;
      const record = rows[row];
      base = record?.kind === 'record' ? baseOf(record, segmented) : base;
    } else start = { row };
  }
  if (end === undefined)
    problems.push(
      ...endMissing(rows, pieces, phrase('The end record (:00000001FF) is missing: this file may have been cut off.')),
    );
  return { pieces, problems, start };
}

function baseOf(record: RecordRow, segmented: boolean): number {
  const paragraph = byteOf(record, 0) * 256 + byteOf(record, 1);
  return segmented ? paragraph * 16 : paragraph * 0x10000;
}

function readSRecords(rows: readonly Row[]): ImageReading {
  const pieces: ImagePiece[] = [];
  const problems: ImageProblem[] = [];
  let end: number | undefined;
  let start: { row: number } | undefined;
  let counted = 0;
  for (let row = 0; row < rows.length; row++) {
    const head = headOf(rows[row] as Row);
    if (head === undefined) continue;
    const { type, address, data } = head;
    if (type >= 1 && type <= 3) {
      counted++;
      if (end !== undefined) problems.push(dataAfterEnd(row, end));
      if (address + data > 2 ** (8 * (type + 1)))
        problems.push(wrap(row, ['64 KiB', '16 MiB', '4 GiB'][type - 1] as string));
      if (data > 0) pieces.push({ row, address, count: data });
    } else if (type === 5 || type === 6) {
      if (address !== counted) {
        const message = phrase(
          'This record counts {0} (hex) data records; there are {1} (hex) before it.',
          hex(address),
          hex(counted),
        );
        problems.push({ code: 'record-count', row, message });
      }
    } else if (type >= 7) {
      if (end !== undefined) problems.push(endRepeated(row, end));
      end ??= row;
      start = { row };
    }
  }
  if (end === undefined)
    problems.push(
      ...endMissing(rows, pieces, phrase('The end record (S7, S8 or S9) is missing: this file may have been cut off.')),
    );
  return { pieces, problems, start };
}

/** At the last record; a file without any record lacks more than its end. */
function endMissing(rows: readonly Row[], pieces: readonly ImagePiece[], message: Phrase): ImageProblem[] {
  if (pieces.length === 0) return [];
  const row = lastRecord(rows);
  return [{ code: 'end-missing', row, message }];
}

function endRepeated(row: number, first: number): ImageProblem {
  return {
    code: 'end-repeated',
    row,
    message: phrase('A second end record; the first is in row {0}. Remove one.', first + 1),
  };
}

function dataAfterEnd(row: number, end: number): ImageProblem {
  return {
    code: 'data-after-end',
    row,
    message: phrase('Data after the end record in row {0}: most programs will not read them.', end + 1),
  };
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

function lastRecord(rows: readonly Row[]): number {
  let row = rows.length - 1;
  while (row > 0 && rows[row]?.kind !== 'record' && rows[row]?.kind !== 'broken') row--;
  return row;
}
