import { HEX_VIEW_TYPE, isFilledFrom, readHexViewRow } from './hexViewRow.js';
import { byteStore } from './notation.js';
import type { RecordRow, Row } from './row.js';
import { bytesOfWord, type Word } from './word.js';

const TYPE = HEX_VIEW_TYPE;

/**
 * Rows of words of which the last one ends where the length behind it says: `od` and `hexdump` print the last word whole,
 * with zeros for bytes that are not there. The same list where no row is filled so.
 */
export function withoutFilling(rows: readonly Row[], word: Word): readonly Row[] {
  let found: Row[] | undefined;
  for (const [at, row] of rows.entries()) {
    if (row.kind !== 'record' || row.type !== TYPE.od) continue;
    const behind = rowBehind(rows, at);
    const isLast = behind?.kind === 'record' && behind.type === TYPE.end;
    if (!isLast && row.count % bytesOfWord(word) === 0) continue;
    const fresh = endingAt(row, isLast ? Number(behind.label) - Number(row.label) : undefined, word);
    if (fresh.count === row.count) continue;
    found ??= rows.slice();
    found[at] = fresh;
  }
  return found ?? rows;
}

/** The next row that is not blank. */
function rowBehind(rows: readonly Row[], at: number): Row | undefined {
  let behind = at + 1;
  while (rows[behind]?.kind === 'blank') behind++;
  return rows[behind];
}

/** A row as it is read by itself, but for zeros behind its end. */
function endingAt(row: RecordRow, end: number | undefined, word: Word): RecordRow {
  const whole = readHexViewRow(row.text, byteStore(row.text.length), word);
  if (whole.kind !== 'record') return row;
  return end !== undefined && isFilledFrom(whole, end, word) ? { ...whole, count: end } : whole;
}
