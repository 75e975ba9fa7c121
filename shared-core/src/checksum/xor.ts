import type { ByteOrder } from '../bytes/number.js';
import type { Checksum } from './checksum.js';

export interface XorParameters {
  readonly bits: 8 | 16 | 32;
  readonly order: ByteOrder;
  readonly start: bigint;
}

/** Exclusive or of all units of the value's width: longitudinal parity (ISO 1155). */
export function xor({ bits, order, start }: XorParameters): Checksum {
  const unit = bits / 8;
  const shift = (at: number) => 8 * (order === 'big' ? unit - 1 - (at % unit) : at % unit);
  const fold = (run: Uint8Array, at: number): number => {
    let value = 0;
    for (let i = 0; i < run.length; i++) value ^= (run[i] as number) << shift(at + i);
    return value >>> 0;
  };
  return {
    bits,
    stateOf: (run) => BigInt(fold(run, 0)),
    moved: (state, { at, before, after }) => state ^ BigInt((fold(before, at) ^ fold(after, at)) >>> 0),
    valueOf: (state) => state ^ start,
    law: { kind: 'binary', effect: (at, _length, mask) => BigInt(mask) << BigInt(shift(at)) },
  };
}
