import { fromHalves, halvesOf, reflect } from './polynomial.js';

/** Runs a CRC register over bytes. The register stands in the bit order of the input: turned round where `refin` is. */
export type CrcRegister = (state: bigint, run: Uint8Array) => bigint;

/** What a register needs of the Rocksoft model. */
export interface CrcDivision {
  /** 3 to 64. */
  readonly width: number;
  /** Without the highest term. */
  readonly poly: bigint;
  readonly refin: boolean;
}

/** A cyclic redundancy check in the parameters of the Rocksoft model (R. Williams, "A Painless Guide to CRC Error Detection Algorithms", 1993). */
export interface CrcParameters extends CrcDivision {
  readonly init: bigint;
  readonly refout: boolean;
  readonly xorout: bigint;
}

/**
 * A CRC register over tables, many bytes a step: a run of any length needs as many steps one after the other as it has
 * such groups, and all looks into tables within a step go side by side. The register stands in a frame of 64 bits, at
 * the low end and shifted down where reflected, at the high end and shifted up where straight, so that the width matters
 * to no loop; a register of up to 32 bits never leaves its half of the frame.
 */
export function crcRegister(division: CrcDivision): CrcRegister {
  if (division.width <= 32) return division.refin ? reflected32(division) : straight32(division);
  return division.refin ? reflected64(division) : straight64(division);
}

function reflected32(division: CrcDivision): CrcRegister {
  const tables = tablesOf(division);
  return (state, run) => {
    const t = tables(run).low;
    const words = wordsOf(run);
    let r = Number(state) | 0;
    let i = 0;
    for (; i + 16 <= run.length; i += 16) {
      const a = r ^ words.getInt32(i, true);
      const b = words.getInt32(i + 4, true);
      const c = words.getInt32(i + 8, true);
      const d = words.getInt32(i + 12, true);
      r =
        at(t, 0xf00 | (a & 0xff)) ^
        at(t, 0xe00 | ((a >>> 8) & 0xff)) ^
        at(t, 0xd00 | ((a >>> 16) & 0xff)) ^
        at(t, 0xc00 | (a >>> 24)) ^
        at(t, 0xb00 | (b & 0xff)) ^
        at(t, 0xa00 | ((b >>> 8) & 0xff)) ^
        at(t, 0x900 | ((b >>> 16) & 0xff)) ^
        at(t, 0x800 | (b >>> 24)) ^
        at(t, 0x700 | (c & 0xff)) ^
        at(t, 0x600 | ((c >>> 8) & 0xff)) ^
        at(t, 0x500 | ((c >>> 16) & 0xff)) ^
        at(t, 0x400 | (c >>> 24)) ^
        at(t, 0x300 | (d & 0xff)) ^
        at(t, 0x200 | ((d >>> 8) & 0xff)) ^
        at(t, 0x100 | ((d >>> 16) & 0xff)) ^
        at(t, d >>> 24);
    }
    for (; i < run.length; i++) r = at(t, (r ^ byteOf(run, i)) & 0xff) ^ (r >>> 8);
    return BigInt(r >>> 0);
  };
}

function straight32(division: CrcDivision): CrcRegister {
  const tables = tablesOf(division);
  const shift = BigInt(32 - division.width);
  return (state, run) => {
    const t = tables(run).high;
    const words = wordsOf(run);
    let r = Number(state << shift) | 0;
    let i = 0;
    for (; i + 16 <= run.length; i += 16) {
      const a = r ^ words.getInt32(i);
      const b = words.getInt32(i + 4);
      const c = words.getInt32(i + 8);
      const d = words.getInt32(i + 12);
      r =
        at(t, 0xf00 | (a >>> 24)) ^
        at(t, 0xe00 | ((a >>> 16) & 0xff)) ^
        at(t, 0xd00 | ((a >>> 8) & 0xff)) ^
        at(t, 0xc00 | (a & 0xff)) ^
        at(t, 0xb00 | (b >>> 24)) ^
        at(t, 0xa00 | ((b >>> 16) & 0xff)) ^
        at(t, 0x900 | ((b >>> 8) & 0xff)) ^
        at(t, 0x800 | (b & 0xff)) ^
        at(t, 0x700 | (c >>> 24)) ^
        at(t, 0x600 | ((c >>> 16) & 0xff)) ^
        at(t, 0x500 | ((c >>> 8) & 0xff)) ^
        at(t, 0x400 | (c & 0xff)) ^
        at(t, 0x300 | (d >>> 24)) ^
        at(t, 0x200 | ((d >>> 16) & 0xff)) ^
        at(t, 0x100 | ((d >>> 8) & 0xff)) ^
        at(t, d & 0xff);
    }
    for (; i < run.length; i++) r = at(t, (r >>> 24) ^ byteOf(run, i)) ^ (r << 8);
    return BigInt(r >>> 0) >> shift;
  };
}

function reflected64(division: CrcDivision): CrcRegister {
  const tables = tablesOf(division);
  return (state, run) => {
    const { low, high } = tables(run);
    const words = wordsOf(run);
    const begin = halvesOf(state);
    let [l, h] = [begin.low | 0, begin.high | 0];
    let i = 0;
    for (; i + 16 <= run.length; i += 16) {
      const a = l ^ words.getInt32(i, true);
      const b = h ^ words.getInt32(i + 4, true);
      const c = words.getInt32(i + 8, true);
      const d = words.getInt32(i + 12, true);
      l =
        at(low, 0xf00 | (a & 0xff)) ^
        at(low, 0xe00 | ((a >>> 8) & 0xff)) ^
        at(low, 0xd00 | ((a >>> 16) & 0xff)) ^
        at(low, 0xc00 | (a >>> 24)) ^
        at(low, 0xb00 | (b & 0xff)) ^
        at(low, 0xa00 | ((b >>> 8) & 0xff)) ^
        at(low, 0x900 | ((b >>> 16) & 0xff)) ^
        at(low, 0x800 | (b >>> 24)) ^
        at(low, 0x700 | (c & 0xff)) ^
        at(low, 0x600 | ((c >>> 8) & 0xff)) ^
        at(low, 0x500 | ((c >>> 16) & 0xff)) ^
        at(low, 0x400 | (c >>> 24)) ^
        at(low, 0x300 | (d & 0xff)) ^
        at(low, 0x200 | ((d >>> 8) & 0xff)) ^
        at(low, 0x100 | ((d >>> 16) & 0xff)) ^
        at(low, d >>> 24);
      h =
        at(high, 0xf00 | (a & 0xff)) ^
        at(high, 0xe00 | ((a >>> 8) & 0xff)) ^
        at(high, 0xd00 | ((a >>> 16) & 0xff)) ^
        at(high, 0xc00 | (a >>> 24)) ^
        at(high, 0xb00 | (b & 0xff)) ^
        at(high, 0xa00 | ((b >>> 8) & 0xff)) ^
        at(high, 0x900 | ((b >>> 16) & 0xff)) ^
        at(high, 0x800 | (b >>> 24)) ^
        at(high, 0x700 | (c & 0xff)) ^
        at(high, 0x600 | ((c >>> 8) & 0xff)) ^
        at(high, 0x500 | ((c >>> 16) & 0xff)) ^
        at(high, 0x400 | (c >>> 24)) ^
        at(high, 0x300 | (d & 0xff)) ^
        at(high, 0x200 | ((d >>> 8) & 0xff)) ^
        at(high, 0x100 | ((d >>> 16) & 0xff)) ^
        at(high, d >>> 24);
    }
    for (; i < run.length; i++) {
      const byte = (l ^ byteOf(run, i)) & 0xff;
      l = ((l >>> 8) | (h << 24)) ^ at(low, byte);
      h = (h >>> 8) ^ at(high, byte);
    }
    return fromHalves({ high: h, low: l });
  };
}

function straight64(division: CrcDivision): CrcRegister {
  const tables = tablesOf(division);
  const shift = BigInt(64 - division.width);
  return (state, run) => {
    const { low, high } = tables(run);
    const words = wordsOf(run);
    const begin = halvesOf(state << shift);
    let [l, h] = [begin.low | 0, begin.high | 0];
    let i = 0;
    for (; i + 16 <= run.length; i += 16) {
      const a = h ^ words.getInt32(i);
      const b = l ^ words.getInt32(i + 4);
      const c = words.getInt32(i + 8);
      const d = words.getInt32(i + 12);
      l =
        at(low, 0xf00 | (a >>> 24)) ^
        at(low, 0xe00 | ((a >>> 16) & 0xff)) ^
        at(low, 0xd00 | ((a >>> 8) & 0xff)) ^
        at(low, 0xc00 | (a & 0xff)) ^
        at(low, 0xb00 | (b >>> 24)) ^
        at(low, 0xa00 | ((b >>> 16) & 0xff)) ^
        at(low, 0x900 | ((b >>> 8) & 0xff)) ^
        at(low, 0x800 | (b & 0xff)) ^
        at(low, 0x700 | (c >>> 24)) ^
        at(low, 0x600 | ((c >>> 16) & 0xff)) ^
        at(low, 0x500 | ((c >>> 8) & 0xff)) ^
        at(low, 0x400 | (c & 0xff)) ^
        at(low, 0x300 | (d >>> 24)) ^
        at(low, 0x200 | ((d >>> 16) & 0xff)) ^
        at(low, 0x100 | ((d >>> 8) & 0xff)) ^
        at(low, d & 0xff);
      h =
        at(high, 0xf00 | (a >>> 24)) ^
        at(high, 0xe00 | ((a >>> 16) & 0xff)) ^
        at(high, 0xd00 | ((a >>> 8) & 0xff)) ^
        at(high, 0xc00 | (a & 0xff)) ^
        at(high, 0xb00 | (b >>> 24)) ^
        at(high, 0xa00 | ((b >>> 16) & 0xff)) ^
        at(high, 0x900 | ((b >>> 8) & 0xff)) ^
        at(high, 0x800 | (b & 0xff)) ^
        at(high, 0x700 | (c >>> 24)) ^
        at(high, 0x600 | ((c >>> 16) & 0xff)) ^
        at(high, 0x500 | ((c >>> 8) & 0xff)) ^
        at(high, 0x400 | (c & 0xff)) ^
        at(high, 0x300 | (d >>> 24)) ^
        at(high, 0x200 | ((d >>> 16) & 0xff)) ^
        at(high, 0x100 | ((d >>> 8) & 0xff)) ^
        at(high, d & 0xff);
    }
    for (; i < run.length; i++) {
      const byte = (h >>> 24) ^ byteOf(run, i);
      h = ((h << 8) | (l >>> 24)) ^ at(high, byte);
      l = (l << 8) ^ at(low, byte);
    }
    return fromHalves({ high: h, low: l }) >> shift;
  };
}

/**
 * Table n, from 256 n on, holds, in two halves of the frame, what a byte that n more bytes follow leaves in the register. All are
 * one array, whose place and length an engine keeps at hand, as it cannot for sixteen: 1.4 GB a second in place of 0.9.
 */
interface Tables {
  readonly high: Int32Array;
  readonly low: Int32Array;
}

/** Bytes of a step, and so tables. */
const COUNT = 16;

const NO_WORDS = new DataView(new ArrayBuffer(0));

/** For a run too short for one step the first table does; the others are made for the first that is longer. */
function tablesOf(division: CrcDivision): (run: Uint8Array) => Tables {
  let [tables, count] = [tablesFor(division, 1), 1];
  return (run) => {
    if (count < COUNT && run.length >= COUNT) [tables, count] = [tablesFor(division, COUNT), COUNT];
    return tables;
  };
}

/** The entry of a byte is the sum of those of its bits, and that of a bit is a power of x from x^width on. */
function tablesFor({ width, poly, refin }: CrcDivision, count: number): Tables {
  const tables = { high: new Int32Array(256 * count), low: new Int32Array(256 * count) };
  const [divisor, top] = refin ? [reflect(poly, width), 1n] : [poly, 1n << BigInt(width - 1)];
  let power = divisor;
  for (let n = 0; n < count; n++) {
    const high = tables.high.subarray(256 * n, 256 * (n + 1));
    const low = tables.low.subarray(256 * n, 256 * (n + 1));
    for (let exponent = 0; exponent < 8; exponent++) {
      const bit = refin ? 0x80 >> exponent : 1 << exponent;
      const framed = halvesOf(refin ? power : power << BigInt(64 - width));
      high[bit] = framed.high;
      low[bit] = framed.low;
      const shifted = refin ? power >> 1n : BigInt.asUintN(width, power << 1n);
      power = (power & top) === 0n ? shifted : shifted ^ divisor;
    }
    for (const part of [high, low]) {
      for (let byte = 1; byte < 256; byte++) part[byte] = at(part, byte & (byte - 1)) ^ at(part, byte & -byte);
    }
  }
  return tables;
}

/**
 * An entry that is known to be there. Tables and runs are read by functions of their own: one for both would meet two
 * kinds of arrays, and engines would tell them apart at each look.
 */
function at(table: Int32Array, index: number): number {
  return table[index] as number;
}

function byteOf(run: Uint8Array, index: number): number {
  return run[index] as number;
}

/** Of a run that is too short for one step none are looked at, and to make them takes longer than to go through it. */
function wordsOf(run: Uint8Array): DataView {
  return run.length < COUNT ? NO_WORDS : new DataView(run.buffer, run.byteOffset, run.length);
}
