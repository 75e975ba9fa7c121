/** A field of bits inside one byte: `low` is the number of its least significant bit, counted from 0. */
export interface BitField {
  readonly high: number;
  readonly low: number;
}

export const WHOLE_BYTE: BitField = { high: 7, low: 0 };

/** Bits of the byte that belong to the field, in place. */
export function maskOf({ high, low }: BitField): number {
  return ((1 << (high - low + 1)) - 1) << low;
}

export function readBits(byte: number, field: BitField): number {
  return (byte & maskOf(field)) >> field.low;
}

/** The byte with the field set to `value`; bits outside the field stay. */
export function writeBits(byte: number, field: BitField, value: number): number {
  return (byte & ~maskOf(field) & 0xff) | ((value << field.low) & maskOf(field));
}
