import { afterWrites, type ByteWrite, netWrites } from '../dump/byteWrite.js';
import type { Dump } from '../dump/dump.js';
import { setOption } from '../options/setOption.js';
import type { Option } from '../profile/profile.js';
import type { Repair } from '../repair/rebalance.js';
import { type RepairPlan, repairAll } from '../repair/repairAll.js';

/** An option and the raw value it is to get. */
export interface Setting {
  readonly option: Option;
  readonly raw: bigint;
}

/** Sets options and makes every sum right, as one list of writes; refused as a whole where any part is. */
export function setOptions(dump: Dump, settings: readonly Setting[], plan: RepairPlan = { totals: 'keep' }): Repair {
  const writes: ByteWrite[] = [];
  let now = dump;
  for (const { option, raw } of settings) {
    const result = setOption(now, option, raw);
    if (result.kind === 'refused') return result;
    writes.push(...result.writes);
    now = afterWrites(now, result.writes);
  }
  const repair = repairAll(now, plan);
  return repair.kind === 'refused' ? repair : { ...repair, writes: netWrites(dump, [...writes, ...repair.writes]) };
}
