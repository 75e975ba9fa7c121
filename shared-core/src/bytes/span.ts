/**
 * A stretch of UTF-16 units inside one row of a text: `start` inclusive, `end` exclusive.
 *
 * Everything in the core speaks of a row and a stretch inside it, never of an offset from the start of the file: a
 * row can then be kept as it is when lines are added or removed above it.
 */
export interface Span {
  readonly start: number;
  readonly end: number;
}

/** A stretch of a row, with the 0-based number of that row. */
export interface RowSpan extends Span {
  readonly row: number;
}

/** Replaces a stretch of a row with other text; edits of one list never overlap. */
export interface TextEdit extends RowSpan {
  readonly text: string;
}
