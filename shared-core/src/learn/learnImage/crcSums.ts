import type { ByteOrder } from '../../base/number.js';
import type { Steps } from '../../base/steps.js';
import { CRC_NAMES, crcModel } from '../../checksum/crcCatalogue.js';
import type { CrcParameters } from '../../checksum/crcRegister.js';
import { type Images, storedAt } from './images.js';
import type { RangeSum } from './rangeSum.js';

/** Polynomial and bit order in which bytes go in, with the models of the catalogue that have them. */
export interface CrcDivisionModels {
  readonly width: number;
  readonly models: readonly (CrcParameters & { readonly model: string })[];
}

/** Each division of the catalogue of this many bytes. */
export function crcDivisions(width: number): readonly CrcDivisionModels[] {
  const divisions = new Map<string, (CrcParameters & { readonly model: string })[]>();
  for (const model of CRC_NAMES) {
    const parameters = crcModel(model);
    if (parameters?.width !== 8 * width) continue;
    const key = `${parameters.poly} ${parameters.refin}`;
    divisions.set(key, [...(divisions.get(key) ?? []), { ...parameters, model }]);
  }
  return [...divisions.values()].map((models) => ({ width, models }));
}

const ORDERS: readonly ByteOrder[] = ['big', 'little'];

/** Positions after which others have their turn. */
const STRETCH = 2048;

/**
 * The models of a division. The register over the bytes from `s` to `e` is a sum over GF(2) of what the start value and
 * each byte leave in it. Run on with zeros to the end of the image, it is that of the bytes before `e` less those before
 * `s`, so that both ends part. A register whose bits go in straight is that of the bits turned round.
 */
export function* crcSums(
  images: Images,
  { width, models }: CrcDivisionModels,
  ends: readonly number[],
): Steps<readonly RangeSum[]> {
  const [first] = models;
  if (first === undefined) return [];
  const { length } = images;
  const { step, back } = registerOf(first, width);
  const [low, high] = [new Int32Array(16), new Int32Array(16)];
  const totals = images.bytes.map(() => new Int32Array(length + 1));
  // What each bit of a byte that goes in at a place leaves at the end, filled from the end of the image to its start.
  // The higher bits of a register go on into the lower ones: they leave what those of a byte left so many places before.
  const columns = Int32Array.from({ length: 8 * width }, (_, bit) => 1 << bit);
  const ranks = new Int32Array(length + 1).fill(-1);
  for (const [rank, end] of ends.entries()) ranks[end] = rank;
  const kept = new Int32Array(ends.length * 8 * width);
  for (let i = length; i >= 0; i--) {
    if (i % STRETCH === 0) yield;
    const rank = ranks[i] as number;
    if (rank >= 0) kept.set(columns, rank * 8 * width);
    if (i === 0) break;
    for (let bit = columns.length - 1; bit >= 8; bit--) columns[bit] = columns[bit - 8] as number;
    for (let bit = 0; bit < 8; bit++) columns[bit] = step(columns[bit] as number);
    fillTable(low, columns, 0);
    fillTable(high, columns, 4);
    for (let image = 0; image < totals.length; image++) {
      const own = (images.bytes[image] as Uint8Array)[i - 1] as number;
      const byte = first.refin ? own : (TURNED[own] as number);
      (totals[image] as Int32Array)[i] = (low[byte & 15] as number) ^ (high[byte >> 4] as number);
    }
  }
  for (const total of totals) {
    yield;
    for (let i = 1; i <= length; i++) total[i] = (total[i] as number) ^ (total[i - 1] as number);
  }
  const runOn = (register: number, end: number) => {
    const from = (ranks[end] as number) * 8 * width;
    let value = 0;
    // A mask for each bit, since a branch on bits that are as good as random takes much longer.
    for (let bit = 0; bit < 8 * width; bit++) value ^= (kept[from + bit] as number) & -((register >>> bit) & 1);
    return value;
  };
  const at = (image: number, i: number) => totals[image]?.[i] as number;
  // What is run on is a sum over GF(2) as well: of what is stored and of the end value, which models share.
  const ofStored = cached((_key: string, image: number, order: ByteOrder, refout: boolean) => {
    const keys = new Int32Array(ends.length);
    const total = totals[image] as Int32Array;
    // Of a value that goes in as bytes do, run on is what these leave behind the end.
    const isNext = refout === first.refin && (order === 'little') === refout;
    const data = images.bytes[image] as Uint8Array;
    for (let rank = 0; rank < keys.length; rank++) {
      const end = ends[rank] as number;
      if (end + width > length) continue;
      const stored = isNext ? 0 : storedAt(data, end, width, order);
      keys[rank] = isNext
        ? (total[end + width] as number)
        : runOn(refout ? stored : reflected(stored, width), end) ^ (total[end] as number);
    }
    return keys;
  });
  const ofRegister = cached((_key: string, register: number) => {
    const keys = new Int32Array(ends.length);
    for (let rank = 0; rank < keys.length; rank++) keys[rank] = runOn(register, ends[rank] as number);
    return keys;
  });
  const startKeysOf = new Map<number, readonly Int32Array[]>();
  const found: RangeSum[] = [];
  for (const model of models) {
    const init = reflected(Number(model.init), width);
    let startKeys = startKeysOf.get(init);
    if (startKeys === undefined) {
      yield;
      startKeys = withStart(totals, init, length, step);
      startKeysOf.set(init, startKeys);
    }
    const keys = startKeys;
    const xorout = Number(model.xorout) | 0;
    // The register here is the reflected one, whatever the model does with it in the end.
    const registerFor = (stored: number) => (model.refout ? stored ^ xorout : reflected(stored ^ xorout, width));
    const skip = (register: number) => {
      let value = register;
      for (let i = 0; i < width; i++) value = back(value);
      return value;
    };
    for (const order of ORDERS.slice(0, width === 1 ? 1 : 2)) {
      found.push({
        spec: { method: 'crc', ...model },
        ...{ order, width, unit: 1, cost: 4 + (order === 'little' ? 1 : 0), startKeys: keys },
        holeKey: (image, start, place) =>
          skip(at(image, place) ^ (keys[image]?.[start] as number)) ^ at(image, place + width),
        endKey: (image, end, stored) => runOn(registerFor(stored), end) ^ at(image, end),
        endKeys: (image) => ({
          ofImage: ofStored(`${image} ${order} ${model.refout}`, image, order, model.refout),
          ofSum: xorout === 0 ? undefined : ofRegister(`${registerFor(0)}`, registerFor(0)),
        }),
      });
    }
  }
  return found;
}

/** What the values of half a byte leave: the sums of what its bits do. */
function fillTable(table: Int32Array, columns: Int32Array, from: number): void {
  for (let bit = 0; bit < 4; bit++) {
    const column = columns[from + bit] as number;
    for (let value = 0; value < 1 << bit; value++) table[(1 << bit) + value] = (table[value] as number) ^ column;
  }
}

/** A function that works out each value once, by a key. */
function cached<Rest extends readonly unknown[], Value>(
  make: (key: string, ...rest: Rest) => Value,
): (key: string, ...rest: Rest) => Value {
  const known = new Map<string, Value>();
  return (key, ...rest) => {
    const value = known.get(key) ?? make(key, ...rest);
    known.set(key, value);
    return value;
  };
}

/** The keys of starts: what is before them, and the start value run on to the end of the image. */
function withStart(
  totals: readonly Int32Array[],
  init: number,
  length: number,
  step: (register: number) => number,
): readonly Int32Array[] {
  if (init === 0) return totals;
  const keys = totals.map((total) => Int32Array.from(total));
  let value = init;
  for (let i = length; i >= 0; i--) {
    for (const key of keys) key[i] = (key[i] as number) ^ value;
    value = step(value);
  }
  return keys;
}

/** A reflected register over one zero byte, and back. */
function registerOf({ poly }: CrcParameters, width: number): Record<'step' | 'back', (register: number) => number> {
  const turned = reflected(Number(poly), width);
  const table = new Int32Array(256);
  for (let byte = 0; byte < 256; byte++) {
    let value = byte;
    for (let bit = 0; bit < 8; bit++) value = (value & 1) !== 0 ? (value >>> 1) ^ turned : value >>> 1;
    table[byte] = value;
  }
  const top = 8 * (width - 1);
  const byTop = new Uint8Array(256);
  for (let byte = 0; byte < 256; byte++) byTop[((table[byte] as number) >>> top) & 0xff] = byte;
  const mask = width === 4 ? -1 : (1 << (8 * width)) - 1;
  return {
    step: (register) => (register >>> 8) ^ (table[register & 0xff] as number),
    back: (register) => {
      const byte = byTop[(register >>> top) & 0xff] as number;
      return ((((register ^ (table[byte] as number)) << 8) | byte) & mask) | 0;
    },
  };
}

/** A number of so many bytes with its bits turned round. */
function reflected(number: number, width: number): number {
  let value = 0;
  for (let byte = 0; byte < width; byte++) value = (value << 8) | (TURNED[(number >>> (8 * byte)) & 0xff] as number);
  return value;
}

/** Each byte with its bits turned round. */
const TURNED = Uint8Array.from({ length: 256 }, (_, byte) => {
  let value = 0;
  for (let bit = 0; bit < 8; bit++) value = (value << 1) | ((byte >>> bit) & 1);
  return value;
});
