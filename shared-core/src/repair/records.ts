import type { TextEdit } from '../base/span.js';
import { INTEL_HEX_TYPE } from '../format/intelHex.js';
import { contentOf, type RecordRow } from '../format/row.js';
import type { Dump } from '../model/dump.js';
import { printRecord } from '../model/lineSum.js';

const NOTHING = new Uint8Array(0);

/** Puts an end record after the last record of a memory image; of S-records, the one that goes with their addresses. */
export function addEndRecord({ rows, notation }: Dump): readonly TextEdit[] {
  let last = rows.length - 1;
  while (last >= 0 && rows[last]?.kind !== 'record' && rows[last]?.kind !== 'broken') last--;
  if (last < 0) return [];
  // S1 ends with S9, S2 with S8 and S3 with S7.
  const widest = Math.max(1, ...dataTypes(rows.filter((row) => row.kind === 'record')));
  const type = notation.id === 'intel-hex' ? INTEL_HEX_TYPE.end : 10 - widest;
  const text = rows[last]?.text ?? '';
  const end = contentOf(text).length;
  const lineEnd = text.slice(end) || (rows[0]?.text.endsWith('\r\n') ? '\r\n' : '\n');
  return [{ row: last, start: end, end, text: lineEnd + printRecord(notation, 0, type, NOTHING) }];
}

function dataTypes(records: readonly RecordRow[]): Iterable<number> {
  return new Set(records.flatMap(({ type = 0 }) => (type >= 1 && type <= 3 ? [type] : [])));
}

/** Rights an S5 or S6 record: the count of the data records before it, and its sum. Only digits that are wrong change. */
export function rightRecordCount({ rows, notation }: Dump, row: number): readonly TextEdit[] {
  const record = rows[row];
  if (record?.kind !== 'record' || record.type === undefined) return [];
  const count = countBefore(rows.filter((found, i): found is RecordRow => i < row && found.kind === 'record'));
  const start = record.text.search(/S/i);
  const right = printRecord(notation, count, record.type, NOTHING);
  const written = record.text.slice(start, start + right.length);
  const small = /[a-f]/.test(written);
  return Array.from(right).flatMap((digit, i) =>
    written.charAt(i).toUpperCase() === digit
      ? []
      : [{ row, start: start + i, end: start + i + 1, text: small ? digit.toLowerCase() : digit }],
  );
}

function countBefore(records: readonly RecordRow[]): number {
  return records.filter(({ type = 0 }) => type >= 1 && type <= 3).length;
}
