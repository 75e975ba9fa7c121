import { type Phrase, phrase } from '../base/phrase.js';
import { afterWrites, type ByteWrite, netWrites } from '../model/byteWrite.js';
import { type Cell, cellKey } from '../model/cell.js';
import type { Dump } from '../model/dump.js';
import { readTotal, wrongTotals } from '../model/totalReading.js';
import { freeCells } from './freeCells.js';
import { rightLineSum, withLineSums } from './lineSums.js';
import { whyImpossible } from './repairInWords.js';
import { solveTask } from './solver/solve.js';
import type { Budget, Change } from './solver/system.js';
import { taskOf } from './taskOf.js';
import { rewriteTotals } from './totals.js';

/** Writes that repair something, or the reason why there can be none. */
export type Repair =
  | {
      readonly kind: 'writes';
      readonly writes: readonly ByteWrite[];
      /** No other change of as few bytes makes the sums right. */
      readonly unique: boolean;
      /** No change of fewer bytes does, and no smaller one of as many; false where not all were looked at. */
      readonly fewest: boolean;
    }
  | { readonly kind: 'refused'; readonly why: Phrase };

/** Enough for what a line can do under any sums; a second at most, and some milliseconds as a rule. */
const STEPS = 16_000_000;

/**
 * Brings totals back to their stored values by changing free bytes of the given cells, and rights the line sums. Totals
 * that are kept and right stay right; totals that are not kept are rewritten where they cover a changed byte.
 */
export function rebalance(
  dump: Dump,
  cells: readonly Cell[],
  totals: readonly number[],
  budget: Budget = { steps: STEPS },
): Repair {
  const rows = [...new Set(cells.map(({ row }) => row))];
  const before = rightDependentSums(dump, rows, totals);
  const sound = afterWrites(dump, before);
  const demands = demandsOf(sound, totals);
  const unreadable = demands.find((index) => readTotal(sound, index) === undefined);
  if (unreadable !== undefined) {
    return refused(
      phrase('The {0} cannot be balanced: a line it covers is missing or cannot be read.', nameOf(sound, unreadable)),
    );
  }
  if (cells.length === 0) return refused(phrase('No byte is free here: all are locked, hold an option or a sum.'));
  const task = taskOf(sound, cells, demands);
  const answer = task && solveTask(task, budget);
  if (answer === undefined) {
    return refused(phrase('Too many sums that cover each other change with these bytes. Use the bytes of one line.'));
  }
  if (answer.kind === 'gave-up') {
    return refused(
      phrase('No solution was found in the time allowed. Use a line with more free bytes, or fewer sums at once.'),
    );
  }
  if (answer.kind === 'impossible') return refused(whyImpossible(sound, cells, answer.proof));
  const balanced = withLineSums(sound, writesOf(cells, answer.change));
  const after = afterWrites(sound, balanced);
  const rewritten = rewriteTotals(
    after,
    ({ total }) => !total.keep && !demands.some((index) => sound.totals[index]?.total === total),
  );
  const writes = netWrites(dump, [...before, ...balanced, ...rewritten]);
  // Whatever the algebra says, only sums that come out right from scratch are handed on.
  const wrong = wrongTotals(afterWrites(dump, writes)).filter((index) => demands.includes(index));
  if (wrong.length > 0)
    return refused(
      phrase('The {0} cannot be kept: it covers another sum that changes with it.', nameOf(sound, wrong[0] as number)),
    );
  return { kind: 'writes', writes, unique: answer.unique, fewest: answer.fewest };
}

/** Writes that put right what will follow the change: the sums of changed lines, and totals that are not kept, with the lines that hold them. */
function rightDependentSums(dump: Dump, rows: readonly number[], totals: readonly number[]): readonly ByteWrite[] {
  const follows = (index: number) => !dump.totals[index]?.total.keep && !totals.includes(index);
  const holding = [...dump.totals.keys()].filter(follows).flatMap((index) => dump.totals[index]?.stored ?? []);
  const lines = [...new Set([...rows, ...holding.map(({ row }) => row)])].flatMap((row) => rightLineSum(dump, row));
  const right = afterWrites(dump, lines);
  return [...lines, ...rewriteTotals(right, (bound) => follows(right.totals.indexOf(bound)))];
}

/** The totals to bring right, and all kept ones that are right and must stay so. */
function demandsOf(dump: Dump, totals: readonly number[]): readonly number[] {
  const kept = [...dump.totals.keys()].filter(
    (index) => dump.totals[index]?.total.keep && readTotal(dump, index) !== undefined,
  );
  return [...new Set([...totals, ...kept])].sort((a, b) => a - b);
}

function writesOf(cells: readonly Cell[], change: Change): readonly ByteWrite[] {
  return change.map(({ index, value }) => ({ ...(cells[index] as Cell), value, reason: 'balance' }));
}

function nameOf(dump: Dump, index: number): string {
  return dump.totals[index]?.total.name ?? '';
}

function refused(why: Phrase): Repair {
  return { kind: 'refused', why };
}

/** Lines that are looked at for those that could take up a difference. */
const MOST_LOOKED_AT = 200;

/** Rows of the first lines that could take up the difference, each alone or each together with the given cells. */
export function rowsThatCould(
  dump: Dump,
  totals: readonly number[],
  most: number,
  together: readonly Cell[] = [],
): readonly number[] {
  const rows: number[] = [];
  for (const row of Array.from(dump.layout.order).slice(0, MOST_LOOKED_AT)) {
    if (rows.length === most) break;
    const cells = freeCells(dump, row).filter((cell) => !together.some((other) => cellKey(other) === cellKey(cell)));
    if (cells.length === 0) continue;
    const repair = rebalance(dump, [...together, ...cells], totals, shareOfSteps(MOST_LOOKED_AT));
    if (repair.kind === 'writes') rows.push(row);
  }
  return rows;
}

/** The work for each of several lines that are tried, so that all of them together take about as long as a few alone. */
export function shareOfSteps(lines: number): Budget {
  return { steps: Math.min(STEPS, Math.ceil((2 * STEPS) / lines)) };
}
