import { type BitField, maskOf, readBits, WHOLE_BYTE } from '../base/bits.js';
import { hex } from '../base/hex.js';
import { numberOf } from '../base/number.js';
import { type Phrase, phrase, say } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import type { Span } from '../base/span.js';
import { bytesOf, type RecordRow } from '../format/row.js';
import { addressOf, type Cell, cellKey, cellsOfOption, presentCells } from '../model/cell.js';
import { type Dump, isLine } from '../model/dump.js';
import { lineCalled } from '../model/lineName.js';
import { optionsAt, readOption, wordsOf } from '../model/optionReading.js';
import { protectedPlaces, whyNoOptionIn } from '../model/protected.js';
import { slotAt } from '../model/slots.js';
import { soundRecord } from '../model/totals.js';
import { partMask } from '../profile/places.js';
import type { Option } from '../profile/profile.js';
import { evidenceByHand } from '../profile/searchEvidence.js';
import { sumName } from '../profile/sumName.js';
import type { DraftOption } from './addOption.js';
import { bitsText } from './findOption/placeInWords.js';

/** Bits of a dump that a person may name as an option, and what they hold. */
export interface FieldToName {
  readonly words: Phrase;
  readonly place: Pick<DraftOption, 'line' | 'byte' | 'bytes' | 'address' | 'slot' | 'offset' | 'bits'>;
  /** How many bits they are. */
  readonly width: number;
  readonly now: number;
  /** The same in hex. */
  readonly digits: string;
}

/** More bytes than these have more values than anybody puts into words. */
const MOST_BYTES = 4;

/**
 * What of some digits of a row a person may name as an option: all of them first, then their single bits. Refused where
 * the digits are no data, must not change, or are an option already.
 */
export function fieldsToName(dump: Dump, row: number, selected: Span): Result<readonly FieldToName[]> {
  const found = dump.rows[row];
  if (found?.kind !== 'record' || !isLine(dump, row)) return refuse(SELECT_FIRST);
  const record = soundRecord(dump.layout, dump.rows, row);
  if (record === undefined)
    return refuse(phrase('Line {0} is not whole or cannot be read for sure. Right it first.', lineCalled(dump, row)));
  const digits = digitsIn(dump, record, selected);
  const [first] = digits;
  if (first === undefined) return refuse(SELECT_FIRST);
  const bytes = [...new Set(digits.map((digit) => digit >> 1))];
  const why = whyNoOption(dump, row, bytes);
  if (why !== undefined) return refuse(why);
  const isBytes = digits.length === 2 * bytes.length && bytes.length <= MOST_BYTES;
  if (digits.length !== 1 && !isBytes)
    return refuse(phrase('Select one digit of a byte, or up to {0} whole bytes.', MOST_BYTES));
  const cell = { row, byte: first >> 1 };
  const all = bitsOf(digits);
  const fields = bytes.length > 1 ? [all] : [all, ...bitsIn(all)];
  const free = fields.filter((bits) => bytes.every((byte) => optionOver(dump, { row, byte }, bits) === undefined));
  if (free.length > 0) return done(free.map((bits) => fieldAt(dump, record, cell, bytes.length, bits)));
  const taken = bytes.flatMap((byte) => optionOver(dump, { row, byte }, all) ?? [])[0];
  return refuse(
    phrase('These bits are the option "{0}" already. Select others, or change it in the profile.', taken?.title ?? ''),
  );
}

/** The digits of a record between two places of its text, counted from 0, in rising order. */
function digitsIn(dump: Dump, record: RecordRow, selected: Span): readonly number[] {
  return dump.notation
    .digitPlaces(record)
    .flatMap((at, digit) => (at >= selected.start && at < selected.end ? digit : []))
    .sort((a, b) => a - b);
}

/** The bits of each byte that some digits are of: one digit is half of it. */
function bitsOf(digits: readonly number[]): BitField {
  return digits.length !== 1 ? WHOLE_BYTE : (digits[0] ?? 0) % 2 === 0 ? HIGH_DIGIT : LOW_DIGIT;
}

/** An option that has some of the digits that a person selected. */
export interface OptionInDigits {
  readonly option: Option;
  /** Its bits with the selected ones; undefined where it is not bits of one byte, or another option is between. */
  readonly widened: BitField | undefined;
}

/** The options that have bits of some digits of a row, which are therefore not offered for a new one. */
export function optionsInDigits(dump: Dump, row: number, selected: Span): readonly OptionInDigits[] {
  const record = isLine(dump, row) ? soundRecord(dump.layout, dump.rows, row) : undefined;
  if (record === undefined) return [];
  const digits = digitsIn(dump, record, selected);
  const bytes = [...new Set(digits.map((digit) => digit >> 1))];
  if (bytes.length === 0 || whyNoOption(dump, row, bytes) !== undefined) return [];
  const all = bitsOf(digits);
  const found = new Set(bytes.flatMap((byte) => optionsOver(dump, { row, byte }, all)));
  return [...found].map((option) => {
    const [part, ...more] = option.parts;
    const own = more.length === 0 && part?.place.count === 1 ? part.bits : undefined;
    const [byte, ...others] = bytes;
    if (own === undefined || byte === undefined || others.length > 0) return { option, widened: undefined };
    const widened = { high: Math.max(own.high, all.high), low: Math.min(own.low, all.low) };
    const isSame = widened.high === own.high && widened.low === own.low;
    const isFree = optionsOver(dump, { row, byte }, widened).every((one) => one === option);
    return { option, widened: isFree && !isSame ? widened : undefined };
  });
}

/**
 * The words of an option that is made wider, by what each dump holds in all of its bits. Values that no dump holds have
 * none: nobody knows what stands beside them.
 */
export function widenedValues(
  option: Option,
  widened: BitField,
  dumps: readonly Dump[],
): { readonly values: Readonly<Record<string, string>>; readonly lost: readonly string[] } {
  const words = new Map<number, string>();
  for (const dump of dumps) {
    const reading = readOption(dump, option);
    const said = reading && wordsOf(option, reading.raw);
    const [cell] = cellsOfOption(dump.layout, option);
    const record = cell && soundRecord(dump.layout, dump.rows, cell.row);
    const byte = record && bytesOf(record)[cell.byte];
    if (said !== undefined && byte !== undefined) words.set(readBits(byte, widened), said);
  }
  const known = option.meaning.kind === 'values' ? [...option.meaning.words.values()] : [];
  const rising = [...words].sort(([a], [b]) => a - b);
  const named = rising.map(([raw, said], i): [string, string] => {
    const before = rising.slice(0, i).filter(([, other]) => other === said).length;
    return [String(raw), before === 0 ? said : `${said} (${before + 1})`];
  });
  const held = new Set(words.values());
  return { values: Object.fromEntries(named), lost: known.filter((one) => !held.has(one)) };
}

const SELECT_FIRST = phrase('Select digits of one data line first: one digit, or whole bytes.');

const HIGH_DIGIT: BitField = { high: 7, low: 4 };
const LOW_DIGIT: BitField = { high: 3, low: 0 };

function bitsIn({ high, low }: BitField): readonly BitField[] {
  return Array.from({ length: high - low + 1 }, (_, i) => ({ high: high - i, low: high - i }));
}

function optionOver(dump: Dump, cell: Cell, bits: BitField): Option | undefined {
  return optionsOver(dump, cell, bits)[0];
}

function optionsOver(dump: Dump, cell: Cell, bits: BitField): readonly Option[] {
  return optionsAt(dump, cell).filter(({ parts }) =>
    parts.some(
      (part) =>
        (partMask(part) & maskOf(bits)) !== 0 &&
        presentCells(dump.layout, part.place).some(({ row, byte }) => row === cell.row && byte === cell.byte),
    ),
  );
}

/** Why some bytes of a record can be no option: a sum is there, or they must not be changed, or would not last. */
function whyNoOption(dump: Dump, row: number, bytes: readonly number[]): Phrase | undefined {
  const cells = bytes.map((byte) => cellKey({ row, byte }));
  const holds = (others: readonly Cell[]) => others.some((cell) => cells.includes(cellKey(cell)));
  if (bytes.some((byte) => byte >= (dump.layout.dataCount[row] as number)))
    return phrase(
      'These digits are the sum of line {0}, which follows from its data. Select data digits.',
      lineCalled(dump, row),
    );
  const total = dump.totals.find(({ stored }) => holds(stored ?? []));
  if (total !== undefined)
    return phrase('The sum "{0}" is stored in these digits. Select data digits.', sumName(total.total));
  const inSlot = slotAt(dump, { row, byte: bytes[0] ?? 0 });
  if (inSlot !== undefined && inSlot.slots.inForce !== inSlot.reading.slot)
    return phrase(
      'These digits are in a slot of "{0}" that is not in force. Select digits of the one that is.',
      inSlot.slots.name,
    );
  const [kept] = protectedPlaces(dump.profile).filter(
    ({ kind, place }) => kind !== 'security' && holds(presentCells(dump.layout, place)),
  );
  return kept && whyNoOptionIn(kept);
}

function fieldAt(dump: Dump, record: RecordRow, cell: Cell, count: number, bits: BitField): FieldToName {
  const bytes = bytesOf(record, cell.byte, cell.byte + count);
  const isWhole = bits === WHOLE_BYTE;
  const now = count > 1 ? Number(numberOf(bytes, 'big')) : readBits(bytes[0] ?? 0, bits);
  const width = count > 1 ? 8 * count : bits.high - bits.low + 1;
  const ofBits = isWhole ? {} : { bits: bitsText(bits) };
  const address = addressOf(dump.layout, cell);
  return {
    words: isWhole
      ? count === 1
        ? phrase('the whole byte')
        : phrase('all {0} bytes', count)
      : bits.high === bits.low
        ? phrase('bit {0}', bits.low)
        : phrase('bits {0}', bitsText(bits)),
    place: {
      ...(placeInRecord(dump, cell, count) ??
        (address === undefined ? placeInLine(record, cell.byte + 1, count) : placeAt(address, count))),
      ...ofBits,
    },
    width,
    now,
    digits: hex(now, Math.ceil(width / 4)),
  };
}

/** The place in a record that moves, whichever slot it is in; undefined where it is in none. */
function placeInRecord(dump: Dump, cell: Cell, count: number): FieldToName['place'] | undefined {
  const found = slotAt(dump, cell);
  return found && { slot: found.slots.name, offset: found.at, ...(count === 1 ? {} : { bytes: String(count) }) };
}

function placeInLine({ label }: RecordRow, byte: number, count: number): FieldToName['place'] {
  return { line: label, ...(count === 1 ? { byte } : { bytes: `${byte}-${byte + count - 1}` }) };
}

function placeAt(address: number, count: number): FieldToName['place'] {
  return { address: `0x${hex(address, 4)}`, ...(count === 1 ? {} : { bytes: String(count) }) };
}

/** The option as it goes into a profile, but for what a person says of it. What it does is proved at a module alone. */
export function namedByHand({ place, digits }: FieldToName, file: string): DraftOption {
  const evidence = say(evidenceByHand(file, digits));
  return { id: '', title: '', ...place, values: {}, confidence: 'guess', evidence };
}
