import type { TextEdit } from '../base/span.js';
import { roleOf } from '../format/imageForm.js';
import type { Notation } from '../format/notation.js';
import { contentOf, type RecordRow } from '../format/row.js';
import type { Dump } from '../model/dump.js';
import { printRecord } from '../model/lineSum.js';

const NOTHING = new Uint8Array(0);

/** Puts an end record after the last record of a memory image: the one that goes with its data records. */
export function addEndRecord({ rows, notation, layout }: Dump): readonly TextEdit[] {
  let last = rows.length - 1;
  while (last >= 0 && rows[last]?.kind !== 'record' && rows[last]?.kind !== 'broken') last--;
  if (last < 0) return [];
  const type = notation.image?.end?.typeFor(
    dataTypes(
      notation,
      rows.filter((row) => row.kind === 'record'),
    ),
  );
  if (type === undefined) return [];
  const text = rows[last]?.text ?? '';
  const end = contentOf(text).length;
  const lineEnd = text.slice(end) || (rows[0]?.text.endsWith('\r\n') ? '\r\n' : '\n');
  return [
    {
      row: last,
      start: end,
      end,
      text: lineEnd + printRecord(notation, labelOfEnd(rows, notation, layout), type, NOTHING),
    },
  ];
}

/** What an end record says in place of an address. */
function labelOfEnd(rows: Dump['rows'], notation: Notation, layout: Dump['layout']): number {
  const { saysLength, countsUpTo } = notation.image?.end ?? {};
  if (countsUpTo !== undefined) return countBefore(rows, notation, rows.length) % (countsUpTo + 1);
  return saysLength ? reachOf(layout) : 0;
}

function countBefore(rows: Dump['rows'], notation: Notation, row: number): number {
  return rows.filter((found, i) => i < row && found.kind === 'record' && isData(notation, found.type)).length;
}

function reachOf({ order, keys, dataCount }: Dump['layout']): number {
  return Array.from(order, (row, i) => (keys[i] as number) + (dataCount[row] as number)).reduce(
    (a, b) => Math.max(a, b),
    0,
  );
}

function dataTypes(notation: Notation, records: readonly RecordRow[]): readonly number[] {
  return [...new Set(records.flatMap(({ type }) => (type !== undefined && isData(notation, type) ? [type] : [])))];
}

function isData(notation: Notation, type: number | undefined): boolean {
  return roleOf(notation, type) === 'data';
}

/** Corrects a record that counts others: the count of the data records before it, and its sum. Only digits that are wrong change. */
export function rightRecordCount({ rows, notation }: Dump, row: number): readonly TextEdit[] {
  const record = rows[row];
  if (record?.kind !== 'record' || record.type === undefined) return [];
  const count = countBefore(rows, notation, row);
  const start = record.text.search(/\S/);
  const right = printRecord(notation, count, record.type, NOTHING);
  const written = record.text.slice(start, start + right.length);
  const small = /[a-f]/.test(written);
  return Array.from(right).flatMap((digit, i) =>
    written.charAt(i).toUpperCase() === digit
      ? []
      : [{ row, start: start + i, end: start + i + 1, text: small ? digit.toLowerCase() : digit }],
  );
}
