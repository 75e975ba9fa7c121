// Tasks for the solver that have a solution: sums over a memory in which some bytes of one line were changed.
import { bytesOfNumber } from '../../shared-core/src/base/number.js';
import type { Checksum } from '../../shared-core/src/checksum/checksum.js';
import { crcModel } from '../../shared-core/src/checksum/crcCatalogue.js';
import { checksumOf, type SumSpec } from '../../shared-core/src/checksum/registry.js';
import type { SumTask } from '../../shared-core/src/repair/solver/sums.js';

const add = (bits: 8 | 16 | 32, unit: 1 | 2 | 4): SumSpec => ({
  method: 'add',
  bits,
  unit,
  order: 'big',
  complement: 'none',
  start: 0n,
});
const crc = (model: string): SumSpec => ({
  method: 'crc',
  model,
  ...(crcModel(model) as NonNullable<ReturnType<typeof crcModel>>),
});

/** One sum of each kind and width, by a short name. */
export const SUMS: Readonly<Record<string, SumSpec>> = {
  add8: add(8, 1),
  add16: add(16, 1),
  'add16/2': add(16, 2),
  'add32/4': add(32, 4),
  ones16: { method: 'add-end-around', bits: 16, order: 'big' },
  xor8: { method: 'xor', bits: 8, start: 0n, order: 'big' },
  xor16: { method: 'xor', bits: 16, start: 0n, order: 'big' },
  xor32: { method: 'xor', bits: 32, start: 0n, order: 'big' },
  crc8: crc('CRC-8/SMBUS'),
  crc16: crc('CRC-16/IBM-3740'),
  crc32: crc('CRC-32/ISO-HDLC'),
  crc64: crc('CRC-64/XZ'),
  flet16: { method: 'fletcher', bits: 16, order: 'big' },
  flet32: { method: 'fletcher', bits: 32, order: 'big' },
  adler: { method: 'adler' },
};

export interface Planted {
  readonly line: string;
  readonly totals: readonly string[];
  /** Free bytes; of masked ones each counts by its bits. */
  readonly bytes: number;
  readonly masked: boolean;
}

const BEFORE = 40;
const AFTER = 24;

/** Numbers from a seed, each below `end`. */
export type Numbers = (end: number) => number;

/** Bytes before a line, the line with its sum, bytes behind it; totals over all of them. Some bytes of the line are free. */
export function plantedTask({ line, totals, bytes, masked }: Planted, next: Numbers): SumTask {
  const masks = masked
    ? [0x0f, 0xf0, 0x3c, 0xc3, ...Array.from({ length: bytes - 2 }, () => 0xff)]
    : Array.from({ length: bytes }, () => 0xff);
  const size = masks.length + 2 + next(8);
  const before = checksumOf(SUMS[line] as SumSpec);
  const width = Math.ceil(before.bits / 8);
  const memory = Uint8Array.from({ length: BEFORE + size + width + AFTER }, () => next(256));
  const order = Array.from({ length: size }, (_, i) => ({ at: BEFORE + i, key: next(1 << 30) }))
    .sort((a, b) => a.key - b.key)
    .map(({ at }) => at)
    .slice(0, masks.length);
  settleLine(memory, before, BEFORE, size);
  const now = memory.slice();
  order.forEach((at, i) => {
    (now[at] as number) ^= next(256) & (masks[i] as number);
  });
  settleLine(now, before, BEFORE, size);
  const stored = Array.from({ length: width }, (_, i) => BEFORE + size + i);
  const numbered = [...order, ...stored];
  const run = memory.subarray(BEFORE, BEFORE + size);
  return {
    free: order.map((at, i) => ({ value: memory[at] as number, mask: masks[i] as number })),
    dependentSums: [
      {
        checksum: before,
        state: before.stateOf(run),
        length: size,
        places: numbered.map((at) => (at < BEFORE + size ? [at - BEFORE] : [])),
        bytesOf: (value) => bytesOfNumber(value, width, 'big'),
      },
    ],
    demands: totals.map((name) => demandOf(name, memory, now, numbered)),
  };
}

/** Lines of bytes that may change, each with a sum of one kind behind it, or none; totals over all. */
export interface PlantedLines {
  readonly line: string | undefined;
  readonly totals: readonly string[];
  readonly lines: number;
  readonly size: number;
  /** Which bits of the bytes may change, one byte after the other. */
  readonly masks: readonly number[];
}

/** A task over many lines that some change solves. */
export function linesTask({ line, totals, lines, size, masks }: PlantedLines, next: Numbers): SumTask {
  const own = line === undefined ? undefined : checksumOf(SUMS[line] as SumSpec);
  const width = own === undefined ? 0 : Math.ceil(own.bits / 8);
  const stride = size + width;
  const starts = Array.from({ length: lines }, (_, i) => i * stride);
  const memory = Uint8Array.from({ length: lines * stride }, () => next(256));
  const maskOf = (i: number) => masks[i % masks.length] as number;
  const free = starts.flatMap((start) => Array.from({ length: size }, (_, i) => start + i));
  const now = memory.slice();
  free.forEach((at, i) => {
    (now[at] as number) ^= next(256) & maskOf(i);
  });
  for (const bytes of [memory, now]) {
    for (const start of own === undefined ? [] : starts) settleLine(bytes, own as Checksum, start, size);
  }
  const stored = starts.flatMap((start) => Array.from({ length: width }, (_, i) => start + size + i));
  const numbered = [...free, ...stored];
  return {
    free: free.map((at, i) => ({ value: memory[at] as number, mask: maskOf(i) })),
    dependentSums: (own === undefined ? [] : starts).map((start) => ({
      checksum: own as Checksum,
      state: (own as Checksum).stateOf(memory.subarray(start, start + size)),
      length: size,
      places: numbered.map((at) => (at >= start && at < start + size ? [at - start] : [])),
      bytesOf: (value) => bytesOfNumber(value, width, 'big'),
    })),
    demands: totals.map((name) => demandOf(name, memory, now, numbered)),
  };
}

/** Stores the right sum of a line behind its bytes. */
function settleLine(memory: Uint8Array, checksum: Checksum, start: number, size: number): void {
  const value = checksum.valueOf(checksum.stateOf(memory.subarray(start, start + size)));
  memory.set(bytesOfNumber(value, Math.ceil(checksum.bits / 8), 'big'), start + size);
}

/** A file sum over all of a memory that is to become that of another one. */
function demandOf(
  name: string,
  memory: Uint8Array,
  now: Uint8Array,
  numbered: readonly number[],
): SumTask['demands'][number] {
  const checksum = checksumOf(SUMS[name] as SumSpec);
  return {
    checksum,
    state: checksum.stateOf(memory),
    length: memory.length,
    places: numbered.map((at) => [at]),
    wanted: checksum.valueOf(checksum.stateOf(now)),
  };
}
