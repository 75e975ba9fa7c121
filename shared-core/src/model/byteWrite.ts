import { hex } from '../base/hex.js';
import { editLine, type TextEdit } from '../base/span.js';
import { byteStore } from '../format/notation.js';
import { byteOf, type Row } from '../format/row.js';
import { type Cell, cellKey } from './cell.js';
import { bind, type Dump, rebind } from './dump.js';

/** Why a byte is written; the words that scripts see. */
export type WriteReason = 'option' | 'line-sum' | 'balance' | 'total' | 'restore';

/** The one currency of change: one byte of one row gets a new value. */
export interface ByteWrite extends Cell {
  readonly value: number;
  readonly reason: WriteReason;
}

/** The smallest text edits that write the bytes: only digits that differ, in the letter case of the row. */
export function editsOf(dump: Pick<Dump, 'rows' | 'notation'>, writes: readonly ByteWrite[]): readonly TextEdit[] {
  return lastOfEach(writes)
    .flatMap((write) => digitEdits(dump, write))
    .sort((a, b) => a.row - b.row || a.start - b.start);
}

function digitEdits({ rows, notation }: Pick<Dump, 'rows' | 'notation'>, { row, byte, value }: ByteWrite): TextEdit[] {
  const record = rows[row];
  if (record?.kind !== 'record' || byteOf(record, byte) === value) return [];
  const places = notation.digitPlaces(record);
  const digits = inCaseOf(record.text, places, hex(value));
  return [0, 1].flatMap((i) => {
    const start = places[2 * byte + i] as number;
    const text = digits.charAt(i);
    return record.text.charAt(start).toUpperCase() === text.toUpperCase() ? [] : [{ row, start, end: start + 1, text }];
  });
}

/** The writer's letter case: lower only where the row's digits have lower-case letters and no upper-case ones. */
function inCaseOf(text: string, places: readonly number[], digits: string): string {
  const written = places.map((place) => text.charAt(place)).join('');
  return /[a-f]/.test(written) && !/[A-F]/.test(written) ? digits.toLowerCase() : digits;
}

/** Of several writes to one cell, the last. */
function lastOfEach(writes: readonly ByteWrite[]): readonly ByteWrite[] {
  return [...new Map(writes.map((write) => [cellKey(write), write])).values()];
}

/** The dump after the writes, as it would be read from the edited text. */
export function afterWrites(dump: Dump, writes: readonly ByteWrite[]): Dump {
  const byRow = new Map<number, TextEdit[]>();
  for (const edit of editsOf(dump, writes)) byRow.set(edit.row, [...(byRow.get(edit.row) ?? []), edit]);
  const changed = [...byRow].map(([row, edits]) => [row, rowAfter(dump, row, edits)] as const);
  // Each rebinding copies the list of rows, so many changed rows are bound in one go.
  if (changed.length > MOST_REBOUND) {
    const rows = dump.rows.slice();
    for (const [row, after] of changed) rows[row] = after;
    return bind(rows, dump.notation, dump.profile);
  }
  return changed.reduce((now, [row, after]) => {
    const rows = now.rows.slice();
    rows[row] = after;
    return rebind(now, rows, { row, removed: 1, added: 1 });
  }, dump);
}

const MOST_REBOUND = 16;

function rowAfter({ rows, notation }: Dump, row: number, edits: readonly TextEdit[]): Row {
  const text = editLine((rows[row] as Row).text, edits);
  return notation.readRow(text, byteStore((text.length >> 1) + 1));
}

/** Writes that lead from one version of a dump to another with the same rows; each cell's last reason is kept. */
export function netWrites(before: Dump, writes: readonly ByteWrite[]): readonly ByteWrite[] {
  return lastOfEach(writes).filter(({ row, byte, value }) => {
    const record = before.rows[row];
    return record?.kind === 'record' && byteOf(record, byte) !== value;
  });
}
