import { DIGIT_VALUES, isHexDigit } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { meantDigit } from './lookAlike.js';
import type { ByteStore } from './notation.js';
import { NO_PROBLEMS, type RowProblem } from './row.js';

const SPACE = 0x20;
const TAB = 0x09;
const DIVIDER = 0x7c;

/** One line can hold any number of wrong characters; more marks than these help nobody. */
const MOST_PROBLEMS = 8;

export function isBlank(code: number): boolean {
  return code === SPACE || code === TAB || code === 0xfeff || code === 0xa0;
}

/**
 * Reads groups of hex digit pairs, parted by blanks and at most one `|`, from `start` to before `end`.
 * Adds the bytes to the store and returns what is wrong; the store is only to be used where nothing is.
 */
export function readHexGroups(text: string, start: number, end: number, store: ByteStore): readonly RowProblem[] {
  let problems: RowProblem[] | undefined;
  let dividers = 0;
  let at = start;
  const { bytes } = store;
  let used = store.used;
  while (at < end) {
    const code = text.charCodeAt(at);
    if (code === SPACE) {
      at++;
      continue;
    }
    const high = DIGIT_VALUES[code] as number;
    const low = DIGIT_VALUES[text.charCodeAt(at + 1)] as number;
    if (high < 16 && low < 16 && at + 1 < end) {
      bytes[used++] = (high << 4) | low;
      at += 2;
    } else if (isBlank(code)) {
      at++;
    } else if (code === DIVIDER) {
      dividers++;
      if (dividers === 2) problems = [...(problems ?? []), secondDivider(at)];
      at++;
    } else {
      // Something is wrong with this group: it is looked at again from its first character.
      problems ??= [];
      if (problems.length >= MOST_PROBLEMS) break;
      at = readWrongGroup(text, groupStart(text, at, start), end, problems);
    }
  }
  store.used = used;
  return problems ?? NO_PROBLEMS;
}

function groupStart(text: string, at: number, least: number): number {
  let start = at;
  while (start > least && !isBlank(text.charCodeAt(start - 1)) && text.charCodeAt(start - 1) !== DIVIDER) start--;
  return start;
}

function readWrongGroup(text: string, start: number, end: number, problems: RowProblem[]): number {
  let at = start;
  let sound = true;
  for (; at < end; at++) {
    const code = text.charCodeAt(at);
    if (isBlank(code) || code === DIVIDER) break;
    if (isHexDigit(code)) continue;
    sound = false;
    if (problems.length < MOST_PROBLEMS) problems.push(notHex(text, at, IN_LINE));
    if (code >= 0xd800 && code < 0xdc00) at++;
  }
  if (sound) problems.push(oddDigits(start, at));
  return at;
}

/** Where each digit of the groups stands, in order; for text in which `readHexGroups` found nothing wrong. */
export function hexDigitPlaces(text: string, start: number, end: number): number[] {
  const places: number[] = [];
  for (let at = start; at < end; at++) if (isHexDigit(text.charCodeAt(at))) places.push(at);
  return places;
}

/** So many places one after the other: a plain loop, as every record of an image with wrong sums is asked for them. */
export function consecutivePlaces(first: number, count: number): number[] {
  const places: number[] = [];
  for (let i = 0; i < count; i++) places.push(first + i);
  return places;
}

/** What may be done about a character that is no digit and looks like none; a comment behind the bytes has a sign here. */
const IN_LINE = phrase('Correct it, or put # before a comment.');

/** What may be done where a comment behind the bytes has no sign. */
const AS_IT_IS = phrase('Correct it.');

export function notHex(text: string, at: number, toDo: Phrase = AS_IT_IS): RowProblem {
  const character = String.fromCodePoint(text.codePointAt(at) as number);
  const meant = meantDigit(character);
  const place = { code: 'not-hex', start: at, end: at + character.length } as const;
  if (meant === undefined) {
    return { ...place, message: phrase('"{0}" is no hex digit (0 to 9, A to F). {1}', character, toDo) };
  }
  return { ...place, meant, message: phrase('"{0}" is no hex digit; it was probably {1}.', character, meant) };
}

export function oddDigits(start: number, end: number): RowProblem {
  const message = phrase(
    'Digits in this group: {0}, and a byte has two. A digit is missing or too many here.',
    end - start,
  );
  return { code: 'odd-digits', start, end, message };
}

function secondDivider(at: number): RowProblem {
  const message = phrase('A second "|" in one line: one at most, between data and sum. Remove it.');
  return { code: 'not-hex', start: at, end: at + 1, message };
}
