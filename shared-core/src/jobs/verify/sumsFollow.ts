import { type Phrase, phrase } from '../../base/phrase.js';
import type { ByteDifference, Comparison, LineDifference } from '../../compare/compareDumps.js';
import type { Dump } from '../../model/dump.js';
import { isTotalRight, readTotal, sameTotal, sumAsWritten, wrongTotals } from '../../model/totalReading.js';
import { sumName } from '../../profile/sumName.js';
import { lineSumHolds } from './cause.js';

/** Lines in which only places differ that change by themselves, and sums that follow them, wherever those are stored. */
export function changedByThemselves(read: Dump, comparison: Comparison): readonly LineDifference[] {
  const { lines } = comparison;
  const quiet = lines.filter((line) => isQuiet(read, line));
  const isAllQuiet = quiet.length === lines.length && quiet.some(({ bytes }) => bytes.some(({ volatile }) => volatile));
  // A file sum that the module makes anew follows the places that change by themselves, if nothing else is changed.
  return quiet.filter((line) => {
    const totals = steady(line).filter(isTotal);
    return totals.length === 0 || (isAllQuiet && totals.every((byte) => follows(read, lines, line, byte)));
  });
}

/** Whether a line differs where it changes by itself, or where a file sum is stored, and its own sum is not wrong. */
function isQuiet(read: Dump, line: LineDifference): boolean {
  const rest = steady(line);
  const sums = rest.filter(({ reason }) => reason === 'line-sum');
  const others = rest.filter((byte) => byte.reason !== 'line-sum' && !isTotal(byte));
  const holds = lineSumHolds(read, line.afterRow);
  return (
    others.length === 0 && line.bytes.length > sums.length && (sums.length === 0 ? holds !== false : holds === true)
  );
}

/** Whether each file sum that is stored in a byte is right and covers something that differs. */
function follows(
  read: Dump,
  lines: readonly LineDifference[],
  line: LineDifference,
  { byte }: ByteDifference,
): boolean {
  const here = [...read.totals.keys()].filter((index) =>
    read.totals[index]?.stored?.some((cell) => cell.row === line.afterRow && cell.byte === byte - 1),
  );
  return here.length > 0 && here.every((index) => isTotalRight(read, index) && coversOf(read, index, lines));
}

/** What is wrong with file sums of a read-back: those with a byte that differs, and those that were so in the plan. */
export interface WrongTotals {
  readonly changed: readonly Phrase[];
  readonly asPlanned: readonly Phrase[];
}

export function wrongTotalsOf(read: Dump, { lines }: Comparison): WrongTotals {
  const [changed, asPlanned]: [Phrase[], Phrase[]] = [[], []];
  for (const index of read.totals.keys()) {
    const reading = readTotal(read, index);
    if (reading === undefined || reading.stored === reading.computed) continue;
    const { bound, stored, computed } = reading;
    const values = [sumAsWritten(bound, stored), sumAsWritten(bound, computed)] as const;
    if (coversOf(read, index, lines) || storesOf(read, index, lines))
      changed.push(
        phrase('The {0} is wrong in what was read: it is {1}, its bytes make {2}.', sumName(bound.total), ...values),
      );
    else
      asPlanned.push(
        phrase('The {0} is wrong, as in the plan: it is {1}, its bytes make {2}.', sumName(bound.total), ...values),
      );
  }
  return { changed, asPlanned };
}

/** Which file sums are wrong in the plan itself, though they are not so in what was read, or other ones there. */
export function totalsWrongInPlan(planned: Dump, read: Dump, { lines }: Comparison): readonly Phrase[] {
  return wrongTotals(planned).flatMap((index) => {
    const reading = readTotal(planned, index);
    const there = sameTotal(read, planned, index);
    const isAsPlanned = !isTotalRight(read, there) && !coversOf(read, there, lines) && !storesOf(read, there, lines);
    if (reading === undefined || isAsPlanned) return [];
    const { bound, stored, computed } = reading;
    return phrase(
      'The {0} is wrong in the plan: it is {1}, its bytes make {2}.',
      sumName(bound.total),
      sumAsWritten(bound, stored),
      sumAsWritten(bound, computed),
    );
  });
}

/** Whether a file sum covers a byte that differs. */
function coversOf({ totals }: Dump, index: number, lines: readonly LineDifference[]): boolean {
  return lines.some(({ afterRow, bytes }) => {
    const pieces = totals[index]?.run.piecesIn(afterRow) ?? [];
    return pieces.some(({ from, count }) => bytes.some(({ byte }) => byte > from && byte <= from + count));
  });
}

/** Whether a file sum is stored in a byte that differs. */
function storesOf({ totals }: Dump, index: number, lines: readonly LineDifference[]): boolean {
  return lines.some(({ afterRow, bytes }) =>
    totals[index]?.stored?.some((cell) => cell.row === afterRow && bytes.some(({ byte }) => byte - 1 === cell.byte)),
  );
}

function steady({ bytes }: LineDifference): readonly ByteDifference[] {
  return bytes.filter(({ volatile }) => !volatile);
}

function isTotal({ reason }: ByteDifference): boolean {
  return reason === 'total';
}
