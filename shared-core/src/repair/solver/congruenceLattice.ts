import type { Steps } from '../../base/steps.js';
import { type Basis, type Orthogonal, reduceBasis } from './latticeReduction.js';

/** `Σ weight(i) · z(i) ≡ wanted (mod modulus)` over whole numbers, in plain numbers. */
export interface PlainCongruence {
  readonly modulus: number;
  readonly weights: Float64Array;
}

/** All z that fulfil congruences with 0 on the right side, and a way to one with other numbers there. */
export interface CongruenceLattice {
  readonly basis: Basis;
  readonly orthogonal: Orthogonal;
  /** Some z with these residues; undefined where there is none, whatever the size of its numbers. */
  readonly particular: (wanted: readonly number[]) => Float64Array | undefined;
}

/** One prime factor of one modulus: the row by which its residue can be moved. */
interface Step {
  readonly congruence: number;
  readonly divisor: number;
  readonly prime: number;
  readonly row: Float64Array | undefined;
  readonly inverse: number;
}

/** Beyond these, products with halves of weights would not be exact. Rows so long are far beyond the room of the bytes. */
const MOST = 2 ** 34;

/**
 * The lattice of a system of congruences, one prime factor of a modulus after the other: of all rows that miss the factor
 * one takes up the difference of the others and is then multiplied by it. The basis is reduced each time, so that its
 * numbers stay small. Undefined where they do not.
 */
export function* congruenceLattice(
  congruences: readonly PlainCongruence[],
  scale: Float64Array,
): Steps<CongruenceLattice | undefined> {
  const basis = Array.from(scale, (_, i) => Float64Array.from(scale, (_one, j) => (i === j ? 1 : 0)));
  let orthogonal = yield* reduceBasis(basis, scale);
  const steps: Step[] = [];
  for (const [congruence, { modulus, weights }] of congruences.entries()) {
    let divisor = 1;
    for (const prime of primeFactors(modulus)) {
      const residues = basis.map((row) => remainder(residueOf(weights, row, modulus) / divisor, prime));
      const pivot = residues.findIndex((residue) => residue !== 0);
      const row = basis[pivot];
      const inverse = row === undefined ? 0 : inverseOf(residues[pivot] as number, prime);
      steps.push({ congruence, divisor, prime, row: row?.slice(), inverse });
      divisor *= prime;
      if (row === undefined) continue;
      for (const [k, other] of basis.entries()) {
        const times = remainder((residues[k] as number) * inverse, prime);
        if (k === pivot || times === 0) continue;
        for (let i = 0; i < other.length; i++) (other[i] as number) -= times * (row[i] as number);
      }
      for (let i = 0; i < row.length; i++) (row[i] as number) *= prime;
      orthogonal = yield* reduceBasis(basis, scale);
      if (basis.some((one) => one.some((value) => Math.abs(value) > MOST))) return undefined;
      yield;
    }
  }
  const found = orthogonal;
  return {
    basis,
    orthogonal: found,
    particular: (wanted) => {
      const point = new Float64Array(scale.length);
      for (const { congruence, divisor, prime, row, inverse } of steps) {
        const { weights, modulus } = congruences[congruence] as PlainCongruence;
        const missing = remainder((wanted[congruence] as number) - residueOf(weights, point, modulus), modulus);
        const residue = remainder(missing / divisor, prime);
        if (residue === 0) continue;
        if (row === undefined) return undefined;
        const times = remainder(residue * inverse, prime);
        for (let i = 0; i < point.length; i++) (point[i] as number) += times * (row[i] as number);
        toNearest(point, basis, found, scale);
      }
      return point;
    },
  };
}

/** Moves a point by rows of the lattice until it is near 0 (Babai's nearest plane). */
function toNearest(point: Float64Array, basis: Basis, { rows, norms }: Orthogonal, scale: Float64Array): void {
  for (let k = basis.length - 1; k >= 0; k--) {
    const [row, own] = [basis[k] as Float64Array, rows[k] as Float64Array];
    let sum = 0;
    for (let i = 0; i < point.length; i++) sum += (point[i] as number) * (scale[i] as number) * (own[i] as number);
    const times = Math.round(sum / (norms[k] as number));
    if (times !== 0) for (let i = 0; i < point.length; i++) (point[i] as number) -= times * (row[i] as number);
  }
}

/** The sum of all products modulo the modulus, exact for weights below 2^32: these are taken in two halves. */
function residueOf(weights: Float64Array, row: Float64Array, modulus: number): number {
  let sum = 0;
  for (let i = 0; i < row.length; i++) {
    const [weight, value] = [weights[i] as number, row[i] as number];
    const high = Math.floor(weight / 0x10000);
    const part = ((high * value) % modulus) * 0x10000 + (weight - high * 0x10000) * value;
    sum = (sum + part) % modulus;
  }
  return remainder(sum, modulus);
}

/** With multiplicity, in rising order: of the moduli of sums none has a large one. */
function primeFactors(modulus: number): readonly number[] {
  const factors: number[] = [];
  let left = modulus;
  for (let prime = 2; left > 1; prime++) {
    for (; left % prime === 0; left /= prime) factors.push(prime);
  }
  return factors;
}

/** 0 to before the modulus, and exact: only multiples of the divisor are divided. */
function remainder(value: number, modulus: number): number {
  const residue = value % modulus;
  return residue < 0 ? residue + modulus : residue;
}

/** The inverse modulo a prime (extended Euclid). */
function inverseOf(value: number, prime: number): number {
  let [a, b, x, y] = [value, prime, 1, 0];
  while (b !== 0) {
    const quotient = Math.floor(a / b);
    [a, b, x, y] = [b, a - quotient * b, y, x - quotient * y];
  }
  return remainder(x, prime);
}
