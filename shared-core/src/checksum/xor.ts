import { hex } from '../base/hex.js';
import { phrase } from '../base/phrase.js';
import type { Checksum } from './checksum.js';
import { startInWords, sumMethod } from './method.js';
import { chained, numbersOfRun } from './onPaper.js';
import { bitsOf, ORDER, START, type ValuesOf } from './parameters.js';

const parameters = { bits: bitsOf([8, 16, 32], 8), start: START, order: ORDER };

export const xor = sumMethod({
  about: 'Exclusive or, the longitudinal parity (ISO 1155).',
  parameters,
  checksum: xored,
  words: ({ bits, start }) => [phrase('{0}-bit exclusive or', bits), ...startInWords(start, bits)],
  onPaper: ({ bits, order, start }, run) => {
    const numbers = [...(start === 0n ? [] : [start]), ...numbersOfRun(run, bits / 8, order)];
    const all = numbers.reduce((value, number) => value ^ number, 0n);
    return [`${chained(numbers, 'xor', bits / 4)} = ${hex(all, bits / 4)}`];
  },
});

/**
 * Exclusive or of all units of the value's width: longitudinal parity (ISO 1155). A short last unit is filled with
 * zero bytes. The state is the value without the start value.
 */
function xored({ bits, order, start }: ValuesOf<typeof parameters>): Checksum {
  const unit = bits / 8;
  const shift = (at: number) => 8 * (order === 'big' ? unit - 1 - (at % unit) : at % unit);
  const fold = (bytes: Uint8Array, at: number): bigint => {
    const lanes = lanesOf(bytes);
    let value = 0;
    for (let lane = 0; lane < 4; lane++) value ^= ((lanes >>> (8 * lane)) & 0xff) << shift(at + lane);
    return BigInt(value >>> 0);
  };
  return {
    bits,
    stateOf: (run) => fold(run, 0),
    moved: (state, { at, before, after }) => state ^ fold(before, at) ^ fold(after, at),
    valueOf: (state) => BigInt.asUintN(bits, state ^ start),
    law: {
      kind: 'binary',
      effects: (at) => Array.from({ length: 8 }, (_, bit) => 1n << BigInt(shift(at) + bit)),
    },
  };
}

/** Exclusive or of all four-byte words, the first byte lowest: each unit size divides four, so nothing is lost in it. */
function lanesOf(bytes: Uint8Array): number {
  let word = 0;
  let i = 0;
  for (; i + 4 <= bytes.length; i += 4) {
    word ^=
      (bytes[i] as number) |
      ((bytes[i + 1] as number) << 8) |
      ((bytes[i + 2] as number) << 16) |
      ((bytes[i + 3] as number) << 24);
  }
  for (; i < bytes.length; i++) word ^= (bytes[i] as number) << (8 * (i % 4));
  return word;
}
