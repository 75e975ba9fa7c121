import type { DumpParams, Stretch } from './common.js';

/** Client to server: what the bytes of some lines of a dump are, for the byte overview. */
export const BYTE_OVERVIEW = 'countersum/byteOverview';
export interface ByteOverviewParams extends DumpParams {
  /** Of the lines that hold records, counted from 0. */
  readonly from: number;
  readonly count: number;
}
export interface ByteOverviewResult {
  readonly version: number;
  /** What the rows are named by. */
  readonly rows: 'lines' | 'addresses';
  /** Lines in all, and bytes of the longest among those that were asked for. */
  readonly total: number;
  readonly widest: number;
  readonly from: number;
  readonly lines: readonly OverviewLine[];
  /** The letters of `roles` that bytes of this dump may have. */
  readonly kinds: string;
  /** What is to be seen, in a sentence each. */
  readonly summary: readonly string[];
  /** Lines that have changed bytes or wrong ones, from the first to the last. */
  readonly marked: readonly { readonly at: number; readonly wrong: boolean }[];
}
export interface OverviewLine {
  /** Its line or the address of its first byte; a dash where it has neither. */
  readonly label: string;
  /** Of its first byte, where it is a row of an image that holds data. */
  readonly address?: number;
  /** Two hex digits a byte; nothing where the line cannot be read. */
  readonly digits: string;
  /** A letter a byte: `d`ata, `o`ption, `l`ocked, `v`olatile, `b`alance place, `s`um. */
  readonly roles: string;
  /** A letter a byte: `c`hanged from the backup, `w`rong, `x` both, `.` neither. */
  readonly signs: string;
}

/** Client to server: what one byte is, in words, and where it stands; `null` where there is none. */
export const OVERVIEW_BYTE = 'countersum/overviewByte';
export interface OverviewByteParams extends DumpParams {
  /** Among the lines that hold records and in its line, both counted from 0, or a place in the text. */
  readonly at: { readonly line: number; readonly byte: number } | { readonly row: number; readonly character: number };
}
export interface OverviewByteResult {
  /** Of the lines that hold records, counted from 0. */
  readonly line: number;
  readonly byte: number;
  readonly lines: readonly string[];
  readonly range: Stretch;
}
