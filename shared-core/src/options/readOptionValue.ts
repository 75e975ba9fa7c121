import { nearestName } from '../base/nearestName.js';
import { listed, type Phrase, phrase } from '../base/phrase.js';
import type { Dump } from '../model/dump.js';
import { readOption, scaled, wordsOf } from '../model/optionReading.js';
import { optionWidth } from '../profile/places.js';
import type { Meaning, Option } from '../profile/profile.js';
import { flagsSet } from './setOption.js';

/** The bits of an option as a number, or why what was written gives none. */
export type WrittenValue = { readonly raw: bigint } | { readonly why: Phrase };

/** Reads what a person wrote for an option's value: its words, or its number (`0x` for hex). */
export function readOptionValue(option: Option, written: string): WrittenValue {
  const { meaning } = option;
  const text = written.trim();
  switch (meaning.kind) {
    case 'text':
      return textValue(option, text);
    case 'number':
      return numberValue(option, meaning, text);
    default: {
      const raw = (meaning.kind === 'values' ? wordValue(meaning, text) : flagsValue(meaning, text)) ?? whole(text);
      return raw === undefined ? { why: unknownWords(option, text) } : { raw };
    }
  }
}

/**
 * The same over what a dump holds now: flags that the profile has no words for stay as they are where the others are
 * given in words, and so does a text that reads the same already, however it is padded.
 */
export function readOptionValueIn(dump: Dump, option: Option, written: string): WrittenValue {
  const { meaning, place } = option;
  const read = readOptionValue(option, written);
  const now = readOption(dump, option)?.raw;
  if ('why' in read || now === undefined) return read;
  if (meaning.kind === 'flags' && whole(written.trim()) === undefined)
    return {
      raw: flagsSet(
        dump,
        option,
        [...meaning.words.keys()].filter((bit) => ((read.raw >> BigInt(bit)) & 1n) === 1n),
      ),
    };
  if (meaning.kind !== 'text') return read;
  return { raw: wordsOf(option, now) === wordsOf(option, read.raw) ? now : paddedAs(now, read.raw, place.count) };
}

/** A text with its blanks at the end as the zeros or FF that end the text it is put in the place of. */
function paddedAs(now: bigint, text: bigint, count: number): bigint {
  const filler = now & 0xffn;
  if (filler !== 0n && filler !== 0xffn) return text;
  let padded = text;
  for (let at = 0; at < count && ((text >> BigInt(8 * at)) & 0xffn) === 0x20n; at++)
    padded ^= (0x20n ^ filler) << BigInt(8 * at);
  return padded;
}

function whole(text: string): bigint | undefined {
  return /^(?:0x[0-9a-f]{1,32}|\d{1,40})$/i.test(text) ? BigInt(text) : undefined;
}

type NumberMeaning = Extract<Meaning, { kind: 'number' }>;

/** A number as people say it, with its unit or without: after sign, scale and offset. */
function numberValue(option: Option, meaning: NumberMeaning, text: string): WrittenValue {
  const { scale, offset, signed, min, max, unit } = meaning;
  const bare = unit !== '' && text.endsWith(unit) ? text.slice(0, -unit.length).trim() : text;
  const [, sign, digits = ''] = /^(-?)(0x[0-9a-f]{1,12}|\d{1,15}(?:\.\d{1,15})?(?:e[+-]?\d{1,2})?)$/i.exec(bare) ?? [];
  if (digits === '') return { why: unknownWords(option, text) };
  const number = sign === '-' ? -Number(digits) : Number(digits);
  if ((min !== undefined && number < min) || (max !== undefined && number > max)) {
    return {
      why: phrase('{0} takes {1} to {2} {3}; {4} is outside.', option.title, min ?? '…', max ?? '…', unit, number),
    };
  }
  const steps = (number - offset) / scale;
  const width = optionWidth(option);
  const rawOf = (step: number) => BigInt.asUintN(width, BigInt(step));
  const holds = (step: number) =>
    signed ? BigInt.asIntN(width, BigInt(step)) === BigInt(step) : step >= 0 && rawOf(step) === BigInt(step);
  const nearest = Math.round(steps);
  if (!Number.isFinite(nearest) || !holds(nearest))
    return { why: phrase('{0} has {1} bits, too few for {2} {3}.', option.title, width, number, unit) };
  if (scaled(option, meaning, rawOf(nearest)) === number) return { raw: rawOf(nearest) };
  const near = [Math.floor(steps), Math.ceil(steps)].filter(holds).map((step) => scaled(option, meaning, rawOf(step)));
  return {
    why: phrase('{0} cannot hold {1} {2} exactly. The nearest values: {3}.', option.title, number, unit, listed(near)),
  };
}

function wordValue({ words }: Extract<Meaning, { kind: 'values' }>, text: string): bigint | undefined {
  const found = [...words].find(([, word]) => word.toLowerCase() === text.toLowerCase());
  return found && BigInt(found[0]);
}

function flagsValue({ words }: Extract<Meaning, { kind: 'flags' }>, text: string): bigint | undefined {
  if (text === '–' || text === '') return 0n;
  const wanted = text.split(',').map((word) => word.trim().toLowerCase());
  const bits = wanted.map((word) => [...words].find(([, known]) => known.toLowerCase() === word)?.[0]);
  if (!bits.every((bit) => bit !== undefined)) return undefined;
  return bits.reduce<bigint>((raw, bit) => raw | (1n << BigInt(bit as number)), 0n);
}

function textValue(option: Option, text: string): WrittenValue {
  const plain = text.replace(/^"(.*)"$/, '$1');
  const room = option.place.count;
  if (plain.length > room || /[^ -~]/.test(plain)) {
    return { why: phrase('{0} takes up to {1} plain ASCII characters.', option.title, room) };
  }
  const codes = Array.from(plain.padEnd(room, ' '), (character) => BigInt(character.charCodeAt(0)));
  return { raw: codes.reduce((raw, code) => (raw << 8n) | code, 0n) };
}

function unknownWords(option: Option, text: string): Phrase {
  const known = knownWords(option);
  const near = nearestName(text, known);
  return near === undefined
    ? phrase(
        '"{0}" is no value of {1}. It takes {2}.',
        text,
        option.title,
        known.length > 0 ? listed(known) : phrase('a number'),
      )
    : phrase('"{0}" is no value of {1}; is "{2}" meant?', text, option.title, near);
}

function knownWords({ meaning }: Option): readonly string[] {
  return meaning.kind === 'values' || meaning.kind === 'flags' ? [...meaning.words.values()] : [];
}

/** Why an option should not be given a value that the profile has no words for. */
export function whyUnknown(option: Option, raw: bigint): Phrase | undefined {
  if (wordsOf(option, raw) !== undefined) return undefined;
  return phrase(
    'The profile does not know what {0} means with the value {1}. It knows {2}.',
    option.title,
    String(raw),
    listed(knownWords(option)),
  );
}
