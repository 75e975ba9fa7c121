import { bytesOfWord, isTurned, turnedPlace, type Word } from './word.js';

/** Where the digits of a row are. */
interface Digits {
  readonly start: number;
  readonly end: number;
}

/** Whether a row is printed in words: groups of several bytes, or one of them behind the blanks of the bytes that it lacks. */
export function hasWords(text: string, { start, end }: Digits): boolean {
  const digits = text.slice(start, end);
  return /[^ \t]{3}/.test(digits) || (text.charAt(start - 1) === ':' && /^ {3,}\S+$/.test(digits));
}

/**
 * Where the first digit of each byte is, in the order of addresses: in words with the lowest byte first each group from
 * its end; where single bytes are printed, each word of them. Undefined where the digits are no whole words.
 */
export function placesInWords(text: string, { start, end }: Digits, word: Word): readonly number[] | undefined {
  const size = bytesOfWord(word);
  const groups = [...text.slice(start, end).matchAll(/[^ \t]+/g)].map(({ index, 0: digits }) =>
    Array.from({ length: digits.length >> 1 }, (_, i) => start + index + 2 * i),
  );
  if (!hasWords(text, { start, end })) {
    const all = groups.flat();
    if (!isTurned(word)) return all;
    return all.length % size === 0 ? all.map((_, i) => all[turnedPlace(i, word)] as number) : undefined;
  }
  const last = groups.at(-1) ?? [];
  const isWhole = groups.every((group) => group.length === size || group === last) && last.length <= size;
  if (!isWhole || (last.length < size && isTurned(word) && !isPadded(text, start, last, size))) return undefined;
  return isTurned(word) ? groups.flatMap((group) => group.slice().reverse()) : groups.flat();
}

/** Whether blanks stand before a short word in place of the bytes that it lacks. */
function isPadded(text: string, start: number, last: readonly number[], size: number): boolean {
  const first = last[0] ?? start;
  const blanks = /[ ]*$/.exec(text.slice(start, first))?.[0].length ?? 0;
  return blanks === 1 + 2 * (size - last.length);
}
