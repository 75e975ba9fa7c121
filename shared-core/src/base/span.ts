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

/**
 * One line after edits inside it that do not overlap. What is put in where a stretch begins that is replaced comes before it;
 * of several put in at one place the first comes first, as in an editor.
 */
export function editLine(line: string, edits: readonly TextEdit[]): string {
  const pieces: string[] = [];
  let at = 0;
  for (const { start, end, text } of [...edits].sort((a, b) => a.start - b.start || a.end - b.end)) {
    pieces.push(line.slice(at, start), text);
    at = end;
  }
  pieces.push(line.slice(at));
  return pieces.join('');
}
