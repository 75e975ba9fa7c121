import { tellingLines } from './pairs.js';

/** A row of what `od` or `hexdump` prints in other than hex digits: by itself `od` shows octal words of two bytes. */
const OCTAL_ROW = /^[0-9a-f]{6,7}(?:\s+[01][0-7]{5})+\s*$/;
/** Words of hex whose addresses are octal or decimal, as `od -x` and `od -A d -t x2` print them. */
const OTHER_BASE_ROW = /^\d{7}(?:\s+(?:[0-9a-f]{4}|[0-9a-f]{8}))+\s*$/;
const END = /^[0-9a-f]{6,7}\s*$/;

/** Whether a text is printed in octal words, or in hex words whose addresses are octal or decimal. */
export function isOctalView(text: string): boolean {
  return octalWordsIn(text) !== undefined || firstRow(text, OTHER_BASE_ROW) !== undefined;
}

/** The first row of octal words as the bytes that it would be with the lowest byte first, for a sample. */
export function octalWordsIn(text: string): Uint8Array | undefined {
  const words = firstRow(text, OCTAL_ROW)?.trim().split(/\s+/).slice(1);
  const numbers = words?.map((word) => Number.parseInt(word, 8));
  return numbers && Uint8Array.from(numbers.flatMap((number) => [number & 0xff, number >> 8]));
}

function firstRow(text: string, row: RegExp): string | undefined {
  const { head, tail } = tellingLines(text);
  const isAll = [...head, ...tail].every((line) => row.test(line) || END.test(line) || line.trim() === '*');
  return isAll ? head.find((line) => row.test(line)) : undefined;
}
