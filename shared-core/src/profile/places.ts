import { maskOf, WHOLE_BYTE } from '../base/bits.js';
import { hex } from '../base/hex.js';
import { numbersOf } from '../format/label.js';
import type { AddressRange, Option, OptionPart, Place, Total } from './profile.js';

/** Whether two places share a byte. */
export function overlap(a: Place, b: Place): boolean {
  if (a.kind === 'address') {
    return b.kind === 'address' && a.address < b.address + b.count && b.address < a.address + a.count;
  }
  return b.kind === 'line' && a.line === b.line && a.byte < b.byte + b.count && b.byte < a.byte + a.count;
}

/** The bytes among the data in which a total is stored; undefined where it has a record of its own. */
export function placeOfTotal({ stored, checksum }: Total): Place | undefined {
  return stored.kind === 'record' ? undefined : { ...stored, count: Math.ceil(checksum.bits / 8) };
}

/** The same, or the bytes of its record, where that has a number as lines have: unless they are described, it may be one. */
export function storedPlace(total: Total): Place | undefined {
  const { stored, checksum } = total;
  if (stored.kind !== 'record') return placeOfTotal(total);
  return numbersOf(stored.label) !== undefined
    ? { kind: 'line', line: stored.label, byte: 1, count: Math.ceil(checksum.bits / 8) }
    : undefined;
}

/** Bits that an option takes up in all. */
export function optionWidth({ parts }: Pick<Option, 'parts'>): number {
  return parts.reduce((width, part) => width + partWidth(part), 0);
}

export function partWidth({ bits, place }: OptionPart): number {
  return bits === undefined ? 8 * place.count : bits.high - bits.low + 1;
}

/** The bits of each byte of a part that belong to it. */
export function partMask({ bits }: OptionPart): number {
  return maskOf(bits ?? WHOLE_BYTE);
}

/** Whether an option has a bit in a byte of a place. */
export function liesIn({ parts }: Pick<Option, 'parts'>, place: Place): boolean {
  return parts.some((part) => overlap(part.place, place));
}

/** Whether two options, or their parts, hold the same bit. */
export function shareBits(one: Pick<Option, 'parts'>, other: Pick<Option, 'parts'>): boolean {
  return one.parts.some((a) => other.parts.some((b) => (partMask(a) & partMask(b)) !== 0 && overlap(a.place, b.place)));
}

/** Ranges in rising order, those that touch or overlap made one. */
export function joinedRanges(ranges: readonly AddressRange[]): readonly AddressRange[] {
  const all: { from: number; to: number }[] = [];
  for (const { from, to } of [...ranges].sort((a, b) => a.from - b.from)) {
    const last = all.at(-1);
    if (last !== undefined && from <= last.to + 1) last.to = Math.max(last.to, to);
    else all.push({ from, to });
  }
  return all;
}

/** "0100–01FF", as people speak of addresses. */
export function rangeInHex({ from, to }: AddressRange): string {
  return from === to ? hex(from, 4) : `${hex(from, 4)}–${hex(to, 4)}`;
}
