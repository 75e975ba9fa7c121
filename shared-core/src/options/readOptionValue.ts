import { isoText } from '../base/calendar.js';
import { nearestName } from '../base/nearestName.js';
import { listed, type Phrase, phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import { withUnit } from '../base/withUnit.js';
import type { Dump } from '../model/dump.js';
import { knownInWords } from '../model/knownInWords.js';
import { rawOfDate } from '../model/optionDate.js';
import { rawOfStep, scaledStep, stepRange } from '../model/optionNumber.js';
import { rawInHex, readOption, wordsOf, wordsOrHex } from '../model/optionReading.js';
import { rawOfText } from '../model/optionText.js';
import { optionWidth } from '../profile/places.js';
import type {
  CountedDateMeaning,
  DateMeaning,
  NumberMeaning,
  Option,
  TextMeaning,
  WordsMeaning,
} from '../profile/profile.js';
import { knownFlags, whyNoDate, whyNoText, whyOutside, whyUnknown } from './knownValue.js';
import { readWrittenDate } from './writtenDate.js';
import { readWrittenNumber } from './writtenNumber.js';

/**
 * The bits, as a number, of what a person wrote for an option: its words, or its number (`0x` for hex). A value that the
 * profile does not know is refused.
 */
export function readOptionValue(option: Option, written: string, now?: bigint): Result<bigint> {
  const text = written.trim();
  const special = specialValue(option, text);
  if (special !== undefined) return special;
  const plain = plainValue(option, text, now);
  const meant = plain.ok ? option.special.get(plain.value) : undefined;
  return meant === undefined
    ? plain
    : refuse(
        phrase('The bits of "{0}" mean "{1}" for {2}. Write these words if that is meant.', text, meant, option.title),
      );
}

/** What the words of a special value mean; undefined where it is none. */
function specialValue({ special, title }: Option, text: string): Result<bigint> | undefined {
  const alike = [...special].filter(([, word]) => word.trim().toLowerCase() === text.toLowerCase());
  const [found, other] = alike;
  if (found === undefined) return undefined;
  return other === undefined
    ? done(found[0])
    : refuse(phrase('"{0}" is the word for several values of {1}. Write the number.', text, title));
}

function plainValue(option: Option, text: string, now: bigint | undefined): Result<bigint> {
  const { meaning } = option;
  switch (meaning.kind) {
    case 'text':
      return textValue(option, meaning, text, now);
    case 'number':
      return numberValue(option, meaning, text);
    case 'date':
    case 'counted-date':
      return dateValue(option, meaning, text);
    default: {
      if (text === '' && meaning.kind === 'flags') return refuse(whyNothingSaid(option));
      const inWords = text === '–' ? nothingSet(option) : wordsValue(option, meaning, text);
      if (inWords !== undefined) return inWords;
      const raw = whole(text);
      if (raw === undefined) return refuse(unknownWords(option, text));
      const unknown = whyUnknown(option, raw) ?? whyEither(option, text, raw);
      return unknown === undefined ? done(raw) : refuse(unknown);
    }
  }
}

/**
 * The same for what a dump holds now: flags that the profile has no words for stay as they are, and so does a text that
 * reads the same already, however it is padded.
 */
export function readOptionValueIn(dump: Dump, option: Option, written: string): Result<bigint> {
  const { meaning } = option;
  const now = readOption(dump, option)?.raw;
  const read = readOptionValue(option, written, now);
  if (!read.ok || now === undefined) return read;
  if (meaning.kind === 'flags') return done(read.value | (now & ~knownFlags(meaning)));
  return meaning.kind === 'text' && wordsOf(option, now) === wordsOf(option, read.value) ? done(now) : read;
}

/** A number without "0x" that is a known value in decimal and another one in hex, as the dump shows its digits. */
function whyEither(option: Option, text: string, raw: bigint): Phrase | undefined {
  const inHex = /^\d+$/.test(text) ? BigInt(`0x${text}`) : raw;
  if (inHex === raw || whyUnknown(option, inHex) !== undefined) return undefined;
  return phrase(
    '{0} may be {1} ({2}) or {3} ({4}) of {5}. Write the words.',
    text,
    wordsOrHex(option, raw),
    rawInHex(option, raw),
    wordsOrHex(option, inHex),
    rawInHex(option, inHex),
    option.title,
  );
}

function whole(text: string): bigint | undefined {
  return /^(?:0x[0-9a-f]{1,32}|\d{1,40})$/i.test(text) ? BigInt(text) : undefined;
}

/** A number as people say it, with its unit or without: after sign, scale and offset. */
function numberValue(option: Option, meaning: NumberMeaning, text: string): Result<bigint> {
  const { scale, offset, unit, coding } = meaning;
  const written = readWrittenNumber(text, unit);
  if (written === undefined) return refuse(unknownWords(option, text));
  const { number, thousands } = written;
  const digits = coding === 'bcd' ? /^0x(\d+)$/i.exec(text)?.[1] : undefined;
  if (digits !== undefined && Number(digits) !== number)
    return refuse(phrase('"{0}" can mean {1} or {2}. Write one of these.', text, digits, String(number)));
  const [least, largest] = stepRange(option, meaning);
  const stepsTo = (value: number) => (value - offset) / scale;
  const fits = (step: number) => step >= least && step <= largest;
  const mayBe = (value: number) => whyOutside(option, meaning, value) === undefined && fits(Math.round(stepsTo(value)));
  if (thousands !== undefined && mayBe(thousands))
    return refuse(phrase('"{0}" can mean {1} or {2}. Write one of these.', text, String(number), String(thousands)));
  const outside = whyOutside(option, meaning, number);
  if (outside !== undefined) return refuse(outside);
  const steps = stepsTo(number);
  const nearest = Math.round(steps);
  if (!fits(nearest))
    return refuse(
      phrase('{0} has too few bits ({1}) for {2}.', option.title, optionWidth(option), withUnit(number, unit)),
    );
  if (scaledStep(meaning, nearest) === number) return done(rawOfStep(option, meaning, nearest));
  const near = [Math.floor(steps), Math.ceil(steps)].filter(fits).map((step) => scaledStep(meaning, step));
  return refuse(
    phrase('{0} cannot hold {1} exactly. The nearest values: {2}.', option.title, withUnit(number, unit), listed(near)),
  );
}

/** A date or time that the bits can hold. */
function dateValue(option: Option, meaning: DateMeaning | CountedDateMeaning, text: string): Result<bigint> {
  const width = optionWidth(option);
  const found = readWrittenDate(text).flatMap((moment) => {
    const raw = rawOfDate(meaning, moment, width);
    return raw === undefined ? [] : { raw, words: isoText(moment) };
  });
  const [first, second] = found;
  if (first === undefined) return refuse(whyNoDate(option, meaning));
  return second === undefined
    ? done(first.raw)
    : refuse(phrase('"{0}" can mean {1} or {2}. Write one of these.', text, first.words, second.words));
}

/** No flag at all, which is how none is shown. */
function nothingSet({ meaning }: Option): Result<bigint> | undefined {
  return meaning.kind === 'flags' ? done(0n) : undefined;
}

/** Left empty, all flags would be cleared by what may be a slip of the hand. */
function whyNothingSaid({ title }: Option): Phrase {
  return phrase('{0} is given no value. To clear all its flags, write "–" or 0.', title);
}

/** What words mean: one of `values`, any number of `flags` parted by commas; undefined where one of them is none. */
function wordsValue(option: Option, { kind, words }: WordsMeaning, text: string): Result<bigint> | undefined {
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

function textValue(option: Option, meaning: TextMeaning, text: string, now: bigint | undefined): Result<bigint> {
  const plain = text.replace(/^"(.*)"$/, '$1');
  const [width, composed] = [optionWidth(option), plain.normalize('NFC')];
  // What is stored in single marks stays so; where these have no code, the whole letter may have one.
  const raw = rawOfText(meaning, width, plain, now) ?? rawOfText(meaning, width, composed, now);
  return raw === undefined ? refuse(whyNoText(option, meaning)) : done(raw);
}

function unknownWords(option: Option, text: string): Phrase {
  const { meaning } = option;
  const own = meaning.kind === 'values' || meaning.kind === 'flags' ? [...meaning.words.values()] : [];
  const known = [...own, ...option.special.values()];
  // Another number is another thing, however few digits differ.
  const digitsOf = (words: string) => words.replace(/\D+/g, ' ').trim();
  const near = nearestName(
    text,
    known.filter((words) => digitsOf(words) === digitsOf(text)),
  );
  return near === undefined
    ? phrase('"{0}" is no value of {1}. It takes {2}.', text, option.title, knownInWords(option))
    : phrase('"{0}" is no value of {1}; is "{2}" meant?', text, option.title, near);
}
