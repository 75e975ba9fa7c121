import { DIGIT_VALUES } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { notHex, oddDigits } from './hexGroups.js';
import { hasWords, placesInWords } from './hexViewWords.js';
import { strayRow } from './imageText.js';
import type { ByteStore } from './notation.js';
import { contentOf, NO_PROBLEMS, type RecordRow, type Row, type RowProblem } from './row.js';
import { noWords } from './whyWords.js';
import { bytesOfWord, isTurned, turnedPlace, type Word } from './word.js';

/** Rows as `xxd`, `hexdump -C` and `od -A x -t x1` print them, rows that `*` stands for, and the length at the end. */
export const HEX_VIEW_TYPE = { xxd: 0, hexdump: 1, od: 2, repeated: 3, end: 4 } as const;
const TYPE = HEX_VIEW_TYPE;

export const HEX_VIEW = { title: phrase('a hex view'), commentSign: '#' } as const;

const BLANK = 0x20;
const TAB = 0x09;

/** What a viewer shows of a byte beside its digits. */
export function shownCharacter(byte: number): string {
  return byte >= BLANK && byte < 0x7f ? String.fromCharCode(byte) : '.';
}

/** Blanks, and the digits of the address. */
export const HEX_VIEW_ADDRESS = /^([\s\ufeff]*)[0-9A-F]{4,16}/i;

/** Where the parts of a row are. */
export interface HexViewShape {
  readonly type: number;
  readonly label: number;
  /** The digits of its bytes, with the blanks between them. */
  readonly start: number;
  readonly end: number;
  readonly characters?: Characters;
}

interface Characters {
  readonly start: number;
  readonly end: number;
}

/** Takes a row apart by its outer form, of words where they are given; undefined where it has none of them. */
export function hexViewShape(text: string, word?: Word): HexViewShape | undefined {
  const address = HEX_VIEW_ADDRESS.exec(text);
  if (address === null) return undefined;
  const at = address[0].length;
  const label = Number.parseInt(address[0].replace('\ufeff', '').trim(), 16);
  const content = contentOf(text);
  if (content.charAt(at) === ':') {
    // Two blanks end the groups, whatever the characters behind them look like.
    const gap = content.indexOf('  ', at + 2);
    const last = gap < 0 ? content.trimEnd().length : gap;
    const end = word !== undefined && isTurned(word) ? behindShortWord(content, at, last, word) : last;
    const characters = gap < 0 && end === last ? {} : { characters: behindGroups(content, at + 1, end) };
    return { type: TYPE.xxd, label, start: at + 1, end, ...characters };
  }
  const last = content.trimEnd().length;
  if (last <= at) return { type: TYPE.end, label, start: at, end: at };
  const bar = content.indexOf('|', at);
  if (bar >= 0 && content.startsWith('  ', at)) {
    const isClosed = last - 1 > bar && content.charAt(last - 1) === '|';
    return {
      type: TYPE.hexdump,
      label,
      start: at,
      end: bar,
      characters: { start: bar + 1, end: last - (isClosed ? 1 : 0) },
    };
  }
  if (content.charAt(at) !== ' ') return undefined;
  const mark = content.indexOf('  >', at);
  if (mark < 0) return { type: TYPE.od, label, start: at, end: content.length };
  return { type: TYPE.od, label, start: at, end: mark, characters: { start: mark + 3, end: last - 1 } };
}

/**
 * Where the words of `xxd -e` end: of the last one only some bytes may be there, behind blanks in place of the others. The
 * characters behind all words begin at a multiple of their width, which tells such a word from characters that look like it.
 */
function behindShortWord(content: string, at: number, last: number, word: Word): number {
  const digits = 2 * bytesOfWord(word);
  const start = last === at + 2 ? last : last + 1;
  const found = /^( +)((?:[0-9A-F]{2})+)(?= {2})/i.exec(content.slice(start));
  if (found === null || found[0].length !== digits) return last;
  const end = start + digits;
  const count = content.slice(at + 1, end).replaceAll(' ', '').length >> 1;
  return (content.length - count - at - 3) % (digits + 1) === 0 ? end : last;
}

/** The characters behind the groups of xxd: as many as there are bytes, at the end of the line; blanks there may be missing. */
function behindGroups(content: string, start: number, end: number): Characters {
  const count = content.slice(start, end).replaceAll(' ', '').length >> 1;
  return { start: Math.max(content.length - count, end + 2), end: content.length };
}

export function readHexViewRow(text: string, store: ByteStore, word?: Word): Row {
  const shape = hexViewShape(text, word);
  if (shape === undefined) return readNoRow(text);
  const { type, label, start, end, characters } = shape;
  const from = store.used;
  const problems = readDigits(text, start, end, store);
  const count = store.used - from;
  const broken = (said: readonly RowProblem[], data: number | undefined): Row => ({
    ...{ kind: 'broken', text, label, problems: said },
    ...(data !== undefined && { head: { type, data } }),
  });
  if (label > 0xffffffff)
    return broken([unreadable(0, start, phrase('This address is above the last one, FFFFFFFF.'))], undefined);
  // Words of several bytes may be printed in another order than they are in; the characters of xxd show that they are not.
  if (word === undefined && type !== TYPE.xxd && /[^ \t]{3}/.test(text.slice(start, end)))
    return broken([wordsInDoubt(start, end)], undefined);
  if (problems.length > 0) return broken(problems, bytesMeant(text.slice(start, end)));
  if (count === 0 && type !== TYPE.end) return readNoRow(text);
  const read = { kind: 'record', text, label, type, store: store.bytes, from, count } as const;
  const row = word === undefined || count === 0 ? read : rowInWords(read, shape, word);
  if (row === undefined) return broken(word === undefined ? [] : [unreadable(start, end, noWords(word))], undefined);
  const wrong = characters === undefined ? NO_PROBLEMS : wrongCharacters(row, characters, shape, word);
  return { ...row, problems: wrong, ...(wrong.length > 0 && { inDoubt: true }) };
}

/** Tools that print hex views print nothing between the rows, and those that read them take digits in any line for data. */
function readNoRow(text: string): Row {
  return /^\s*$/.test(text)
    ? { kind: 'blank', text, problems: NO_PROBLEMS }
    : strayRow(
        text,
        phrase('This line cannot be read as {0}, which has no comments. Correct it, or take it out.', HEX_VIEW.title),
      );
}

/** Reads pairs of digits and blanks. */
function readDigits(text: string, start: number, end: number, store: ByteStore): readonly RowProblem[] {
  for (let at = start; at < end; ) {
    const code = text.charCodeAt(at);
    if (code === BLANK || code === TAB) {
      at++;
      continue;
    }
    const high = DIGIT_VALUES[code] as number;
    if (high > 15) return [notHex(text, at)];
    const next = at + 1 < end ? text.charCodeAt(at + 1) : BLANK;
    const low = DIGIT_VALUES[next] as number;
    if (low > 15) return [next === BLANK || next === TAB ? oddDigits(at, at + 1) : notHex(text, at + 1)];
    store.bytes[store.used++] = (high << 4) | low;
    at += 2;
  }
  return NO_PROBLEMS;
}

/** How many bytes groups with a wrong digit should be; undefined where one has too many or too few. */
function bytesMeant(digits: string): number | undefined {
  const groups = digits.split(/[ \t]/).filter((group) => group !== '');
  return groups.every(({ length }) => length % 2 === 0) ? groups.join('').length / 2 : undefined;
}

/** The first character that is not that of its byte: one of them is wrong. */
function wrongCharacters(
  { text, store, from, count, type }: Omit<RecordRow, 'problems'>,
  { start, end }: Characters,
  shape: HexViewShape,
  word: Word | undefined,
): readonly RowProblem[] {
  const found = end - start;
  if (found !== count && !(type === TYPE.xxd && found < count)) {
    const message = phrase(
      'This row has {0} bytes and {1} characters beside them. One of them is wrong.',
      count,
      Math.max(0, found),
    );
    return [unreadable(Math.min(start, end), Math.max(start, end), message)];
  }
  if (type === TYPE.xxd && text.slice(shape.end, start).trim() !== '') {
    const message = phrase(
      'There is text between the bytes and the characters of this row. Take out what does not belong there.',
    );
    return [unreadable(shape.end, start, message)];
  }
  const byteAt = characterOrder(text, shape, word);
  for (let i = 0; i < count; i++) {
    const meant = shownCharacter(store[from + byteAt(i)] as number);
    const shown = i < found ? text.charAt(start + i) : ' ';
    if (shown === meant) continue;
    const message = phrase('Here is "{0}", and the byte is shown as "{1}". One of them is wrong.', shown, meant);
    const at = Math.min(start + i, Math.max(start, end - 1));
    return [{ ...unreadable(at, at + 1, message), ...(i < found && { meant }) }];
  }
  return NO_PROBLEMS;
}

function wordsInDoubt(start: number, end: number): RowProblem {
  const message = phrase(
    'These digits are words of several bytes, of which nobody can tell the order. Say which it is, by "word" in the profile or on the command line by --word, or print single bytes: hexdump -C, or od -A x -t x1.',
  );
  return unreadable(start, end, message);
}

function unreadable(start: number, end: number, message: Phrase): RowProblem {
  return { code: 'text-unreadable', start, end, message };
}

/** Which byte each character is of, and the other way: those beside words go by addresses, those beside single bytes by their digits. */
export function characterOrder(text: string, shape: HexViewShape, word: Word | undefined): (at: number) => number {
  return word === undefined || hasWords(text, shape) ? (at) => at : (at) => turnedPlace(at, word);
}

/** A row with its bytes in the order of addresses; without those that `od` puts behind the last one where it shows how many there are. */
function rowInWords<R extends Pick<RecordRow, 'text' | 'type' | 'store' | 'from' | 'count'>>(
  row: R,
  shape: HexViewShape,
  word: Word,
): R | undefined {
  const { text, type, store, from, count } = row;
  const places = placesInWords(text, shape, word);
  if (places === undefined || (type !== TYPE.xxd && places.length % bytesOfWord(word) !== 0)) return undefined;
  for (const [i, at] of places.entries()) store[from + i] = Number.parseInt(text.slice(at, at + 2), 16);
  const { characters } = shape;
  const shown = characters === undefined || type !== TYPE.od ? count : characters.end - characters.start;
  return isFilledFrom(row, shown, word) ? { ...row, count: shown } : row;
}

/** Whether a row has only zero bytes from a place within its last word on. */
export function isFilledFrom(
  { store, from, count }: Pick<RecordRow, 'store' | 'from' | 'count'>,
  end: number,
  word: Word,
): boolean {
  return (
    end < count &&
    end > count - bytesOfWord(word) &&
    store.subarray(from + end, from + count).every((byte) => byte === 0)
  );
}

/** Where the digits of a row's bytes are. */
export function hexViewPlaces(text: string, word?: Word): readonly number[] {
  const shape = hexViewShape(text, word);
  const all: number[] = [];
  if (shape === undefined) return all;
  if (word !== undefined) return (placesInWords(text, shape, word) ?? []).flatMap((at) => [at, at + 1]);
  for (let at = shape.start; at < shape.end; at++)
    if (text.charCodeAt(at) !== BLANK && text.charCodeAt(at) !== TAB) all.push(at);
  return all;
}
