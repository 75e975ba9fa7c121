import { hex } from '../base/hex.js';
import { phrase } from '../base/phrase.js';
import type { Checksum } from './checksum.js';
import { CRC_NAMES, crcModel } from './crcCatalogue.js';
import { type CrcParameters, crcRegister } from './crcRegister.js';
import { startInWords, sumMethod } from './method.js';
import type { Flag, Parameters, Preset, WholeNumber, WideNumber } from './parameters.js';
import { fromHalves, halvesOf, reflect, zeroBytes } from './polynomial.js';

const MODEL: Preset = {
  kind: 'preset',
  names: CRC_NAMES,
  parametersOf: crcModel,
  about: 'Name of a CRC in the catalogue of parametrised CRC algorithms.',
};

const WIDTH: WholeNumber = {
  kind: 'whole',
  from: 3,
  to: 64,
  about: 'Width of a CRC that has no model: 3 to 64 bits.',
};

const wide = (about: string): WideNumber => ({ kind: 'wide', bits: 'width', about });

const parameters = {
  model: MODEL,
  width: WIDTH,
  poly: wide('Polynomial of a CRC that has no model, without its highest term, best as "0x…" text.'),
  init: { ...wide('What the register of the CRC holds before the first byte.'), usual: 0n },
  refin: { kind: 'flag', usual: false, about: 'Whether the lowest bit of each byte goes in first.' } satisfies Flag,
  refout: {
    kind: 'flag',
    usual: 'refin',
    about: 'Whether the register is turned end for end at the end; as "refin" where it is left out.',
  } satisfies Flag,
  xorout: { ...wide('What the finished register is xored with.'), usual: 0n },
} satisfies Parameters;

export const crc = sumMethod({
  about: 'Cyclic redundancy check, by "model" or by "width" and "poly".',
  parameters,
  checksum: crcOf,
  words: ({ model, width, poly, init, refin, refout, xorout }) => {
    if (model !== undefined) return [phrase('{0}', model)];
    const digits = Math.ceil(width / 4);
    return [
      phrase('{0}-bit CRC', width),
      phrase('polynomial {0}', hex(poly, digits)),
      ...startInWords(init, width),
      ...(xorout === 0n ? [] : [phrase('end value {0}', hex(xorout, digits))]),
      ...(refin ? [phrase('bits of each byte in opposite order')] : []),
      ...(refout ? [phrase('bits of the result in opposite order')] : []),
    ];
  },
});

/**
 * CRC of any width. The register, kept in the bit order of the input, is the state. Two registers over runs of one
 * length differ by what their bytes differ in, whatever they started from: so a change is run over a register of
 * zeros and taken past the bytes behind it as a power of x.
 */
function crcOf(model: CrcParameters): Checksum {
  const { width, poly, init, refin, refout, xorout } = model;
  const register = crcRegister(model);
  const pastZeros = zeroBytes(poly, width);
  const begin = refin ? reflect(init, width) : init;
  const straightened = (state: bigint) => (refin ? reflect(state, width) : state);
  const valueBits = (state: bigint) => (refin !== refout ? reflect(state, width) : state);
  const difference = (xored: Uint8Array, behind: number): bigint => {
    const state = register(0n, xored);
    if (state === 0n || behind === 0) return state;
    return straightened(fromHalves(pastZeros(halvesOf(straightened(state)), behind)));
  };
  const pastBit = (state: bigint): bigint => {
    const shifted = state << 1n;
    return shifted >> BigInt(width) === 0n ? shifted : BigInt.asUintN(width, shifted) ^ poly;
  };
  return {
    bits: width,
    stateOf: (run) => register(begin, run),
    continued: register,
    moved: (state, { at, length, before, after }) =>
      state ^
      difference(
        before.map((byte, i) => byte ^ (after[i] as number)),
        length - at - after.length,
      ),
    valueOf: (state) => valueBits(state) ^ xorout,
    law: {
      kind: 'binary',
      effects: (at, length) => {
        // From one bit of a byte to the one that goes in before it, the register is taken past one more bit.
        let state = straightened(difference(Uint8Array.of(refin ? 0x80 : 0x01), length - at - 1));
        const effects: bigint[] = [];
        for (let bit = 0; bit < 8; bit++) {
          effects.push(valueBits(straightened(state)));
          state = pastBit(state);
        }
        return refin ? effects.reverse() : effects;
      },
    },
  };
}
