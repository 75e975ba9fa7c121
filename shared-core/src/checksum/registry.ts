import { hex } from '../base/hex.js';
import type { ByteOrder } from '../base/number.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { type AddParameters, add } from './add.js';
import { addEndAround, type EndAroundParameters } from './addEndAround.js';
import type { Checksum } from './checksum.js';
import { type CrcParameters, crc } from './crc.js';
import { twoSums } from './fletcherAdler.js';
import { type XorParameters, xor } from './xor.js';

/** A sum as a profile describes it: the method and all its parameters. */
export type SumSpec =
  | ({ readonly method: 'add' } & AddParameters)
  | ({ readonly method: 'add-end-around' } & EndAroundParameters)
  | ({ readonly method: 'xor' } & XorParameters)
  | { readonly method: 'fletcher'; readonly bits: 16 | 32; readonly order: ByteOrder }
  | { readonly method: 'adler' }
  | ({ readonly method: 'crc'; readonly model: string | undefined } & CrcParameters);

export const SUM_METHODS = ['add', 'add-end-around', 'xor', 'fletcher', 'adler', 'crc'] as const;

/** The checksum that a description means. */
export function checksumOf(spec: SumSpec): Checksum {
  switch (spec.method) {
    case 'add':
      return add(spec);
    case 'add-end-around':
      return addEndAround(spec);
    case 'xor':
      return xor(spec);
    case 'fletcher':
      return twoSums(
        spec.bits === 16
          ? { bits: 16, modulus: 255, unit: 1, order: spec.order, start: 0 }
          : { bits: 32, modulus: 65_535, unit: 2, order: spec.order, start: 0 },
      );
    case 'adler':
      return twoSums({ bits: 32, modulus: 65_521, unit: 1, order: 'big', start: 1 });
    case 'crc':
      return crc(spec);
  }
}

/** The method in words, for hovers and lists: "8-bit sum, two's complement". */
export function sumInWords(spec: SumSpec): Phrase {
  switch (spec.method) {
    case 'add':
      return addInWords(spec);
    case 'add-end-around':
      return phrase("{0}-bit ones' complement sum", spec.bits);
    case 'xor':
      return startingFrom(phrase('{0}-bit exclusive or', spec.bits), spec);
    case 'fletcher':
      return phrase('Fletcher-{0}', spec.bits);
    case 'adler':
      return phrase('Adler-32');
    case 'crc':
      return spec.model === undefined
        ? phrase('{0}-bit CRC, polynomial {1}', spec.width, hex(spec.poly, Math.ceil(spec.width / 4)))
        : phrase('{0}', spec.model);
  }
}

function addInWords(spec: AddParameters): Phrase {
  const { bits, unit, complement } = spec;
  const sum = unit === 1 ? phrase('{0}-bit sum', bits) : phrase('{0}-bit sum of {1}-byte numbers', bits, unit);
  const turned =
    complement === 'none'
      ? sum
      : complement === 'ones'
        ? phrase("{0}, ones' complement", sum)
        : phrase("{0}, two's complement", sum);
  return startingFrom(turned, spec);
}

function startingFrom(sum: Phrase, { bits, start }: { readonly bits: number; readonly start: bigint }): Phrase {
  return start === 0n ? sum : phrase('{0}, starting from {1}', sum, hex(start, bits / 4));
}
