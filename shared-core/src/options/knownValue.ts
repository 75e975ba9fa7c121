import { listed, type Phrase, type PhrasePart, phrase } from '../base/phrase.js';
import { withUnit } from '../base/withUnit.js';
import { scaled, wordsOf } from '../model/optionReading.js';
import type { Meaning, Option } from '../profile/profile.js';

/**
 * Why an option must not get a value: the profile does not know what it means, or says that it is too low or too high.
 * Flags that the profile has no words for must be as they are `now`, or clear where nobody says what is there now.
 */
export function whyUnknown(option: Option, raw: bigint, now = 0n): Phrase | undefined {
  const { meaning } = option;
  switch (meaning.kind) {
    case 'number':
      return whyOutside(option, meaning, scaled(option, meaning, raw));
    case 'text':
      return wordsOf(option, raw) === undefined ? whyNoText(option) : undefined;
    case 'values':
      return meaning.words.has(Number(raw)) ? undefined : whyNoWords(option, raw);
    case 'flags':
      return (raw & ~knownFlags(meaning)) === (now & ~knownFlags(meaning)) ? undefined : whyNoWords(option, raw);
  }
}

/** The bits that the profile has words for. */
export function knownFlags({ words }: Extract<Meaning, { kind: 'flags' }>): bigint {
  return [...words.keys()].reduce((mask, bit) => mask | (1n << BigInt(bit)), 0n);
}

/** Why a number, after scale and offset, is too low or too high for an option. */
export function whyOutside(
  { title }: Option,
  { min, max, unit }: Extract<Meaning, { kind: 'number' }>,
  number: number,
): Phrase | undefined {
  if ((min === undefined || number >= min) && (max === undefined || number <= max)) return undefined;
  return phrase('{0} takes {1} to {2}; {3} is outside.', title, min ?? '…', withUnit(max ?? '…', unit), number);
}

export function whyNoText({ title, place }: Option): Phrase {
  return phrase('{0} takes up to {1} plain ASCII characters.', title, place.count);
}

function whyNoWords(option: Option, raw: bigint): Phrase {
  return phrase(
    'The profile does not know what {0} means with the value {1}. It knows {2}.',
    option.title,
    String(raw),
    knownInWords(option),
  );
}

/** More values than these are not named in one sentence. */
const MOST_NAMED = 12;

/** "none (0), 7-pin (1)": what an option can be set to, in words and as numbers. */
export function knownInWords({ meaning }: Option): Phrase {
  if (meaning.kind !== 'values' && meaning.kind !== 'flags') return phrase('a number');
  const known = [...meaning.words].map(([number, word]): PhrasePart => {
    return phrase('{0} ({1})', word, String(meaning.kind === 'flags' ? 1n << BigInt(number) : number));
  });
  if (known.length === 0) return phrase('no value at all');
  const more = known.length - MOST_NAMED;
  const first = listed(known.slice(0, MOST_NAMED));
  return more > 0 ? phrase('{0} and {1} more', first, more) : first;
}
