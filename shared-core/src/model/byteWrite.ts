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

/** The smallest text edits that write the bytes: only digits that differ, in the letter case of the row. */
export function editsOf(dump: Pick<Dump, 'rows' | 'notation'>, writes: readonly ByteWrite[]): readonly TextEdit[] {
  return [...editsByRow(dump, writes)].sort(([a], [b]) => a - b).flatMap(([, edits]) => edits);
}

/** The same for each row that changes, those of a row in the order of the text. */
function editsByRow(
  { rows, notation }: Pick<Dump, 'rows' | 'notation'>,
  writes: readonly ByteWrite[],
): ReadonlyMap<number, readonly TextEdit[]> {
  const values = new Map<number, Map<number, number>>();
  for (const { row, byte, value } of writes) {
    const record = rows[row];
    if (record?.kind !== 'record' || byte >= record.count) continue;
    const own = values.get(row);
    if (own === undefined) values.set(row, new Map([[byte, value]]));
    else own.set(byte, value);
  }
  const edits = new Map<number, readonly TextEdit[]>();
  for (const [row, own] of values) {
    const changed = digitEdits(notation, row, rows[row] as RecordRow, own);
    if (changed.length > 0) edits.set(row, changed);
  }
  return edits;
}

/** Edits of one row, from the last value of each byte. */
function digitEdits(
  notation: Notation,
  row: number,
  record: RecordRow,
  values: ReadonlyMap<number, number>,
): readonly TextEdit[] {
  const changed = [...values].filter(([byte, value]) => byteOf(record, byte) !== value).sort(([a], [b]) => a - b);
  if (changed.length === 0) return [];
  const places = notation.digitPlaces(record);
  const inCase = caseOf(notation, record.text, places);
  const characters = notation.characters?.(record);
  const digits = changed.flatMap(([byte, value]) =>
    Array.from(inCase(hex(value))).flatMap((text, i) => {
      const start = places[2 * byte + i];
      // A row that stands for others has no digits of its own.
      if (start === undefined) return [];
      const isSame = record.text.charAt(start).toUpperCase() === text.toUpperCase();
      return isSame ? [] : [{ row, start, end: start + 1, text }];
    }),
  );
  if (characters === undefined) return digits;
  return [
    ...digits,
    ...changed.flatMap(([byte, value]) => {
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
function caseOf(
  { smallDigits, capitals }: Notation,
  text: string,
  places: readonly number[],
): (digits: string) => string {
  const written = places.map((place) => text.charAt(place)).join('');
  const isLower = !capitals && !/[A-F]/.test(written) && (smallDigits === true || /[a-f]/.test(written));
  return (digits) => (isLower ? digits.toLowerCase() : digits);
}

/**
 * The dump after the writes, as it would be read from the edited text; the slots in force are those of before, since
 * what is written to a record is whole only with its check.
 */
export function afterWrites(dump: Dump, writes: readonly ByteWrite[]): Dump {
  const changed = [...editsByRow(dump, writes)].map(([row, edits]) => [row, rowAfter(dump, row, edits)] as const);
  // Each rebinding copies the list of rows, so many changed rows are bound in one go.
  if (changed.length > MOST_REBOUND) {
    const rows = dump.rows.slice();
    for (const [row, after] of changed) rows[row] = after;
    return bindAs(rows, dump.notation, dump.profile);
  }
  return changed.reduce((now, [row, after]) => {
    const rows = now.rows.slice();
    rows[row] = after;
    return rebindAs(now, rows, { row, removed: 1, added: 1 });
  }, dump);
}

const MOST_REBOUND = 16;

function rowAfter({ rows, notation }: Dump, row: number, edits: readonly TextEdit[]): Row {
  const text = editLine((rows[row] as Row).text, edits);
  return notation.readRow(text, byteStore((text.length >> 1) + 1));
}

/** Writes that lead from one version of a dump to another with the same rows; each cell's last reason is kept. */
export function netWrites(before: Dump, writes: readonly ByteWrite[]): readonly ByteWrite[] {
  const last = new Map<number, ByteWrite>();
  for (const write of writes) last.set(cellKey(write), write);
  return [...last.values()].filter(({ row, byte, value }) => {
    const record = before.rows[row];
    return record?.kind === 'record' && byteOf(record, byte) !== value;
  });
}
