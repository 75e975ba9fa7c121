import { bytesOf, type RecordRow } from '../format/row.js';

/** A run of data that follow each other without a gap, in the order of the file: `count` bytes of the store from `from` on. */
export interface GatheredRun {
  /** The row of the first of them. */
  readonly row: number;
  readonly address: number;
  readonly from: number;
  count: number;
}

/**
 * The data of an image while its records are read: all bytes one after the other, and which runs of them stand where.
 * An image of many megabytes is a handful of runs, so that this takes little more room than its bytes.
 */
export interface GatheredBytes {
  store: Uint8Array;
  used: number;
  readonly runs: GatheredRun[];
  /** Addresses of records whose bytes could not be read; zeros stand in their place. */
  readonly unread: { readonly address: number; readonly count: number }[];
  /** Whether the next data begin a run of their own, as something else stands between them and those before. */
  cut: boolean;
}

/** Room for more than this is only made as bytes come: a large file may hold few. */
const MOST_AT_FIRST = 1 << 26;

/** A byte takes two characters of a file at least: with room for all of them nothing is moved as they come. */
export function noBytes(sizeOfFile = 0): GatheredBytes {
  const room = Math.min(MOST_AT_FIRST, Math.max(1 << 16, Math.ceil(sizeOfFile / 2)));
  return { store: new Uint8Array(room), used: 0, runs: [], unread: [], cut: false };
}

/** Makes room for so many more bytes. */
export function reserve(bytes: GatheredBytes, count: number): void {
  if (bytes.used + count <= bytes.store.length) return;
  const wider = new Uint8Array(Math.max(bytes.used + count, 2 * bytes.store.length));
  wider.set(bytes.store.subarray(0, bytes.used));
  bytes.store = wider;
}

/** Counts bytes that already stand behind the used ones in the store. */
export function takeStored(bytes: GatheredBytes, row: number, address: number, count: number): void {
  if (count === 0) return;
  const last = bytes.runs.at(-1);
  if (last !== undefined && !bytes.cut && address === last.address + last.count) last.count += count;
  else bytes.runs.push({ row, address, from: bytes.used, count });
  bytes.cut = false;
  bytes.used += count;
}

/** Adds the data of a record, or zeros for one that cannot be read. */
export function takeRecord(
  bytes: GatheredBytes,
  row: number,
  address: number,
  count: number,
  record: RecordRow | undefined,
): void {
  reserve(bytes, count);
  if (record === undefined) {
    bytes.store.fill(0, bytes.used, bytes.used + count);
    if (count > 0) bytes.unread.push({ address, count });
  } else bytes.store.set(bytesOf(record, 0, count), bytes.used);
  takeStored(bytes, row, address, count);
}
