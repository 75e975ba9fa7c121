import { momentInWords } from '../base/calendar.js';
import { hex } from '../base/hex.js';
import type { PhrasePart } from '../base/phrase.js';
import type { RowSpan } from '../base/span.js';
import { optionWidth } from '../profile/places.js';
import type { Option, WordsMeaning } from '../profile/profile.js';
import { optionInForce } from '../profile/slotPlaces.js';
import { type Cell, cellsOfOption, wholePlace } from './cell.js';
import type { Dump } from './dump.js';
import { bitsOf } from './optionBits.js';
import { dateOf, momentStored } from './optionDate.js';
import { scaled } from './optionNumber.js';
import { textOf } from './optionText.js';
import { bytesSpan, cellSpan } from './spans.js';
import { byteAt } from './totals.js';

/** What a dump holds for an option. */
export interface OptionReading {
  readonly option: Option;
  /** The bytes of all its parts, one part after the other. */
  readonly cells: readonly Cell[];
  /** The bits of the option as a number, before scale and offset. */
  readonly raw: bigint;
}

type Readable = Pick<Dump, 'rows' | 'layout' | 'profile'>;

/**
 * Reads an option, in a record that moves where this dump has it in force; undefined where the dump lacks its line, the
 * line cannot be read, or nobody can tell which slot is in force.
 */
export function readOption(dump: Readable, given: Option): OptionReading | undefined {
  const option = optionInForce(dump.profile, given);
  if (option === undefined) return undefined;
  const cells: Cell[] = [];
  const bytes: number[][] = [];
  for (const { place } of option.parts) {
    const own = wholePlace(dump.layout, place);
    const values = own?.flatMap((cell) => byteAt(dump.rows, cell) ?? []);
    if (own === undefined || values?.length !== own.length) return undefined;
    cells.push(...own);
    bytes.push(values);
  }
  return { option, cells, raw: bitsOf(option, bytes) };
}

/** Where an option stands in the text: its first part, where there are several. */
export function optionSpan(
  dump: Dump,
  { option, cells }: Pick<OptionReading, 'option' | 'cells'>,
): RowSpan | undefined {
  const [first] = cells;
  const [part] = option.parts;
  if (first === undefined || part === undefined) return undefined;
  const { count } = part.place;
  return count === 1 ? cellSpan(dump, first, part.bits) : bytesSpan(dump, first.row, first.byte, count);
}

/** The options that hold at least one bit of a cell. */
export function optionsAt(dump: Pick<Dump, 'layout' | 'profile'>, cell: Cell): readonly Option[] {
  return dump.profile.options.filter((option) =>
    cellsOfOption(dump.layout, option).some(({ row, byte }) => row === cell.row && byte === cell.byte),
  );
}

/** A raw value in the profile's words, or undefined where the profile has none for it. */
export function wordsOf(option: Option, raw: bigint): string | undefined {
  return option.special.get(raw) ?? plainWords(option, raw);
}

/** The same without the words of special values. */
export function plainWords(option: Option, raw: bigint): string | undefined {
  const { meaning } = option;
  switch (meaning.kind) {
    case 'values':
      return meaning.words.get(Number(raw));
    case 'flags':
      return flagWords(meaning, raw);
    case 'number': {
      const number = scaled(option, meaning, raw);
      return number === undefined ? undefined : `${number}${meaning.unit === '' ? '' : ` ${meaning.unit}`}`;
    }
    case 'text': {
      const text = textOf(meaning, optionWidth(option), raw);
      return text === undefined ? undefined : `"${text}"`;
    }
    default:
      return dateOf(meaning, raw);
  }
}

/** The words, or the raw value where there are none. */
export function wordsOrHex(option: Option, raw: bigint): string {
  return wordsOf(option, raw) ?? rawInHex(option, raw);
}

/** A raw value in hex, as the dump shows it, and marked so where it could be taken for a decimal number. */
export function rawInHex(option: Pick<Option, 'parts'>, raw: bigint): string {
  return raw < 10n ? String(raw) : `0x${hex(raw, Math.ceil(optionWidth(option) / 4))}`;
}

/** The same for a person, with a date as it is written in their language. */
export function shownValue(option: Option, raw: bigint): PhrasePart {
  const { meaning, special } = option;
  const isDate = (meaning.kind === 'date' || meaning.kind === 'counted-date') && !special.has(raw);
  const moment = isDate ? momentStored(meaning, raw) : undefined;
  return moment === undefined ? wordsOrHex(option, raw) : momentInWords(moment);
}

function flagWords({ words }: WordsMeaning, raw: bigint): string | undefined {
  const set = [...words].filter(([bit]) => (raw >> BigInt(bit)) & 1n);
  const known = set.reduce((mask, [bit]) => mask | (1n << BigInt(bit)), 0n);
  if (known !== raw) return undefined;
  return set.length === 0 ? '–' : set.map(([, word]) => word).join(', ');
}

/** The options that hold other bits in one version of a dump than in another. */
export function changedOptions(before: Dump, after: Dump): readonly Option[] {
  return after.profile.options.filter(
    (option) =>
      !isInSameRows(before, after, option) && readOption(before, option)?.raw !== readOption(after, option)?.raw,
  );
}

/** Whether an option is in rows that a change has left alone, so that it cannot be another there. */
function isInSameRows(before: Dump, after: Dump, given: Option): boolean {
  if (before.layout !== after.layout || before.profile !== after.profile) return false;
  const option = optionInForce(after.profile, given);
  return (
    option === undefined || cellsOfOption(after.layout, option).every(({ row }) => before.rows[row] === after.rows[row])
  );
}
