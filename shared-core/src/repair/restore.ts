import type { TextEdit } from '../base/span.js';
import { bytesOf, contentOf, type Label, type RecordRow } from '../format/row.js';
import { lineEndOf } from '../format/rows.js';
import { byteAtAddress, viewByAddress } from '../model/byAddress.js';
import type { ByteWrite } from '../model/byteWrite.js';
import type { Dump } from '../model/dump.js';
import type { Wish } from '../model/gate.js';
import { printRecord } from '../model/lineSum.js';
import { withLineSums } from './lineSums.js';

/**
 * What gives a line the bytes that it has in another dump. A line that can be read keeps its spelling, and only its
 * digits change; one that cannot, or is of another length, is replaced by the other's; one that is missing is put in.
 */
export function restoredLine(dump: Dump, from: Dump, label: Label): Wish {
  const there = from.layout.rowOf(label);
  const was = there === undefined ? undefined : from.rows[there];
  if (was?.kind !== 'record') return {};
  const row = dump.layout.rowOf(label);
  const now = row === undefined ? undefined : dump.rows[row];
  if (row === undefined || now === undefined) return { edits: [insertion(dump, label, was)] };
  if (now.kind === 'record' && now.count === was.count) return { writes: restoringWrites(row, bytesOf(was)) };
  const note = dump.notation.id === 'dump-text' ? noteOf(now.text) : '';
  const end = contentOf(now.text).length - note.length;
  return { edits: [{ row, start: 0, end, text: withoutNote(was.text, note) }] };
}

/** What a person wrote behind the bytes of a line of dump text, with the blanks before it. */
function noteOf(text: string): string {
  return /\s*#.*$/s.exec(contentOf(text))?.[0] ?? '';
}

/** The line of the other dump; its own note gives way to one that is here. */
function withoutNote(text: string, here: string): string {
  const content = contentOf(text);
  return here === '' ? content : content.slice(0, content.length - noteOf(text).length);
}

/**
 * What gives a record of a memory image the bytes that another image has at its addresses, whatever record holds them
 * there, and a right sum. Nothing where the other does not have one of them, or the address of the record is not known.
 */
export function restoredRecord(dump: Dump, from: Dump, row: number): Wish {
  const at = dump.layout.order.indexOf(row);
  const now = dump.rows[row];
  if (at < 0 || now === undefined) return {};
  const address = dump.layout.keys[at] as number;
  const view = viewByAddress(from);
  const values = Array.from({ length: dump.layout.dataCount[row] as number }, (_, i) =>
    byteAtAddress(from, view, address + i),
  );
  if (!values.every((value) => value !== undefined)) return {};
  const bytes = Uint8Array.from(values);
  if (now.kind === 'record') return { writes: withLineSums(dump, restoringWrites(row, bytes)) };
  if (now.kind !== 'broken' || now.head === undefined || now.label === undefined) return {};
  const text = printRecord(dump.notation, Number(now.label), now.head.type, bytes);
  return { edits: [{ row, start: 0, end: contentOf(now.text).length, text }] };
}

function restoringWrites(row: number, bytes: Uint8Array): readonly ByteWrite[] {
  return Array.from(bytes, (value, byte) => ({ row, byte, value, reason: 'restore' }));
}

/** Puts a missing line before the first line with a higher number, else after the last line. */
function insertion({ layout, rows }: Dump, label: Label, was: RecordRow): TextEdit {
  const text = contentOf(was.text);
  const next = typeof label === 'number' ? layout.keys.findIndex((key) => key > label) : -1;
  const row = next >= 0 ? layout.order[next] : undefined;
  const lineEnd = lineEndOf(rows);
  if (row !== undefined) return { row, start: 0, end: 0, text: `${text}${lineEnd}` };
  const last = layout.order.at(-1) ?? rows.length - 1;
  const end = contentOf(rows[last]?.text ?? '').length;
  return { row: last, start: end, end, text: `${lineEnd}${text}` };
}

/** Empties the line with a label that the other dump does not have. */
export function emptiedLine(dump: Dump, label: Label): Wish {
  const row = dump.layout.rowOf(label);
  return row === undefined
    ? {}
    : { edits: [{ row, start: 0, end: contentOf(dump.rows[row]?.text ?? '').length, text: '' }] };
}

/** Empties a row and leaves its line end, but for the last row of a text. */
export function emptiedRow({ rows }: Dump, row: number): TextEdit {
  const text = rows[row]?.text ?? '';
  const end = row === rows.length - 1 ? text.length : contentOf(text).length;
  return { row, start: 0, end, text: '' };
}
