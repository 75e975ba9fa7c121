import { numberOf } from '../bytes/number.js';
import { byteOf, type RecordRow, type Row } from '../notation/row.js';
import type { Profile, Total } from '../profile/profile.js';
import { addressCell, type Cell, lineCell } from './cell.js';
import { type CoveredRun, coveredRun } from './coveredRun.js';
import type { Layout } from './layout.js';

/** A total of the profile as it lies in one dump; like the layout, it does not depend on the values of bytes. */
export interface BoundTotal {
  readonly total: Total;
  readonly run: CoveredRun;
  /** Bytes of the stored value. */
  readonly width: number;
  /** Where it is stored; undefined where the dump lacks that place. */
  readonly stored: readonly Cell[] | undefined;
}

/** The sum over a total's run in one version of a dump. Rows that cannot be read count as zeros and are counted. */
export interface TotalState {
  readonly state: bigint;
  readonly unreadable: number;
}

export function bindTotals(layout: Layout, rows: readonly Row[], profile: Profile): readonly BoundTotal[] {
  return profile.totals.map((total) => {
    const width = Math.ceil(total.checksum.bits / 8);
    const stored = storedCells(layout, rows, total, width);
    return { total, width, stored, run: coveredRun(layout, total.covers, stored ?? []) };
  });
}

function storedCells(layout: Layout, rows: readonly Row[], total: Total, width: number): readonly Cell[] | undefined {
  const place = total.stored;
  if (place.kind === 'record') {
    const row = layout.rowOf(place.label);
    const record = row === undefined ? undefined : rows[row];
    if (row === undefined || record?.kind !== 'record' || record.count !== width) return undefined;
    return Array.from({ length: width }, (_, byte) => ({ row, byte }));
  }
  const cells = Array.from({ length: width }, (_, i) =>
    place.kind === 'line' ? lineCell(layout, place.line, place.byte + i) : addressCell(layout, place.address + i),
  );
  return cells.every((cell) => cell !== undefined) ? (cells as readonly Cell[]) : undefined;
}

/** The record of a row where it is whole: readable, and as long as the layout wants it. */
export function soundRecord(layout: Layout, rows: readonly Row[], row: number): RecordRow | undefined {
  const record = rows[row];
  return record?.kind === 'record' && isSound(layout, row, record) ? record : undefined;
}

/** Whether the record in a row has as many bytes as the layout wants. */
export function isSound({ dataCount, sumCount }: Layout, row: number, { count }: RecordRow): boolean {
  return count === (dataCount[row] as number) + sumCount;
}

export function totalState(bound: BoundTotal, layout: Layout, rows: readonly Row[]): TotalState {
  const { run, total } = bound;
  const bytes = new Uint8Array(run.length);
  const { row, from, count, start } = run.pieces;
  let unreadable = 0;
  for (let i = 0; i < row.length; i++) {
    const record = soundRecord(layout, rows, row[i] as number);
    if (record === undefined) unreadable++;
    else copyPiece(record, from[i] as number, count[i] as number, bytes, start[i] as number);
  }
  return { state: total.checksum.stateOf(bytes), unreadable };
}

/** The state after one row was replaced by another of the same label. */
export function movedTotalState(
  bound: BoundTotal,
  state: TotalState,
  row: number,
  before: RecordRow | undefined,
  after: RecordRow | undefined,
): TotalState {
  const { run, total } = bound;
  let moved = state.state;
  let unreadable = state.unreadable;
  for (const piece of run.piecesIn(row)) {
    unreadable += (after ? 0 : 1) - (before ? 0 : 1);
    const change = { length: run.length, at: piece.start, before: pieceOf(before), after: pieceOf(after) };
    moved = total.checksum.moved(moved, change);
    function pieceOf(record: RecordRow | undefined): Uint8Array {
      const bytes = new Uint8Array(piece.count);
      if (record !== undefined) copyPiece(record, piece.from, piece.count, bytes, 0);
      return bytes;
    }
  }
  return { state: moved, unreadable };
}

function copyPiece(record: RecordRow, from: number, count: number, into: Uint8Array, at: number): void {
  for (let i = 0; i < count; i++) into[at + i] = byteOf(record, from + i);
}

/** The number stored at a total's place. */
export function storedValue({ stored, total }: BoundTotal, rows: readonly Row[]): bigint | undefined {
  if (stored === undefined) return undefined;
  const bytes = stored.map((cell) => byteAt(rows, cell));
  return bytes.every((byte) => byte !== undefined)
    ? numberOf(Uint8Array.from(bytes as number[]), total.order)
    : undefined;
}

/** The byte in a cell; undefined where the row cannot be read or is shorter. */
export function byteAt(rows: readonly Row[], { row, byte }: Cell): number | undefined {
  const record = rows[row];
  return record?.kind === 'record' && byte < record.count ? byteOf(record, byte) : undefined;
}
