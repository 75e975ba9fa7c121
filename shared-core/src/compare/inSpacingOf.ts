import { editLine } from '../base/span.js';
import { bytesOf, contentOf, type Row } from '../format/row.js';
import { editsOf } from '../model/byteWrite.js';
import type { Dump } from '../model/dump.js';
import { labelOfRow } from '../model/layout.js';
import { imageInSpacingOf } from './imageInSpacingOf.js';

/**
 * The text of a dump as it is, but each line that another one has too in the spelling of that. Put beside that other one, no
 * line with the same bytes differs.
 */
export function inSpacingOf(spelling: Dump, bytes: Dump): string {
  if (spelling.layout.kind === 'image') return imageInSpacingOf(spelling, bytes);
  const shown = new Set<number>();
  return bytes.rows
    .map((row) => {
      const label = labelOfRow(row);
      const own = label === undefined ? undefined : spelling.layout.rowOf(label);
      if (own === undefined || shown.has(own)) return row.text;
      shown.add(own);
      return lineWith(spelling, own, row);
    })
    .join('');
}

function lineWith(dump: Dump, index: number, other: Row): string {
  const row = dump.rows[index] as Row;
  const lineEnd = other.text.slice(contentOf(other.text).length);
  if (row.kind !== 'record' || other.kind !== 'record' || row.count !== other.count) return other.text;
  const writes = Array.from(bytesOf(other), (value, byte) => ({ row: index, byte, value, reason: 'restore' as const }));
  return contentOf(editLine(row.text, editsOf(dump, writes))) + lineEnd;
}
