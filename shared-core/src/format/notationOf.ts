import { dumpText } from './dumpText.js';
import { intelHex } from './intelHex.js';
import type { Notation } from './notation.js';
import { sRecord } from './sRecord.js';

/** Endings of the names of dumps, and the notation that each promises. */
const BY_ENDING: ReadonlyMap<string, Notation> = new Map([
  ['cfgdump', dumpText],
  ...['hex', 'ihx', 'ihex', 'h86'].map((ending) => [ending, intelHex] as const),
  ...['s19', 's28', 's37', 'srec', 'mot'].map((ending) => [ending, sRecord] as const),
]);

/** The endings by which a file is known for a dump, without the dot. */
export const DUMP_ENDINGS: readonly string[] = [...BY_ENDING.keys()];

/** The notation of a file by the ending of its name; where that says nothing, by its first record. */
export function notationOf(name: string, text: string): Notation {
  return BY_ENDING.get(endingOf(name)) ?? notationOfText(text) ?? dumpText;
}

/** Languages of an editor that say how a text is written, whatever its name. */
const BY_LANGUAGE: ReadonlyMap<string, Notation> = new Map(
  [intelHex, sRecord].map((notation) => [notation.id, notation]),
);

/** The notation of a document in an editor: its user may have chosen a language that its name does not promise. */
export function notationOfDocument(language: string, name: string, text: string): Notation {
  return BY_LANGUAGE.get(language) ?? notationOf(name, text);
}

/** Whether a file is a dump by the ending of its name. */
export function isDumpName(name: string): boolean {
  return BY_ENDING.has(endingOf(name));
}

function endingOf(name: string): string {
  return name.slice(name.lastIndexOf('.') + 1).toLowerCase();
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
