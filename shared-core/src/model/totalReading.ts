import { hexBytes } from '../base/hex.js';
import { bytesOfNumber } from '../base/number.js';
import type { Phrase } from '../base/phrase.js';
import { sumName } from '../profile/sumName.js';
import type { Dump } from './dump.js';
import { type BoundTotal, storedValue } from './totals.js';

/** A total in one version of a dump, where it can be checked: it covers bytes, and all of them are there, once each, and can be read. */
export interface TotalReading {
  readonly bound: BoundTotal;
  readonly computed: bigint;
  readonly stored: bigint;
}

export function readTotal(dump: Dump, index: number): TotalReading | undefined {
  const bound = dump.totals[index];
  const state = dump.states[index];
  if (bound === undefined || state === undefined || state.unreadable > 0 || bound.run.obstacle !== undefined)
    return undefined;
  if (bound.run.length === 0) return undefined;
  const stored = storedValue(bound, dump.rows);
  if (stored === undefined || dump.layout.repeated.length > 0) return undefined;
  return { bound, stored, computed: bound.total.checksum.valueOf(state.state) };
}

/** Indexes of totals that can be checked and are wrong. */
export function wrongTotals(dump: Dump): readonly number[] {
  return [...dump.totals.keys()].filter((index) => {
    const reading = readTotal(dump, index);
    return reading !== undefined && reading.stored !== reading.computed;
  });
}

/** Whether a total can be checked, and fits its bytes. */
export function isTotalRight(dump: Dump, index: number): boolean {
  const reading = readTotal(dump, index);
  return reading !== undefined && reading.stored === reading.computed;
}

/** The value of a total in upper-case hex, in the byte order in which the file stores it. */
export function sumAsWritten({ total, width }: Pick<BoundTotal, 'total' | 'width'>, value: bigint): string {
  return hexBytes(bytesOfNumber(value, width, total.order));
}

/** The index in one dump of a total of another by the same profile: of a record that moves it is in another place; -1 where it has none. */
export function sameTotal(dump: Dump, other: Dump, index: number): number {
  const total = other.totals[index]?.total;
  if (total === undefined || dump.totals[index]?.total === total) return total === undefined ? -1 : index;
  return dump.totals.findIndex(
    (one) => one.total === total || (total.ofSlots !== undefined && one.total.ofSlots === total.ofSlots),
  );
}

/** What the sum of this number is called. */
export function nameOfSum({ totals }: Dump, index: number): string | Phrase {
  const total = totals[index]?.total;
  return total === undefined ? '' : sumName(total);
}
