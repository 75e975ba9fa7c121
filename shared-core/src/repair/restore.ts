import type { TextEdit } from '../base/span.js';
import type { Notation } from '../format/notation.js';
import { bytesOf, contentOf, type Label, type RecordRow } from '../format/row.js';
import { lineEndOf } from '../format/rows.js';
import { byteAtAddress, viewByAddress } from '../model/byAddress.js';
import { type ByteWrite, netWrites } from '../model/byteWrite.js';
import type { Dump } from '../model/dump.js';
import type { Wish } from '../model/gate.js';
import { printRecord } from '../model/lineSum.js';
import { withLineSums } from './lineSums.js';

const NOTHING: Required<Wish> = { writes: [], edits: [] };

/**
 * Gives a line the bytes it has in another dump. A line that can be read keeps its spelling, and only its digits change;
 * one that cannot, or is of another length, is replaced by the other's; one that is missing is put in its place.
 */
export function restoreLine(dump: Dump, other: Dump, label: Label): Required<Wish> {
  const from = other.layout.rowOf(label);
  const was = from === undefined ? undefined : other.rows[from];
  if (was?.kind !== 'record') return NOTHING;
  const row = dump.layout.rowOf(label);
  const now = row === undefined ? undefined : dump.rows[row];
  if (row === undefined || now === undefined) return { ...NOTHING, edits: [insertion(dump, label, was)] };
  if (now.kind === 'record' && now.count === was.count) return { ...NOTHING, writes: restoringWrites(dump, row, was) };
  const note = noteOf(dump.notation, now.text);
  const end = contentOf(now.text).length - note.length;
  return { ...NOTHING, edits: [{ row, start: 0, end, text: withoutNote(dump.notation, was.text, note) }] };
}

/** What a person wrote behind the bytes of a line, with the blanks before it. */
function noteOf({ commentBehind }: Pick<Notation, 'commentBehind'>, text: string): string {
  const content = contentOf(text);
  const sign = commentBehind === undefined ? -1 : content.indexOf(commentBehind);
  return sign < 0 ? '' : content.slice(content.slice(0, sign).trimEnd().length);
}

/** The line of the other dump; a note that is here already replaces its own. */
function withoutNote(notation: Notation, text: string, here: string): string {
  const content = contentOf(text);
  return here === '' ? content : content.slice(0, content.length - noteOf(notation, text).length);
}

/**
 * Gives records of a memory image the bytes that another image has at their addresses, whatever record holds them there,
 * and right sums. A record stays as it is where the other does not have all of its bytes, or where its address is not known.
 */
export function restoreRecords(dump: Dump, other: Dump, rows: readonly number[]): Required<Wish> {
  const { order, keys, dataCount } = dump.layout;
  const [view, wanted] = [viewByAddress(other), new Set(rows)];
  const writes: ByteWrite[] = [];
  const edits: TextEdit[] = [];
  for (const [at, row] of order.entries()) {
    if (!wanted.has(row)) continue;
    const address = keys[at] as number;
    const values = Array.from({ length: dataCount[row] as number }, (_, i) => byteAtAddress(other, view, address + i));
    if (!values.every((value) => value !== undefined)) continue;
    const now = dump.rows[row];
    if (now?.kind === 'record') {
      for (const [byte, value] of values.entries())
        writes.push({ row, byte, value: value as number, reason: 'restore' });
    } else if (now?.kind === 'broken' && now.head !== undefined && now.label !== undefined) {
      const text = printRecord(dump.notation, Number(now.label), now.head.type, Uint8Array.from(values as number[]));
      edits.push({ row, start: 0, end: contentOf(now.text).length, text });
    }
  }
  return { writes: netWrites(dump, withLineSums(dump, writes)), edits };
}

function restoringWrites(dump: Dump, row: number, was: RecordRow): readonly ByteWrite[] {
  return netWrites(
    dump,
    Array.from(bytesOf(was), (value, byte) => ({ row, byte, value, reason: 'restore' })),
  );
}

/** Puts a missing line before the first line with a higher label, else after the last line. */
function insertion({ layout, rows }: Dump, label: Label, was: RecordRow): TextEdit {
  const text = contentOf(was.text);
  const own = layout.keyOf(label);
  const next = own === undefined ? -1 : layout.keys.findIndex((key) => key > own);
  const row = next >= 0 ? layout.order[next] : undefined;
  const lineEnd = lineEndOf(rows);
  if (row !== undefined) return { row, start: 0, end: 0, text: `${text}${lineEnd}` };
  const last = layout.order.at(-1) ?? rows.length - 1;
  const behind = rows[last]?.text ?? '';
  if (behind === '') return { row: last, start: 0, end: 0, text: `${text}${lineEnd}` };
  const end = contentOf(behind).length;
  return { row: last, start: end, end, text: `${lineEnd}${text}` };
}

/** Empties the line with a label that the other dump does not have. */
export function emptiedLine(dump: Dump, label: Label): Wish {
  const row = dump.layout.rowOf(label);
  return row === undefined
    ? {}
    : { edits: [{ row, start: 0, end: contentOf(dump.rows[row]?.text ?? '').length, text: '' }] };
}

/** Empties a row and leaves its line end. */
export function emptiedRow({ rows }: Dump, row: number): TextEdit {
  return { row, start: 0, end: contentOf(rows[row]?.text ?? '').length, text: '' };
}
