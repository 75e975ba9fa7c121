import type { Span } from '../base/span.js';
import { bytesOfWord, turnedBytes, type Word } from './word.js';

/** Which bytes of a line have characters beside them, and where the first of these is. */
export interface CharacterColumn {
  readonly start: number;
  /** The first byte that has one. */
  readonly first: number;
  readonly count: number;
}

/** So many bytes at either end of a line, such as its sum, may have no character. */
const WITHOUT = [0, 1, 2, 4];

/** Blanks before the characters. */
const MOST_BLANKS = 3;

/**
 * Where the characters beside bytes are: as many as there are bytes, but for a sum at either end, and each that of its
 * byte. Undefined where one of them goes against its byte: then nobody can tell which is right.
 */
export function characterColumn(text: string, { start, end }: Span, bytes: Uint8Array): CharacterColumn | undefined {
  // Blanks at the end of a line may be missing.
  const missing = text.slice(end).trim() === '' ? ' ' : '';
  for (const first of WITHOUT) {
    for (const last of WITHOUT) {
      const count = bytes.length - first - last;
      if (count < 1 || 2 * count < bytes.length) continue;
      for (let blanks = 0; blanks <= MOST_BLANKS; blanks++) {
        const at = start + blanks;
        if (blanks > 0 && text.charAt(at - 1) !== ' ') break;
        if (fits(text.slice(at, end), bytes.subarray(first, first + count), missing))
          return { start: at, first, count };
      }
    }
  }
  return undefined;
}

function fits(shown: string, bytes: Uint8Array, missing: string): boolean {
  if (shown.slice(bytes.length).trim() !== '') return false;
  return bytes.every((byte, i) => isShownAs(byte, i < shown.length ? shown.charAt(i) : missing));
}

/** Whether programs show a byte so: by its character, or by one that stands for none. */
export function isShownAs(byte: number, shown: string): boolean {
  if (shown === '') return false;
  if (byte > 0x20 && byte < 0x7f) return shown === String.fromCharCode(byte);
  if (byte === 0x20) return shown === ' ' || shown === '.';
  return !/[0-9A-Za-z]/.test(shown);
}

/** Bytes as they are in their digits, in the order of the characters beside them: words that are printed are shown by addresses. */
export function inOrderShown(digits: string, bytes: Uint8Array, word: Word | undefined): Uint8Array {
  return word !== undefined && isShownByAddress(digits) && bytes.length % bytesOfWord(word) === 0
    ? turnedBytes(bytes, word)
    : bytes;
}

/** Whether bytes are printed in groups of several. */
export function isShownByAddress(digits: string): boolean {
  return /[0-9A-F]{3}/i.test(digits);
}

/** How many places a text is cut at before it is given up. */
const MOST_CUTS = 12;

/**
 * Cuts bytes from the characters behind them where nothing but blanks is between: at the one place where all characters
 * are those of the bytes. Undefined where there is none, or more than one.
 */
export function cutAtCharacters(
  text: string,
  start: number,
  end: number,
  word?: Word,
): { readonly data: Span; readonly characters: Span } | undefined {
  const bytes: number[] = [];
  const cuts: { readonly data: Span; readonly characters: Span }[] = [];
  let tried = 0;
  let at = start;
  while (tried < MOST_CUTS) {
    const pair = text.slice(at, at + 2);
    if (!/^[0-9a-f]{2}$/i.test(pair)) break;
    bytes.push(Number.parseInt(pair, 16));
    at += 2;
    if (at < end && text.charAt(at) !== ' ' && text.charAt(at) !== '\t') continue;
    let next = at;
    while (
      next < end &&
      (text.charAt(next) === ' ' ||
        text.charAt(next) === '\t' ||
        (text.charAt(next) === '|' && text.charAt(next + 1) === ' '))
    )
      next++;
    // With so few bytes the rest is too long for their characters.
    if (end - next <= bytes.length) {
      tried++;
      for (let from = Math.min(at + 1, end); from <= next; from++) {
        const characters = { start: from, end };
        if (next - from > MOST_BLANKS + bytes.length || next - from > 64) continue;
        const column = characterColumn(
          text,
          characters,
          inOrderShown(text.slice(start, at), Uint8Array.from(bytes), word),
        );
        // Where none are to be seen, all bytes must be such as are shown as blanks.
        if (column === undefined || (from === end && column.count < bytes.length)) continue;
        cuts.push({ data: { start, end: at }, characters });
        break;
      }
    }
    at = next;
  }
  return cuts.length === 1 ? cuts[0] : undefined;
}
