import { type Phrase, phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import { afterWrites, type ByteWrite, netWrites } from '../model/byteWrite.js';
import { presentCells } from '../model/cell.js';
import type { Dump } from '../model/dump.js';
import type { CoveredRun } from '../model/run.js';
import { readTotal } from '../model/totalReading.js';
import type { BoundTotal } from '../model/totals.js';
import { setOption } from '../options/setOption.js';
import type { Option } from '../profile/profile.js';
import { type RepairPlan, repairAll } from '../repair/repairAll.js';
import type { Repaired } from '../repair/repaired.js';

/** An option and the raw value it is to get. */
export interface Setting {
  readonly option: Option;
  readonly raw: bigint;
}

/** Sets options and makes every sum right, as one list of writes; refused as a whole where any part is. */
export function setOptions(
  dump: Dump,
  settings: readonly Setting[],
  plan: RepairPlan = { totals: 'keep' },
): Result<Repaired> {
  const writes: ByteWrite[] = [];
  let now = dump;
  for (const { option, raw } of settings) {
    const result = setOption(now, option, raw);
    if (!result.ok) return result;
    writes.push(...result.value);
    now = afterWrites(now, result.value);
  }
  const untold = plan.totals === 'none' ? undefined : untoldTotal(now, writes);
  if (untold !== undefined) return refuse(whyNotKept(untold));
  const fixed = settings.flatMap(({ option }) => presentCells(dump.layout, option.place));
  const repair = repairAll(now, { ...plan, fixed });
  if (!repair.ok) return repair;
  return done({ ...repair.value, writes: netWrites(dump, [...writes, ...repair.value.writes]) });
}

/** A total over one of the written bytes that nobody can tell, so that it cannot be kept right. */
function untoldTotal(dump: Dump, writes: readonly ByteWrite[]): BoundTotal | undefined {
  return dump.totals.find(
    ({ run }, index) => readTotal(dump, index) === undefined && writes.some(({ row }) => covers(run, row)),
  );
}

/** Whether a run covers bytes of a row; one over addresses that are not all there may cover any. */
function covers({ obstacle, length, piecesIn }: CoveredRun, row: number): boolean {
  return (obstacle !== undefined && length === 0) || piecesIn(row).length > 0;
}

function whyNotKept({ total, stored }: BoundTotal): Phrase {
  return stored === undefined
    ? phrase('The {0} cannot be kept: the place where it is stored is missing. Put that in first.', total.name)
    : phrase(
        'The {0} cannot be kept: a line it covers is missing, stands twice or cannot be read. Right that first.',
        total.name,
      );
}
