import { hex } from '../base/hex.js';
import { type ByteOrder, numberOf } from '../base/number.js';

/** More numbers than these are not written one by one. */
const MOST_TERMS = 24;
const FIRST_TERMS = 12;
const LAST_TERMS = 4;

/** The numbers of `unit` bytes that a run is made of; zero bytes fill a short last one. */
export function numbersOfRun(run: Uint8Array, unit: number, order: ByteOrder): readonly bigint[] {
  return Array.from({ length: Math.ceil(run.length / unit) }, (_, i) => {
    const bytes = new Uint8Array(unit);
    bytes.set(run.subarray(i * unit, (i + 1) * unit));
    return numberOf(bytes, order);
  });
}

/** Numbers in hex with a sign between them; of many only the first and the last. */
export function chained(numbers: readonly bigint[], sign: '+' | 'xor', digits: number): string {
  const texts = numbers.map((number) => hex(number, digits));
  const shown = texts.length > MOST_TERMS ? [...texts.slice(0, FIRST_TERMS), '…', ...texts.slice(-LAST_TERMS)] : texts;
  return shown.length === 0 ? hex(0, digits) : shown.join(` ${sign} `);
}

export function addedUpExactly(numbers: readonly bigint[]): bigint {
  return numbers.reduce((sum, number) => sum + number, 0n);
}
