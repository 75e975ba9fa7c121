import { editLine } from '../base/span.js';
import { bytesOf, contentOf, type Row } from '../format/row.js';
import { editsOf } from '../model/byteWrite.js';
import type { Dump } from '../model/dump.js';
import { labelOfRow } from '../model/layout.js';
import { imageInSpacingOf } from './imageInSpacingOf.js';

/**
 * The text of one dump with the bytes of another: every line that both have keeps the spelling of the first and shows
 * the bytes of the second. Put beside the first, only bytes differ. Lines that only the second has are set in where
 * they belong; lines that only the first has are left out.
 */
export function inSpacingOf(spelling: Dump, bytes: Dump): string {
  if (spelling.layout.kind === 'image') return imageInSpacingOf(spelling, bytes);
  const lines: string[] = [];
  const shown = new Set<number>();
  spelling.rows.forEach((row, index) => {
    const label = labelOfRow(row);
    const other = label === undefined ? undefined : bytes.layout.rowOf(label);
    if (label === undefined) lines.push(row.text);
    else if (other !== undefined) {
      shown.add(other);
      lines.push(lineWith(spelling, index, bytes.rows[other] as Row));
    }
  });
  const only = bytes.rows.filter((row, index) => labelOfRow(row) !== undefined && !shown.has(index));
  return lines.join('') + only.map((row) => `${contentOf(row.text)}\n`).join('');
}

function lineWith(dump: Dump, index: number, other: Row): string {
  const row = dump.rows[index] as Row;
  const lineEnd = row.text.slice(contentOf(row.text).length);
  if (row.kind !== 'record' || other.kind !== 'record' || row.count !== other.count)
    return contentOf(other.text) + lineEnd;
  const writes = Array.from(bytesOf(other), (value, byte) => ({ row: index, byte, value, reason: 'restore' as const }));
  return editLine(row.text, editsOf(dump, writes));
}
