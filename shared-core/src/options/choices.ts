import { phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import type { Dump } from '../model/dump.js';
import { knownInWords } from '../model/knownInWords.js';
import { readOption } from '../model/optionReading.js';
import type { Option } from '../profile/profile.js';
import { knownFlags } from './knownValue.js';
import { whyNotSettable } from './setOption.js';

/** One value of an option, in words. */
export interface Choice {
  readonly raw: bigint;
  readonly words: string;
  /** Whether the dump has it now. */
  readonly current: boolean;
}

/**
 * The values that an option can be set to from a list; none where it cannot be set. Flags
 * that the profile has no words for stay as they are: while one is set, no value in the list would be known.
 */
export function choicesOf(dump: Dump, option: Option): readonly Choice[] {
  if (whyNotSettable(dump, option) !== undefined) return [];
  const now = readOption(dump, option)?.raw;
  if (option.meaning.kind !== 'flags' || now === undefined) return valuesOf(dump, option);
  if ((now & ~knownFlags(option.meaning)) !== 0n) return [];
  return [...option.meaning.words].map(([bit, words]) => ({ raw: now ^ (1n << BigInt(bit)), words, current: false }));
}

/** The values that the profile has words for, to be read; none where it has none. */
export function valuesOf(dump: Dump, option: Option): readonly Choice[] {
  const now = readOption(dump, option)?.raw;
  return namedValues(option).map(({ raw, words }) => ({ raw, words, current: now === raw }));
}

/** The values that the profile has words for: of a list, or beside a number, a text or a date. */
export function namedValues({ meaning, special }: Option): readonly Omit<Choice, 'current'>[] {
  const own = meaning.kind === 'values' ? [...meaning.words] : [];
  return [
    ...own.map(([value, words]) => ({ raw: BigInt(value), words })),
    ...[...special].map(([raw, words]) => ({ raw, words })),
  ];
}

/** The raw value of an option of flags with just these bits set, each of which the profile has words for; all other bits stay as they are. */
export function flagsSet(dump: Dump, option: Option, bits: readonly number[]): Result<bigint> {
  const { meaning, title } = option;
  if (meaning.kind !== 'flags') return refuse(phrase('{0} is no set of flags: give it one value.', title));
  const unknown = bits.find((bit) => !meaning.words.has(bit));
  if (unknown !== undefined)
    return refuse(phrase('{0} has no flag in bit {1}. It knows {2}.', title, unknown, knownInWords(option)));
  const now = readOption(dump, option)?.raw ?? 0n;
  const wanted = bits.reduce((all, bit) => all | (1n << BigInt(bit)), 0n);
  return done((now & ~knownFlags(meaning)) | wanted);
}
