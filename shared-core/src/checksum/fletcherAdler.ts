import { hex } from '../base/hex.js';
import type { ByteOrder } from '../base/number.js';
import { phrase } from '../base/phrase.js';
import type { Checksum, RunChange } from './checksum.js';
import { sumMethod } from './method.js';
import { addedUpExactly, chained, numbersOfRun } from './onPaper.js';
import { bitsOf, ORDER } from './parameters.js';
import { unitWeight } from './units.js';

const kindOfFletcher = (bits: 16 | 32, order: ByteOrder): SumPair =>
  bits === 16 ? { bits, modulus: 255, unit: 1, order, start: 0 } : { bits, modulus: 65_535, unit: 2, order, start: 0 };

const ADLER: SumPair = { bits: 32, modulus: 65_521, unit: 1, order: 'big', start: 1 };

export const fletcher = sumMethod({
  about: "Fletcher's two sums (RFC 1146).",
  parameters: { bits: bitsOf([16, 32], 16), order: ORDER },
  checksum: ({ bits, order }) => fletcherAdler(kindOfFletcher(bits, order)),
  words: ({ bits }) => [phrase('Fletcher-{0}', bits)],
  onPaper: ({ bits, order }, run) => pairOnPaper(kindOfFletcher(bits, order), run),
});

export const adler = sumMethod({
  about: 'Adler-32 (RFC 1950).',
  parameters: {},
  checksum: () => fletcherAdler(ADLER),
  words: () => [phrase('Adler-32')],
  onPaper: (_, run) => pairOnPaper(ADLER, run),
});

/** A sum of two: the sum of all units, and the sum of all intermediate sums; the value holds the second above the first. */
interface SumPair {
  readonly bits: 16 | 32;
  readonly modulus: number;
  /** Bytes of one unit. */
  readonly unit: 1 | 2;
  readonly order: ByteOrder;
  /** What the first sum starts from. */
  readonly start: 0 | 1;
}

/** The first sum, then the sum of what it is after each number, and both side by side. */
function pairOnPaper({ bits, modulus, unit, order, start }: SumPair, run: Uint8Array): readonly string[] {
  const digits = bits / 8;
  const m = BigInt(modulus);
  const numbers = numbersOfRun(run, unit, order);
  let first = BigInt(start);
  const between = numbers.map((number) => {
    first += number;
    return first;
  });
  const second = addedUpExactly(between);
  const summed = (terms: readonly bigint[], sum: bigint) => [
    `${chained(terms, '+', 2 * unit)} = ${hex(sum, digits)}`,
    ...(sum < m ? [] : [`${hex(sum, digits)} mod ${hex(m, digits)} = ${hex(sum % m, digits)}`]),
  ];
  return [
    ...summed(start === 0 ? numbers : [BigInt(start), ...numbers], first),
    ...summed(between, second),
    `${hex(second % m, digits)}${hex(first % m, digits)}`,
  ];
}

/**
 * How many units are added before the sums are reduced. Neither sum leaves 31 bits, within which engines add fastest:
 * n units of at most u on sums below m make at most u · n(n + 1) / 2 + m · (n + 1).
 */
const BATCH = { 1: 2048, 2: 240 } as const;

/** Fletcher's sum (RFC 1146 for bytes) and Adler-32 (RFC 1950): the same construction with other constants. */
function fletcherAdler({ bits, modulus, unit, order, start }: SumPair): Checksum {
  const half = BigInt(bits / 2);
  const low = (1n << half) - 1n;
  const m = BigInt(modulus);
  const pack = (first: number, second: number) => (BigInt(second) << half) | BigInt(first);
  const units = (length: number) => Math.ceil(length / unit);
  /** In how many intermediate sums the unit of this byte is counted. */
  const passes = (at: number, length: number) => units(length) - Math.floor(at / unit);
  const weight = (at: number) => unitWeight(at, unit, order);
  const [even, odd] = [weight(0), weight(1)];
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
      const batch = BATCH[unit] * unit;
      for (let from = 0; from < run.length; from += batch) {
        const to = Math.min(run.length, from + batch);
        if (unit === 1) {
          for (let i = from; i < to; i++) {
            first += run[i] as number;
            second += first;
          }
        } else {
          for (let i = from; i < to; i += 2) {
            first += (run[i] as number) * even + (run[i + 1] ?? 0) * odd;
            second += first;
          }
        }
        first %= modulus;
        second %= modulus;
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
