import { hex, hexBytes } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { confusedWith } from '../format/lookAlike.js';
import { byteOf, bytesOf, type RecordRow, recordName } from '../format/row.js';
import type { Dump } from '../model/dump.js';
import { computeLineSum, type LineSumRule, readLineSum } from '../model/lineSum.js';
import type { Obstacle } from '../model/run.js';
import { bytesSpan, labelSpanOf } from '../model/spans.js';
import { type BoundTotal, storedValue, type TotalState } from '../model/totals.js';
import type { Problem } from './problem.js';

/** Lines whose stored sum is not what their bytes make, up to so many: what may explain each takes long to find. */
export function lineSumProblems(dump: Dump, most: number): Problem[] {
  const { rule } = dump;
  if (rule === undefined) return [];
  return dump.wrongSums.slice(0, most).map((row) => {
    const record = dump.rows[row] as RecordRow;
    const { stored, computed } = readLineSum(rule, record);
    const found = hexBytes(stored);
    const expected = hexBytes(computed);
    const span = bytesSpan(dump, row, record.count - rule.width, rule.width) ?? labelSpanOf(dump, row);
    const message = lineSumMessage(rule, record, found, expected);
    return { ...span, code: 'line-sum', severity: 'error', label: record.label, expected, found, message };
  });
}

function lineSumMessage(rule: LineSumRule, record: RecordRow, found: string, expected: string): Phrase {
  const slip = copyingSlip(rule, record);
  if (slip === undefined) {
    return phrase('Line {0}: its sum is {1}, its bytes make {2}.', recordName(record), found, expected);
  }
  return phrase(
    'Line {0}: its sum is {1}, its bytes make {2}. It would be right with {3} for {4} in byte {5}, digits that are easily taken for each other.',
    recordName(record),
    found,
    expected,
    slip.meant,
    slip.written,
    slip.byte,
  );
}

/** The one swap of digits that look alike after which the line's sum would be right; undefined where none or several would do. */
function copyingSlip(
  rule: LineSumRule,
  record: RecordRow,
): { byte: number; written: string; meant: string } | undefined {
  const stored = hexBytes(bytesOf(record, record.count - rule.width));
  const slips: { byte: number; written: string; meant: string }[] = [];
  for (let byte = 0; byte < record.count - rule.width; byte++) {
    const written = hex(byteOf(record, byte));
    for (const meant of [
      ...confusedWith(written.charAt(0)).map((digit) => digit + written.charAt(1)),
      ...confusedWith(written.charAt(1)).map((digit) => written.charAt(0) + digit),
    ]) {
      const store = bytesOf(record).slice();
      store[byte] = Number.parseInt(meant, 16);
      if (hexBytes(computeLineSum(rule, { ...record, store, from: 0 })) === stored)
        slips.push({ byte: byte + 1, written, meant });
    }
  }
  return slips.length === 1 ? slips[0] : undefined;
}

/** Totals that are wrong, and totals that cannot be checked because a line they cover cannot be read. */
export function totalProblems(dump: Dump): Problem[] {
  return dump.totals.flatMap((bound, index) => totalProblem(dump, bound, dump.states[index] as TotalState));
}

function totalProblem(dump: Dump, bound: BoundTotal, { state, unreadable }: TotalState): Problem[] {
  const { total, run, stored, width } = bound;
  const first = stored?.[0];
  const value = storedValue(bound, dump.rows);
  if (first === undefined || value === undefined) return [];
  const span = bytesSpan(dump, first.row, first.byte, stored?.every(({ row }) => row === first.row) ? width : 1);
  const record = dump.rows[first.row] as RecordRow;
  const place = { ...(span ?? labelSpanOf(dump, first.row)), code: 'total-sum', label: record.label } as const;
  const cannot = whyNotCheckable(dump, run.obstacle, unreadable);
  if (cannot !== undefined) {
    return [{ ...place, severity: 'warning', message: phrase('The {0} cannot be checked: {1}', total.name, cannot) }];
  }
  const computed = total.checksum.valueOf(state);
  if (computed === value) return [];
  const found = hex(value, 2 * width);
  const expected = hex(computed, 2 * width);
  return [
    { ...place, severity: 'error', expected, found, message: totalMessage(bound, found, expected, computed - value) },
  ];
}

function whyNotCheckable(dump: Dump, obstacle: Obstacle | undefined, unreadable: number): Phrase | undefined {
  if (obstacle?.kind === 'overlap') return phrase('addresses are held by two records. Right that first.');
  if (obstacle !== undefined) {
    const { kind, first, count } = obstacle;
    return kind === 'lines-missing'
      ? phrase('line {0} is missing ({1} in all).', first, count)
      : phrase('{0} bytes from address {1} on are missing.', count, hex(first, 4));
  }
  if (unreadable > 0) return phrase('{0} of its lines cannot be read. Right those first.', unreadable);
  return dump.layout.repeated.length > 0 ? phrase('a line stands in the file twice. Remove one first.') : undefined;
}

function totalMessage({ total, width }: BoundTotal, found: string, expected: string, difference: bigint): Phrase {
  if (total.checksum.law.kind === 'binary') {
    return phrase('The {0} is {1}, its bytes make {2}.', total.name, found, expected);
  }
  const more = difference < 0n;
  const size = hex(more ? -difference : difference, 2 * Math.min(width, 2));
  return more
    ? phrase('The {0} is {1}, its bytes make {2}: {3} too much.', total.name, found, expected, size)
    : phrase('The {0} is {1}, its bytes make {2}: {3} too little.', total.name, found, expected, size);
}
