import { hex, hexBytes } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import type { RowSpan } from '../base/span.js';
import type { Steps } from '../base/steps.js';
import { confusedWith } from '../format/lookAlike.js';
import { byteOf, bytesOf, type Label, type RecordRow } from '../format/row.js';
import type { Dump } from '../model/dump.js';
import { labelOfRow } from '../model/layout.js';
import { calledLine, lineCalled, recordCalled } from '../model/lineName.js';
import { computeLineSum, type LineSumRule, readLineSum } from '../model/lineSum.js';
import { bytesOfPlace } from '../model/protected.js';
import { bytesSpan, labelSpanOf } from '../model/spans.js';
import { readTotal, sumAsWritten } from '../model/totalReading.js';
import { type BoundTotal, storedValue, type TotalState } from '../model/totals.js';
import { placeOfTotal } from '../profile/places.js';
import { sumName } from '../profile/sumName.js';
import { type Problem, problem } from './problem.js';

/** What may explain a wrong sum takes long to find, so that it is said of so many lines only. */
const MOST_EXPLAINED = 1000;

/** Lines that are looked at in one step. */
const LINES = 256;

/** All lines whose stored sum is not what their bytes make. */
export function* lineSumProblems(dump: Dump): Steps<Problem[]> {
  const { rule, wrongSums } = dump;
  if (rule === undefined) return [];
  const problems: Problem[] = [];
  for (const [index, row] of wrongSums.entries()) {
    if (index % LINES === LINES - 1) yield;
    const record = dump.rows[row] as RecordRow;
    const { stored, computed } = readLineSum(rule, record);
    const found = hexBytes(stored);
    const expected = hexBytes(computed);
    const span = bytesSpan(dump, row, record.count - rule.width, rule.width) ?? labelSpanOf(dump, row);
    const message = lineSumMessage(
      recordCalled(dump, row, record),
      found,
      expected,
      index < MOST_EXPLAINED ? copyingSlip(rule, record) : undefined,
    );
    problems.push(problem('line-sum', span, message, { label: record.label, expected, found }));
  }
  return problems;
}

function lineSumMessage(name: Label, found: string, expected: string, slip: Slip | undefined): Phrase {
  if (slip === undefined) {
    return phrase('Line {0}: its sum is {1}, its bytes make {2}.', name, found, expected);
  }
  return phrase(
    'Line {0}: its sum is {1}, its bytes make {2}. It would be right with {3} for {4} in byte {5}, digits that are easily taken for each other.',
    name,
    found,
    expected,
    slip.meant,
    slip.written,
    slip.byte,
  );
}

/** A digit that was probably taken for another. */
interface Slip {
  readonly byte: number;
  readonly written: string;
  readonly meant: string;
}

/** The one swap of digits that look alike after which the line's sum would be right; undefined where none or several would do. */
function copyingSlip(rule: LineSumRule, record: RecordRow): Slip | undefined {
  const stored = hexBytes(bytesOf(record, record.count - rule.width));
  const slips: Slip[] = [];
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

/**
 * One problem for each total that is not known to be right: it is missing, cannot be checked, or is wrong. One that is
 * missing is reported at the last line, of an image at `otherwise`.
 */
export function totalProblems(dump: Dump, otherwise: RowSpan): Problem[] {
  return dump.totals.flatMap((bound, index) => totalProblem(dump, bound, index, otherwise));
}

function totalProblem(dump: Dump, bound: BoundTotal, index: number, otherwise: RowSpan): Problem | readonly [] {
  const { stored, width } = bound;
  const [first] = stored ?? [];
  if (first === undefined) return missingTotal(dump, bound, otherwise);
  const isInOneRow = stored?.every(({ row }) => row === first.row) === true;
  const span = bytesSpan(dump, first.row, first.byte, isInOneRow ? width : 1) ?? labelSpanOf(dump, first.row);
  const label = labelOfRow(dump.rows[first.row]);
  const facts = label === undefined ? {} : { label };
  const reading = readTotal(dump, index);
  if (reading === undefined) return problem('not-checked', span, uncheckedInWords(dump, bound, index), facts);
  const { computed, stored: value } = reading;
  if (computed === value) return [];
  const [found, expected] = [sumAsWritten(bound, value), sumAsWritten(bound, computed)];
  const message = totalMessage(bound, found, expected, computed - value);
  return problem('total-sum', span, message, { ...facts, expected, found });
}

/** Totals that are there and cannot be checked, each with the reason. */
export function uncheckedTotals(dump: Dump): readonly Phrase[] {
  return dump.totals.flatMap((bound, index) =>
    bound.stored === undefined || readTotal(dump, index) !== undefined ? [] : uncheckedInWords(dump, bound, index),
  );
}

function uncheckedInWords(dump: Dump, bound: BoundTotal, index: number): Phrase {
  const why = whyNotCheckable(dump, bound, dump.states[index]);
  return phrase('The {0} cannot be checked: {1}', sumName(bound.total), why);
}

const OWN_LINE_UNREADABLE = phrase('the line in which it is stored cannot be read. Correct that first.');

/** A total whose place the dump does not have, or whose own line is of another length. */
function missingTotal(dump: Dump, { total, width }: BoundTotal, otherwise: RowSpan): Problem {
  const { kind, order } = dump.layout;
  const last = kind === 'image' ? otherwise : labelSpanOf(dump, order.at(-1) ?? 0);
  const place = placeOfTotal(total);
  if (place !== undefined)
    return problem(
      'total-missing',
      last,
      phrase('The {0} is missing: {1} is not in this dump.', sumName(total), bytesOfPlace(place, 0, place.count, dump)),
    );
  const label = total.stored.kind === 'record' ? total.stored.label : '';
  const row = dump.layout.rowOf(label);
  const record = row === undefined ? undefined : dump.rows[row];
  if (row === undefined || record === undefined)
    return problem(
      'total-missing',
      last,
      phrase('The {0} is missing: no line "{1}".', sumName(total), calledLine(dump, label)),
      {
        label,
      },
    );
  if (record.kind !== 'record') {
    const message = phrase('The {0} cannot be checked: {1}', sumName(total), OWN_LINE_UNREADABLE);
    return problem('not-checked', labelSpanOf(dump, row), message, { label });
  }
  const message = phrase(
    'The {0} in line "{1}" has a length of {2}; the profile wants {3}.',
    sumName(total),
    lineCalled(dump, row),
    record.count,
    width,
  );
  const span = bytesSpan(dump, row, 0, record.count) ?? labelSpanOf(dump, row);
  return problem('line-length', span, message, { label });
}

function whyNotCheckable(dump: Dump, bound: BoundTotal, state: TotalState | undefined): Phrase {
  if (storedValue(bound, dump.rows) === undefined) return OWN_LINE_UNREADABLE;
  const { obstacle } = bound.run;
  if (obstacle?.kind === 'overlap') return phrase('addresses are held by two records. Correct that first.');
  if (obstacle !== undefined) {
    const { kind, first, count } = obstacle;
    return kind === 'lines-missing'
      ? phrase('line {0} is missing ({1} in all).', calledLine(dump, first), count)
      : phrase('{0} bytes from address {1} on are missing.', count, hex(first, 4));
  }
  const unreadable = state?.unreadable ?? 0;
  if (unreadable > 0) return phrase('{0} of the lines it covers cannot be read. Correct those first.', unreadable);
  return dump.layout.repeated.length > 0
    ? phrase('a line is in the file twice. Remove one first.')
    : phrase('it covers no byte. Correct the lines or addresses in the profile over which it runs.');
}

function totalMessage({ total, width }: BoundTotal, found: string, expected: string, difference: bigint): Phrase {
  if (total.checksum.law.kind === 'binary') {
    return phrase('The {0} is {1}, its bytes make {2}.', sumName(total), found, expected);
  }
  const more = difference < 0n;
  const size = hex(more ? -difference : difference, 2 * Math.min(width, 2));
  return more
    ? phrase('The {0} is {1}, its bytes make {2}: {3} too much.', sumName(total), found, expected, size)
    : phrase('The {0} is {1}, its bytes make {2}: {3} too little.', sumName(total), found, expected, size);
}
