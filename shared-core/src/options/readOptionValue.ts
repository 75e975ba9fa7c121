import { nearestName } from '../base/nearestName.js';
import { listed, type Phrase, phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import { withUnit } from '../base/withUnit.js';
import type { Dump } from '../model/dump.js';
import { readOption, scaled, wordsOf } from '../model/optionReading.js';
import { optionWidth } from '../profile/places.js';
import type { Meaning, Option } from '../profile/profile.js';
import { knownFlags, knownInWords, whyNoText, whyOutside, whyUnknown } from './knownValue.js';
import { readWrittenNumber } from './writtenNumber.js';

/**
 * The bits, as a number, of what a person wrote for an option: its words, or its number (`0x` for hex). A value that the
 * profile does not know is refused.
 */
export function readOptionValue(option: Option, written: string): Result<bigint> {
  const { meaning } = option;
  const text = written.trim();
  switch (meaning.kind) {
    case 'text':
      return textValue(option, text);
    case 'number':
      return numberValue(option, meaning, text);
    default: {
      const inWords = text === '' || text === '–' ? nothingSet(option) : wordsValue(option, meaning, text);
      if (inWords !== undefined) return inWords;
      const raw = whole(text);
      if (raw === undefined) return refuse(unknownWords(option, text));
      const unknown = whyUnknown(option, raw);
      return unknown === undefined ? done(raw) : refuse(unknown);
    }
  }
}

/**
 * The same for what a dump holds now: flags that the profile has no words for stay as they are, and so does a text that
 * reads the same already, however it is padded.
 */
export function readOptionValueIn(dump: Dump, option: Option, written: string): Result<bigint> {
  const { meaning, place } = option;
  const read = readOptionValue(option, written);
  const now = readOption(dump, option)?.raw;
  if (!read.ok || now === undefined) return read;
  if (meaning.kind === 'flags') return done(read.value | (now & ~knownFlags(meaning)));
  if (meaning.kind !== 'text') return read;
  return done(wordsOf(option, now) === wordsOf(option, read.value) ? now : paddedAs(now, read.value, place.count));
}

/** A text with its blanks at the end as the zeros or FF that end the text it replaces. */
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
function numberValue(option: Option, meaning: NumberMeaning, text: string): Result<bigint> {
  const { scale, offset, signed, unit } = meaning;
  const written = readWrittenNumber(text, unit);
  if (written === undefined) return refuse(unknownWords(option, text));
  const { number, thousands } = written;
  const width = optionWidth(option);
  const stepsTo = (value: number) => (value - offset) / scale;
  const rawOf = (step: number) => BigInt.asUintN(width, BigInt(step));
  const fits = (step: number) =>
    Number.isFinite(step) &&
    (signed ? BigInt.asIntN(width, BigInt(step)) === BigInt(step) : step >= 0 && rawOf(step) === BigInt(step));
  const mayBe = (value: number) => whyOutside(option, meaning, value) === undefined && fits(Math.round(stepsTo(value)));
  if (thousands !== undefined && mayBe(thousands))
    return refuse(phrase('"{0}" can mean {1} or {2}. Write one of these.', text, String(number), String(thousands)));
  const outside = whyOutside(option, meaning, number);
  if (outside !== undefined) return refuse(outside);
  const steps = stepsTo(number);
  const nearest = Math.round(steps);
  if (!fits(nearest))
    return refuse(phrase('{0} has too few bits ({1}) for {2}.', option.title, width, withUnit(number, unit)));
  if (scaled(option, meaning, rawOf(nearest)) === number) return done(rawOf(nearest));
  const near = [Math.floor(steps), Math.ceil(steps)].filter(fits).map((step) => scaled(option, meaning, rawOf(step)));
  return refuse(
    phrase('{0} cannot hold {1} exactly. The nearest values: {2}.', option.title, withUnit(number, unit), listed(near)),
  );
}

type Words = Extract<Meaning, { kind: 'values' | 'flags' }>;

/** No flag at all, which is how none is shown. */
function nothingSet({ meaning }: Option): Result<bigint> | undefined {
  return meaning.kind === 'flags' ? done(0n) : undefined;
}

/** What words mean: one of `values`, any number of `flags` parted by commas; undefined where one of them is none. */
function wordsValue(option: Option, { kind, words }: Words, text: string): Result<bigint> | undefined {
  const wanted = kind === 'values' ? [text] : text.split(',').map((word) => word.trim());
  let raw = 0n;
  for (const word of wanted) {
    const alike = [...words].filter(([, known]) => known.toLowerCase() === word.toLowerCase());
    const same = alike.filter(([, known]) => known === word);
    const [found, ...others] = same.length > 0 ? same : alike;
    if (found === undefined) return undefined;
    if (others.length > 0)
      return refuse(phrase('"{0}" is the word for several values of {1}. Write the number.', word, option.title));
    raw |= kind === 'values' ? BigInt(found[0]) : 1n << BigInt(found[0]);
  }
  return done(raw);
}

function textValue(option: Option, text: string): Result<bigint> {
  const plain = text.replace(/^"(.*)"$/, '$1');
  const room = option.place.count;
  if (plain.length > room || /[^ -~]/.test(plain)) return refuse(whyNoText(option));
  const codes = Array.from(plain.padEnd(room, ' '), (character) => BigInt(character.charCodeAt(0)));
  return done(codes.reduce((raw, code) => (raw << 8n) | code, 0n));
}

function unknownWords(option: Option, text: string): Phrase {
  const { meaning } = option;
  const known = meaning.kind === 'values' || meaning.kind === 'flags' ? [...meaning.words.values()] : [];
  const near = nearestName(text, known);
  return near === undefined
    ? phrase('"{0}" is no value of {1}. It takes {2}.', text, option.title, knownInWords(option))
    : phrase('"{0}" is no value of {1}; is "{2}" meant?', text, option.title, near);
}
