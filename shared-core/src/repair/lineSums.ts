import type { Row } from '../format/row.js';
import { type ByteWrite, editsOf, rowsAfter } from '../model/byteWrite.js';
import { type Dump, ruleOf } from '../model/dump.js';
import { labelOfRow } from '../model/layout.js';
import { readLineSum } from '../model/lineSum.js';
import { soundAs } from '../model/totals.js';

/** Writes that make the sum of a line right; none where it is right already, or where the line cannot be read. */
export function rightLineSum(dump: Dump, row: number): readonly ByteWrite[] {
  return rightSumOf(dump, row, dump.rows[row]);
}

/** The same of a line as it may become. */
function rightSumOf(dump: Dump, row: number, line: Row | undefined): readonly ByteWrite[] {
  const rule = ruleOf(dump, row);
  const record = rule && soundAs(dump.layout, row, line);
  if (rule === undefined || record === undefined) return [];
  const { stored, computed } = readLineSum(rule, record);
  const first = record.count - rule.width;
  return Array.from(computed, (value, i) => ({ row, byte: first + i, value, reason: 'line-sum' as const })).filter(
    ({ value }, i) => value !== stored[i],
  );
}

/**
 * Writes that make every line sum right. Of two lines with one number one has the wrong number, which its sum may tell:
 * these are left to the person.
 */
export function rightLineSums(dump: Dump): readonly ByteWrite[] {
  const { layout, rows, wrongSums } = dump;
  const twice = new Set(layout.repeated.map((row) => labelOfRow(rows[row])));
  return wrongSums
    .filter((row) => twice.size === 0 || !twice.has(labelOfRow(rows[row])))
    .flatMap((row) => rightLineSum(dump, row));
}

/** Data writes, followed by what the sums of the touched lines need after them. */
export function withLineSums(dump: Dump, writes: readonly ByteWrite[]): readonly ByteWrite[] {
  // Only these lines are read again: a dump with thousands of sums is not made anew for each.
  const changed = new Map(rowsAfter(dump, editsOf(dump, writes)).map(({ row, after }) => [row, after]));
  const rows = [...new Set(writes.map(({ row }) => row))];
  return [...writes, ...rows.flatMap((row) => rightSumOf(dump, row, changed.get(row) ?? dump.rows[row]))];
}
