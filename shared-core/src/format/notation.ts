import type { Span } from '../base/span.js';
import type { Label, RecordRow, Row } from './row.js';

export type NotationId = 'dump-text' | 'intel-hex' | 's-record' | 'pattern';

/** A written form of a dump: how one line is read, and where its bytes stand in it. */
export interface Notation {
  readonly id: NotationId;
  /** Reads one line. Never throws; bytes are added to the store, which has room for half as many as the line has units. */
  readonly readRow: (text: string, store: ByteStore) => Row;
  /** For each byte of the record, where its first and its second hex digit stand in the row's text (two entries a byte). */
  readonly digitPlaces: (row: RecordRow) => readonly number[];
  /** Where the label (of an image: the address) stands. */
  readonly labelSpan: (row: Row) => Span | undefined;
  /** The record in the plainest spelling of this notation, without a line end. */
  readonly print: (record: PrintedRecord) => string;
  /**
   * The bytes that a record says of itself besides its own and that its sum covers (length, address, type); none in dump
   * text. A plain list, as it is made for each record when a file is opened: a Uint8Array would cost ten times as much.
   */
  readonly sumPrefix: (row: RecordRow) => readonly number[];
}

export interface PrintedRecord {
  readonly label: Label;
  readonly type: number | undefined;
  readonly data: Uint8Array;
  readonly sum: Uint8Array;
}

/** Room for the bytes of rows that are read together. */
export interface ByteStore {
  readonly bytes: Uint8Array;
  used: number;
}

export function byteStore(capacity: number): ByteStore {
  return { bytes: new Uint8Array(capacity), used: 0 };
}
