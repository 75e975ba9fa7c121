import { phrase } from '../base/phrase.js';
import type { Dump } from '../model/dump.js';
import { rangeInHex } from '../profile/places.js';
import type { AddressRange } from '../profile/profile.js';
import { freeCellsAt } from './freeCells.js';
import { type Repair, rebalance, shareOfSteps } from './rebalance.js';

/** Further bytes that are tried, one more each time, where a range of addresses does not suffice. */
const MOST_MORE = 8;

/**
 * Brings totals of a memory image back to their stored values by the free bytes of a range of addresses. Where these do
 * not suffice, the reason names the nearest wider range that would.
 */
export function rebalanceAt(dump: Dump, range: AddressRange, totals: readonly number[]): Repair {
  const repair = rebalance(dump, freeCellsAt(dump, range), totals);
  if (repair.kind === 'writes') return repair;
  const wider = widerRange(dump, range, totals);
  if (wider === undefined) return repair;
  return { kind: 'refused', why: phrase('{0} It can be done with {1}.', repair.why, rangeInHex(wider)) };
}

function widerRange(dump: Dump, { from, to }: AddressRange, totals: readonly number[]): AddressRange | undefined {
  for (let more = 1; more <= MOST_MORE; more++) {
    const ranges = [
      { from, to: to + more },
      { from: Math.max(0, from - more), to },
    ];
    for (const range of ranges) {
      const cells = freeCellsAt(dump, range);
      if (rebalance(dump, cells, totals, shareOfSteps(2 * MOST_MORE)).kind === 'writes') return range;
    }
  }
  return undefined;
}
