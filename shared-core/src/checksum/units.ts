import type { ByteOrder } from '../bytes/number.js';
import type { RunChange } from './checksum.js';

/**
 * Sum of a run's units as whole numbers, exact while it stays below 2^53: runs of up to 2 MiB of 32-bit units, which
 * `chunkedSum` joins. A short last unit is filled with zero bytes at its end.
 */
function sumUnits(run: Uint8Array, from: number, to: number, unit: number, order: ByteOrder): number {
  let sum = 0;
  if (unit === 1) {
    for (let i = from; i < to; i++) sum += run[i] as number;
    return sum;
  }
  for (let i = from; i < to; i++) sum += (run[i] as number) * unitWeight(i, unit, order);
  return sum;
}

/** What a byte of the run counts within its unit: 256 to the power of its place. */
export function unitWeight(at: number, unit: number, order: ByteOrder): number {
  const place = at % unit;
  return 256 ** (order === 'big' ? unit - 1 - place : place);
}

const CHUNK = 1 << 20;

/** Exact sum of the units of a run. */
export function exactSum(run: Uint8Array, unit: number, order: ByteOrder): bigint {
  let sum = 0n;
  for (let from = 0; from < run.length; from += CHUNK) {
    sum += BigInt(sumUnits(run, from, Math.min(run.length, from + CHUNK), unit, order));
  }
  return sum;
}

/** How much the exact sum grows with a change of a part of the run. */
export function exactSumChange({ at, before, after }: RunChange, unit: number, order: ByteOrder): bigint {
  let growth = 0;
  for (let i = 0; i < after.length; i++) {
    growth += ((after[i] as number) - (before[i] as number)) * unitWeight(at + i, unit, order);
  }
  return BigInt(growth);
}
