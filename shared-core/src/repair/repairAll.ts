import { listed, phrase } from '../base/phrase.js';
import { afterWrites, type ByteWrite, netWrites } from '../model/byteWrite.js';
import { type Cell, placeCells } from '../model/cell.js';
import type { Dump } from '../model/dump.js';
import { wrongTotals } from '../model/totalReading.js';
import { byteAt } from '../model/totals.js';
import type { AddressRange } from '../profile/profile.js';
import { balanceGroups, freeCells } from './freeCells.js';
import { rightLineSums } from './lineSums.js';
import { type Repair, rebalance } from './rebalance.js';
import { rebalanceAt } from './rebalanceAt.js';
import { rewriteTotals } from './totals.js';

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
}

/** Rights line sums and totals that are not kept; no data byte is ever touched. What an editor may do at each save. */
export function rightSums(dump: Dump): readonly ByteWrite[] {
  return sumsOnly(dump, ({ keep }) => !keep);
}

/** What is said of sums that are rewritten: nothing else could be. */
const ALONE = { unique: true, fewest: true } as const;

/** Makes every sum of a dump right, by the plan. */
export function repairAll(dump: Dump, plan: RepairPlan): Repair {
  const lines = rightLineSums(dump);
  if (plan.totals === 'none') return { kind: 'writes', writes: netWrites(dump, lines), ...ALONE };
  const sums = sumsOnly(dump, ({ keep }) => plan.totals === 'rewrite' || (!keep && plan.using === undefined));
  const right = afterWrites(dump, sums);
  const wrong = wrongTotals(right);
  if (wrong.length === 0) return { kind: 'writes', writes: netWrites(dump, sums), ...ALONE };
  const counted = plan.using === undefined && plan.backup !== undefined ? fromBackup(right, plan.backup) : undefined;
  const balanced = counted ?? balancedBy(right, plan.using, wrong);
  if (balanced.kind === 'refused') return balanced;
  return { ...balanced, writes: netWrites(dump, [...sums, ...balanced.writes]) };
}

/** Balanced as from the balance bytes of the backup; undefined where that cannot be done. */
function fromBackup(dump: Dump, backup: Dump): Extract<Repair, { kind: 'writes' }> | undefined {
  const taken = dump.profile.balance.flatMap(({ place }) => {
    const there = placeCells(backup.layout, place);
    return placeCells(dump.layout, place).flatMap((cell, i): ByteWrite | readonly [] => {
      const from = there?.[i];
      const value = from && byteAt(backup.rows, from);
      return cell === undefined || value === undefined ? [] : { ...cell, value, reason: 'balance' };
    });
  });
  const begun = afterWrites(dump, taken);
  const sums = sumsOnly(begun, ({ keep }) => !keep);
  const right = afterWrites(begun, sums);
  const wrong = wrongTotals(right);
  const rest =
    wrong.length === 0 ? { kind: 'writes' as const, writes: [], ...ALONE } : balancedBy(right, undefined, wrong);
  return rest.kind === 'refused' ? undefined : { ...rest, writes: [...taken, ...sums, ...rest.writes] };
}

function balancedBy(dump: Dump, using: RepairPlan['using'], totals: readonly number[]): Repair {
  if (using === undefined) return firstThatCan(dump, balanceGroups(dump), totals);
  return 'row' in using ? firstThatCan(dump, [freeCells(dump, using.row)], totals) : rebalanceAt(dump, using, totals);
}

/** Tries each group of cells in turn, then all of them together; the reasons of each are given where none can. */
export function firstThatCan(dump: Dump, groups: readonly (readonly Cell[])[], totals: readonly number[]): Repair {
  if (groups.length === 0) {
    const why = phrase(
      'The profile names no "balance" place that may take up the difference. Choose a line to balance with.',
    );
    return { kind: 'refused', why };
  }
  const tries: Repair[] = [];
  for (const cells of groups) {
    const repair = rebalance(dump, cells, totals);
    if (repair.kind === 'writes') return repair;
    tries.push(repair);
  }
  const together = groups.length > 1 ? rebalance(dump, groups.flat(), totals) : undefined;
  if (together?.kind === 'writes') return together;
  return {
    kind: 'refused',
    why: listed(
      tries.flatMap((repair) => (repair.kind === 'refused' ? [repair.why] : [])),
      ' ',
    ),
  };
}

function sumsOnly(dump: Dump, which: (total: Dump['totals'][number]['total']) => boolean): readonly ByteWrite[] {
  const lines = rightLineSums(dump);
  return netWrites(dump, [...lines, ...rewriteTotals(afterWrites(dump, lines), ({ total }) => which(total))]);
}
