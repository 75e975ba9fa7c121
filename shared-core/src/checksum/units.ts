import type { ByteOrder } from '../bytes/number.js';
import type { RunChange } from './checksum.js';

/** Every unit size divides this, so bytes whose places are alike modulo it count alike. */
const LANES = 4;

/** What a byte of the run counts within its unit: 256 to the power of its place. */
export function unitWeight(at: number, unit: number, order: ByteOrder): number {
  const place = at % unit;
  return 256 ** (order === 'big' ? unit - 1 - place : place);
}

/**
 * Exact sum of the units of a run. A short last unit is filled with zero bytes at its end, so that each byte counts by
 * its place alone; bytes of the same place are summed as they are and weighted once.
 *
 * `at` is where these bytes begin in the whole run.
 */
export function exactSum(bytes: Uint8Array, unit: number, order: ByteOrder, at = 0): bigint {
  let [a, b, c, d] = [0, 0, 0, 0];
  let i = 0;
  for (; i + LANES <= bytes.length; i += LANES) {
    a += bytes[i] as number;
    b += bytes[i + 1] as number;
    c += bytes[i + 2] as number;
    d += bytes[i + 3] as number;
  }
  a += bytes[i] ?? 0;
  b += bytes[i + 1] ?? 0;
  c += bytes[i + 2] ?? 0;
  if (unit === 1) return BigInt(a + b + c + d);
  const weighted = (sum: number, lane: number) => BigInt(sum) * BigInt(unitWeight(at + lane, unit, order));
  return weighted(a, 0) + weighted(b, 1) + weighted(c, 2) + weighted(d, 3);
}

/** How much the exact sum grows with a change of a part of the run. */
export function exactSumChange({ at, before, after }: RunChange, unit: number, order: ByteOrder): bigint {
  return exactSum(after, unit, order, at) - exactSum(before, unit, order, at);
}
