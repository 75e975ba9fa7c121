import { hexBytes } from '../../shared-core/src/base/hex.js';
import { bytesOfNumber } from '../../shared-core/src/base/number.js';
import { valueOver } from '../../shared-core/src/checksum/checksum.js';
import { crcModel } from '../../shared-core/src/checksum/crcCatalogue.js';
import { checksumOf, type SumSpec } from '../../shared-core/src/checksum/registry.js';
import type { Next } from './writtenTexts.js';

/** A line before its sum, by its number from 0. */
export interface LineToSum {
  readonly at: number;
  readonly data: readonly number[];
}

/** What stands in the file beside the line sums. */
export interface Beside {
  readonly dumps: readonly number[];
  /** Whether lines have a sum of their own. */
  readonly lineSum: boolean;
  readonly total: Total | undefined;
  /** Data that a car has of its own: at the end of the last line, or in a line with a word for a label. */
  readonly own?: (car: number, next: Next) => { readonly tail?: readonly number[]; readonly record?: string };
  readonly lineSpecs?: readonly SumSpec[];
  readonly undecidable?: boolean;
  /** Bytes of a car that are its own, in each line. */
  readonly busy?: boolean;
  readonly damaged?: number;
  /** The sums of lines where they are none of those above, by a rule of each family of its own. */
  readonly rule?: (next: Next) => (line: LineToSum) => readonly number[];
  /** Where the sum of a line is, and how lines are called. */
  readonly sumAt?: 'front' | 'middle';
  readonly labels?: 'of two numbers';
}

/** A file sum: which, over what, and where. */
export interface Total {
  readonly specs: readonly SumSpec[];
  readonly sums: boolean;
  readonly place: 'record' | 'line' | 'text';
  readonly part?: boolean;
  /** Some lines in the middle are not covered. */
  readonly hole?: boolean;
  readonly order?: 'big' | 'little';
}

const crc = (model: string): SumSpec => {
  const parameters = crcModel(model);
  if (parameters === undefined) throw new Error(model);
  return { method: 'crc', model, ...parameters };
};
const add = (bits: 8 | 16 | 32, complement: 'none' | 'ones' | 'twos' = 'none', start = 0n): SumSpec => ({
  method: 'add',
  bits,
  unit: 1,
  order: 'big',
  complement,
  start,
});
const xor = (bits: 8 | 16 | 32): SumSpec => ({ method: 'xor', bits, order: 'big', start: 0n });

export const LINE_SPECS: readonly SumSpec[] = [
  add(8),
  add(8, 'ones'),
  add(8, 'twos'),
  add(16),
  add(16, 'twos'),
  xor(8),
  crc('CRC-8/SMBUS'),
  crc('CRC-16/ARC'),
  crc('CRC-16/IBM-3740'),
];
const TWO: readonly SumSpec[] = [add(16), add(16, 'twos'), crc('CRC-16/ARC'), crc('CRC-16/IBM-3740')];
const FOUR: readonly SumSpec[] = [add(32), crc('CRC-32/ISO-HDLC'), crc('CRC-32/MPEG-2')];
const ONE: readonly SumSpec[] = [add(8), add(8, 'twos'), xor(8), crc('CRC-8/SMBUS')];

const some = (count: number, next: Next) => Array.from({ length: count }, () => next(256));
export const word = (name: string, bytes: readonly number[]) => `${name}: ${hexBytes(Uint8Array.from(bytes), ' ')}`;

export const pick = <T>(next: Next, of: readonly T[]): T => of[next(of.length)] as T;

/** Lines of which the first number of a label says the same. */
export const LINES_OF_A_BLOCK = 8;

export const KINDS = {
  'no total, one dump': { dumps: [1], lineSum: true, total: undefined },
  'no total, two dumps': { dumps: [2], lineSum: true, total: undefined },
  'no total, several dumps': { dumps: [3, 4, 6], lineSum: true, total: undefined },
  'no total, many own bytes': { dumps: [1, 2, 3], lineSum: true, total: undefined, busy: true },
  'no sum at all': { dumps: [1, 2, 3], lineSum: false, total: undefined },
  'no sum at all, many own bytes': { dumps: [1, 3], lineSum: false, total: undefined, busy: true },
  'a number of the car at the end': {
    dumps: [1, 2, 3, 5],
    lineSum: true,
    total: undefined,
    own: (_car, next) => ({ tail: some(4, next) }),
  },
  'a counter at the end': {
    dumps: [2, 3, 5],
    lineSum: true,
    total: undefined,
    own: (car) => ({ tail: [0, 0, 1, 0x20 + car] }),
  },
  'a counter in a line of its own': {
    dumps: [2, 3, 5],
    lineSum: true,
    total: undefined,
    own: (car) => ({ record: word('total', [1, 0x20 + car]) }),
  },
  'a number in a line of its own': {
    dumps: [1, 2, 3],
    lineSum: true,
    total: undefined,
    own: (_car, next) => ({ record: word('serial', some(4, next)) }),
  },
  'two bytes in a line of their own': {
    dumps: [1, 2, 3],
    lineSum: true,
    total: undefined,
    own: (_car, next) => ({ record: word('total', some(2, next)) }),
  },
  'one byte in a line of its own': {
    dumps: [1, 2, 3],
    lineSum: true,
    total: undefined,
    own: (_car, next) => ({ record: word('total', some(1, next)) }),
  },
  'a line of zeros of its own': {
    dumps: [1, 3, 5],
    lineSum: true,
    total: undefined,
    own: () => ({ record: word('total', [0, 0]) }),
  },
  'a part number in a line of its own': {
    dumps: [1, 3, 5],
    lineSum: true,
    total: undefined,
    own: () => ({ record: word('part', [0x20, 0x31, 0x07, 0x4b]) }),
  },
  'a byte of zeros, and lines that come to zero': {
    dumps: [1, 3, 5],
    lineSum: true,
    lineSpecs: [add(8, 'twos'), xor(8)],
    total: undefined,
    own: () => ({ record: word('total', [0]) }),
  },
  'two bytes of zeros, and lines that come to zero': {
    dumps: [1, 2, 3],
    lineSum: true,
    lineSpecs: [add(16, 'twos'), xor(16)],
    total: undefined,
    own: () => ({ record: word('total', [0, 0]) }),
  },
  'three numbers in lines of their own': {
    dumps: [1, 2, 4],
    lineSum: true,
    total: undefined,
    own: (car, next) => ({
      record: [word('part', [0, 0x12, 0x34]), word('total', some(2, next)), word('count', [0, 1 + car])].join('\n'),
    }),
  },
  'a number at the end, and no sum at all': {
    dumps: [1, 2, 3, 5],
    lineSum: false,
    total: undefined,
    busy: true,
    own: (_car, next) => ({ tail: some(4, next) }),
  },
  'small numbers at the end': {
    dumps: [1, 2, 3, 5],
    lineSum: true,
    total: undefined,
    own: (_car, next) => ({ tail: [0, next(4), 0, next(64)] }),
  },
  'a small number in a line of its own': {
    dumps: [1, 2, 3, 5],
    lineSum: true,
    total: undefined,
    own: (_car, next) => ({ record: word('total', [0, 0, next(8), next(256)]) }),
  },
  'exclusive or of two bytes in each line': {
    dumps: [1, 3, 4],
    lineSum: true,
    lineSpecs: [xor(16)],
    total: undefined,
    own: (_car, next) => ({ tail: some(2, next) }),
  },
  'lines of two rules': {
    dumps: [1, 2],
    lineSum: true,
    lineSpecs: [add(8), crc('CRC-8/SMBUS')],
    undecidable: true,
    total: undefined,
    busy: true,
    damaged: 5,
  },
  'one damaged line, no total': { dumps: [1, 2], lineSum: true, total: undefined, busy: true, damaged: 1 },
  'two bytes for the file, one dump': {
    dumps: [1],
    lineSum: true,
    undecidable: true,
    total: { specs: TWO, sums: false, place: 'record' },
  },
  'two bytes for the file, two dumps': {
    dumps: [2],
    lineSum: true,
    total: { specs: TWO, sums: false, place: 'record' },
  },
  'two bytes for the file, several dumps': {
    dumps: [3, 5],
    lineSum: true,
    total: { specs: TWO, sums: false, place: 'record', order: 'little' },
  },
  'four bytes for the file, one dump': {
    dumps: [1],
    lineSum: true,
    total: { specs: [crc('CRC-32/ISO-HDLC'), crc('CRC-32/MPEG-2')], sums: false, place: 'record' },
  },
  'four bytes for the file, several dumps': {
    dumps: [2, 3, 5],
    lineSum: true,
    total: { specs: FOUR, sums: false, place: 'record' },
  },
  'one byte for the file, five dumps': {
    dumps: [5, 6],
    lineSum: true,
    lineSpecs: [add(16), crc('CRC-8/SMBUS')],
    total: { specs: ONE, sums: false, place: 'record' },
    busy: true,
  },
  'a file sum over data and sums': {
    dumps: [3, 5],
    lineSum: true,
    lineSpecs: [add(8), crc('CRC-8/SMBUS'), crc('CRC-16/ARC')],
    total: { specs: [add(16), crc('CRC-16/IBM-3740')], sums: true, place: 'record' },
  },
  'a file sum at the end of the last line': {
    dumps: [2, 3],
    lineSum: true,
    total: { specs: TWO, sums: false, place: 'line' },
    busy: true,
  },
  'four bytes at the end of the last line': {
    dumps: [2, 3],
    lineSum: true,
    total: { specs: [crc('CRC-32/ISO-HDLC'), crc('CRC-32/MPEG-2')], sums: false, place: 'line' },
  },
  'a file sum over a part of the lines': {
    dumps: [3, 5],
    lineSum: true,
    total: { specs: TWO, sums: false, place: 'record', part: true },
    busy: true,
  },
  'a file sum in words': {
    dumps: [2, 4],
    lineSum: true,
    total: { specs: TWO, sums: false, place: 'text' },
  },
  'a file sum, and no line sums': {
    dumps: [3, 4],
    lineSum: false,
    total: { specs: TWO, sums: false, place: 'record' },
    busy: true,
  },
  'counts where its line begins': {
    dumps: [3, 5, 8],
    lineSum: true,
    undecidable: true,
    total: undefined,
    rule: (next) => {
      const spec = pick(next, [crc('CRC-16/ARC'), crc('CRC-16/IBM-3740'), add(16, 'twos')]);
      return ({ at, data }) => stored(spec, [...bytesOfNumber(BigInt(at * data.length), 2, 'big'), ...data], 'big');
    },
  },
  'two rules in turn': {
    dumps: [2, 3, 5, 8],
    lineSum: true,
    undecidable: true,
    total: undefined,
    rule: (next) => {
      const rules = [pick(next, TWO), crc(pick(next, ['CRC-16/XMODEM', 'CRC-16/DNP']))];
      return ({ at, data }) => stored(rules[at % 2] as SumSpec, data, 'big');
    },
  },
  'labels of two numbers, and a sum over the second': {
    dumps: [1, 2, 4],
    lineSum: true,
    undecidable: true,
    total: undefined,
    labels: 'of two numbers',
    rule: (next) => {
      const spec = pick(next, [add(8), crc('CRC-8/SMBUS'), crc('CRC-16/IBM-3740')]);
      return ({ at, data }) => stored(spec, [at % LINES_OF_A_BLOCK, ...data], 'big');
    },
  },
  'a sum in front, and lines filled up': {
    dumps: [1, 2, 4],
    lineSum: true,
    lineSpecs: [add(8), add(8, 'twos'), xor(8), crc('CRC-8/SMBUS'), crc('CRC-16/IBM-3740')],
    total: undefined,
    sumAt: 'front',
    own: () => ({ tail: [0xff, 0xff] }),
  },
  'bytes that count by their place': {
    dumps: [1, 3, 5, 8],
    lineSum: true,
    undecidable: true,
    total: undefined,
    rule: (next) => {
      const [bytes, step] = [1 + next(2), 1 + next(6)];
      return ({ data }) => [
        ...bytesOfNumber(
          BigInt(data.reduce((sum, byte, i) => sum + byte * (1 + i * step), 0) % 256 ** bytes),
          bytes,
          'big',
        ),
      ];
    },
  },
  'a CRC with a constant of its own': {
    dumps: [1, 2, 4],
    lineSum: true,
    total: undefined,
    rule: (next) => {
      const [bytes, constant] = [1 + next(2), next(0x10000)];
      const spec = bytes === 1 ? crc('CRC-8/SMBUS') : pick(next, [crc('CRC-16/ARC'), crc('CRC-16/IBM-3740')]);
      return ({ data }) => stored(spec, data, 'big').map((byte, i) => byte ^ ((constant >> (8 * i)) & 0xff));
    },
  },
  'a sum in the middle of its line': {
    dumps: [1, 3, 5],
    lineSum: true,
    undecidable: true,
    total: undefined,
    lineSpecs: [add(8), crc('CRC-8/SMBUS'), crc('CRC-16/ARC')],
    sumAt: 'middle',
  },
  'a file sum over all but some lines': {
    dumps: [3, 5],
    lineSum: true,
    undecidable: true,
    total: { specs: TWO, sums: false, place: 'record', hole: true },
    busy: true,
  },
} as const satisfies Record<string, Beside>;

export function bytesIn(spec: SumSpec): number {
  return Math.ceil(checksumOf(spec).bits / 8);
}

export function stored(spec: SumSpec, run: readonly number[], order: 'big' | 'little'): number[] {
  return [...bytesOfNumber(valueOver(checksumOf(spec), Uint8Array.from(run)), bytesIn(spec), order)];
}
