import { readBits, WHOLE_BYTE, writeBits } from '../base/bits.js';
import { partWidth } from '../profile/places.js';
import type { Option, OptionPart } from '../profile/profile.js';

type Held = Pick<Option, 'parts' | 'order' | 'reversed' | 'swapped'>;

/** The bits of an option as a number, from the bytes of its parts. */
export function bitsOf(option: Held, bytes: readonly (readonly number[])[]): bigint {
  return option.parts.reduce((raw, part, i) => {
    const all = inOrder(option, bytes[i] ?? []);
    return all.reduce((sofar, byte) => (sofar << BigInt(unit(part))) | BigInt(turned(option, part, byte)), raw);
  }, 0n);
}

/** Calls `write` for each byte of each part with a function that puts the bits of a number into it and leaves the others. */
export function putBits(
  option: Held,
  raw: bigint,
  write: (part: number, byte: number, put: (was: number) => number) => void,
): void {
  let left = raw;
  for (let at = option.parts.length - 1; at >= 0; at--) {
    const part = option.parts[at] as OptionPart;
    const width = BigInt(unit(part));
    const bytes = inOrder(
      option,
      Array.from({ length: part.place.count }, (_, i) => i),
    );
    for (const byte of [...bytes].reverse()) {
      const value = turnedBack(option, part, Number(BigInt.asUintN(Number(width), left)));
      write(at, byte, (was) => writeBits(was, part.bits ?? WHOLE_BYTE, value));
      left >>= width;
    }
  }
}

/** Bits of each byte of a part. */
function unit(part: OptionPart): number {
  return partWidth(part) / part.place.count;
}

function inOrder({ order }: Held, bytes: readonly number[]): readonly number[] {
  return order === 'big' ? bytes : [...bytes].reverse();
}

/** The bits of a byte of a part, as they count. */
function turned({ reversed, swapped }: Held, part: OptionPart, byte: number): number {
  const bits = readBits(byte, part.bits ?? WHOLE_BYTE);
  const own = reversed ? reversedBits(bits, unit(part)) : bits;
  return swapped ? swappedNibbles(own) : own;
}

function turnedBack({ reversed, swapped }: Held, part: OptionPart, bits: number): number {
  const own = swapped ? swappedNibbles(bits) : bits;
  return reversed ? reversedBits(own, unit(part)) : own;
}

function reversedBits(bits: number, width: number): number {
  let reversed = 0;
  for (let i = 0; i < width; i++) reversed |= ((bits >> i) & 1) << (width - 1 - i);
  return reversed;
}

function swappedNibbles(byte: number): number {
  return ((byte & 15) << 4) | (byte >> 4);
}
