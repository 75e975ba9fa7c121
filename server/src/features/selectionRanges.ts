import type { RowSpan } from '../../../shared-core/src/base/index.js';
import { contentOf } from '../../../shared-core/src/format/index.js';
import {
  bytesSpan,
  type Cell,
  cellSpan,
  type Dump,
  isLine,
  labelSpanOf,
} from '../../../shared-core/src/model/index.js';
import { cellAtCursor, optionsAtCursor, spanOfOption, spanOfTotal, totalAt } from '../cursor.js';
import { answer, type Feature } from '../feature.js';
import type { Position, Range, SelectionRange } from '../lsp.js';
import { sectionsOf } from '../sections.js';
import { toRange } from '../toLsp.js';

/** Grows a selection by what people mean: digit, byte, option or sum, data, line, group of lines, dump. */
export const selectionRanges: Feature = {
  capabilities: () => ({ selectionRangeProvider: true }),
  register: (connection, session) => {
    connection.onSelectionRanges(({ textDocument, positions }) =>
      answer(session, textDocument.uri, ({ dump }) => positions.map((position) => selectionAt(dump, position)), null),
    );
  },
};

function selectionAt(dump: Dump, asked: Position): SelectionRange {
  const position = placeIn(dump, asked);
  const inner = spansAt(dump, position)
    .filter((span) => span !== undefined)
    .sort((a, b) => a.end - a.start - (b.end - b.start));
  const ranges = [...inner.map(toRange), ...linesAround(dump, position.line)];
  // From the outermost inwards: each has to be smaller than the one around it, and to hold the cursor.
  let around: SelectionRange | undefined;
  for (const range of ranges.reverse()) {
    if (!holds(range, { start: position, end: position })) continue;
    if (around === undefined) around = { range };
    else if (holds(around.range, range) && !holds(range, around.range)) around = { range, parent: around };
  }
  return around ?? { range: { start: position, end: position } };
}

/** The place itself, or the nearest before it that the text has. */
function placeIn({ rows }: Dump, { line, character }: Position): Position {
  const row = Math.min(line, rows.length - 1);
  const end = contentOf(rows[row]?.text ?? '').length;
  return { line: row, character: row < line ? end : Math.min(character, end) };
}

function spansAt(dump: Dump, position: Position): readonly (RowSpan | undefined)[] {
  const row = position.line;
  const found = dump.rows[row];
  if (found?.kind === 'header')
    return [
      { row, ...found.valueSpan },
      { row, ...found.nameSpan },
    ];
  const cell = cellAtCursor(dump, position);
  if (cell === undefined) return [labelSpanOf(dump, row)];
  const total = totalAt(dump, cell);
  return [
    digitAt(dump, cell, position),
    cellSpan(dump, cell),
    ...optionsAtCursor(dump, position).map((option) => spanOfOption(dump, option)),
    total < 0 ? undefined : spanOfTotal(dump, total),
    partOf(dump, cell),
    wholeOf(dump, cell),
  ];
}

/** The digit that the cursor stands before; behind a byte its last one. */
function digitAt(dump: Dump, cell: Cell, { character }: Position): RowSpan | undefined {
  const span = cellSpan(dump, cell);
  if (span === undefined) return undefined;
  const start = Math.min(Math.max(character, span.start), span.end - 1);
  return { row: cell.row, start, end: start + 1 };
}

/** The data part of a line, or its sum. */
function partOf(dump: Dump, { row, byte }: Cell): RowSpan | undefined {
  const record = dump.rows[row];
  const data = dump.layout.dataCount[row] as number;
  if (record?.kind !== 'record' || !isLine(dump, row)) return undefined;
  return byte < data ? bytesSpan(dump, row, 0, Math.min(data, record.count)) : sumPart(record.count);

  function sumPart(count: number): RowSpan | undefined {
    return bytesSpan(dump, row, data, count - data);
  }
}

function wholeOf(dump: Dump, { row }: Cell): RowSpan | undefined {
  const record = dump.rows[row];
  return record?.kind === 'record' ? bytesSpan(dump, row, 0, record.count) : undefined;
}

function linesAround(dump: Dump, row: number): Range[] {
  const text = contentOf(dump.rows[row]?.text ?? '');
  const section = sectionsOf(dump).find(({ first, last }) => row >= first && row <= last);
  return [
    toRange({ row, start: text.length - text.trimStart().length, end: text.trimEnd().length }),
    rowsRange(dump, row, row),
    ...(section === undefined ? [] : [rowsRange(dump, section.first, section.last)]),
    rowsRange(dump, 0, dump.rows.length - 1),
  ];
}

/** Whole rows, without the line end of the last. */
export function rowsRange({ rows }: Pick<Dump, 'rows'>, first: number, last: number): Range {
  return {
    start: { line: first, character: 0 },
    end: { line: last, character: contentOf(rows[last]?.text ?? '').length },
  };
}

function holds(outer: Range, inner: Range): boolean {
  return isUpTo(outer.start, inner.start) && isUpTo(inner.end, outer.end);
}

function isUpTo(a: Position, b: Position): boolean {
  return a.line < b.line || (a.line === b.line && a.character <= b.character);
}
