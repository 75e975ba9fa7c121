import type { ByteOrder } from '../base/number.js';
import type { Checksum, QuickValue } from './checksum.js';
import { exactSum, exactSumChange, unitWeight } from './units.js';

export type Complement = 'none' | 'ones' | 'twos';

export interface AddParameters {
  readonly bits: 8 | 16 | 24 | 32;
  /** Bytes of one addend. */
  readonly unit: 1 | 2 | 4;
  readonly order: ByteOrder;
  /** What is done to the finished sum, start value included. */
  readonly complement: Complement;
  readonly start: bigint;
}

/**
 * Plain sum modulo 2^bits: ASAM XCP ADD_11 … ADD_44; with `twos` the record sum of Intel HEX, with `ones` that of
 * Motorola S-records. The state is the exact sum without the start value.
 */
export function add({ bits, unit, order, complement, start }: AddParameters): Checksum {
  const modulus = 1n << BigInt(bits);
  const finish = (sum: bigint): bigint => {
    if (complement === 'ones') return BigInt.asUintN(bits, ~sum);
    return BigInt.asUintN(bits, complement === 'twos' ? -sum : sum);
  };
  return {
    bits,
    stateOf: (run) => exactSum(run, unit, order),
    moved: (state, change) => state + exactSumChange(change, unit, order),
    valueOf: start === 0n ? finish : (state) => finish(state + start),
    ...(unit === 1 ? { quickValue: plainSum(bits, complement, Number(start)) } : {}),
    law: {
      kind: 'modular',
      equations: [
        {
          modulus,
          coefficient: (at) => BigInt(unitWeight(at, unit, order)),
          gap: (from, to) => BigInt.asUintN(bits, complement === 'none' ? to - from : from - to),
        },
      ],
    },
  };
}

/** The same sum of single bytes in plain numbers. */
function plainSum(bits: number, complement: Complement, start: number): QuickValue {
  const mask = 2 ** bits - 1;
  return (bytes, from, end) => {
    let sum = start;
    for (let i = from; i < end; i++) sum += bytes[i] as number;
    const finished = complement === 'none' ? sum : complement === 'ones' ? ~sum : -sum;
    return (finished & mask) >>> 0;
  };
}
