import type { Phrase } from '../base/phrase.js';
import type { RecordRow, Row } from './row.js';

/** What a record of a memory image is for. */
export type RecordRole = 'data' | 'base' | 'end' | 'count' | 'start' | 'title' | 'symbol' | 'length';

/** What is special about a form whose records carry addresses. */
export interface ImageForm {
  /** For each record type: what such records are for; undefined where there is no such type. */
  readonly roles: readonly (RecordRole | undefined)[];
  /** Of records that do not all carry their address: how it follows from the rows before. */
  readonly running?: RunningAddresses;
  /** The sum that each record ends in. */
  readonly sum: RecordSum | undefined;
  /** What is added to addresses before any base record. */
  readonly firstBase: AddressBase;
  /** What is added to the addresses behind a base record, of which the bytes may be unreadable. */
  readonly baseOf: (type: number, record: RecordRow | undefined, before: AddressBase) => AddressBase;
  /** Where a record of the role `start` or `end` says that the program starts. */
  readonly startIn: (record: RecordRow) => number | undefined;
  /** Label and type of the data record for an address. */
  readonly dataRecord: (address: number) => { readonly label: number; readonly type: number };
  /** What all rows together leave in doubt, though each can be read by itself. */
  readonly doubts?: (rows: readonly Row[]) => readonly RowsDoubt[];
  /** Of a form with such doubts: looks at its rows one after the other, so that a file of any size can be read in one pass. */
  readonly inOrder?: () => RowsInOrder;
  /** The record that ends a file; undefined where nothing shows that a file is whole. */
  readonly end: EndRecord | undefined;
}

/** A row whose bytes are in doubt, and why. */
export interface RowsDoubt {
  readonly at: number;
  readonly message: Phrase;
}

/** Looks at the rows of a file one after the other, and says as soon as only all of them together show what they leave in doubt. */
export interface RowsInOrder {
  /** Takes the next row; false where all rows are needed to tell. */
  readonly takes: (row: Row) => boolean;
  /** The same for a sound row that differs from one before in label and bytes alone. */
  readonly takesAlike: (label: number, store: Uint8Array, from: number, count: number) => boolean;
  /** Whether nothing is in doubt, once all rows are taken. */
  readonly isSure: () => boolean;
}

/** Records that begin where those before end. A base record gives the address of the next one, in units. */
export interface RunningAddresses {
  /** Where the first data are; undefined where only a base record says so. */
  readonly first: number | undefined;
  /** Bytes of a unit of addresses, by the type of a data record. */
  readonly unitOf: (type: number) => number;
  /** Whether a data record of this type carries its own address. */
  readonly isPlaced: (type: number) => boolean;
  /** Whether a row of this type begins what an end must follow, and whether one ends it, besides its data. */
  readonly opens?: (type: number) => boolean;
  readonly closes?: (type: number) => boolean;
}

/** What is added to the addresses of records, and how far these may reach before they run over a limit. */
export interface AddressBase {
  readonly base: number;
  readonly room: number;
  readonly limit: '64 KiB' | '4 GiB';
}

export const NO_BASE: AddressBase = { base: 0, room: 0x100000000, limit: '4 GiB' };

/** The sum that a record ends in, over what the record says of itself and its data. */
export interface RecordSum {
  readonly complement: 'ones' | 'twos' | 'none';
  /** How many bytes it has; one where nothing is said. */
  readonly bytes?: 1 | 2;
  /** Whether records of a type have their label in its place. */
  readonly isLabel?: (type: number) => boolean;
  /** What is added up: bytes, or the values of the digits, whose sum has its place before the data. */
  readonly counts?: 'digits';
  readonly over: readonly ('length' | 'address' | 'type' | 'data')[];
  /**
   * The bytes before the data that the sum covers. A plain list, as it is made for each record when a file is opened: a
   * Uint8Array would cost ten times as much.
   */
  readonly prefix: (row: RecordRow) => readonly number[];
}

export interface EndRecord {
  /** The type of the end record of a file with data records of these types. */
  readonly typeFor: (dataTypes: readonly number[]) => number;
  readonly missing: Phrase;
  /** Whether a file with data records of this type must have one; all, where nothing is said. */
  readonly follows?: (dataType: number) => boolean;
  /** It says where the data end. */
  readonly saysLength?: true;
  /** It says how many data records there are, up to this number, and begins with 0 again behind it. */
  readonly countsUpTo?: number;
  /** The same where a count of records shows that nothing was cut off. */
  readonly missingButCounted?: Phrase;
}

/** How many sum bytes each record of a form ends in. */
export function sumBytesOf({ image }: { readonly image: ImageForm | undefined }): number {
  return image?.sum === undefined ? 0 : (image.sum.bytes ?? 1);
}

/** What a record is for; undefined where its type is unknown, or the form has no types. */
export function roleOf(
  { image }: { readonly image: ImageForm | undefined },
  type: number | undefined,
): RecordRole | undefined {
  return type === undefined ? undefined : image?.roles[type];
}
