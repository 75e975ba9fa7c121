import type { TextCoding, TextMeaning } from '../profile/profile.js';

/** How characters become units of bits: `read` and `write` give undefined for what has no character or no code. */
interface Charset {
  /** Bits of a unit. */
  readonly bits: 4 | 8 | 16;
  readonly order: 'big' | 'little';
  readonly isCode: (code: number) => boolean;
  /** What ends a text where the profile names no byte for it: the first is written. */
  readonly fillers: readonly number[];
}

const CHARSETS: Readonly<Record<TextCoding, Charset>> = {
  ascii: { bits: 8, order: 'big', isCode: (code) => code >= 0x20 && code < 0x7f, fillers: [0x20, 0, 0xff] },
  'latin-1': { bits: 8, order: 'big', isCode: (code) => code <= 0xff, fillers: [0x20, 0, 0xff] },
  'utf-16le': { bits: 16, order: 'little', isCode: () => true, fillers: [0x20, 0, 0xffff] },
  'utf-16be': { bits: 16, order: 'big', isCode: () => true, fillers: [0x20, 0, 0xffff] },
  // Digits are units of four bits, and the character "0" has the code 0.
  bcd: { bits: 4, order: 'big', isCode: (code) => code <= 9, fillers: [15] },
};

/** How many characters a text of so many bits has room for. */
export function roomFor({ coding }: TextMeaning, width: number): number {
  return width / CHARSETS[coding].bits;
}

/** The text that a raw value stores; undefined where a unit is no character that can be shown. */
export function textOf(meaning: TextMeaning, width: number, raw: bigint): string | undefined {
  const { coding } = meaning;
  const units = [...unitsOf(CHARSETS[coding], width, raw)];
  const fillers = fillersOf(meaning);
  while (units.length > 0 && fillers.includes(units.at(-1) ?? 0)) units.pop();
  if (!units.every(CHARSETS[coding].isCode)) return undefined;
  const text = coding === 'bcd' ? units.join('') : String.fromCharCode(...units);
  // What cannot be seen is no text: controls, halves of characters, marks that turn the direction of writing.
  return /[\p{C}\p{Zl}\p{Zp}]/u.test(text) ? undefined : text;
}

/**
 * The raw value that stores a text, its rest filled as the profile says or as the text that is there `now`; undefined
 * where it is too long, where a character has no code, and where it would be read as another one.
 */
export function rawOfText(meaning: TextMeaning, width: number, text: string, now?: bigint): bigint | undefined {
  const { coding } = meaning;
  const charset = CHARSETS[coding];
  const codes = Array.from({ length: text.length }, (_, i) =>
    coding === 'bcd' ? digitOf(text.charAt(i)) : text.charCodeAt(i),
  );
  const room = roomFor(meaning, width);
  if (codes.length > room || !codes.every(charset.isCode)) return undefined;
  const filler = fillerFor(meaning, now === undefined ? undefined : unitsOf(charset, width, now).at(-1));
  const units = [...codes, ...Array.from({ length: room - codes.length }, () => filler)];
  const raw = units.reduce((all, unit) => (all << BigInt(charset.bits)) | BigInt(asStored(charset, unit)), 0n);
  const blanks = fillersOf(meaning).includes(0x20) && coding !== 'bcd';
  return textOf(meaning, width, raw) === (blanks ? text.replace(/ +$/, '') : text) ? raw : undefined;
}

function digitOf(character: string): number {
  return /^\d$/.test(character) ? Number(character) : 0xff;
}

function fillersOf({ coding, pad }: TextMeaning): readonly number[] {
  const { bits, fillers } = CHARSETS[coding];
  if (pad === undefined) return fillers;
  return [bits === 4 ? pad & 15 : bits === 8 ? pad : (pad << 8) | pad];
}

/** What fills a text: where the profile names no byte, the zeros or FF that end the text there now. */
function fillerFor(meaning: TextMeaning, last: number | undefined): number {
  const fillers = fillersOf(meaning);
  return last !== undefined && fillers.includes(last) ? last : (fillers[0] ?? 0);
}

/** The units of a raw value, first to last. */
function unitsOf(charset: Charset, width: number, raw: bigint): readonly number[] {
  const { bits } = charset;
  const count = width / bits;
  return Array.from({ length: count }, (_, i) =>
    asStored(charset, Number(BigInt.asUintN(bits, raw >> BigInt(bits * (count - 1 - i))))),
  );
}

/** A unit with its bytes in the order of the coding; the same way back. */
function asStored({ order }: Charset, unit: number): number {
  return order === 'big' ? unit : ((unit & 0xff) << 8) | (unit >> 8);
}
