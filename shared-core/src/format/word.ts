/** Words in which a file shows or stores its bytes: how many bytes each has, and whether the lowest (le) or the highest (be) has the lowest address. */
export const WORDS = ['2le', '2be', '4le', '4be'] as const;
export type Word = (typeof WORDS)[number];

export function wordOf(text: string): Word | undefined {
  return WORDS.find((word) => word === text);
}

export function bytesOfWord(word: Word): number {
  return Number(word.charAt(0));
}

/** Whether the byte that is written last in a word has the lowest address. */
export function isTurned(word: Word): boolean {
  return word.endsWith('le');
}

/** Where the byte at a place of whole words is written, counted by bytes; the same the other way. */
export function turnedPlace(at: number, word: Word): number {
  const count = bytesOfWord(word);
  return isTurned(word) ? at - (at % count) + count - 1 - (at % count) : at;
}

/** Whole words with the bytes of each in the order of addresses, of such as they are written; the same the other way. */
export function turnedBytes(bytes: Uint8Array, word: Word): Uint8Array {
  if (!isTurned(word)) return bytes.slice();
  const count = bytesOfWord(word);
  const turned = new Uint8Array(bytes.length);
  for (let from = 0; from < bytes.length; from += count)
    for (let i = 0; i < count; i++) turned[from + i] = bytes[from + count - 1 - i] as number;
  return turned;
}
