import type { Checksum } from './checksum.js';
import { type CrcDivision, crcRegister } from './crcRegister.js';
import { fromHalves, halvesOf, reflect, zeroBytes } from './polynomial.js';

/** A cyclic redundancy check in the parameters of the Rocksoft model (R. Williams, "A Painless Guide to CRC Error Detection Algorithms", 1993). */
export interface CrcParameters extends CrcDivision {
  readonly init: bigint;
  readonly refout: boolean;
  readonly xorout: bigint;
}

/**
 * CRC of any width. The register, kept in the bit order of the input, is the state. Two registers over runs of one
 * length differ by what their bytes differ in, whatever they started from: so a change is run over a register of
 * zeros and taken past the bytes behind it as a power of x.
 */
export function crc(parameters: CrcParameters): Checksum {
  const { width, poly, init, refin, refout, xorout } = parameters;
  const register = crcRegister(parameters);
  const pastZeros = zeroBytes(poly, width);
  const begin = refin ? reflect(init, width) : init;
  const straightened = (state: bigint) => (refin ? reflect(state, width) : state);
  const valueBits = (state: bigint) => (refin !== refout ? reflect(state, width) : state);
  const difference = (xored: Uint8Array, behind: number): bigint => {
    const state = register(0n, xored);
    if (state === 0n || behind === 0) return state;
    return straightened(fromHalves(pastZeros(halvesOf(straightened(state)), behind)));
  };
  return {
    bits: width,
    stateOf: (run) => register(begin, run),
    moved: (state, { at, length, before, after }) =>
      state ^
      difference(
        before.map((byte, i) => byte ^ (after[i] as number)),
        length - at - after.length,
      ),
    valueOf: (state) => valueBits(state) ^ xorout,
    law: {
      kind: 'binary',
      effect: (at, length, mask) => valueBits(difference(Uint8Array.of(mask), length - at - 1)),
    },
  };
}
