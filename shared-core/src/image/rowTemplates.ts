import { DIGIT_VALUES } from '../base/hex.js';
import { sumBytesOf } from '../format/imageForm.js';
import type { Notation } from '../format/notation.js';
import { bytesOf, contentOf, type RecordRow } from '../format/row.js';

/**
 * What a sound row of data looks like: where its digits are, and what is at all other places of the line. A line that
 * differs from it in digits alone is a row of the same type with as many bytes.
 */
export interface RowTemplate {
  readonly type: number;
  /** Characters of the line, its line end not included. */
  readonly length: number;
  /** Data bytes. */
  readonly count: number;
  /** Places of all characters that are not digits of the row, and what is there. */
  readonly fixedAt: Uint16Array;
  readonly fixed: Uint8Array;
  /** Where the digits of the label are; nowhere in rows that carry none. */
  readonly labelAt: number;
  readonly labelEnd: number;
  /** Where the first digit of each byte is: data, then sum. */
  readonly digits: Uint16Array;
  /** Whether the digits of the data follow each other with nothing between them. */
  readonly isDense: boolean;
  /** Where the characters of the data are, in forms that show them; else -1. */
  readonly characters: number;
  readonly sum: TemplateSum | undefined;
}

/** The sum that rows of a template end in: what it makes with label and data is the same in all of them. */
export interface TemplateSum {
  readonly sign: 1 | -1;
  readonly isOfDigits: boolean;
  readonly mask: number;
  readonly made: number;
}

/** The template of the rows that look like a sound one; undefined where such rows are to be read one by one. */
export function templateOf(notation: Notation, row: RecordRow): RowTemplate | undefined {
  const text = contentOf(row.text);
  const count = row.count - sumBytesOf(notation);
  const places = notation.digitPlaces(row);
  if (!/^[\x20-\x7e\t]*$/.test(text) || text.length > LONGEST || count <= 0 || places.length !== 2 * row.count)
    return undefined;
  if (places.some((at, i) => i % 2 === 1 && at !== (places[i - 1] as number) + 1)) return undefined;
  const label = notation.labelSpan(row) ?? { start: 0, end: 0 };
  const characters = notation.characters?.(row)?.(0) ?? -1;
  const isFixed = new Uint8Array(text.length).fill(1);
  for (const at of places) isFixed[at] = 0;
  isFixed.fill(0, label.start, label.end);
  if (characters >= 0) isFixed.fill(0, characters, characters + count);
  const fixedAt = Uint16Array.from(isFixed.keys()).filter((at) => isFixed[at] === 1);
  const digits = Uint16Array.from({ length: row.count }, (_, i) => places[2 * i] as number);
  return {
    type: row.type ?? 0,
    length: text.length,
    count,
    fixedAt,
    fixed: Uint8Array.from(fixedAt, (at) => text.charCodeAt(at)),
    labelAt: label.start,
    labelEnd: label.end,
    digits,
    isDense: digits.subarray(0, count).every((at, i) => at === (digits[0] as number) + 2 * i),
    characters: characters + count > text.length ? text.length : characters,
    sum: sumOf(notation, row, text.slice(label.start, label.end)),
  };
}

/** Longer lines are read one by one. */
const LONGEST = 4096;

function sumOf({ image }: Notation, row: RecordRow, label: string): TemplateSum | undefined {
  if (image?.sum === undefined) return undefined;
  const isOfDigits = image.sum.counts === 'digits';
  const width = sumBytesOf({ image });
  const [sign, mask] = [image.sum.complement === 'none' ? -1 : 1, 256 ** width - 1] as const;
  const weight = (at: number) => (isOfDigits || (label.length - at) % 2 === 1 ? 1 : 16);
  let all = 0;
  for (let at = 0; at < label.length; at++) all += weight(at) * (DIGIT_VALUES[label.charCodeAt(at)] as number);
  for (const byte of bytesOf(row, 0, row.count - width)) all += isOfDigits ? (byte >> 4) + (byte & 15) : byte;
  const stored = bytesOf(row, row.count - width).reduce((number, byte) => number * 256 + byte, 0);
  return { sign, isOfDigits, mask, made: (stored + sign * all) & mask };
}
