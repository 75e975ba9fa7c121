import { dumpText } from './dumpText.js';
import { intelHex } from './intelHex.js';
import type { Notation } from './notation.js';
import { sRecord } from './sRecord.js';

const BY_ENDING: readonly (readonly [RegExp, Notation])[] = [
  [/\.(?:hex|ihx|ihex|h86)$/i, intelHex],
  [/\.(?:s19|s28|s37|srec|mot)$/i, sRecord],
  [/\.cfgdump$/i, dumpText],
];

/** The notation of a file by the ending of its name; where that says nothing, by its first record. */
export function notationOf(name: string, text: string): Notation {
  const byEnding = BY_ENDING.find(([ending]) => ending.test(name))?.[1];
  return byEnding ?? notationOfText(text) ?? dumpText;
}

/** The notation whose records a text begins with, or undefined where it begins with none that is known by its mark. */
export function notationOfText(text: string): Notation | undefined {
  if (/^[\s\ufeff]*:[0-9A-F]{10}/i.test(text)) return intelHex;
  return /^[\s\ufeff]*S[0-9][0-9A-F]{6}/i.test(text) ? sRecord : undefined;
}

/** Whether a notation is a memory image: records that carry addresses. */
export function isImage({ id }: Notation): boolean {
  return id === 'intel-hex' || id === 's-record';
}
