import type { TextCoding } from './profile.js';

export const TEXT_CODINGS: readonly TextCoding[] = ['ascii', 'latin-1', 'utf-16le', 'utf-16be', 'bcd'];

/** Whether a text of a coding can be that many bytes long. */
export function isLengthOf(coding: TextCoding, bytes: number): boolean {
  return !coding.startsWith('utf-16') || bytes % 2 === 0;
}

/** Whether a byte can fill a text: in BCD it is no digit, and the same in both halves. */
export function canFill(coding: TextCoding, byte: number): boolean {
  return coding !== 'bcd' || (byte >> 4 === (byte & 15) && byte >> 4 > 9);
}
