import { phrase } from '../base/phrase.js';
import { type Result, refuse } from '../base/result.js';
import { finish, type Steps } from '../base/steps.js';
import { type Cell, cellKey } from '../model/cell.js';
import type { Dump } from '../model/dump.js';
import { rangeInHex } from '../profile/places.js';
import type { AddressRange } from '../profile/profile.js';
import { freeCellsAt } from './freeCells.js';
import { rebalanceInSteps, shareOfSteps } from './rebalance.js';
import type { Repaired } from './repaired.js';

/** Further bytes that are tried, one more each time, where a range of addresses does not suffice. */
const MOST_MORE = 8;

/** A range with more free bytes than these is refused: any sum comes right with far fewer. */
const MOST_FREE = 4096;

/**
 * Brings totals of a memory image back to their stored values by the free bytes of a range of addresses, without those
 * that are `fixed`. Where these do not suffice, the reason names the nearest wider range that would.
 */
export function rebalanceAt(
  dump: Dump,
  range: AddressRange,
  totals: readonly number[],
  fixed: readonly Cell[] = [],
): Result<Repaired> {
  return finish(rebalanceAtInSteps(dump, range, totals, fixed));
}

/** The same in steps. */
export function* rebalanceAtInSteps(
  dump: Dump,
  range: AddressRange,
  totals: readonly number[],
  fixed: readonly Cell[] = [],
): Steps<Result<Repaired>> {
  const keys = new Set(fixed.map(cellKey));
  const freeAt = (one: AddressRange) => freeCellsAt(dump, one).filter((cell) => !keys.has(cellKey(cell)));
  const free = freeAt(range);
  if (free.length > MOST_FREE)
    return refuse(phrase('More than {0} bytes are free at these addresses. Choose fewer.', MOST_FREE));
  const repair = yield* rebalanceInSteps(dump, free, totals);
  if (repair.ok) return repair;
  for (const wider of widerRanges(range)) {
    const other = yield* rebalanceInSteps(dump, freeAt(wider), totals, shareOfSteps(2 * MOST_MORE));
    if (other.ok) return refuse(phrase('{0} It can be done with {1}.', repair.why, rangeInHex(wider)));
  }
  return repair;
}

/** Ranges with one byte more, behind and then before, with two more and so on. */
function widerRanges({ from, to }: AddressRange): readonly AddressRange[] {
  return Array.from({ length: MOST_MORE }, (_, more) => [
    { from, to: to + more + 1 },
    { from: Math.max(0, from - more - 1), to },
  ]).flat();
}
