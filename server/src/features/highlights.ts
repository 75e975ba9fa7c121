import type { RowSpan } from '../../../shared-core/src/base/index.js';
import {
  bytesSpan,
  type Cell,
  cellSpan,
  type Dump,
  labelSpanOf,
  ruleOf,
  soundRecord,
} from '../../../shared-core/src/model/index.js';
import type { Option } from '../../../shared-core/src/profile/index.js';
import { cellAtCursor, optionsAtCursor, spanOfOption, spanOfTotal, totalAt } from '../cursor.js';
import { answer, type Feature } from '../feature.js';
import { type DocumentHighlight, DocumentHighlightKind, type Position } from '../lsp.js';
import { toRange } from '../toLsp.js';

/**
 * What belongs together with the byte under the cursor: a sum (as written) with all it covers (as read); an option (as
 * read) with the options it asks for (as text) and the sums that move with it (as written).
 */
export const highlights: Feature = {
  capabilities: () => ({ documentHighlightProvider: true }),
  register: (connection, session) => {
    connection.onDocumentHighlight(({ textDocument, position }) =>
      answer(session, textDocument.uri, ({ dump }) => highlightsAt(dump, position), []),
    );
  },
};

function highlightsAt(dump: Dump, position: Position): DocumentHighlight[] {
  const cell = cellAtCursor(dump, position);
  if (cell === undefined) return [];
  const total = totalAt(dump, cell);
  if (total >= 0) return totalAndCovered(dump, total, cell.row);
  return lineSumAndCovered(dump, cell) ?? dataAndSums(dump, cell, optionsAtCursor(dump, position));
}

/** Rows above and below the cursor that are looked at: more no window shows, and a dump may have 100,000. */
const REACH = 1000;

function totalAndCovered(dump: Dump, index: number, near: number): DocumentHighlight[] {
  const found = marks(DocumentHighlightKind.Write, [spanOfTotal(dump, index)]);
  dump.totals[index]?.run.each((row, from, count) => {
    if (Math.abs(row - near) <= REACH)
      found.push(...marks(DocumentHighlightKind.Read, [bytesSpan(dump, row, from, count)]));
  });
  return found;
}

/** Where the cell is one of a line sum. */
function lineSumAndCovered(dump: Dump, { row, byte }: Cell): DocumentHighlight[] | undefined {
  const sum = lineSumOf(dump, row);
  if (sum === undefined || byte < sum.from) return undefined;
  const over: readonly string[] = dump.rule?.over ?? [];
  const coversLabel = over.some((part) => /^(?:label|address)\b/.test(part));
  return [
    ...marks(DocumentHighlightKind.Write, [bytesSpan(dump, row, sum.from, sum.width)]),
    ...marks(DocumentHighlightKind.Read, [
      coversLabel ? labelSpanOf(dump, row) : undefined,
      ...(over.includes('data') ? coveredSpans(dump, row, sum.from) : []),
    ]),
  ];
}

/** The data bytes of a line that its sum covers. */
function coveredSpans(dump: Dump, row: number, count: number): (RowSpan | undefined)[] {
  const record = dump.rows[row];
  const placeOf = record?.kind === 'record' ? dump.rule?.runOf(record).placeOf : undefined;
  const spans: (RowSpan | undefined)[] = [];
  for (let byte = 0, from = 0; byte <= count; byte++) {
    if (byte < count && placeOf?.(byte) !== undefined) continue;
    if (byte > from) spans.push(bytesSpan(dump, row, from, byte - from));
    from = byte + 1;
  }
  return spans;
}

function dataAndSums(dump: Dump, cell: Cell, options: readonly Option[]): DocumentHighlight[] {
  const own = options.map((option) => spanOfOption(dump, option));
  const line = lineSumOf(dump, cell.row);
  return [
    ...marks(DocumentHighlightKind.Read, own.length > 0 ? own : [cellSpan(dump, cell)]),
    ...marks(DocumentHighlightKind.Text, askedFor(dump, options)),
    ...marks(DocumentHighlightKind.Write, [
      line && bytesSpan(dump, cell.row, line.from, line.width),
      ...totalsOver(dump, cell).map((index) => spanOfTotal(dump, index)),
    ]),
  ];
}

/** Options of this dump that others need or exclude, where they stand in other digits. */
function askedFor(dump: Dump, options: readonly Option[]): (RowSpan | undefined)[] {
  const ids = options.flatMap(({ needs, excludes }) =>
    [...needs, ...excludes].flatMap(({ profile, option }) => (profile === undefined ? [option] : [])),
  );
  return dump.profile.options
    .filter((option) => ids.includes(option.id) && !options.includes(option))
    .map((option) => spanOfOption(dump, option));
}

function totalsOver({ totals }: Dump, { row, byte }: Cell): number[] {
  return [...totals.keys()].filter((index) =>
    totals[index]?.run.piecesIn(row).some(({ from, count }) => byte >= from && byte < from + count),
  );
}

/** The first byte of a line's sum and how many it has; undefined where the row has none, or is not whole. */
function lineSumOf(dump: Dump, row: number): { readonly from: number; readonly width: number } | undefined {
  const record = soundRecord(dump.layout, dump.rows, row);
  const rule = ruleOf(dump, row);
  if (record === undefined || rule === undefined) return undefined;
  const { width } = rule;
  return { from: record.count - width, width };
}

function marks(kind: DocumentHighlightKind, spans: readonly (RowSpan | undefined)[]): DocumentHighlight[] {
  return spans.flatMap((span) => (span === undefined ? [] : [{ range: toRange(span), kind }]));
}
