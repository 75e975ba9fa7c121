import type { Checksum, RunChange } from './checksum.js';

/** A sum of two: the sum of all units, and the sum of all intermediate sums; the value holds the second above the first. */
export interface TwoSums {
  readonly bits: 16 | 32;
  readonly modulus: number;
  /** Bytes of one unit, the least significant first. */
  readonly unit: 1 | 2;
  /** What the first sum starts from. */
  readonly start: 0 | 1;
}

/** Fletcher's sum (RFC 1146 for bytes) and Adler-32 (RFC 1950): the same construction with other constants. */
export function twoSums({ bits, modulus, unit, start }: TwoSums): Checksum {
  const half = BigInt(bits / 2);
  const low = (1n << half) - 1n;
  const m = BigInt(modulus);
  const pack = (first: number, second: number) => (BigInt(second) << half) | BigInt(first);
  const units = (length: number) => Math.ceil(length / unit);
  /** In how many intermediate sums the unit of this byte is counted. */
  const passes = (at: number, length: number) => units(length) - Math.floor(at / unit);
  const weight = (at: number) => 256 ** (at % unit);
  const moved = (state: bigint, { at, length, before, after }: RunChange): bigint => {
    let first = 0;
    let second = 0;
    for (let i = 0; i < after.length; i++) {
      const growth = (((after[i] as number) - (before[i] as number)) * weight(at + i)) % modulus;
      first = (first + growth) % modulus;
      second = (second + growth * (passes(at + i, length) % modulus)) % modulus;
    }
    return pack(residue(Number(state & low) + first, modulus), residue(Number(state >> half) + second, modulus));
  };
  return {
    bits,
    stateOf: (run) => {
      let first: number = start;
      let second = 0;
      for (let i = 0; i < run.length; i += unit) {
        first = (first + (run[i] as number) + (unit === 2 ? (run[i + 1] ?? 0) * 256 : 0)) % modulus;
        second = (second + first) % modulus;
      }
      return pack(first, second);
    },
    moved,
    valueOf: (state) => state,
    law: {
      kind: 'modular',
      equations: [
        {
          modulus: m,
          coefficient: (at) => BigInt(weight(at)),
          gap: (from, to) => ((((to & low) - (from & low)) % m) + m) % m,
        },
        {
          modulus: m,
          coefficient: (at, length) => (BigInt(weight(at)) * BigInt(passes(at, length))) % m,
          gap: (from, to) => ((((to >> half) - (from >> half)) % m) + m) % m,
        },
      ],
    },
  };
}

function residue(value: number, modulus: number): number {
  return ((value % modulus) + modulus) % modulus;
}
