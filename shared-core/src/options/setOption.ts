import { writeBits } from '../bytes/bits.js';
import { hex } from '../bytes/hex.js';
import { bytesOfNumber } from '../bytes/number.js';
import type { ByteWrite } from '../dump/byteWrite.js';
import { cellKey, cellsOf } from '../dump/cell.js';
import type { Dump } from '../dump/dump.js';
import { readOption } from '../dump/optionReading.js';
import { byteAt } from '../dump/totals.js';
import { optionWidth } from '../profile/places.js';
import type { Meaning, Option } from '../profile/profile.js';
import { nearestName } from '../words/nearestName.js';
import { listed, type Phrase, phrase } from '../words/phrase.js';

/** Byte writes, or the reason why there can be none. */
export type SetResult =
  | { readonly kind: 'writes'; readonly writes: readonly ByteWrite[] }
  | { readonly kind: 'refused'; readonly why: Phrase };

/** Sets an option to a raw value (the bits as a number). Sums are not touched: they are repaired afterwards. */
export function setOption(dump: Dump, option: Option, raw: bigint): SetResult {
  if (option.hazard === 'security') {
    return refused(
      phrase(
        '{0} concerns the security of the vehicle (keys, immobiliser, alarm): it is shown, but no command changes it.',
        option.title,
      ),
    );
  }
  const width = optionWidth(option);
  if (raw < 0n || raw >= 1n << BigInt(width)) {
    return refused(phrase('{0} has {1} bits and cannot hold {2}.', option.title, width, hex(raw < 0n ? -raw : raw)));
  }
  const cells = cellsOf(dump.layout, option.place);
  const bytes = cells?.map((cell) => byteAt(dump.rows, cell));
  if (cells === undefined || !bytes?.every((byte) => byte !== undefined)) {
    return refused(phrase('{0} cannot be set: its line is missing or cannot be read.', option.title));
  }
  const locked = dump.profile.locked.find(({ place }) => {
    const keys = new Set(cellsOf(dump.layout, place)?.map(cellKey));
    return cells.some((cell) => keys.has(cellKey(cell)));
  });
  if (locked !== undefined) {
    return refused(phrase('{0} stands in bytes that are locked ({1}).', option.title, locked.why ?? ''));
  }
  const { bits } = option;
  const values =
    bits === undefined
      ? bytesOfNumber(raw, cells.length, option.order)
      : Uint8Array.of(writeBits(bytes[0] as number, bits, Number(raw)));
  return {
    kind: 'writes',
    writes: cells.map((cell, i) => ({ ...cell, value: values[i] as number, reason: 'option' })),
  };
}

/** Reads what a person wrote for an option's value: its words, or its number (`0x` for hex). */
export function readOptionValue(option: Option, written: string): { readonly raw: bigint } | { readonly why: Phrase } {
  const { meaning } = option;
  const text = written.trim();
  if (meaning.kind === 'values' || meaning.kind === 'flags') {
    const byWords = meaning.kind === 'values' ? wordValue(meaning, text) : flagsValue(meaning, text);
    if (byWords !== undefined) return { raw: byWords };
  }
  if (meaning.kind === 'text') return textValue(option, text);
  const number = /^-?(?:0x[0-9a-f]+|\d+(?:\.\d+)?)$/i.test(text) ? Number(text) : undefined;
  if (number === undefined) return { why: unknownWords(option, text) };
  if (meaning.kind !== 'number') return { raw: BigInt(Math.trunc(number)) };
  return numberValue(option, meaning, number);
}

type NumberMeaning = Extract<Meaning, { kind: 'number' }>;

function numberValue(
  option: Option,
  { scale, offset, signed, min, max, unit }: NumberMeaning,
  number: number,
): { raw: bigint } | { why: Phrase } {
  if ((min !== undefined && number < min) || (max !== undefined && number > max)) {
    return {
      why: phrase('{0} takes {1} to {2} {3}; {4} is outside.', option.title, min ?? '…', max ?? '…', unit, number),
    };
  }
  const raw = BigInt(Math.round((number - offset) / scale));
  const width = optionWidth(option);
  const fits = signed ? BigInt.asIntN(width, raw) === raw : raw >= 0n && raw < 1n << BigInt(width);
  if (!fits) return { why: phrase('{0} has {1} bits, too few for {2} {3}.', option.title, width, number, unit) };
  return { raw: BigInt.asUintN(width, raw) };
}

function wordValue({ words }: Extract<Meaning, { kind: 'values' }>, text: string): bigint | undefined {
  const found = [...words].find(([, word]) => word.toLowerCase() === text.toLowerCase());
  return found && BigInt(found[0]);
}

function flagsValue({ words }: Extract<Meaning, { kind: 'flags' }>, text: string): bigint | undefined {
  const wanted = text.split(',').map((word) => word.trim().toLowerCase());
  const bits = wanted.map((word) => [...words].find(([, known]) => known.toLowerCase() === word)?.[0]);
  if (text === '–' || text === '') return 0n;
  if (!bits.every((bit) => bit !== undefined)) return undefined;
  return bits.reduce<bigint>((raw, bit) => raw | (1n << BigInt(bit as number)), 0n);
}

function textValue(option: Option, text: string): { raw: bigint } | { why: Phrase } {
  const plain = text.replace(/^"(.*)"$/, '$1');
  const room = option.place.count;
  if (plain.length > room || /[^ -~]/.test(plain)) {
    return { why: phrase('{0} takes up to {1} plain ASCII characters.', option.title, room) };
  }
  const codes = Array.from(plain.padEnd(room, ' '), (character) => BigInt(character.charCodeAt(0)));
  return { raw: codes.reduce((raw, code) => (raw << 8n) | code, 0n) };
}

function unknownWords(option: Option, text: string): Phrase {
  const known =
    option.meaning.kind === 'values' || option.meaning.kind === 'flags' ? [...option.meaning.words.values()] : [];
  const near = nearestName(text, known);
  return near === undefined
    ? phrase(
        '"{0}" is no value of {1}. It takes {2}.',
        text,
        option.title,
        known.length > 0 ? listed(known) : phrase('a number'),
      )
    : phrase('"{0}" is no value of {1}; is "{2}" meant?', text, option.title, near);
}

function refused(why: Phrase): SetResult {
  return { kind: 'refused', why };
}

/** One value that an option may be set to, in words. */
export interface Choice {
  readonly raw: bigint;
  readonly words: string;
  /** Whether the dump holds it now. */
  readonly current: boolean;
}

/** The values an option can be chosen from; empty where it is a number or a text. */
export function choicesOf(dump: Dump, option: Option): readonly Choice[] {
  const now = readOption(dump, option)?.raw;
  if (option.meaning.kind === 'values') {
    return [...option.meaning.words].map(([value, words]) => ({
      raw: BigInt(value),
      words,
      current: now === BigInt(value),
    }));
  }
  if (option.meaning.kind !== 'flags' || now === undefined) return [];
  return [...option.meaning.words].map(([bit, words]) => ({ raw: now ^ (1n << BigInt(bit)), words, current: false }));
}
