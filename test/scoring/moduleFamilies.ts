import { hex, hexBytes } from '../../shared-core/src/base/hex.js';
import { bytesOfNumber } from '../../shared-core/src/base/number.js';
import { valueOver } from '../../shared-core/src/checksum/checksum.js';
import { crcModel } from '../../shared-core/src/checksum/crcCatalogue.js';
import { checksumOf, type SumSpec } from '../../shared-core/src/checksum/registry.js';
import type { Next } from './writtenTexts.js';

/** Dumps of one kind of module, as they come from different cars; each call of `write` gives another one. */
export interface ModuleFamily {
  readonly kind: FamilyKind;
  /** How many dumps a person has of it. */
  readonly dumps: number;
  readonly hasLineSum: boolean;
  readonly hasTotal: boolean;
  /** Whether so many dumps can tell the rules; of the others it is right to say that it is not known. */
  readonly decidable: boolean;
  readonly write: () => string;
}

interface Line {
  readonly label: number;
  readonly data: number[];
  readonly sum: readonly number[];
}

/** What stands in the file beside the line sums. */
interface Beside {
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
}

/** A file sum: which, over what, and where. */
interface Total {
  readonly specs: readonly SumSpec[];
  readonly sums: boolean;
  readonly place: 'record' | 'line' | 'text';
  readonly part?: boolean;
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

const LINE_SPECS: readonly SumSpec[] = [
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
const word = (name: string, bytes: readonly number[]) => `${name}: ${hexBytes(Uint8Array.from(bytes), ' ')}`;

const KINDS = {
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
} as const satisfies Record<string, Beside>;

export type FamilyKind = keyof typeof KINDS;
export const FAMILY_KINDS = Object.keys(KINDS) as readonly FamilyKind[];

const pick = <T>(next: Next, of: readonly T[]): T => of[next(of.length)] as T;

/** A family of this kind, with all that is not its point by chance. */
export function moduleFamily(kind: FamilyKind, next: Next): ModuleFamily {
  const beside: Beside = KINDS[kind];
  const count = 10 + next(22);
  const width = pick(next, [6, 8, 8, 16]);
  const spec = pick(next, beside.lineSpecs ?? LINE_SPECS);
  const other = (beside.lineSpecs ?? LINE_SPECS).find((one) => one !== spec && bytesIn(one) === bytesIn(spec)) ?? spec;
  const coversLabel = next(2) === 0;
  const totalSpec = beside.total && pick(next, beside.total.specs);
  const [from, to] = beside.total?.part === true ? [2 + next(2), count - 2 - next(2)] : [1, count];
  const base = Array.from({ length: count }, () => lineAsDelivered(width, next));
  const ownPlaces = beside.busy === true ? count * 3 : 6 + next(8);
  const places = Array.from({ length: ownPlaces }, () => [next(count), next(width), next(3)] as const);
  // Where a range ends can be told only by lines that are not the same in all cars.
  if (beside.total?.part === true)
    for (const label of [from - 1, from, to, to + 1]) places.push([label - 1, next(width), 2] as const);
  const wrong = new Set<number>();
  while (kind === 'lines of two rules' && wrong.size < Math.ceil(count * 0.35)) wrong.add(next(count));
  let car = 0;
  const write = (): string => {
    car++;
    const lines = base.map((data) => [...data]);
    for (const [line, byte, how] of places)
      (lines[line] as number[])[byte] = pick(next, [next(2), next(16), next(256)].slice(how, how + 1));
    const { tail = [], record } = beside.own?.(car, next) ?? {};
    const last = lines.at(-1) as number[];
    last.splice(width - tail.length, tail.length, ...tail);
    const summed = (data: number[], at: number): Line => {
      const run = [...(coversLabel ? [at + 1] : []), ...data];
      const rule = wrong.has(at) ? other : spec;
      return { label: at + 1, data, sum: beside.lineSum ? stored(rule, run, 'big') : [] };
    };
    let all = lines.map(summed);
    const foot: string[] = record === undefined ? [] : [record];
    if (totalSpec !== undefined && beside.total !== undefined) {
      const { place, sums, order = 'big' } = beside.total;
      const bytes = bytesIn(totalSpec);
      const run = all
        .filter(({ label }) => label >= from && label <= to)
        .flatMap(({ data, sum, label }) => [
          ...(place === 'line' && label === count ? data.slice(0, width - bytes) : data),
          ...(sums ? sum : []),
        ]);
      const value = stored(totalSpec, run, order);
      if (place === 'line') {
        last.splice(width - bytes, bytes, ...value);
        all = lines.map(summed);
      } else if (place === 'record') foot.push(word('total', value));
      else foot.push(`Checksum of the file: ${value.map((byte) => hex(byte, 2)).join('')}`);
    }
    const rows = all.map(({ label, data, sum }) => `${label}: ${hexBytes(Uint8Array.from([...data, ...sum]), ' ')}`);
    return `${[...rows, ...foot].join('\n')}\n`;
  };
  return {
    kind,
    dumps: pick(next, beside.dumps),
    hasLineSum: beside.lineSum,
    hasTotal: beside.total !== undefined,
    decidable: beside.undecidable !== true,
    write,
  };
}

function bytesIn(spec: SumSpec): number {
  return Math.ceil(checksumOf(spec).bits / 8);
}

function stored(spec: SumSpec, run: readonly number[], order: 'big' | 'little'): number[] {
  return [...bytesOfNumber(valueOver(checksumOf(spec), Uint8Array.from(run)), bytesIn(spec), order)];
}

/** A line as dumps have them: nothing but FF or 00, or some settings among zeros, or text. */
function lineAsDelivered(width: number, next: Next): number[] {
  const kind = next(10);
  if (kind < 2) return Array.from({ length: width }, () => 0xff);
  if (kind < 3) return Array.from({ length: width }, () => 0);
  if (kind < 4) return Array.from({ length: width }, () => 0x30 + next(10));
  return Array.from({ length: width }, () => [0, 0, 0xff, 0xff, next(256), next(16), 1 << next(8)][next(7)] as number);
}
