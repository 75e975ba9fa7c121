import { bytesOfNumber } from '../base/number.js';
import type { Checksum } from '../checksum/checksum.js';
import { checksumOf, type SumSpec } from '../checksum/registry.js';
import type { RecordSum } from '../format/imageForm.js';
import { numbersOf } from '../format/label.js';
import type { Notation } from '../format/notation.js';
import { byteOf, bytesOf, type Label, NO_PROBLEMS, type RecordRow } from '../format/row.js';
import type { DataRange, LineSum, LineSumPart, Profile } from '../profile/profile.js';
import { hasRowsAsLines } from './rowsAsLines.js';

/** How the lines of a dump are summed. */
export interface LineSumRule {
  readonly spec: SumSpec;
  /** What the sum covers, in order. */
  readonly over: readonly (LineSumPart | 'address' | 'type')[];
  readonly checksum: Checksum;
  /** Bytes of a stored sum, the last ones of each record. */
  readonly width: number;
  /** Whether it runs over whole bytes, so that the solver can tell how it moves with one. */
  readonly isOfBytes: boolean;
  /** A finished sum as the bytes that a line stores. */
  readonly bytesOfValue: (value: bigint) => Uint8Array;
  /** Whether a record's stored sum is what its bytes make. */
  readonly isRight: (row: RecordRow) => boolean;
  /** What a record of an image should end in, which of some is no sum. */
  readonly valueIn?: (row: RecordRow) => bigint;
  /** All bytes that the sum of a record covers. */
  readonly runOf: (row: RecordRow) => LineRun;
}

export interface LineRun {
  readonly bytes: Uint8Array;
  /** Where a data byte of the record is in the run; undefined where the sum does not cover it. */
  readonly placeOf: (byte: number) => number | undefined;
}

/** A line's own sum: the bytes stored in the line and the bytes they should be. */
export interface LineSumReading {
  readonly stored: Uint8Array;
  readonly computed: Uint8Array;
}

/** The sum of the records of an image. */
function recordSumRule(sum: RecordSum): LineSumRule {
  const { complement, over, prefix, counts } = sum;
  const width = sum.bytes ?? 1;
  const spec = { method: 'add', bits: width === 2 ? 16 : 8, unit: 1, order: 'big', complement, start: 0n } as const;
  const checksum = checksumOf(spec);
  return {
    spec,
    over,
    checksum,
    width,
    isOfBytes: counts === undefined,
    bytesOfValue: (value) => bytesOfNumber(value, width, 'big'),
    isRight: (row) => stores(row.store, row.from + row.count - width, width, false, valueIn(sum, row)),
    valueIn: (row) => BigInt(valueIn(sum, row)),
    runOf: (row) => {
      const before = prefix(row);
      const data = bytesOf(row, 0, row.count - width);
      const counted = counts === 'digits' ? Array.from(data).flatMap((byte) => [byte >> 4, byte & 15]) : data;
      return { bytes: Uint8Array.of(...before, ...counted), placeOf: (byte) => before.length + byte };
    },
  };
}

/** The sum that a record should have. */
function valueIn(sum: RecordSum, row: RecordRow): number {
  if (sum.isLabel?.(row.type ?? 0)) return Number(row.label);
  return finished(sum, addedUp(sum, row, row.count - (sum.bytes ?? 1)));
}

/** Length, address, type and the first `count` bytes of a record, added up. */
function addedUp({ prefix, counts }: RecordSum, row: RecordRow, count: number): number {
  let sum = 0;
  for (const byte of prefix(row)) sum += byte;
  if (counts === undefined) for (let i = 0; i < count; i++) sum += byteOf(row, i);
  else for (let i = 0; i < count; i++) sum += (byteOf(row, i) >> 4) + (byteOf(row, i) & 15);
  return sum;
}

function finished({ complement, bytes = 1 }: RecordSum, sum: number): number {
  return (complement === 'twos' ? -sum : complement === 'ones' ? ~sum : sum) & (256 ** bytes - 1);
}

/** A record of a memory image as text, with its own sum where its form has one. */
export function printRecord(notation: Notation, label: number, type: number, data: Uint8Array): string {
  const sum = notation.image?.sum;
  if (sum === undefined) return notation.print({ label, type, data, sum: new Uint8Array(0) });
  const width = sum.bytes ?? 1;
  const store = new Uint8Array(data.length + width);
  store.set(data);
  const problems = NO_PROBLEMS;
  const row = { kind: 'record', text: '', label, type, store, from: 0, count: store.length, problems } as const;
  return notation.print({ ...row, data, sum: bytesOfNumber(BigInt(valueIn(sum, row)), width, 'big') });
}

/** The rule by which a dump's lines are summed, or undefined where they have no sum that is known. */
export function lineSumRule(profile: Profile, notation: Notation): LineSumRule | undefined {
  if (notation.image !== undefined && !hasRowsAsLines(notation, profile))
    return notation.image.sum && recordSumRule(notation.image.sum);
  const { lineSum, geometry } = profile;
  if (lineSum === undefined || geometry?.kind !== 'lines') return undefined;
  // All lines that end in a sum have one as wide as this.
  const width = geometry.stretches.find(({ sum }) => sum > 0)?.sum;
  if (width === undefined) return undefined;
  const covered = { ...lineSum, module: profile.module ?? 0, numbers: geometry.numbers };
  return {
    spec: lineSum.spec,
    over: lineSum.over,
    checksum: lineSum.checksum,
    width,
    isOfBytes: true,
    bytesOfValue: (value) => bytesOfNumber(value, width, lineSum.order),
    isRight: quickCheck(covered, width),
    runOf: (row) => {
      const count = row.count - width;
      const bytes = new Uint8Array(runLength(covered, count));
      const dataAt = fillRun(bytes, covered, row, count);
      return { bytes, placeOf: (byte) => placeInRun(lineSum, dataAt, byte, count) };
    },
  };
}

/** A sum of lines with all that is the same for each of them. */
interface CoveredLine extends LineSum {
  readonly module: number;
  /** How many numbers each label has. */
  readonly numbers: number;
}

/**
 * Opening a dump checks each line once. Where the sum can, it runs over the data where they lie and in plain numbers;
 * else all runs go through one buffer, as making one for each line cost more time than the sums themselves.
 */
function quickCheck(lineSum: CoveredLine, width: number): LineSumRule['isRight'] {
  const { checksum, order, over } = lineSum;
  const { quickValue } = checksum;
  const little = order === 'little';
  if (quickValue !== undefined && over.length === 1 && over[0] === 'data' && lineSum.data === undefined) {
    return ({ store, from, count }) => {
      const end = from + count - width;
      return stores(store, end, width, little, quickValue(store, from, end));
    };
  }
  let run = new Uint8Array(0);
  return (row) => {
    const count = row.count - width;
    const length = runLength(lineSum, count);
    if (run.length !== length) run = new Uint8Array(length);
    fillRun(run, lineSum, row, count);
    if (quickValue !== undefined) return stores(row.store, row.from + count, width, little, quickValue(run, 0, length));
    const value = checksum.valueOf(checksum.stateOf(run));
    const low = Number(value & 0xffffffffn);
    if (width <= 4) return stores(row.store, row.from + count, width, little, low);
    const [first, second] = little ? [low, Number(value >> 32n)] : [Number(value >> 32n), low];
    const split = little ? 4 : width - 4;
    return (
      stores(row.store, row.from + count, split, little, first) &&
      stores(row.store, row.from + count + split, width - split, little, second)
    );
  };
}

/** Whether `width` bytes of a store are those of a number below 2^32. */
function stores(store: Uint8Array, at: number, width: number, little: boolean, value: number): boolean {
  for (let i = 0; i < width; i++) {
    const place = little ? i : width - 1 - i;
    if (store[at + place] !== (i < 4 ? (value >>> (8 * i)) & 0xff : 0)) return false;
  }
  return true;
}

export function readLineSum(rule: LineSumRule, row: RecordRow): LineSumReading {
  return { stored: bytesOf(row, row.count - rule.width), computed: computeLineSum(rule, row) };
}

export function computeLineSum(rule: LineSumRule, row: RecordRow): Uint8Array {
  const value = rule.valueIn?.(row) ?? rule.checksum.valueOf(rule.checksum.stateOf(rule.runOf(row).bytes));
  return rule.bytesOfValue(value);
}

/** Bytes that a line's sum covers; `data` is among the parts once. */
function runLength({ over, labelBytes, numbers, data: ranges }: CoveredLine, data: number): number {
  const covered =
    ranges === undefined
      ? data
      : ranges.reduce((sum, range) => sum + Math.max(0, endIn(range, data) - range.first + 1), 0);
  const lengths: Partial<Record<LineSumPart, number>> = {
    module: 2,
    label: numbers * labelBytes,
    length: 1,
    data: covered,
  };
  return over.reduce((sum, part) => sum + (lengths[part] ?? labelBytes), 0);
}

/** The last byte (from 1) of a range in a line of so many data bytes. */
function endIn({ last, spare }: DataRange, count: number): number {
  return Math.min(last ?? count - spare, count);
}

function placeInRun({ data }: LineSum, dataAt: number, byte: number, count: number): number | undefined {
  if (data === undefined) return dataAt + byte;
  let at = dataAt;
  for (const range of data) {
    const end = endIn(range, count);
    if (byte + 1 >= range.first && byte + 1 <= end) return at + byte + 1 - range.first;
    at += Math.max(0, end - range.first + 1);
  }
  return undefined;
}

const WHOLE_LINE: readonly DataRange[] = [{ first: 1, last: undefined, spare: 0 }];

/** Writes the parts of a line that its sum covers, in the order in which the profile names them; gives where the data begin. */
function fillRun(run: Uint8Array, covered: CoveredLine, row: RecordRow, data: number): number {
  const { data: ranges = WHOLE_LINE } = covered;
  const { over, labelBytes, module, numbers } = covered;
  let at = 0;
  let dataAt = 0;
  for (const part of over) {
    if (part === 'data') {
      dataAt = at;
      for (const range of ranges)
        for (let byte = range.first; byte <= endIn(range, data); byte++) run[at++] = byteOf(row, byte - 1);
    } else if (part === 'length') run[at++] = data;
    else if (numbers > 1 && part !== 'module') at = putLabel(run, at, labelBytes, part, row.label);
    else at = putNumber(run, at, part === 'module' ? module : Number(row.label), part === 'module' ? 2 : labelBytes);
  }
  return dataAt;
}

/** All numbers of a label, or the one that is meant. */
function putLabel(run: Uint8Array, at: number, labelBytes: number, part: LineSumPart, label: Label): number {
  const all = numbersOf(label) ?? [];
  if (part !== 'label') return putNumber(run, at, all[Number(part.slice(-1)) - 1] ?? 0, labelBytes);
  return all.reduce((next, number) => putNumber(run, next, number, labelBytes), at);
}

/** The lowest `count` bytes of a number, the most significant first; gives where the next part begins. */
function putNumber(run: Uint8Array, at: number, value: number, count: number): number {
  for (let i = 0; i < count; i++) run[at + i] = value / 256 ** (count - 1 - i);
  return at + count;
}
