import { phrase } from '../base/phrase.js';
import { HEX_VIEW_TYPE } from './hexViewRow.js';
import { strayRow } from './imageText.js';
import { bytesOf, NO_PROBLEMS, type RecordRow, type Row } from './row.js';

/** As many bytes may be left out by one `*`. */
const MOST_REPEATED = 1 << 24;

/** Bytes of the rows of hexdump and od. */
const WIDTH_OF_OTHERS = 16;

/** Rows of which each `*` holds the bytes that it stands for: those of the row before it, up to the address of the next. */
export function completeRepeats(rows: readonly Row[]): readonly Row[] {
  let completed: Row[] | undefined;
  let width: number | undefined;
  for (let row = 0; row < rows.length; row++) {
    const found = rows[row] as Row;
    if (!/^\s*\*\s*$/.test(found.text)) continue;
    width ??= fullWidth(rows);
    const fresh = repeatedAt(completed ?? rows, row, width);
    if (isSameRow(found, fresh)) continue;
    completed ??= rows.slice();
    completed[row] = fresh;
  }
  return completed ?? rows;
}

/** As many bytes as the rows of a listing have that are not cut short. */
function fullWidth(rows: readonly Row[]): number {
  let width = 0;
  for (const row of rows)
    if (isListed(row) && row.count > 0)
      width = Math.max(width, row.type === HEX_VIEW_TYPE.xxd ? row.count : WIDTH_OF_OTHERS);
  return width;
}

function repeatedAt(rows: readonly Row[], row: number, width: number): Row {
  const { text } = rows[row] as Row;
  const [before, behind] = [nearest(rows, row, -1), nearest(rows, row, 1)];
  if (!isListed(before) || before.count !== width || !isListed(behind)) return unclear(text);
  const label = Number(before.label) + before.count;
  const count = Number(behind.label) - label;
  if (count <= 0 || count > MOST_REPEATED || count % before.count !== 0) return unclear(text);
  const bytes = bytesOf(before);
  const store = new Uint8Array(count);
  for (let at = 0; at < count; at += before.count) store.set(bytes, at);
  const type = HEX_VIEW_TYPE.repeated;
  const repeated = { kind: 'record', text, label, type, store, from: 0, count, problems: NO_PROBLEMS } as const;
  return before.inDoubt === true ? { ...repeated, inDoubt: true } : repeated;
}

/** Whether a row has an address of its own. */
function isListed(row: Row | undefined): row is RecordRow {
  return row?.kind === 'record' && row.type !== HEX_VIEW_TYPE.repeated;
}

/** The next row that is not blank. */
function nearest(rows: readonly Row[], row: number, step: 1 | -1): Row | undefined {
  let at = row + step;
  while (rows[at]?.kind === 'blank') at += step;
  return rows[at];
}

function unclear(text: string): Row {
  const message = phrase(
    'It is not clear which rows this "*" leaves out: before it a whole row is missing, or behind it an address. Write them out.',
  );
  return strayRow(text, message);
}

function isSameRow(a: Row, b: Row): boolean {
  if (a.kind === 'record' && b.kind === 'record')
    return (
      a.label === b.label &&
      a.count === b.count &&
      a.inDoubt === b.inDoubt &&
      bytesOf(a).every((byte, i) => byte === b.store[b.from + i])
    );
  return a.kind === b.kind && a.problems[0]?.message.pattern === b.problems[0]?.message.pattern;
}
