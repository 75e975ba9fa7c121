import { phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import { finish, type Steps } from '../base/steps.js';
import { afterWrites, type ByteWrite, netWrites } from '../model/byteWrite.js';
import { type Cell, cellKey, placeCells } from '../model/cell.js';
import { withCopies } from '../model/copies.js';
import type { Dump } from '../model/dump.js';
import { wrongTotals } from '../model/totalReading.js';
import { byteAt } from '../model/totals.js';
import type { AddressRange, Total } from '../profile/profile.js';
import { sumName } from '../profile/sumName.js';
import { balanceGroups, type FreeCell, freeCells, optionCells } from './freeCells.js';
import { rightLineSums } from './lineSums.js';
import { claimsOf, rebalanceByFirst, wholeBudget } from './rebalance.js';
import { rebalanceAtInSteps } from './rebalanceAt.js';
import { optionsBalanced, type Repaired, rewritten } from './repaired.js';
import type { Allowance } from './solver/system.js';
import { brokenTotal, protectionOf, rewriteTotals, storedInDoubt, whyNeverRewritten } from './totals.js';

/** What of a dump is repaired, and how. */
export interface RepairPlan {
  /** `keep`: totals marked so in the profile are balanced, others rewritten; `rewrite`: all are rewritten; `none`: left as they are. */
  readonly totals: 'keep' | 'rewrite' | 'none';
  /** What to balance with in place of the profile's balance places: the row of a line, or addresses of a memory image. */
  readonly using?: { readonly row: number } | AddressRange;
  /**
   * The backup: balance bytes are counted from what they are in it. What is balanced then depends on the options alone,
   * not on the order in which they were set, so that an option set and set back leaves no trace.
   */
  readonly backup?: Dump | undefined;
  /** Bytes that never balance in this repair: those of the options that are being set. */
  readonly fixed?: readonly Cell[];
  /** Where the work is shared with other repairs: what is left of it. */
  readonly allowance?: Allowance | undefined;
}

/**
 * Corrects line sums and totals that are not kept; no data byte is ever touched. What an editor may do at each save, when
 * nobody reads a caution: a sum that is only a guess may be data, and stays.
 * Refused where a total that is right and not rewritten covers a sum that would change.
 */
export function rightSums(dump: Dump): Result<readonly ByteWrite[]> {
  if (dump.profile.lineSum?.confidence === 'guess') return done([]);
  return withoutBreaking(dump, sumsOnly(dump, ({ keep, confidence }) => !keep && confidence !== 'guess').writes);
}

/** Makes every sum of a dump right, by the plan. */
export function repairAll(dump: Dump, plan: RepairPlan): Result<Repaired> {
  return finish(repairAllInSteps(dump, plan));
}

/** The same in steps. */
export function* repairAllInSteps(dump: Dump, plan: RepairPlan): Steps<Result<Repaired>> {
  if (plan.totals === 'none') {
    const lines = withoutBreaking(dump, netWrites(dump, rightLineSums(dump)));
    return lines.ok ? done(rewritten(lines.value)) : lines;
  }
  const { writes: sums, after: right } = sumsOnly(
    dump,
    ({ keep }) => plan.totals === 'rewrite' || (!keep && plan.using === undefined),
  );
  const wrong = wrongTotals(right);
  if (wrong.length === 0) return done(rewritten(sums));
  const doubt = wrong.flatMap((index) => storedInDoubt(right, right.totals[index]?.total as Total) ?? [])[0];
  if (doubt !== undefined) return refuse(doubt);
  const stuck = plan.using === undefined ? wrong.find((index) => right.totals[index]?.total.keep === false) : undefined;
  if (stuck !== undefined) return refuse(whyStuck(right, right.totals[stuck]?.total as Total));
  const balanced = (yield* balancedFromBackup(right, plan, wrong)) ?? (yield* balancedBy(right, plan, wrong));
  if (!balanced.ok) return balanced;
  return done({ ...balanced.value, writes: netWrites(dump, [...sums, ...balanced.value.writes]) });
}

/** These writes of sums, unless they make a total wrong that is right. */
function withoutBreaking(dump: Dump, writes: readonly ByteWrite[]): Result<readonly ByteWrite[]> {
  const broken = brokenTotal(dump, afterWrites(dump, writes));
  if (broken === undefined) return done(writes);
  return refuse(
    phrase(
      'The {0} is right and covers sums that would change. Correct all checksums together, not these alone.',
      broken.name,
    ),
  );
}

/** Why a total that is not kept stays wrong: it is in a protected place, and nobody asked for balancing. */
function whyStuck(dump: Dump, total: Total) {
  const protection = protectionOf(dump, total);
  return protection === undefined
    ? phrase('The {0} cannot be corrected: it covers another sum that changes with it.', sumName(total))
    : phrase('{0} Choose a line to balance with.', whyNeverRewritten(total, protection));
}

/** Balanced as from the balance bytes of the backup, options aside; undefined where that cannot be done. */
function* balancedFromBackup(
  dump: Dump,
  plan: RepairPlan,
  wrong: readonly number[],
): Steps<Result<Repaired> | undefined> {
  const { backup, using, fixed, allowance } = plan;
  if (backup === undefined || using !== undefined) return undefined;
  const groups = balanceGroups(dump, fixed);
  const taken = withCopies(dump, takenFrom(backup, dump, groups.flat()));
  const begun = afterWrites(dump, taken);
  const { writes: sums, after: right } = sumsOnly(begun, ({ keep }) => !keep);
  const left = wrongTotals(right);
  const rest =
    left.length === 0 ? done(rewritten([])) : yield* rebalanceByFirst(right, groups, left, wholeBudget(allowance));
  if (!rest.ok) return undefined;
  const writes = netWrites(dump, [...taken, ...sums, ...rest.value.writes]);
  // Where the balance bytes are those of the backup already, what was shown of the change holds for the dump.
  const claims = right === dump ? claimsIn(rest.value) : yield* claimsOf(dump, writes, groups.flat(), wrong, allowance);
  return done({ writes, ...claims, alsoChanged: optionsBalanced(dump, writes) });
}

function claimsIn({ unique, fewest }: Repaired): Pick<Repaired, 'unique' | 'fewest'> {
  return { unique, fewest };
}

/** What balance bytes are in the backup; a byte that holds an option stays as the person set it. */
function takenFrom(backup: Dump, dump: Dump, allowed: readonly FreeCell[]): readonly ByteWrite[] {
  const options = optionCells(dump, allowed);
  const whole = allowed.filter(({ mask }) => mask === undefined).map(cellKey);
  const mayChange = new Set(whole.filter((key) => !options.has(key)));
  return dump.profile.balance.flatMap(({ place }) => {
    const there = placeCells(backup.layout, place);
    return placeCells(dump.layout, place).flatMap((cell, i): ByteWrite | readonly [] => {
      const from = there[i];
      const value = from && byteAt(backup.rows, from);
      const isTaken = cell !== undefined && value !== undefined && mayChange.has(cellKey(cell));
      return isTaken ? { ...cell, value, reason: 'balance' } : [];
    });
  });
}

function* balancedBy(
  dump: Dump,
  { using, fixed = [], allowance }: RepairPlan,
  totals: readonly number[],
): Steps<Result<Repaired>> {
  const budget = wholeBudget(allowance);
  if (using === undefined) {
    const groups = balanceGroups(dump, fixed);
    return groups.length === 0 ? refuse(whyNoPlace(dump)) : yield* rebalanceByFirst(dump, groups, totals, budget);
  }
  if (!('row' in using)) return yield* rebalanceAtInSteps(dump, using, totals, fixed);
  const keys = new Set(fixed.map(cellKey));
  const cells = freeCells(dump, using.row).filter((cell) => !keys.has(cellKey(cell)));
  return yield* rebalanceByFirst(dump, [cells], totals, budget);
}

function whyNoPlace(dump: Dump) {
  if (dump.profile.balance.length === 0)
    return phrase(
      'The profile names no "balance" place that may take up the difference. Choose a line to balance with.',
    );
  return balanceGroups(dump).length > 0
    ? phrase('Every "balance" place holds an option that is being set. Choose a line to balance with.')
    : phrase('Every "balance" place is missing, locked or holds a sum. Choose a line to balance with.');
}

/** The writes, and the dump after them: with thousands of lines it is not made twice. */
function sumsOnly(dump: Dump, which: (total: Total) => boolean) {
  const lines = rightLineSums(dump);
  // What it becomes matters to its totals alone.
  if (dump.totals.length === 0) return { writes: lines, after: dump };
  const linesRight = afterWrites(dump, lines);
  const totals = rewriteTotals(linesRight, ({ total }) => which(total));
  if (totals.length === 0) return { writes: lines, after: linesRight };
  const writes = netWrites(dump, [...lines, ...totals]);
  return { writes, after: afterWrites(dump, writes) };
}
