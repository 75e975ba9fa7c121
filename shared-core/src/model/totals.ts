import { numberOf } from '../base/number.js';
import { byteOf, type RecordRow, type Row } from '../format/row.js';
import type { RowChange } from '../format/rows.js';
import type { Profile, Total } from '../profile/profile.js';
import { addressCell, type Cell, lineCell } from './cell.js';
import { coveredRun } from './coveredRun.js';
import type { Layout } from './layout.js';
import type { CoveredRun } from './run.js';

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

/** The record of a row where it is whole: readable, without a doubt about its bytes, and as long as the layout wants it. */
export function soundRecord(layout: Layout, rows: readonly Row[], row: number): RecordRow | undefined {
  return soundAs(layout, row, rows[row]);
}

/** The same of what a row may become. */
export function soundAs(layout: Layout, row: number, record: Row | undefined): RecordRow | undefined {
  return record?.kind === 'record' && record.inDoubt !== true && isSound(layout, row, record) ? record : undefined;
}

/** Whether the record in a row has as many bytes as the layout wants. */
export function isSound({ dataCount, sumCountOf }: Layout, row: number, { count }: RecordRow): boolean {
  return count === (dataCount[row] as number) + sumCountOf(row);
}

/** What stands for the state of a total whose run is not whole: there is no sum to tell. */
export const NO_SUM: TotalState = { state: 0n, unreadable: 0 };

export function totalState(bound: BoundTotal, layout: Layout, rows: readonly Row[]): TotalState {
  const { run, total } = bound;
  if (run.obstacle !== undefined) return NO_SUM;
  const bytes = emptyRun(run);
  // A row may be covered in several pieces.
  const unread = new Set<number>();
  run.each((row, from, count, start) => {
    const record = soundRecord(layout, rows, row);
    if (record === undefined) unread.add(row);
    else copyPiece(record, from, count, bytes, start);
  });
  return { state: total.checksum.stateOf(bytes), unreadable: unread.size };
}

/** A run with its constants, and zeros for all that is in the dump. */
export function emptyRun({ length, constants }: CoveredRun): Uint8Array {
  const bytes = new Uint8Array(length);
  for (const constant of constants) bytes.set(constant.bytes, constant.start);
  return bytes;
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
  if (run.obstacle !== undefined) return state;
  let moved = state.state;
  const pieces = run.piecesIn(row);
  const unreadable = state.unreadable + (pieces.length > 0 ? (after ? 0 : 1) - (before ? 0 : 1) : 0);
  for (const piece of pieces) {
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

/** Rows that an edit replaced hold no more bytes together than this, or the sum is taken from scratch. */
const MOST_MOVED = 0x10000;

/**
 * The state of a total of an image after rows gave way to others that hold the same addresses, from that before.
 * Undefined where the run of the total is not the same, so that it must be summed again.
 */
export function stateAcross(
  before: {
    readonly layout: Layout;
    readonly rows: readonly Row[];
    readonly totals: readonly BoundTotal[];
    readonly states: readonly TotalState[];
  },
  index: number,
  bound: BoundTotal,
  layout: Layout,
  rows: readonly Row[],
  { row, removed, added }: RowChange,
): TotalState | undefined {
  const [old, state] = [before.totals[index], before.states[index]];
  if (old === undefined || state === undefined || !old.run.byAddress || !bound.run.byAddress) return undefined;
  if (old.run.length !== bound.run.length || (old.stored === undefined) !== (bound.stored === undefined))
    return undefined;
  const gone = piecesOf(old.run, before.layout, before.rows, row, removed);
  const come = piecesOf(bound.run, layout, rows, row, added);
  const all = [...gone, ...come];
  const at = all.reduce((least, { start }) => Math.min(least, start), Number.POSITIVE_INFINITY);
  const end = all.reduce((most, { start, count }) => Math.max(most, start + count), at);
  if (all.length === 0) return state;
  if (end - at > MOST_MOVED) return undefined;
  const bytesOf = (pieces: typeof all) => {
    const bytes = new Uint8Array(end - at);
    for (const { record, from, count, start } of pieces) if (record) copyPiece(record, from, count, bytes, start - at);
    return bytes;
  };
  const unread = (pieces: typeof all) =>
    new Set(pieces.flatMap(({ record, row: at }) => (record === undefined ? [at] : []))).size;
  const change = { length: bound.run.length, at, before: bytesOf(gone), after: bytesOf(come) };
  return {
    state: bound.total.checksum.moved(state.state, change),
    unreadable: state.unreadable - unread(gone) + unread(come),
  };
}

function piecesOf(run: CoveredRun, layout: Layout, rows: readonly Row[], first: number, count: number) {
  return Array.from({ length: count }, (_, i) => first + i).flatMap((row) =>
    run.piecesIn(row).map((piece) => ({ ...piece, record: soundRecord(layout, rows, row) })),
  );
}

function copyPiece(record: RecordRow, from: number, count: number, into: Uint8Array, at: number): void {
  for (let i = 0; i < count; i++) into[at + i] = byteOf(record, from + i);
}

/** The number stored at a total's place; undefined where it cannot be read or is in doubt. */
export function storedValue({ stored, total }: BoundTotal, rows: readonly Row[]): bigint | undefined {
  if (stored === undefined || stored.some(({ row }) => isInDoubt(rows[row]))) return undefined;
  const bytes = stored.map((cell) => byteAt(rows, cell));
  return bytes.every((byte) => byte !== undefined)
    ? numberOf(Uint8Array.from(bytes as number[]), total.order)
    : undefined;
}

/** Whether what is shown beside the bytes of a row goes against one of them. */
export function isInDoubt(row: Row | undefined): boolean {
  return row?.kind === 'record' && row.inDoubt === true;
}

/** The byte in a cell; undefined where the row cannot be read or is shorter. */
export function byteAt(rows: readonly Row[], { row, byte }: Cell): number | undefined {
  const record = rows[row];
  return record?.kind === 'record' && byte < record.count ? byteOf(record, byte) : undefined;
}
