import { hex } from '../base/hex.js';
import { phrase } from '../base/phrase.js';
import type { Checksum, QuickValue } from './checksum.js';
import { startInWords, sumMethod } from './method.js';
import { addedUpExactly, chained, numbersOfRun } from './onPaper.js';
import { bitsOf, type Choice, ORDER, START, type ValuesOf } from './parameters.js';
import { exactSum, exactSumChange, unitWeight } from './units.js';

type Complement = 'none' | 'ones' | 'twos';

const UNIT: Choice<1 | 2 | 4> = {
  kind: 'choice',
  of: [1, 2, 4],
  usual: 1,
  seldom: true,
  about: 'Bytes that are added as one number. A short last one is filled with zero bytes.',
};

const COMPLEMENT: Choice<Complement> = {
  kind: 'choice',
  of: ['none', 'ones', 'twos'],
  usual: 'none',
  seldom: true,
  about: 'What is done to the finished sum, start value included: nothing, every bit turned over, or negated.',
};

const parameters = {
  bits: bitsOf([8, 16, 24, 32], 8),
  unit: UNIT,
  complement: COMPLEMENT,
  start: START,
  order: ORDER,
};

export const add = sumMethod({
  about: 'The bytes (or units of 2 or 4 bytes) added up.',
  parameters,
  checksum: addedUp,
  words: ({ bits, unit, complement, start }) => [
    phrase('{0}-bit sum', bits),
    ...(unit === 1 ? [] : [phrase('numbers of {0} bytes', unit)]),
    ...(complement === 'none' ? [] : [complement === 'ones' ? phrase("ones' complement") : phrase("two's complement")]),
    ...startInWords(start, bits),
  ],
  onPaper: ({ bits, unit, order, complement, start }, run) => {
    const numbers = [...(start === 0n ? [] : [start]), ...numbersOfRun(run, unit, order)];
    const digits = bits / 4;
    const exact = addedUpExactly(numbers);
    const kept = BigInt.asUintN(bits, exact);
    const modulus = 1n << BigInt(bits);
    const from = complement === 'ones' ? modulus - 1n : modulus;
    const left = from - kept;
    return [
      `${chained(numbers, '+', 2 * unit)} = ${hex(exact, digits)}`,
      ...(exact === kept ? [] : [hex(kept, digits)]),
      ...(complement === 'none' ? [] : [`${hex(from, digits)} − ${hex(kept, digits)} = ${hex(left, digits)}`]),
      ...(complement === 'twos' && kept === 0n ? [hex(0, digits)] : []),
    ];
  },
});

/**
 * Plain sum modulo 2^bits: ASAM XCP ADD_11 … ADD_44; with `twos` the record sum of Intel HEX, with `ones` that of
 * Motorola S-records. The state is the exact sum without the start value.
 */
function addedUp({ bits, unit, order, complement, start }: ValuesOf<typeof parameters>): Checksum {
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
