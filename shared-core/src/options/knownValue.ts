import { type Phrase, phrase } from '../base/phrase.js';
import { withUnit } from '../base/withUnit.js';
import { knownInWords } from '../model/knownInWords.js';
import { exampleDate } from '../model/optionDate.js';
import { scaled } from '../model/optionNumber.js';
import { plainWords, rawInHex } from '../model/optionReading.js';
import { roomFor } from '../model/optionText.js';
import { optionWidth } from '../profile/places.js';
import type {
  CountedDateMeaning,
  DateMeaning,
  NumberMeaning,
  Option,
  TextCoding,
  TextMeaning,
  WordsMeaning,
} from '../profile/profile.js';

/**
 * Why an option must not get a value: the profile does not know what it means, or says that it is too low or too high.
 * Flags that the profile has no words for must be as they are `now`, or clear where nobody says what is there now.
 */
export function whyUnknown(option: Option, raw: bigint, now = 0n): Phrase | undefined {
  const { meaning } = option;
  if (option.special.has(raw)) return undefined;
  switch (meaning.kind) {
    case 'number': {
      const number = scaled(option, meaning, raw);
      return number === undefined ? whyNoDigits(option, raw) : whyOutside(option, meaning, number);
    }
    case 'values':
      return meaning.words.has(Number(raw)) ? undefined : whyNoWords(option, raw);
    case 'flags':
      return (raw & ~knownFlags(meaning)) === (now & ~knownFlags(meaning)) ? undefined : whyNoWords(option, raw);
    case 'text':
      return plainWords(option, raw) === undefined ? whyNoText(option, meaning) : undefined;
    default:
      return plainWords(option, raw) === undefined ? whyNoDate(option, meaning) : undefined;
  }
}

/** The bits that the profile has words for. */
export function knownFlags({ words }: WordsMeaning): bigint {
  return [...words.keys()].reduce((mask, bit) => mask | (1n << BigInt(bit)), 0n);
}

/** Why a value is none in decimal digits. */
function whyNoDigits({ title }: Option, raw: bigint): Phrase {
  return phrase('{0} holds decimal digits, and 0x{1} has others.', title, raw.toString(16).toUpperCase());
}

/** Why a number, after scale and offset, is too low or too high for an option. */
export function whyOutside({ title }: Option, { min, max, unit }: NumberMeaning, number: number): Phrase | undefined {
  if ((min === undefined || number >= min) && (max === undefined || number <= max)) return undefined;
  return phrase('{0} takes {1} to {2}; {3} is outside.', title, min ?? '…', withUnit(max ?? '…', unit), number);
}

export function whyNoText(option: Option, meaning: TextMeaning): Phrase {
  const { title } = option;
  const room = roomFor(meaning, optionWidth(option));
  const why: Record<TextCoding, Phrase> = {
    ascii: phrase('{0} takes up to {1} plain ASCII characters.', title, room),
    'latin-1': phrase('{0} takes up to {1} characters of Latin-1.', title, room),
    'utf-16le': phrase('{0} takes up to {1} characters that can be seen.', title, room),
    'utf-16be': phrase('{0} takes up to {1} characters that can be seen.', title, room),
    bcd: phrase('{0} takes up to {1} decimal digits.', title, room),
  };
  return why[meaning.coding];
}

/** What a text may be, in words. */
export function textLimits(option: Option, meaning: TextMeaning): Phrase {
  const room = roomFor(meaning, optionWidth(option));
  const words: Record<TextCoding, Phrase> = {
    ascii: phrase('Up to {0} plain ASCII characters', room),
    'latin-1': phrase('Up to {0} characters of Latin-1', room),
    'utf-16le': phrase('Up to {0} characters', room),
    'utf-16be': phrase('Up to {0} characters', room),
    bcd: phrase('Up to {0} decimal digits', room),
  };
  return words[meaning.coding];
}

export function whyNoDate({ title }: Option, meaning: DateMeaning | CountedDateMeaning): Phrase {
  return phrase(
    '{0} takes a date or time that exists and that its bytes can hold, such as {1}.',
    title,
    exampleDate(meaning),
  );
}

function whyNoWords(option: Option, raw: bigint): Phrase {
  return phrase(
    'The profile does not know what {0} means with the value {1}. It knows {2}.',
    option.title,
    rawInHex(option, raw),
    knownInWords(option),
  );
}
