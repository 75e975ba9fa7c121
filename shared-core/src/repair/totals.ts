import { bytesOfNumber } from '../base/number.js';
import { afterWrites, type ByteWrite } from '../model/byteWrite.js';
import type { Dump } from '../model/dump.js';
import { readTotal } from '../model/totalReading.js';
import type { BoundTotal } from '../model/totals.js';
import { withLineSums } from './lineSums.js';

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
