import { editLine, type TextEdit } from '../base/span.js';
import { byteStore, type Notation } from './notation.js';
import type { Row } from './row.js';

/**
 * Reads a text into rows without loss: the rows' texts, one after the other, are the text. There is always a last row
 * without a line end, so that rows and the lines an editor counts are the same.
 */
export function readRows(text: string, notation: Notation): readonly Row[] {
  const store = byteStore(text.length >> 1);
  const rows = splitLines(text).map((line) => notation.readRow(line, store));
  return notation.complete?.(rows) ?? rows;
}

/** Which rows an edit replaced: `removed` rows from `row` on gave way to `added` new ones; all others are the same objects. */
export interface RowChange {
  readonly row: number;
  readonly removed: number;
  readonly added: number;
}

/** A stretch of text, possibly over several rows, to be replaced. Row numbers from 0, UTF-16 units, end exclusive. */
export interface TextReplacement {
  readonly start: { readonly row: number; readonly column: number };
  readonly end: { readonly row: number; readonly column: number };
  readonly text: string;
}

/** Rows after an edit; only lines that the edit touches are read again. Equal to reading the whole new text. */
export function replaceText(
  rows: readonly Row[],
  replacement: TextReplacement,
  notation: Notation,
): { readonly rows: readonly Row[]; readonly change: RowChange } {
  const { start, end, text } = replacement;
  let first = Math.min(start.row, rows.length - 1);
  let last = Math.min(end.row, rows.length - 1);
  let touched = textOf(rows, first).slice(0, start.column) + text + textOf(rows, last).slice(end.column);
  // A lone carriage return ends a line, but not where a line feed now follows it; and a line whose end was removed runs on.
  if (first > 0 && textOf(rows, first - 1).endsWith('\r')) touched = textOf(rows, --first) + touched;
  while (last + 1 < rows.length && (!touched.endsWith('\n') || touched === '')) touched += textOf(rows, ++last);
  const store = byteStore(touched.length >> 1);
  const lines = splitLines(touched);
  if (last + 1 < rows.length) lines.pop();
  const added = lines.map((line) => notation.readRow(line, store));
  const removed = last - first + 1;
  const spliced = splice(rows, first, removed, added);
  const change = { row: first, removed, added: added.length };
  const completed = notation.complete?.(spliced) ?? spliced;
  // Rows that stand for others may become others, wherever the edit was.
  return completed === spliced
    ? { rows: spliced, change }
    : { rows: completed, change: { row: 0, removed: rows.length, added: completed.length } };
}

/** The text of a list of rows. */
export function textOfRows(rows: readonly Row[]): string {
  return rows.map((row) => row.text).join('');
}

/** The text after edits that do not overlap. */
export function textAfter(rows: readonly Row[], edits: readonly TextEdit[]): string {
  const byRow = new Map<number, TextEdit[]>();
  for (const edit of edits) {
    const own = byRow.get(edit.row);
    if (own === undefined) byRow.set(edit.row, [edit]);
    else own.push(edit);
  }
  return rows
    .map(({ text }, row) => {
      const own = byRow.get(row);
      return own === undefined ? text : editLine(text, own);
    })
    .join('');
}

/** Lines of a text, each with its line end; the last one has none and may be empty. */
export function splitLines(text: string): string[] {
  const lines: string[] = [];
  // Searching natively for the one kind of line end that most files have takes a fifth of the time of a look at each character.
  const nextEnd = text.includes('\r') ? anyLineEnd : (from: number) => text.indexOf('\n', from) + 1;
  let start = 0;
  for (let end = nextEnd(start); end > 0; end = nextEnd(start)) {
    lines.push(text.slice(start, end));
    start = end;
  }
  lines.push(text.slice(start));
  return lines;

  /** Where the line ends, its line end included; 0 where there is none. */
  function anyLineEnd(from: number): number {
    for (let at = from; at < text.length; at++) {
      const code = text.charCodeAt(at);
      if (code === 0x0a) return at + 1;
      if (code === 0x0d) return text.charCodeAt(at + 1) === 0x0a ? at + 2 : at + 1;
    }
    return 0;
  }
}

function splice(rows: readonly Row[], at: number, removed: number, added: readonly Row[]): readonly Row[] {
  const next = rows.slice();
  if (added.length === removed) for (let i = 0; i < added.length; i++) next[at + i] = added[i] as Row;
  // Spreading more than some ten thousand arguments overflows the stack.
  else if (added.length > 10_000) return [...rows.slice(0, at), ...added, ...rows.slice(at + removed)];
  else next.splice(at, removed, ...added);
  return next;
}

function textOf(rows: readonly Row[], row: number): string {
  return rows[row]?.text ?? '';
}

/** The line end that a text is written with, as its first line has it. */
export function lineEndOf(rows: readonly Row[]): '\r\n' | '\n' | '\r' {
  const text = rows[0]?.text ?? '';
  if (text.endsWith('\r\n')) return '\r\n';
  return text.endsWith('\r') ? '\r' : '\n';
}
