import { hex } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { withUnit } from '../base/withUnit.js';
import { optionWidth } from '../profile/places.js';
import type { Confidence, Option } from '../profile/profile.js';

/** How sure the writer of a profile is of an option. */
export function certaintyOf(confidence: Confidence): Phrase {
  const words: Record<Confidence, Phrase> = {
    confirmed: phrase('confirmed'),
    likely: phrase('likely'),
    guess: phrase('unconfirmed (guess)'),
  };
  return words[confidence];
}

/** "Line 4, byte 3, bits 7 to 4": where an option stands, as people count. */
export function optionPlaceInWords({ place, bits }: Option): Phrase {
  const last = place.count - 1;
  const where =
    place.kind === 'address'
      ? last === 0
        ? phrase('Address {0}', hex(place.address, 4))
        : phrase('Addresses {0} to {1}', hex(place.address, 4), hex(place.address + last, 4))
      : last === 0
        ? phrase('Line {0}, byte {1}', place.line, place.byte)
        : phrase('Line {0}, bytes {1} to {2}', place.line, place.byte, place.byte + last);
  if (bits === undefined) return where;
  return bits.high === bits.low
    ? phrase('{0}, bit {1}', where, bits.low)
    : phrase('{0}, bits {1} to {2}', where, bits.high, bits.low);
}

/** What may be written for an option that is a number or a text; undefined where it is chosen from a list. */
export function valuesInWords(option: Option): Phrase | undefined {
  const { meaning } = option;
  if (meaning.kind === 'text') return phrase('Up to {0} plain ASCII characters', option.place.count);
  if (meaning.kind !== 'number') return undefined;
  const { scale, offset, signed, unit } = meaning;
  const width = optionWidth(option);
  const [least, largest] = signed ? [-(2 ** (width - 1)), 2 ** (width - 1) - 1] : [0, 2 ** width - 1];
  const ends = [least * scale + offset, largest * scale + offset].sort((a, b) => a - b);
  const [low, high] = [meaning.min ?? ends[0], meaning.max ?? ends[1]].map((end) => Number(end?.toPrecision(12)));
  const most = withUnit(high ?? 0, unit);
  return Math.abs(scale) === 1
    ? phrase('A number from {0} to {1}', low ?? 0, most)
    : phrase('A number from {0} to {1}, in steps of {2}', low ?? 0, most, Math.abs(scale));
}
