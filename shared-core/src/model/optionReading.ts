import { readBits } from '../base/bits.js';
import { hex } from '../base/hex.js';
import { numberOf } from '../base/number.js';
import type { RowSpan } from '../base/span.js';
import { optionWidth } from '../profile/places.js';
import type { Meaning, Option } from '../profile/profile.js';
import { type Cell, presentCells, wholePlace } from './cell.js';
import type { Dump } from './dump.js';
import { bytesSpan, cellSpan } from './spans.js';
import { byteAt } from './totals.js';

/** What a dump holds for an option. */
export interface OptionReading {
  readonly option: Option;
  readonly cells: readonly Cell[];
  /** The bits of the option as a number, before scale and offset. */
  readonly raw: bigint;
}

type Readable = Pick<Dump, 'rows' | 'layout'>;

/** Reads an option; undefined where the dump lacks its line or the line cannot be read. */
export function readOption(dump: Readable, option: Option): OptionReading | undefined {
  const cells = wholePlace(dump.layout, option.place);
  const bytes = cells?.map((cell) => byteAt(dump.rows, cell));
  if (cells === undefined || !bytes?.every((byte) => byte !== undefined)) return undefined;
  const whole = numberOf(Uint8Array.from(bytes as number[]), option.order);
  return { option, cells, raw: option.bits === undefined ? whole : BigInt(readBits(Number(whole), option.bits)) };
}

/** Where an option stands in the text. */
export function optionSpan(dump: Dump, reading: Pick<OptionReading, 'option' | 'cells'>): RowSpan | undefined {
  const [first] = reading.cells;
  if (first === undefined) return undefined;
  return reading.cells.length === 1
    ? cellSpan(dump, first, reading.option.bits)
    : bytesSpan(dump, first.row, first.byte, reading.cells.length);
}

/** The options that hold at least one bit of a cell. */
export function optionsAt(dump: Pick<Dump, 'layout' | 'profile'>, cell: Cell): readonly Option[] {
  return dump.profile.options.filter((option) =>
    presentCells(dump.layout, option.place).some(({ row, byte }) => row === cell.row && byte === cell.byte),
  );
}

/** A raw value in the profile's words, or undefined where the profile has none for it. */
export function wordsOf(option: Option, raw: bigint): string | undefined {
  const { meaning } = option;
  switch (meaning.kind) {
    case 'values':
      return meaning.words.get(Number(raw));
    case 'flags':
      return flagWords(meaning, raw);
    case 'number':
      return `${scaled(option, meaning, raw)}${meaning.unit === '' ? '' : ` ${meaning.unit}`}`;
    case 'text':
      return textOf(option, raw);
  }
}

/** The words, or the raw value in hex where there are none. */
export function wordsOrHex(option: Option, raw: bigint): string {
  return wordsOf(option, raw) ?? hex(raw, Math.ceil(optionWidth(option) / 4));
}

type NumberMeaning = Extract<Meaning, { kind: 'number' }>;

/** A raw value after sign, scale and offset, rounded to what the scale can tell apart. */
export function scaled(option: Option, { scale, offset, signed }: NumberMeaning, raw: bigint): number {
  const number = Number(signed ? BigInt.asIntN(optionWidth(option), raw) : raw) * scale + offset;
  return Number(number.toFixed(Math.max(decimalsOf(scale), decimalsOf(offset))));
}

/** Digits after the point of a number as it is written: 0.05 has 2, and so has 5e-2. */
function decimalsOf(number: number): number {
  const [, behind = '', exponent = '0'] = /^-?\d+(?:\.(\d+))?(?:e([+-]\d+))?$/.exec(String(number)) ?? [];
  return Math.min(100, Math.max(0, behind.length - Number(exponent)));
}

function flagWords({ words }: Extract<Meaning, { kind: 'flags' }>, raw: bigint): string | undefined {
  const set = [...words].filter(([bit]) => (raw >> BigInt(bit)) & 1n);
  const known = set.reduce((mask, [bit]) => mask | (1n << BigInt(bit)), 0n);
  if (known !== raw) return undefined;
  return set.length === 0 ? '–' : set.map(([, word]) => word).join(', ');
}

function textOf(option: Option, raw: bigint): string | undefined {
  const digits = raw.toString(16).padStart(2 * option.place.count, '0');
  const codes = (digits.match(/../g) ?? []).map((pair) => Number.parseInt(pair, 16));
  while (codes.length > 0 && (codes.at(-1) === 0 || codes.at(-1) === 0xff || codes.at(-1) === 0x20)) codes.pop();
  return codes.every((code) => code >= 0x20 && code < 0x7f) ? `"${String.fromCharCode(...codes)}"` : undefined;
}

/** The options that hold other bits in one version of a dump than in another. */
export function changedOptions(before: Dump, after: Dump): readonly Option[] {
  return after.profile.options.filter((option) => readOption(before, option)?.raw !== readOption(after, option)?.raw);
}
