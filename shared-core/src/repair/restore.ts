import type { TextEdit } from '../base/span.js';
import { bytesOf, contentOf, type Label, type RecordRow } from '../format/row.js';
import { lineEndOf } from '../format/rows.js';
import { byteAtAddress, viewByAddress } from '../model/byAddress.js';
import { type ByteWrite, editsOf } from '../model/byteWrite.js';
import type { Dump } from '../model/dump.js';
import { printRecord } from '../model/lineSum.js';
import { withLineSums } from './lineSums.js';

/**
 * Edits that give a line the bytes it has in the backup. A line that can be read keeps its spelling, and only its
 * digits change; one that cannot, or is of another length, is replaced by the backup's; one that is missing is put in
 * its place. This is the one change that may reach locked bytes, as it takes them back to what they were.
 */
export function restoreLine(dump: Dump, backup: Dump, label: Label): readonly TextEdit[] {
  const from = backup.layout.rowOf(label);
  const was = from === undefined ? undefined : backup.rows[from];
  if (was?.kind !== 'record') return [];
  const row = dump.layout.rowOf(label);
  const now = row === undefined ? undefined : dump.rows[row];
  if (row === undefined || now === undefined) return [insertion(dump, label, was)];
  if (now.kind === 'record' && now.count === was.count) return editsOf(dump, restoringWrites(row, was));
  const note = dump.notation.id === 'dump-text' ? noteOf(now.text) : '';
  return [{ row, start: 0, end: contentOf(now.text).length - note.length, text: withoutNote(was.text, note) }];
}

/** What a person wrote behind the bytes of a line of dump text, with the blanks before it. */
function noteOf(text: string): string {
  return /\s*#.*$/s.exec(contentOf(text))?.[0] ?? '';
}

/** The line of the backup; its own note gives way to one that stands here. */
function withoutNote(text: string, here: string): string {
  const content = contentOf(text);
  return here === '' ? content : content.slice(0, content.length - noteOf(text).length);
}

/**
 * Edits that give a record of a memory image the bytes that the backup has at its addresses, whatever record holds them
 * there, and a right sum. None where the backup lacks one of them, or where the record is not known by its address.
 */
export function restoreRecord(dump: Dump, backup: Dump, row: number): readonly TextEdit[] {
  const at = dump.layout.order.indexOf(row);
  const now = dump.rows[row];
  if (at < 0 || now === undefined) return [];
  const address = dump.layout.keys[at] as number;
  const view = viewByAddress(backup);
  const values = Array.from({ length: dump.layout.dataCount[row] as number }, (_, i) =>
    byteAtAddress(backup, view, address + i),
  );
  if (!values.every((value) => value !== undefined)) return [];
  if (now.kind === 'record') {
    const writes = values.map((value, byte): ByteWrite => ({ row, byte, value: value as number, reason: 'restore' }));
    return editsOf(dump, withLineSums(dump, writes));
  }
  if (now.kind !== 'broken' || now.head === undefined || now.label === undefined) return [];
  const text = printRecord(dump.notation, Number(now.label), now.head.type, Uint8Array.from(values as number[]));
  return [{ row, start: 0, end: contentOf(now.text).length, text }];
}

function restoringWrites(row: number, was: RecordRow): readonly ByteWrite[] {
  return Array.from(bytesOf(was), (value, byte) => ({ row, byte, value, reason: 'restore' }));
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
