import { hex } from '../base/hex.js';
import type { Phrase } from '../base/phrase.js';
import type { Span } from '../base/span.js';

/** What a record is called: a number where it is written as one, else a word as written. */
export type Label = number | string;

/** Text of one line, its line end included, and what the notation made of it. Rows know nothing of their neighbours. */
export type Row = BlankRow | CommentRow | HeaderRow | RecordRow | BrokenRow;

interface RowBase {
  /** The line as written, line end included: all rows' texts one after the other are the file. */
  readonly text: string;
  /** What is wrong with the row by itself. */
  readonly problems: readonly RowProblem[];
}

export interface BlankRow extends RowBase {
  readonly kind: 'blank';
}

/** A comment, or a line that a notation leaves alone. */
export interface CommentRow extends RowBase {
  readonly kind: 'comment';
  /** It has no comment sign and holds hex digits: nobody has said that it is no data. */
  readonly isPassed?: true;
}

export interface HeaderRow extends RowBase {
  readonly kind: 'header';
  readonly name: string;
  readonly value: string;
  readonly nameSpan: Span;
  readonly valueSpan: Span;
}

/**
 * A record that could be read. Its bytes are `count` bytes of `store` from `from` on: data bytes, then line-sum bytes.
 * Rows read together share one store, which costs a tenth of an array for each.
 */
export interface RecordRow extends RowBase {
  readonly kind: 'record';
  /** Of a memory image: the address as written in the record, before any base is added. */
  readonly label: Label;
  /** Record type of a memory image (index of the roles of its form); undefined in dump text. */
  readonly type: number | undefined;
  readonly store: Uint8Array;
  readonly from: number;
  readonly count: number;
  /** What is shown beside the bytes goes against one of them: nobody can tell which is right, so they count for no sum. */
  readonly inDoubt?: true;
}

/** A record that could not be read; its label is known where that part of the line is sound. */
export interface BrokenRow extends RowBase {
  readonly kind: 'broken';
  readonly label: Label | undefined;
  /** Of a memory image, where the head of the record is sound: its type and how many data bytes it should have. */
  readonly head?: { readonly type: number; readonly data: number };
  /** It is a record of another form: its id. */
  readonly foreign?: string;
  /** It is no record of this notation and no comment either: it holds hex, or says that lines are left out. */
  readonly isStray?: true;
}

/** What can be wrong with a row by itself. */
export type RowProblemCode =
  | 'not-hex'
  | 'odd-digits'
  | 'text-unreadable'
  | 'line-length'
  | 'record-type'
  | 'record-length';

export interface RowProblem extends Span {
  readonly code: RowProblemCode;
  readonly message: Phrase;
  /** Text that was probably meant at this place, where a look-alike character stands for a digit. */
  readonly meant?: string;
}

export const NO_PROBLEMS: readonly RowProblem[] = [];

/** One byte of a record, 0-based: data bytes first, then line-sum bytes. */
export function byteOf(row: RecordRow, index: number): number {
  return row.store[row.from + index] as number;
}

/** The bytes of a record from `start` to before `end`, as a view that must not be written to. */
export function bytesOf(row: RecordRow, start = 0, end = row.count): Uint8Array {
  return row.store.subarray(row.from + start, row.from + end);
}

/** The line without its line end. */
export function contentOf(text: string): string {
  return text.replace(/(?:\r\n|\n|\r)$/, '');
}

/** A stretch as far as the line goes; undefined where it begins behind its end. */
export function spanWithin(text: string, start: number, end: number): Span | undefined {
  // Nearly every line is longer than what is asked for and its line end together.
  if (end + 2 <= text.length) return { start, end };
  const last = contentOf(text).length;
  return start < last ? { start, end: Math.min(end, last) } : undefined;
}

/** What messages call a record: its label, of a memory image the address as it is written there. */
export function recordName({ label, type }: RecordRow): Label {
  return type === undefined ? label : hex(Number(label), 4);
}
