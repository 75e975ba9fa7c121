import { gcd, modulo } from './system.js';

/** All numbers that leave `value` modulo `modulus`; modulus 0 means the number itself. */
export interface Residue {
  readonly value: bigint;
  readonly modulus: bigint;
}

/** The numbers x with `factor · x ≡ wanted (mod modulus)`, or with equality for modulus 0; undefined where there are none. */
export function solveCongruence(factor: bigint, wanted: bigint, modulus: bigint): Residue | undefined {
  if (modulus === 0n) {
    if (factor === 0n) return wanted === 0n ? { value: 0n, modulus: 1n } : undefined;
    return wanted % factor === 0n ? { value: wanted / factor, modulus: 0n } : undefined;
  }
  const common = gcd(factor, modulus);
  if (wanted % common !== 0n) return undefined;
  const period = modulus / common;
  return { value: modulo((wanted / common) * inverse(factor / common, period), period), modulus: period };
}

/** The numbers in both residue classes. */
export function chineseRemainder(a: Residue, b: Residue | undefined): Residue | undefined {
  if (b === undefined) return undefined;
  if (a.modulus === 0n) return isIn(a.value, b) ? a : undefined;
  if (b.modulus === 0n) return isIn(b.value, a) ? b : undefined;
  const step = solveCongruence(a.modulus, b.value - a.value, b.modulus);
  if (step === undefined) return undefined;
  const modulus = a.modulus * step.modulus;
  return { value: modulo(a.value + a.modulus * step.value, modulus), modulus };
}

function isIn(value: bigint, residue: Residue): boolean {
  return residue.modulus === 0n ? value === residue.value : modulo(value - residue.value, residue.modulus) === 0n;
}

/** The inverse of a number that shares no divisor with the modulus (extended Euclid). */
function inverse(value: bigint, modulus: bigint): bigint {
  let [a, b] = [modulo(value, modulus), modulus];
  let [x, y] = [1n, 0n];
  while (b !== 0n) {
    const quotient = a / b;
    [a, b] = [b, a - quotient * b];
    [x, y] = [y, x - quotient * y];
  }
  return modulo(x, modulus);
}
