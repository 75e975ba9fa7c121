import { hex } from '../../base/hex.js';
import { type Phrase, phrase } from '../../base/phrase.js';
import type { AddressedBytes } from './dumpBytes.js';

/** More of one kind than these nobody reads through. */
const MOST = 10;

const LEAST_TEXT = 8;

/** What looks personal in bytes and was left: nobody has said that it is, and it may mean something else. */
export function personalLooks(
  { bytes, nameOf }: AddressedBytes,
  isInvented: (index: number) => boolean,
): readonly Phrase[] {
  const isLeft = (from: number, end: number) =>
    bytes.subarray(from, end).some((byte, at) => byte !== 0x20 && !isInvented(from + at));
  const texts = textsIn(bytes).filter(({ from, end }) => isLeft(from, end));
  const days = datesIn(bytes).filter(({ from, digits }) => isLeft(from, from + digits.length / 2));
  const dates = days.filter(({ from }) => !texts.some((one) => from < one.end && from + 3 > one.from));
  return [
    ...shown(
      texts.filter(({ text }) => VIN_IN_TEXT.test(text)),
      ({ from, text }) => phrase('{0}: "{1}", which holds what looks like a VIN', nameOf(from), text),
    ),
    ...shown(
      texts.filter(({ text }) => !VIN_IN_TEXT.test(text)),
      ({ from, text }) => phrase('{0}: the text "{1}"', nameOf(from), text),
    ),
    ...shown(dates, ({ from, digits }) => phrase('{0}: {1}, which may be a date', nameOf(from), digits)),
  ];
}

/** The same of what people wrote. */
export function personalLooksIn(row: number, text: string, invented: readonly string[]): readonly Phrase[] {
  const at = row + 1;
  const isInvented = (found: string) =>
    invented.some((mask) => [mask, [...mask].reverse().join('')].includes(found.toUpperCase()));
  return [
    ...everyOne(VIN_IN_TEXT, text)
      .filter((found) => !isInvented(found))
      .map((found) => phrase('Row {0}: "{1}" looks like a VIN', at, found)),
    ...everyOne(MAIL, text).map((found) => phrase('Row {0}: "{1}" looks like an e-mail address', at, found)),
    ...everyOne(PHONE, text)
      .filter((found) => found.replace(/\D/g, '').length >= LEAST_PHONE)
      .map((found) => phrase('Row {0}: "{1}" looks like a telephone number', at, found)),
  ];
}

/** When something was read, in what people wrote: a copy without "@taken" may still say it there. */
export function dayLooksIn(row: number, text: string): readonly Phrase[] {
  return everyOne(DAY, text).map((found) => phrase('Row {0}: "{1}" may be a date', row + 1, found));
}

/** The texts in what was left that look like a VIN. */
export function vinsIn(left: readonly Phrase[]): readonly string[] {
  const texts = left.flatMap(({ parts }) => parts.filter((part) => typeof part === 'string'));
  return [...new Set(texts.flatMap((text) => everyOne(VIN_IN_TEXT, text)))];
}

/** All places of a text that look so, not only the first. */
function everyOne(pattern: RegExp, text: string): readonly string[] {
  return Array.from(text.matchAll(new RegExp(pattern, `${pattern.flags}g`)), ([found]) => found);
}

/** What was found of one kind, the first of many. */
export function shown<T>(found: readonly T[], inWords: (one: T) => Phrase): readonly Phrase[] {
  const first = found.slice(0, MOST).map(inWords);
  return found.length > MOST ? [...first, phrase('… and {0} more of this kind', found.length - MOST)] : first;
}

const VIN_IN_TEXT = /(?<![A-Z0-9])(?=[A-Z]*\d)[A-HJ-NPR-Z0-9]{17}(?![A-Z0-9])/i;
const DAY = /(?<!\d)(?:(?:19|20)\d\d([-./])\d\d\1\d\d|\d\d([-./])\d\d\2(?:19|20)\d\d)(?!\d)/;
const MAIL = /[\w.+-]+@[\w-]+(?:\.[\w-]+)+/;
const PHONE = /(?<![\w.])(?:\+|0)\d[\d\s()/-]{5,}\d(?![\w.])/;
const LEAST_PHONE = 7;

/** Stretches of readable ASCII. */
function textsIn(bytes: Uint8Array): readonly { readonly from: number; readonly end: number; readonly text: string }[] {
  const found: { from: number; end: number; text: string }[] = [];
  let from = 0;
  for (let at = 0; at <= bytes.length; at++) {
    const byte = bytes[at];
    if (byte !== undefined && byte >= 0x20 && byte < 0x7f) continue;
    if (at - from >= LEAST_TEXT) {
      const text = String.fromCharCode(...bytes.subarray(from, Math.min(at, from + 64)));
      // One character over and over, or signs alone, tell nothing.
      const words = text.replace(/[^A-Za-z0-9]/g, '');
      if (new Set(words).size >= 3 && 2 * words.length >= text.trim().length) found.push({ from, end: at, text });
    }
    from = at + 1;
  }
  return found;
}

/** Three or four bytes that are a day in decimal digits: a year of 1990 to 2039, at the front or at the end. */
function datesIn(bytes: Uint8Array): readonly { readonly from: number; readonly digits: string }[] {
  const found: { from: number; digits: string }[] = [];
  for (let from = 0; from + 3 <= bytes.length; from++) {
    const long = digitsOf(bytes, from, 4);
    const short = digitsOf(bytes, from, 3);
    const isLong =
      long !== undefined &&
      (isDay(long.slice(6), long.slice(4, 6), long.slice(0, 4)) ||
        isDay(long.slice(0, 2), long.slice(2, 4), long.slice(4)));
    const isShort =
      short !== undefined &&
      [short.slice(0, 2), short.slice(4)].some((year, i) => {
        const day = i === 0 ? short.slice(4) : short.slice(0, 2);
        return Number(year) > 0 && isDay(day, short.slice(2, 4), `20${year}`);
      });
    if (!isLong && !isShort) continue;
    found.push({ from, digits: (isLong ? long : short) ?? '' });
    from += isLong ? 3 : 2;
  }
  return found;
}

function digitsOf(bytes: Uint8Array, from: number, count: number): string | undefined {
  if (from + count > bytes.length) return undefined;
  const digits = Array.from(bytes.subarray(from, from + count), (byte) => hex(byte)).join('');
  return /^\d+$/.test(digits) ? digits : undefined;
}

function isDay(day: string, month: string, year: string): boolean {
  const [d, m, y] = [Number(day), Number(month), Number(year)];
  return d >= 1 && d <= 31 && m >= 1 && m <= 12 && y >= 1990 && y <= 2039;
}
