import { bytesOfNumber } from '../bytes/number.js';
import { afterWrites, type ByteWrite } from '../dump/byteWrite.js';
import type { Dump } from '../dump/dump.js';
import { type BoundTotal, storedValue } from '../dump/totals.js';
import { withLineSums } from './lineSums.js';

/** A total in one version of a dump, where it can be checked: all lines are there, once each, and can be read. */
export interface TotalReading {
  readonly bound: BoundTotal;
  readonly computed: bigint;
  readonly stored: bigint;
}

export function readTotal(dump: Dump, index: number): TotalReading | undefined {
  const bound = dump.totals[index];
  const state = dump.states[index];
  if (bound === undefined || state === undefined || state.unreadable > 0 || bound.run.lacks !== undefined)
    return undefined;
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

/** Writes that put the computed value in a total's place, and right the sum of the line that holds it. */
export function rewriteTotal(dump: Dump, index: number): readonly ByteWrite[] {
  const reading = readTotal(dump, index);
  if (reading === undefined || reading.stored === reading.computed) return [];
  const { stored, total, width } = reading.bound;
  const bytes = bytesOfNumber(reading.computed, width, total.order);
  const writes = (stored ?? []).map((cell, i) => ({ ...cell, value: bytes[i] as number, reason: 'total' as const }));
  return withLineSums(dump, writes);
}

/** Rewrites all wrong totals that `which` allows, each after those whose places it covers (the profile's order). */
export function rewriteTotals(dump: Dump, which: (bound: BoundTotal) => boolean): readonly ByteWrite[] {
  const writes: ByteWrite[] = [];
  let now = dump;
  for (const index of dump.totals.keys()) {
    if (!which(dump.totals[index] as BoundTotal)) continue;
    const step = rewriteTotal(now, index);
    writes.push(...step);
    now = afterWrites(now, step);
  }
  return writes;
}
