import { afterWrites, type ByteWrite } from '../model/byteWrite.js';
import { type Dump, ruleOf } from '../model/dump.js';
import { labelOfRow } from '../model/layout.js';
import { readLineSum } from '../model/lineSum.js';
import { soundRecord } from '../model/totals.js';

/** Writes that make the sum of a line right; none where it is right already, or where the line cannot be read. */
export function rightLineSum(dump: Dump, row: number): readonly ByteWrite[] {
  const rule = ruleOf(dump, row);
  const record = rule && soundRecord(dump.layout, dump.rows, row);
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
  const changed = afterWrites(dump, writes);
  const rows = [...new Set(writes.map(({ row }) => row))];
  return [...writes, ...rows.flatMap((row) => rightLineSum(changed, row))];
}
