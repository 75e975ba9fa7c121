import type { Steps } from '../../base/steps.js';
import { turnsOf } from './system.js';

/** Rows of whole numbers that span a lattice. */
export type Basis = readonly Float64Array[];

/** The rows made orthogonal one after the other (Gram and Schmidt), lengths measured in the given units. */
export interface Orthogonal {
  readonly rows: readonly Float64Array[];
  /** The squared length of each. */
  readonly norms: Float64Array;
}

const DELTA = 0.99;

/**
 * Reduces a basis in place (Lenstra, Lenstra and Lovász): the rows become short and nearly orthogonal. `scale` is what a
 * 1 in each column counts, so that columns with little room count more.
 */
export function* reduceBasis(basis: Basis, scale: Float64Array): Steps<Orthogonal> {
  const count = basis.length;
  const orthogonal = basis.map(() => new Float64Array(scale.length));
  const norms = new Float64Array(count);
  const shares = basis.map(() => new Float64Array(count));
  const settle = (k: number) => orthogonalize(basis, scale, orthogonal, norms, shares, k);
  if (count > 0) settle(0);
  const isDue = turnsOf();
  for (let k = 1; k < count; ) {
    if (isDue(1 + (k * scale.length) / 8)) yield;
    settle(k);
    const own = shares[k] as Float64Array;
    for (let j = k - 1; j >= 0; j--) subtractRounded(basis, shares, k, j);
    const share = own[k - 1] as number;
    if ((norms[k] as number) >= (DELTA - share * share) * (norms[k - 1] as number)) {
      k++;
      continue;
    }
    swap(basis[k] as Float64Array, basis[k - 1] as Float64Array);
    if (k > 1) k--;
    else settle(0);
  }
  return { rows: orthogonal, norms };
}

function orthogonalize(
  basis: Basis,
  scale: Float64Array,
  orthogonal: readonly Float64Array[],
  norms: Float64Array,
  shares: readonly Float64Array[],
  k: number,
): void {
  const [row, own, share] = [basis[k] as Float64Array, orthogonal[k] as Float64Array, shares[k] as Float64Array];
  for (let i = 0; i < row.length; i++) own[i] = (row[i] as number) * (scale[i] as number);
  for (let j = 0; j < k; j++) {
    const other = orthogonal[j] as Float64Array;
    // From the rest rather than from the row itself: that loses less in rounding.
    const part = dot(own, other) / (norms[j] as number);
    share[j] = part;
    for (let i = 0; i < own.length; i++) (own[i] as number) -= part * (other[i] as number);
  }
  norms[k] = dot(own, own);
}

function subtractRounded(basis: Basis, shares: readonly Float64Array[], k: number, j: number): void {
  const [row, other, share] = [basis[k] as Float64Array, basis[j] as Float64Array, shares[k] as Float64Array];
  const times = Math.round(share[j] as number);
  if (times === 0) return;
  for (let i = 0; i < row.length; i++) (row[i] as number) -= times * (other[i] as number);
  const below = shares[j] as Float64Array;
  for (let i = 0; i < j; i++) (share[i] as number) -= times * (below[i] as number);
  (share[j] as number) -= times;
}

function swap(a: Float64Array, b: Float64Array): void {
  for (let i = 0; i < a.length; i++) [a[i], b[i]] = [b[i] as number, a[i] as number];
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] as number) * (b[i] as number);
  return sum;
}
