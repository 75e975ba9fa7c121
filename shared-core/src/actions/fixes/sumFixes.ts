import { listed, type Phrase, phrase } from '../../base/phrase.js';
import { refuse } from '../../base/result.js';
import type { Steps } from '../../base/steps.js';
import type { Problem } from '../../checks/problem.js';
import { contentOf, type RecordRow } from '../../format/row.js';
import { lineEndOf } from '../../format/rows.js';
import type { Cell } from '../../model/cell.js';
import type { Dump } from '../../model/dump.js';
import { lineCalled, recordCalled } from '../../model/lineName.js';
import { totalLine } from '../../model/missing.js';
import { nameOfSum, readTotal } from '../../model/totalReading.js';
import { sumName } from '../../profile/sumName.js';
import { balanceGroups, type FreeCell, freeCells } from '../../repair/freeCells.js';
import { rightLineSum } from '../../repair/lineSums.js';
import { rebalanceByFirst, rebalanceInSteps, rowsThatCould, wholeBudget } from '../../repair/rebalance.js';
import { balancedLinesInWords, lineSumDigits, totalDigits } from '../../repair/repairInWords.js';
import { type Allowance, isUsedUp } from '../../repair/solver/system.js';
import { protectionOf, rewriteTotal, whyNeverRewritten } from '../../repair/totals.js';
import { changeOf, type Subject } from '../change.js';
import { keepingConditions } from '../conditions.js';
import { fixOnSave } from '../repair.js';
import type { ChangeFix, Fix, WishFix } from './fix.js';

/** Corrects the sum of one line. */
export function lineSumFix(subject: Subject, row: number): readonly Fix[] {
  const { dump } = subject;
  const digits = lineSumDigits(dump, row);
  if (digits === undefined) return [];
  const name = recordCalled(dump, row, dump.rows[row] as RecordRow);
  const title = phrase('Correct the sum of line {0}: {1} to {2}', name, digits.stored, digits.right);
  const result = changeOf(subject, { writes: rightLineSum(dump, row) }, title, {});
  return [{ kind: 'change', title, result, preferred: true }];
}

/** Rewrites or balances the total that is wrong, in the order in which the profile wants it. */
export function* totalFixes(
  subject: Subject,
  problem: Problem,
  commands: boolean,
  allowance: Allowance | undefined,
): Steps<readonly Fix[]> {
  const { dump } = subject;
  const index = dump.totals.findIndex(({ stored }) => stored?.[0] !== undefined && isAt(dump, stored[0], problem));
  const reading = readTotal(dump, index);
  if (reading === undefined || reading.computed === reading.stored) return [];
  const { total } = reading.bound;
  const { stored, right } = totalDigits(reading);
  const title = phrase('Rewrite the {0}: {1} to {2}', sumName(total), stored, right);
  const protection = protectionOf(dump, total);
  const result =
    protection === undefined
      ? changeOf(subject, { writes: rewriteTotal(dump, index) }, title, {})
      : refuse(whyNeverRewritten(total, protection));
  const rewrite: Fix = { kind: 'change', title, result, preferred: !total.keep };
  const others = [
    ...(yield* balanceFixes(subject, index, allowance)),
    ...(yield* otherLines(subject, index, commands, allowance)),
  ];
  return total.keep ? [...others, rewrite] : [rewrite, ...others];
}

function isAt(dump: Dump, cell: Cell, { row, start }: Problem): boolean {
  const record = dump.rows[row];
  return cell.row === row && record?.kind === 'record' && dump.notation.digitPlaces(record)[2 * cell.byte] === start;
}

/** A list to choose from where the editor has one, else the first lines that could. */
function* otherLines(
  subject: Subject,
  index: number,
  commands: boolean,
  allowance: Allowance | undefined,
): Steps<readonly Fix[]> {
  const { dump } = subject;
  const name = nameOfSum(dump, index);
  if (!commands) {
    const fixes: ChangeFix[] = [];
    for (const row of yield* rowsThatCould(dump, [index], 4, [], allowance))
      fixes.push(...(yield* rebalanceFix(subject, index, freeCells(dump, row), allowance)));
    return fixes;
  }
  const title =
    dump.layout.kind === 'image'
      ? phrase('Rebalance {0} using addresses…', name)
      : phrase('Rebalance {0} using another line…', name);
  return [{ kind: 'command', title, command: 'rebalance' }];
}

/** Rebalancing with the profile's own places; the first that can is the one to take. */
function* balanceFixes(subject: Subject, index: number, allowance: Allowance | undefined): Steps<readonly Fix[]> {
  const { dump } = subject;
  const groups = balanceGroups(dump);
  const keep = dump.totals[index]?.total.keep === true;
  const fixes: ChangeFix[] = [];
  for (const cells of groups) fixes.push(...(yield* rebalanceFix(subject, index, cells, allowance)));
  if (fixes.length > 0 || groups.length === 0) return fixes.map((one, i) => ({ ...one, preferred: keep && i === 0 }));
  const together = yield* rebalanceByFirst(dump, groups, [index], wholeBudget(allowance));
  if (together.ok)
    return (yield* rebalanceFix(subject, index, groups.flat(), allowance)).map((one) => ({ ...one, preferred: keep }));
  const title = phrase('Rebalance {0} using the balance places', nameOfSum(dump, index));
  const why = yield* withLinesThatCould(dump, index, groups.flat(), together.why, allowance);
  return [{ kind: 'change', title, result: refuse(isUsedUp(allowance) ? NOT_FOUND_YET : why) }];
}

const NOT_FOUND_YET = phrase(
  'This change takes too long to find for a menu. Use "Rebalance Using a Line…", or "countersum fix" in a terminal.',
);

function* withLinesThatCould(
  dump: Dump,
  index: number,
  places: readonly FreeCell[],
  why: Phrase,
  allowance: Allowance | undefined,
): Steps<Phrase> {
  if (dump.layout.kind === 'image') return why;
  const labels = (rows: readonly number[]) => listed(rows.map((row) => lineCalled(dump, row)));
  const alone = yield* rowsThatCould(dump, [index], 5, [], allowance);
  if (alone.length > 0) return phrase('{0} Lines that could: {1}.', why, labels(alone));
  const together = yield* rowsThatCould(dump, [index], 5, places, allowance);
  return together.length > 0
    ? phrase('{0} Lines that could together with these places: {1}.', why, labels(together))
    : why;
}

/** Rebalancing with given bytes, titled by the bytes it changes; nothing where it cannot be done. */
function* rebalanceFix(
  subject: Subject,
  index: number,
  cells: readonly FreeCell[],
  allowance: Allowance | undefined,
): Steps<readonly ChangeFix[]> {
  const { dump } = subject;
  const repair = yield* rebalanceInSteps(dump, cells, [index], wholeBudget(allowance));
  // Where corrected line sums are all it takes, no byte is balanced, and the line sums have fixes of their own.
  if (!repair.ok || repair.value.writes.every(({ reason }) => reason !== 'balance')) return [];
  const { writes } = repair.value;
  const title = phrase('Rebalance {0} using {1}', nameOfSum(dump, index), balancedLinesInWords(dump, writes));
  return [
    {
      kind: 'change',
      title,
      result: keepingConditions(subject, changeOf(subject, { writes }, title, {}, repair.value)),
    },
  ];
}

/** Puts in the line of a total that is missing. */
export function addTotal(subject: Subject, problem: Problem): readonly Fix[] {
  const { dump } = subject;
  const index = dump.totals.findIndex(
    ({ total }) => total.stored.kind === 'record' && total.stored.label === problem.label,
  );
  const line = totalLine(dump, index);
  if (line === undefined) return [];
  const end = contentOf(dump.rows[problem.row]?.text ?? '').length;
  const title = phrase('Add the {0}: "{1}"', nameOfSum(dump, index), line.text);
  const edits = [{ row: problem.row, start: end, end, text: `${lineEndOf(dump.rows)}${line.text}` }];
  return [{ kind: 'change', title, result: changeOf(subject, { edits }, title, {}), preferred: true }];
}

/** Makes every sum right in one step, rebalancing included. */
export const FIX_EVERYTHING: WishFix = {
  kind: 'wish',
  title: phrase('Correct all checksums'),
  otherwise: phrase('Correct the checksums that can be computed'),
  caution: undefined,
  wish: { kind: 'all-sums' },
};

/** The repair that an editor may do at each save: no data byte is touched. */
export function fixForSaving(subject: Subject): Fix | undefined {
  const result = fixOnSave(subject);
  if (!result.ok || result.value.edits.length === 0) return undefined;
  return { kind: 'change', title: phrase('Correct line sums and rewrite file sums that are not kept'), result };
}
