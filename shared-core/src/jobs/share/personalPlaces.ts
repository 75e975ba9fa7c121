import { phrase, say } from '../../base/phrase.js';
import { done, type Result, refuse } from '../../base/result.js';
import type { ByteWrite } from '../../model/byteWrite.js';
import { cellKey, presentCells, wholePlace } from '../../model/cell.js';
import type { Dump } from '../../model/dump.js';
import { calledLine } from '../../model/lineName.js';
import { putBits } from '../../model/optionBits.js';
import { datesFrom2000 } from '../../model/optionDate.js';
import { readOption } from '../../model/optionReading.js';
import { rawOfText, textOf } from '../../model/optionText.js';
import { byteAt } from '../../model/totals.js';
import { knownFlags, whyUnknown } from '../../options/knownValue.js';
import { readOptionValue } from '../../options/readOptionValue.js';
import { inAllCopies } from '../../profile/copiedPlaces.js';
import { optionWidth } from '../../profile/places.js';
import type { Option, Place } from '../../profile/profile.js';
import { isSecured } from '../../profile/secured.js';
import { placeInSlot } from '../../profile/slotPlaces.js';
import { countedMask, isVin, type Mask, nothingFor, type Secret } from './masks.js';

/** An option that the profile calls personal, whose name says it, or that is the text of a key, as each slot has it. */
export interface PersonalOption {
  readonly option: Option;
  readonly isVin: boolean;
}

const VIN_NAME = /(?:^|[^a-z])(?:vin|fin)(?:$|[^a-z])|vehicle.identification|fahrgestell|fahrzeug-?ident/i;
const SERIAL_NAME = /serial|serien-?n/i;

/** The options of a dump that hold something personal. */
export function personalOptions(dump: Dump): readonly PersonalOption[] {
  return dump.profile.options.flatMap((option) => {
    const named = `${option.id} ${option.title}`;
    const raw = readOption(dump, option)?.raw;
    const text = raw === undefined ? undefined : textIn(option, raw);
    const holdsVin = option.meaning.kind === 'text' && ((text !== undefined && isVin(text)) || VIN_NAME.test(named));
    const isCode = isSecured(option) && option.meaning.kind === 'text';
    if (option.personal !== true && !holdsVin && !isCode && !SERIAL_NAME.test(named)) return [];
    return inAllSlots(dump, option).map((one) => ({ option: one, isVin: holdsVin }));
  });
}

/** Options of keys, immobiliser or alarm that are numbers and are left as they are. */
export function codesLeft(dump: Dump): readonly Option[] {
  const personal = new Set(personalOptions(dump).map(({ option }) => option.id));
  return dump.profile.options.filter(
    (option) => isSecured(option) && option.meaning.kind === 'number' && !personal.has(option.id),
  );
}

/** The same option where each slot has it, in force or not. */
function inAllSlots({ profile }: Dump, option: Option): readonly Option[] {
  const [slot] = option.parts.flatMap(({ place }) => place.inSlot ?? []);
  const own = slot && profile.slots.find(({ name }) => name === slot.slots);
  if (own === undefined) return [option];
  return own.places.flatMap((_, at) => {
    const parts = option.parts.flatMap((part) => {
      const { inSlot, count } = part.place;
      const place = inSlot === undefined ? part.place : placeInSlot(own, at, inSlot.offset, count);
      return place === undefined ? [] : { ...part, place: fixed(place) };
    });
    return parts.length === option.parts.length ? { ...option, parts } : [];
  });
}

function fixed({ inSlot: _, ...place }: Place): Place {
  return place;
}

/** What an option says in characters: its text, or its decimal digits. */
function textIn(option: Option, raw: bigint): string | undefined {
  const { meaning } = option;
  if (meaning.kind === 'text') return textOf(meaning, optionWidth(option), raw)?.trim();
  if (meaning.kind !== 'number' || meaning.coding !== 'bcd') return undefined;
  const digits = raw.toString(16).padStart(optionWidth(option) / 4, '0');
  return /^\d+$/.test(digits) ? digits : undefined;
}

/** A text shorter than this is found anywhere. */
const LEAST_TELLING = 5;

/** What is to be looked for everywhere, of all that is personal in a dump. */
export function secretsIn(dump: Dump): readonly Secret[] {
  const ofOptions = personalOptions(dump).flatMap(({ option }) => {
    const raw = readAt(dump, option);
    const text = raw === undefined ? undefined : textIn(option, raw);
    return text === undefined ? [] : text;
  });
  // A number is not looked for in bytes, where any could be it, but in what people wrote.
  const ofNumbers = personalOptions(dump).flatMap(({ option }) => {
    const raw = option.meaning.kind === 'number' ? readAt(dump, option) : undefined;
    const text = raw?.toString() ?? '';
    return isTelling(text) ? [{ text, inParts: false, inBytes: false }] : [];
  });
  const ofRegions = personalRegions(dump).flatMap((place) => textOfBytes(bytesAt(dump, place)) ?? []);
  return [
    ...[...ofOptions, ...ofRegions].filter(isTelling).map((text) => ({ text, inParts: true, inBytes: true })),
    ...ofNumbers,
  ];
}

/** Whether a text is long enough to be looked for elsewhere. */
export function isTelling(text: string): boolean {
  return text.length >= LEAST_TELLING && new Set(text).size > 1;
}

function readAt(dump: Dump, option: Option): bigint | undefined {
  return readOption({ ...dump, profile: { ...dump.profile, slots: [] } }, option)?.raw;
}

/** The places that the profile calls personal and that hold something. */
function personalRegions({ profile }: Dump): readonly Place[] {
  return [...profile.locked, ...inAllCopies(profile, profile.volatile)].flatMap(({ place, personal }) =>
    personal === true ? place : [],
  );
}

function bytesAt(dump: Dump, place: Place): Uint8Array {
  return Uint8Array.from(presentCells(dump.layout, place).flatMap((cell) => byteAt(dump.rows, cell) ?? []));
}

/** Bytes as a text where all of them are characters or, at the end, nothing. */
function textOfBytes(bytes: Uint8Array): string | undefined {
  let end = bytes.length;
  while (end > 0 && [0, 0xff, 0x20].includes(bytes[end - 1] as number)) end--;
  const isText = end > 0 && bytes.subarray(0, end).every((byte) => byte >= 0x20 && byte < 0x7f);
  return isText ? String.fromCharCode(...bytes.subarray(0, end)) : undefined;
}

/** What stands for each value, by its kind, in all dumps that are shared: one for the same value, another one for another. */
export interface Invented {
  readonly numbers: ByKind<bigint>;
  readonly bytes: ByKind<Uint8Array>;
}

type ByKind<T> = Map<string, Map<string, T>>;

/** The number that comes after all for which something is invented. */
function nextOf({ numbers, bytes }: Invented): number {
  return [...numbers.values(), ...bytes.values()].reduce((count, { size }) => count + size, 1);
}

/** What stands for a value of a kind: the first of the candidates that stands for no other one; undefined where none is left. */
function inventedFor<T>(all: ByKind<T>, kind: string, value: T, candidates: Iterable<T>): T | undefined {
  const own = all.get(kind) ?? new Map<string, T>();
  const known = own.get(String(value));
  if (known !== undefined) return known;
  const taken = new Set([String(value), ...Array.from(own.values(), String)]);
  for (const one of candidates) {
    if (taken.has(String(one))) continue;
    all.set(kind, own.set(String(value), one));
    return one;
  }
  return undefined;
}

/** The bytes of all personal places with something invented in them, in the form that the profile wants there. */
export function personalWrites(
  dump: Dump,
  masks: readonly Mask[],
  invented: Invented,
): Result<{ readonly writes: readonly ByteWrite[]; readonly names: readonly string[] }> {
  const writes = new Map<number, ByteWrite>();
  const names = new Set<string>();
  for (const { option } of personalOptions(dump)) {
    const raw = readAt(dump, option);
    if (raw === undefined || option.special.has(raw) || isBlank(option, raw)) continue;
    const value = inventedRaw(option, raw, masks, invented);
    if (value === undefined)
      return refuse(
        phrase('{0} is personal, and the profile knows no other value that could be put in its place.', option.title),
      );
    names.add(option.title);
    const cells = option.parts.map(({ place }) => wholePlace(dump.layout, place) ?? []);
    putBits(option, value, (part, byte, put) => {
      const cell = cells[part]?.[byte];
      if (cell === undefined) return;
      const was = writes.get(cellKey(cell))?.value ?? byteAt(dump.rows, cell) ?? 0;
      writes.set(cellKey(cell), { ...cell, value: put(was), reason: 'option' });
    });
  }
  for (const place of personalRegions(dump)) {
    const cells = presentCells(dump.layout, place).filter((cell) => !writes.has(cellKey(cell)));
    const bytes = Uint8Array.from(cells.map((cell) => byteAt(dump.rows, cell) ?? 0));
    if (isEmpty(bytes)) continue;
    const value = inventedBytes(bytes, masks, invented);
    if (value === undefined) return nothingFor(nameOfPlace(dump, place));
    for (const [i, cell] of cells.entries())
      writes.set(cellKey(cell), { ...cell, value: value[i] as number, reason: 'option' });
    names.add(say(nameOfPlace(dump, place)));
  }
  return done({ writes: [...writes.values()], names: [...names] });
}

function nameOfPlace(dump: Dump, place: Place) {
  return place.kind === 'line'
    ? phrase('bytes of line {0}', calledLine(dump, place.line))
    : phrase('bytes from address {0} on', `0x${place.address.toString(16).toUpperCase()}`);
}

function isBlank(option: Option, raw: bigint): boolean {
  return option.meaning.kind === 'text' && textIn(option, raw) === '';
}

function inventedRaw(option: Option, raw: bigint, masks: readonly Mask[], invented: Invented): bigint | undefined {
  const { meaning, special } = option;
  const few = fewValues(option, raw);
  if (few !== undefined) return few;
  const width = optionWidth(option);
  const text = textIn(option, raw);
  const mask = text === undefined ? undefined : masks.find((one) => one.text.toUpperCase() === text.toUpperCase());
  const isBcd = 'coding' in meaning && meaning.coding === 'bcd';
  const next = nextOf(invented);
  const made = function* (): Generator<bigint | undefined> {
    if (meaning.kind === 'text') {
      yield rawOfText(meaning, width, mask?.mask ?? '', raw);
      // One that is too short to be looked for has no mask.
      for (let i = 1; i < MOST_TRIED; i++) yield rawOfText(meaning, width, countedMask(text ?? '', i), raw);
      return;
    }
    if (meaning.kind === 'date' || meaning.kind === 'counted-date') yield* datesFrom2000(meaning, width);
    if (mask !== undefined) yield BigInt(`0x${mask.mask}`);
    for (let number = next; number < next + MOST_TRIED; number++) {
      yield isBcd
        ? BigInt(`0x${BigInt(number) % 10n ** BigInt(Math.floor(width / 4))}`)
        : BigInt.asUintN(width, BigInt(number));
      if (meaning.kind !== 'number' || meaning.min === undefined) continue;
      const read = readOptionValue(option, String(meaning.min + (number - 1) * meaning.scale));
      yield read.ok ? read.value : undefined;
    }
  };
  const candidates = function* (): Generator<bigint> {
    for (const value of made()) {
      if (value === undefined || value >= 1n << BigInt(width) || special.has(value) || isBlank(option, value)) continue;
      if (whyUnknown(option, value, raw) === undefined) yield value;
    }
  };
  const kind = [JSON.stringify(meaning), width, ...special.keys()].join();
  return inventedFor(invented.numbers, kind, raw, candidates());
}

const MOST_TRIED = 4096;

/**
 * Where an option has few values, what all copies get, whatever the dump has: another one than its own would tell what it
 * was. Undefined where there are many, or only one.
 */
function fewValues(option: Option, raw: bigint): bigint | undefined {
  const { meaning } = option;
  if (meaning.kind === 'values') {
    const all = [...meaning.words.keys()].map(BigInt);
    return all.length > 1 ? all[0] : undefined;
  }
  if (meaning.kind === 'flags') return raw & ~knownFlags(meaning);
  if (meaning.kind !== 'number' || meaning.min === undefined || meaning.max === undefined) return undefined;
  if (meaning.max <= meaning.min || (meaning.max - meaning.min) / meaning.scale > MOST_FEW) return undefined;
  const read = readOptionValue(option, String(meaning.min));
  return read.ok ? read.value : undefined;
}

const MOST_FEW = 255;

function inventedBytes(bytes: Uint8Array, masks: readonly Mask[], invented: Invented): Uint8Array | undefined {
  const text = textOfBytes(bytes);
  const mask = masks.find((one) => one.text.toUpperCase() === text?.toUpperCase())?.mask;
  const base = bytes.every((byte) => (byte & 15) <= 9 && byte >> 4 <= 9) ? 100 : 256;
  const next = nextOf(invented);
  const candidates = function* (): Generator<Uint8Array> {
    if (mask !== undefined) yield bytes.map((byte, i) => (i < mask.length ? mask.charCodeAt(i) : byte));
    for (let number = next; number < next + MOST_TRIED; number++) {
      let left = number;
      const made = bytes.map(() => 0);
      for (let i = made.length - 1; i >= 0; i--) {
        const digits = left % base;
        made[i] = base === 100 ? (Math.floor(digits / 10) << 4) | (digits % 10) : digits;
        left = Math.floor(left / base);
      }
      if (!isEmpty(made)) yield made;
    }
  };
  return inventedFor(invented.bytes, String(bytes.length), bytes, candidates());
}

function isEmpty(bytes: Uint8Array): boolean {
  return bytes.every((byte) => byte === bytes[0] && (byte === 0 || byte === 0xff || byte === 0x20));
}
