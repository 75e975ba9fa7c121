import { hex } from '../base/hex.js';
import { editLine, type TextEdit } from '../base/span.js';
import { shownCharacter } from '../format/hexViewRow.js';
import { byteStore, type Notation } from '../format/notation.js';
import { byteOf, contentOf, type RecordRow, type Row } from '../format/row.js';
import { type Cell, cellKey } from './cell.js';
import { bindAs, type Dump, rebindAs } from './dump.js';

/** Why a byte is written; the words that scripts see. */
export type WriteReason = 'option' | 'line-sum' | 'balance' | 'total' | 'copy' | 'restore';

/** The one currency of change: one byte of one row gets a new value. */
export interface ByteWrite extends Cell {
  readonly value: number;
  readonly reason: WriteReason;
}

/** The smallest text edits that write the bytes: only digits that differ, in the letter case of the row; row by row. */
export function editsOf(dump: Pick<Dump, 'rows' | 'notation'>, writes: readonly ByteWrite[]): readonly TextEdit[] {
  const { rows, notation } = dump;
  const changed = netWrites(dump, writes).filter(({ row, byte }) => byte < (rows[row] as RecordRow).count);
  const edits: TextEdit[] = [];
  for (const { row, own } of rowByRow(changed)) {
    const inOrder = own.length === 1 ? own : [...own].sort((a, b) => a.byte - b.byte);
    edits.push(...digitEdits(notation, row, rows[row] as RecordRow, inOrder));
  }
  return edits;
}

/** What there is for each row, in the order of the rows. */
function rowByRow<T extends { readonly row: number }>(
  all: readonly T[],
): readonly { readonly row: number; readonly own: readonly T[] }[] {
  const sorted = [...all].sort((a, b) => a.row - b.row);
  const groups: { readonly row: number; readonly own: T[] }[] = [];
  for (const one of sorted) {
    const last = groups.at(-1);
    if (last?.row === one.row) last.own.push(one);
    else groups.push({ row: one.row, own: [one] });
  }
  return groups;
}

/** Edits of one row for bytes that get other values, in their order. */
function digitEdits(
  notation: Notation,
  row: number,
  record: RecordRow,
  changed: readonly ByteWrite[],
): readonly TextEdit[] {
  const places = notation.digitPlaces(record);
  const isLower = isInLowerCase(notation, record.text, places);
  const characters = notation.characters?.(record);
  const edits: TextEdit[] = [];
  for (const { byte, value } of changed) {
    const digits = isLower ? hex(value).toLowerCase() : hex(value);
    for (let i = 0; i < digits.length; i++) {
      const [start, text] = [places[2 * byte + i], digits.charAt(i)];
      // A row that stands for others has no digits of its own.
      if (start === undefined || record.text.charAt(start).toUpperCase() === text.toUpperCase()) continue;
      edits.push({ row, start, end: start + 1, text });
    }
  }
  if (characters === undefined) return edits;
  return [
    ...edits,
    ...changed.flatMap(({ byte, value }) => {
      const place = characters(byte);
      return place === undefined ? [] : [characterEdit(record.text, row, place, value)];
    }),
  ];
}

/** The edit that shows the character of a byte; blanks at the end of a line may be missing. */
function characterEdit(text: string, row: number, place: number, value: number): TextEdit {
  const end = contentOf(text).length;
  const missing = Math.max(0, place - end);
  const start = Math.min(place, end);
  return { row, start, end: Math.min(place + 1, end), text: ' '.repeat(missing) + shownCharacter(value) };
}

/** The writer's letter case: lower only where the row's digits have lower-case letters and no upper-case ones. */
function isInLowerCase({ smallDigits, capitals }: Notation, text: string, places: readonly number[]): boolean {
  if (capitals) return false;
  let isLower = smallDigits === true;
  for (const place of places) {
    const code = text.charCodeAt(place);
    if (code >= UPPER_A && code <= UPPER_F) return false;
    if (code >= LOWER_A && code <= LOWER_F) isLower = true;
  }
  return isLower;
}

const [UPPER_A, UPPER_F, LOWER_A, LOWER_F] = [0x41, 0x46, 0x61, 0x66];

/**
 * The dump after the writes, as it would be read from the edited text; the slots in force are those of before, since
 * what is written to a record is whole only with its check.
 */
export function afterWrites(dump: Dump, writes: readonly ByteWrite[]): Dump {
  return afterEdits(dump, editsOf(dump, writes));
}

/** The same after edits that write bytes. */
export function afterEdits(dump: Dump, edits: readonly TextEdit[]): Dump {
  const changed = rowsAfter(dump, edits);
  // Each rebinding copies the list of rows, so many changed rows are bound in one go.
  if (changed.length > MOST_REBOUND) {
    const rows = dump.rows.slice();
    for (const { row, after } of changed) rows[row] = after;
    return bindAs(rows, dump.notation, dump.profile);
  }
  return changed.reduce((now, { row, after }) => {
    const rows = now.rows.slice();
    rows[row] = after;
    return rebindAs(now, rows, { row, removed: 1, added: 1 });
  }, dump);
}

const MOST_REBOUND = 16;

/** The rows that edits change, as they are afterwards. */
export function rowsAfter(
  { rows, notation }: Pick<Dump, 'rows' | 'notation'>,
  edits: readonly TextEdit[],
): readonly { readonly row: number; readonly after: Row }[] {
  const texts = rowByRow(edits).map(({ row, own }) => ({ row, text: editLine((rows[row] as Row).text, own) }));
  const store = byteStore(texts.reduce((sum, { text }) => sum + (text.length >> 1) + 1, 0));
  return texts.map(({ row, text }) => ({ row, after: notation.readRow(text, store) }));
}

/** Writes that lead from one version of a dump to another with the same rows; each cell's last reason is kept. */
export function netWrites(before: Pick<Dump, 'rows'>, writes: readonly ByteWrite[]): readonly ByteWrite[] {
  return lastWrites(writes).filter(({ row, byte, value }) => {
    const record = before.rows[row];
    return record?.kind === 'record' && byteOf(record, byte) !== value;
  });
}

/** The last write of each cell. */
function lastWrites(writes: readonly ByteWrite[]): readonly ByteWrite[] {
  if (areInOrder(writes)) return writes;
  const last = new Map<number, ByteWrite>();
  for (const write of writes) last.set(cellKey(write), write);
  return [...last.values()];
}

/** Whether each write is of a later cell than the one before, as those of thousands of lines one after the other are. */
function areInOrder(writes: readonly ByteWrite[]): boolean {
  return writes.every(({ row, byte }, i) => {
    const before = writes[i - 1];
    return before === undefined || row > before.row || (row === before.row && byte > before.byte);
  });
}
