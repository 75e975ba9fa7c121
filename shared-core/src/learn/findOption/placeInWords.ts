import type { BitField } from '../../base/bits.js';
import { hex } from '../../base/hex.js';
import { type Phrase, phrase } from '../../base/phrase.js';
import type { ColumnPlace } from './matrix.js';
import type { OptionPlace } from './partitions.js';

/** "line 4, byte 3, bits 7-4"; of a memory image the addresses. */
export function placeInWords({ line, byte, count, bits }: OptionPlace, isImage = false): Phrase {
  if (isImage) return addressInWords(addressOfColumn({ line, byte }), count, bits);
  if (count === 2) return phrase('line {0}, bytes {1}-{2}', line, byte, byte + 1);
  if (isWholeByte(bits)) return phrase('line {0}, byte {1}', line, byte);
  return bits.high === bits.low
    ? phrase('line {0}, byte {1}, bit {2}', line, byte, bits.low)
    : phrase('line {0}, byte {1}, bits {2}', line, byte, bitsText(bits));
}

/** The address of a byte of an image; a column holds that of the record. */
export function addressOfColumn({ line, byte }: ColumnPlace): number {
  return Number(line) + byte - 1;
}

function addressInWords(address: number, count: number, bits: BitField): Phrase {
  const at = hex(address, 4);
  if (count === 2) return phrase('addresses {0}-{1}', at, hex(address + 1, 4));
  if (isWholeByte(bits)) return phrase('address {0}', at);
  return bits.high === bits.low
    ? phrase('address {0}, bit {1}', at, bits.low)
    : phrase('address {0}, bits {1}', at, bitsText(bits));
}

/** Bits as a profile writes them. */
export function bitsText({ high, low }: BitField): string {
  return high === low ? String(low) : `${high}-${low}`;
}

/** A value in as many hex digits as its place has. */
export function digitsIn({ count, bits }: OptionPlace, value: number): string {
  return hex(value, count === 2 ? 4 : Math.ceil((bits.high - bits.low + 1) / 4));
}

export function isWholeByte({ high, low }: BitField): boolean {
  return high === 7 && low === 0;
}
