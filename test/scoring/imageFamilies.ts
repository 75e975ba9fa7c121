import { bytesOfNumber } from '../../shared-core/src/base/number.js';
import { valueOver } from '../../shared-core/src/checksum/checksum.js';
import { crcModel } from '../../shared-core/src/checksum/crcCatalogue.js';
import { checksumOf, type SumSpec } from '../../shared-core/src/checksum/registry.js';
import type { Next } from './writtenTexts.js';

/** Memory images of one kind of module, as they come from different cars; each call of `write` gives another one. */
export interface ImageFamily {
  readonly kind: ImageKind;
  readonly images: number;
  /** Whether so many images can tell what is in them. */
  readonly decidable: boolean;
  readonly sums: readonly PlantedSum[];
  readonly copies: readonly PlantedCopy[];
  readonly write: () => Uint8Array;
}

export interface PlantedSum {
  readonly spec: SumSpec;
  readonly order: 'big' | 'little';
  readonly width: number;
  readonly from: number;
  /** Behind the last covered byte. */
  readonly end: number;
  readonly place: number;
}

export interface PlantedCopy {
  readonly from: number;
  readonly length: number;
  readonly at: readonly number[];
  readonly isInverted: boolean;
}

const crc = (model: string): SumSpec => {
  const parameters = crcModel(model);
  if (parameters === undefined) throw new Error(model);
  return { method: 'crc', model, ...parameters };
};

/** Ways to sum by the bytes that they store. */
const SPECS: Readonly<Record<1 | 2 | 4, readonly ((order: 'big' | 'little') => SumSpec)[]>> = {
  1: [
    (order) => ({ method: 'add', bits: 8, unit: 1, order, complement: 'none', start: 0n }),
    (order) => ({ method: 'add', bits: 8, unit: 1, order, complement: 'twos', start: 0n }),
    (order) => ({ method: 'xor', bits: 8, order, start: 0n }),
    () => crc('CRC-8/SMBUS'),
    () => crc('CRC-8/SAE-J1850'),
  ],
  2: [
    (order) => ({ method: 'add', bits: 16, unit: 1, order, complement: 'none', start: 0n }),
    (order) => ({ method: 'add', bits: 16, unit: 1, order, complement: 'ones', start: 0n }),
    (order) => ({ method: 'add', bits: 16, unit: 2, order, complement: 'twos', start: 0n }),
    (order) => ({ method: 'xor', bits: 16, order, start: 0n }),
    (order) => ({ method: 'fletcher', bits: 16, order }),
    (order) => ({ method: 'add-end-around', bits: 16, order }),
    () => crc('CRC-16/ARC'),
    () => crc('CRC-16/IBM-3740'),
    () => crc('CRC-16/XMODEM'),
  ],
  4: [
    (order) => ({ method: 'add', bits: 32, unit: 1, order, complement: 'none', start: 0n }),
    (order) => ({ method: 'add', bits: 32, unit: 4, order, complement: 'twos', start: 0n }),
    (order) => ({ method: 'fletcher', bits: 32, order }),
    () => ({ method: 'adler' }),
    () => crc('CRC-32/ISO-HDLC'),
    () => crc('CRC-32/MPEG-2'),
  ],
};

/** What is in the images of a kind. */
interface Inside {
  readonly images: readonly number[];
  readonly widths?: readonly (1 | 2 | 4)[];
  readonly sums?: readonly ('end' | 'front' | 'block' | 'any' | 'inside' | 'elsewhere')[];
  readonly copies?: 'same' | 'inverted' | 'three' | 'with a sum';
  readonly own?: 'counter twice' | 'slots' | 'dates' | 'small numbers' | 'sum of one byte';
  readonly busy?: boolean;
  readonly undecidable?: boolean;
}

const KINDS = {
  'image: no sum': { images: [1, 2, 3, 6] },
  'image: no sum, many own bytes': { images: [1, 2, 3, 6], busy: true },
  'image: no sum, a counter twice': { images: [2, 3, 6], own: 'counter twice' },
  'image: no sum, records in turn': { images: [2, 3, 6], own: 'slots' },
  'image: no sum, small numbers': { images: [2, 4, 6], own: 'small numbers' },
  'image: no sum, dates': { images: [2, 4, 6], own: 'dates' },
  'image: a byte that is another one again': { images: [3, 6], own: 'sum of one byte' },
  'image: two bytes at the end': { images: [3, 5], widths: [2], sums: ['end'] },
  'image: two bytes at the end, many own bytes': { images: [3, 5], widths: [2], sums: ['end'], busy: true },
  'image: four bytes at the end': { images: [2, 3, 5], widths: [4], sums: ['end'] },
  'image: four bytes at the end, one image': { images: [1], widths: [4], sums: ['end'], undecidable: true },
  'image: one byte at the end': { images: [6], widths: [1], sums: ['end'] },
  'image: a sum in front': { images: [4, 5], widths: [2, 4], sums: ['front'] },
  'image: a sum behind a block': { images: [4, 5], widths: [2, 4], sums: ['block'] },
  'image: a sum over any bytes before it': { images: [5, 6], widths: [2, 4], sums: ['any'] },
  'image: a sum inside of what it covers': { images: [4, 6], widths: [2, 4], sums: ['inside'] },
  'image: a sum somewhere else': { images: [4, 6], widths: [2, 4], sums: ['elsewhere'] },
  'image: two sums': { images: [4, 6], widths: [2, 4], sums: ['block', 'elsewhere'] },
  'image: a copy': { images: [3, 5], copies: 'same' },
  'image: an inverted copy': { images: [3, 5], copies: 'inverted' },
  'image: three places': { images: [3, 5], copies: 'three' },
  'image: a copy with its sum': { images: [4, 6], widths: [2, 4], copies: 'with a sum' },
} as const satisfies Record<string, Inside>;

export type ImageKind = keyof typeof KINDS;
export const IMAGE_KINDS = Object.keys(KINDS) as readonly ImageKind[];

const pick = <T>(next: Next, of: readonly T[]): T => of[next(of.length)] as T;

/** A family of this kind, with all that is not its point by chance. */
export function imageFamily(kind: ImageKind, next: Next): ImageFamily {
  const inside: Inside = KINDS[kind];
  const size = pick(next, [512, 1024, 2048]);
  const base = imageAsDelivered(size, next);
  const block = size / 16;
  const copies = copiesOf(inside, block, next);
  const sums = (inside.sums ?? (inside.copies === 'with a sum' ? ['copied' as const] : [])).map((where) =>
    sumAt(where, { size, block, copy: copies[0] }, pick(next, inside.widths ?? [2]), next),
  );
  const [copy] = copies;
  const mine = Array.from(
    { length: inside.busy === true ? size : 12 + next(30) },
    () => [next(size), next(3)] as const,
  );
  // Where a range ends can be told only by bytes that are not the same in all cars; so with what is copied.
  for (const { from, end } of sums)
    for (const at of [from - 1, from, from + 1, end - 2, end - 1]) if (at >= 0 && at < size) mine.push([at, 2]);
  if (copy !== undefined) for (const at of [0, 1, 5, copy.length - 7, copy.length - 6]) mine.push([copy.from + at, 2]);
  let car = next(40);
  const write = (): Uint8Array => {
    car++;
    const bytes = Uint8Array.from(base);
    for (const [at, how] of mine) bytes[at] = next([4, 32, 256][how] as number);
    ownBytes(inside.own, bytes, car, next);
    for (const { spec, order, width, from, end, place } of sums) {
      const run = Uint8Array.from(
        [...bytes.keys()].flatMap((at) =>
          at < from || at >= end || (at >= place && at < place + width) ? [] : (bytes[at] as number),
        ),
      );
      bytes.set(bytesOfNumber(valueOver(checksumOf(spec), run), width, order), place);
    }
    for (const { from, length, at, isInverted } of copies)
      for (const start of at)
        for (let i = 0; i < length; i++) bytes[start + i] = (bytes[from + i] as number) ^ (isInverted ? 0xff : 0);
    return bytes;
  };
  return {
    kind,
    images: pick(next, inside.images),
    decidable: inside.undecidable !== true,
    sums,
    copies,
    write,
  };
}

/** Bytes as images have them: filler, tables of small numbers, words and numbers. */
function imageAsDelivered(size: number, next: Next): Uint8Array {
  const bytes = new Uint8Array(size);
  for (let at = 0; at < size; ) {
    const end = Math.min(size, at + 16 + next(80));
    const how = next(5);
    const filler = pick(next, [0, 0xff, 0xff]);
    for (let rise = next(60); at < end; at++) {
      rise += next(4);
      bytes[at] = [filler, next(256), next(16), pick(next, [0, 0, 1, 0x80, 0xff, next(256)]), rise][how] as number;
    }
  }
  return bytes;
}

function copiesOf(inside: Inside, block: number, next: Next): readonly PlantedCopy[] {
  if (inside.copies === undefined) return [];
  const from = block * next(3);
  const at = inside.copies === 'three' ? [block * 6, block * 10] : [block * (6 + next(6))];
  return [{ from, length: block * (1 + next(2)), at, isInverted: inside.copies === 'inverted' }];
}

function sumAt(
  where: 'end' | 'front' | 'block' | 'any' | 'inside' | 'elsewhere' | 'copied',
  { size, block, copy }: { readonly size: number; readonly block: number; readonly copy: PlantedCopy | undefined },
  width: 1 | 2 | 4,
  next: Next,
): PlantedSum {
  const order = pick(next, ['big', 'little'] as const);
  const sum = { spec: pick(next, SPECS[width])(order), order, width };
  const from = block * next(6);
  const some = block * (2 + next(4));
  switch (where) {
    case 'end':
      return { ...sum, from: 0, end: size - width, place: size - width };
    case 'front':
      return { ...sum, from: from + width, end: from + some, place: from };
    case 'block':
      return { ...sum, from, end: from + some - width, place: from + some - width };
    case 'any': {
      const start = 3 + next(size / 2);
      const end = start + 4 * (8 + next(size / 16));
      return { ...sum, from: start, end, place: end };
    }
    case 'inside':
      return { ...sum, from: 0, end: size, place: 4 * (1 + next(6)) };
    case 'elsewhere':
      return { ...sum, from: block, end: block * 9, place: size - 4 * (2 + next(5)) };
    case 'copied': {
      const end = (copy?.from ?? 0) + (copy?.length ?? block) - width;
      return { ...sum, from: copy?.from ?? 0, end, place: end };
    }
  }
}

/** What a car counts and notes for itself. */
function ownBytes(own: Inside['own'], bytes: Uint8Array, car: number, next: Next): void {
  const at = bytes.length / 2;
  if (own === 'counter twice') {
    bytes.set([0, 0, 1, car, ...Array<number>(28).fill(0)], at);
    bytes.set([1, car], bytes.length - 2);
  }
  if (own === 'slots') {
    const newest = next(4);
    for (let slot = 0; slot < 4; slot++) {
      const age = (newest - slot + 4) % 4;
      bytes.set([0, 0x40 + car - age, next(256), next(16), 0, 0, next(256), 0xff], at + 16 * slot);
    }
  }
  if (own === 'small numbers') for (let i = 0; i < 12; i++) bytes.set([0, next(4)], at + 8 * i);
  if (own === 'dates') {
    const bcd = (number: number) => 16 * Math.floor(number / 10) + (number % 10);
    bytes.set([bcd(1 + next(28)), bcd(1 + next(12)), 0x20, bcd(10 + next(14))], at);
  }
  if (own === 'sum of one byte') {
    bytes.fill(0, at, at + 64);
    const one = next(256);
    bytes[at + 5] = one;
    bytes[at + 63] = one;
  }
}
