import { listed, type Phrase, type PhrasePart, phrase } from '../base/phrase.js';
import type { Option } from '../profile/profile.js';
import { rawInHex } from './optionReading.js';

/** More values than these are not named in one sentence. */
const MOST_NAMED = 12;

/** "none (0), 7-pin (1)": what an option can be set to, in words and as its digits. */
export function knownInWords(option: Option): Phrase {
  const { meaning, special } = option;
  const inWords = (word: string, raw: bigint) => phrase('{0} ({1})', word, rawInHex(option, raw));
  const known: PhrasePart[] = [...special].map(([raw, word]) => inWords(word, raw));
  if (meaning.kind === 'values' || meaning.kind === 'flags') {
    for (const [number, word] of meaning.words)
      known.push(inWords(word, meaning.kind === 'flags' ? 1n << BigInt(number) : BigInt(number)));
    if (known.length === 0) return phrase('no value at all');
  } else {
    const plain: Record<typeof meaning.kind, Phrase> = {
      number: phrase('a number'),
      text: phrase('a text'),
      date: phrase('a date or time'),
      'counted-date': phrase('a date or time'),
    };
    known.unshift(plain[meaning.kind]);
  }
  const more = known.length - MOST_NAMED;
  const first = listed(known.slice(0, MOST_NAMED));
  return more > 0 ? phrase('{0} and {1} more', first, more) : first;
}
