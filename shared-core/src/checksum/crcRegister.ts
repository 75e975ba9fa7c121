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
  const [t0, t1, t2, t3, t4, t5, t6, t7, t8, t9, ta, tb, tc, td, te, tf] = tablesOf(division, 16).low as Sixteen;
  return (state, run) => {
    let r = Number(state) | 0;
    let i = 0;
    for (; i + 16 <= run.length; i += 16) {
      r ^= littleWord(run, i);
      r =
        at(tf, r & 0xff) ^
        at(te, (r >>> 8) & 0xff) ^
        at(td, (r >>> 16) & 0xff) ^
        at(tc, r >>> 24) ^
        at(tb, byteOf(run, i + 4)) ^
        at(ta, byteOf(run, i + 5)) ^
        at(t9, byteOf(run, i + 6)) ^
        at(t8, byteOf(run, i + 7)) ^
        at(t7, byteOf(run, i + 8)) ^
        at(t6, byteOf(run, i + 9)) ^
        at(t5, byteOf(run, i + 10)) ^
        at(t4, byteOf(run, i + 11)) ^
        at(t3, byteOf(run, i + 12)) ^
        at(t2, byteOf(run, i + 13)) ^
        at(t1, byteOf(run, i + 14)) ^
        at(t0, byteOf(run, i + 15));
    }
    for (; i + 4 <= run.length; i += 4) {
      r ^= littleWord(run, i);
      r = at(t3, r & 0xff) ^ at(t2, (r >>> 8) & 0xff) ^ at(t1, (r >>> 16) & 0xff) ^ at(t0, r >>> 24);
    }
    for (; i < run.length; i++) r = at(t0, (r ^ byteOf(run, i)) & 0xff) ^ (r >>> 8);
    return BigInt(r >>> 0);
  };
}

function straight32(division: CrcDivision): CrcRegister {
  const [t0, t1, t2, t3, t4, t5, t6, t7, t8, t9, ta, tb, tc, td, te, tf] = tablesOf(division, 16).high as Sixteen;
  const shift = BigInt(32 - division.width);
  return (state, run) => {
    let r = Number(state << shift) | 0;
    let i = 0;
    for (; i + 16 <= run.length; i += 16) {
      r ^= bigWord(run, i);
      r =
        at(tf, r >>> 24) ^
        at(te, (r >>> 16) & 0xff) ^
        at(td, (r >>> 8) & 0xff) ^
        at(tc, r & 0xff) ^
        at(tb, byteOf(run, i + 4)) ^
        at(ta, byteOf(run, i + 5)) ^
        at(t9, byteOf(run, i + 6)) ^
        at(t8, byteOf(run, i + 7)) ^
        at(t7, byteOf(run, i + 8)) ^
        at(t6, byteOf(run, i + 9)) ^
        at(t5, byteOf(run, i + 10)) ^
        at(t4, byteOf(run, i + 11)) ^
        at(t3, byteOf(run, i + 12)) ^
        at(t2, byteOf(run, i + 13)) ^
        at(t1, byteOf(run, i + 14)) ^
        at(t0, byteOf(run, i + 15));
    }
    for (; i + 4 <= run.length; i += 4) {
      r ^= bigWord(run, i);
      r = at(t3, r >>> 24) ^ at(t2, (r >>> 16) & 0xff) ^ at(t1, (r >>> 8) & 0xff) ^ at(t0, r & 0xff);
    }
    for (; i < run.length; i++) r = at(t0, (r >>> 24) ^ byteOf(run, i)) ^ (r << 8);
    return BigInt(r >>> 0) >> shift;
  };
}

function reflected64(division: CrcDivision): CrcRegister {
  const { low, high } = tablesOf(division, 8);
  const [l0, l1, l2, l3, l4, l5, l6, l7] = low as Eight;
  const [h0, h1, h2, h3, h4, h5, h6, h7] = high as Eight;
  return (state, run) => {
    const begin = halvesOf(state);
    let [l, h] = [begin.low | 0, begin.high | 0];
    let i = 0;
    for (; i + 8 <= run.length; i += 8) {
      const [first, second] = [l ^ littleWord(run, i), h ^ littleWord(run, i + 4)];
      const [a, b, c, d] = [first & 0xff, (first >>> 8) & 0xff, (first >>> 16) & 0xff, first >>> 24];
      const [e, f, g, k] = [second & 0xff, (second >>> 8) & 0xff, (second >>> 16) & 0xff, second >>> 24];
      l = at(l7, a) ^ at(l6, b) ^ at(l5, c) ^ at(l4, d) ^ at(l3, e) ^ at(l2, f) ^ at(l1, g) ^ at(l0, k);
      h = at(h7, a) ^ at(h6, b) ^ at(h5, c) ^ at(h4, d) ^ at(h3, e) ^ at(h2, f) ^ at(h1, g) ^ at(h0, k);
    }
    for (; i < run.length; i++) {
      const byte = (l ^ byteOf(run, i)) & 0xff;
      l = ((l >>> 8) | (h << 24)) ^ at(l0, byte);
      h = (h >>> 8) ^ at(h0, byte);
    }
    return fromHalves({ high: h, low: l });
  };
}

function straight64(division: CrcDivision): CrcRegister {
  const { low, high } = tablesOf(division, 8);
  const [l0, l1, l2, l3, l4, l5, l6, l7] = low as Eight;
  const [h0, h1, h2, h3, h4, h5, h6, h7] = high as Eight;
  const shift = BigInt(64 - division.width);
  return (state, run) => {
    const begin = halvesOf(state << shift);
    let [l, h] = [begin.low | 0, begin.high | 0];
    let i = 0;
    for (; i + 8 <= run.length; i += 8) {
      const [first, second] = [h ^ bigWord(run, i), l ^ bigWord(run, i + 4)];
      const [a, b, c, d] = [first >>> 24, (first >>> 16) & 0xff, (first >>> 8) & 0xff, first & 0xff];
      const [e, f, g, k] = [second >>> 24, (second >>> 16) & 0xff, (second >>> 8) & 0xff, second & 0xff];
      l = at(l7, a) ^ at(l6, b) ^ at(l5, c) ^ at(l4, d) ^ at(l3, e) ^ at(l2, f) ^ at(l1, g) ^ at(l0, k);
      h = at(h7, a) ^ at(h6, b) ^ at(h5, c) ^ at(h4, d) ^ at(h3, e) ^ at(h2, f) ^ at(h1, g) ^ at(h0, k);
    }
    for (; i < run.length; i++) {
      const byte = (h >>> 24) ^ byteOf(run, i);
      h = ((h << 8) | (l >>> 24)) ^ at(h0, byte);
      l = (l << 8) ^ at(l0, byte);
    }
    return fromHalves({ high: h, low: l }) >> shift;
  };
}

type T = Int32Array;
type Eight = readonly [T, T, T, T, T, T, T, T];
type Sixteen = readonly [...Eight, ...Eight];

/** Table n holds, in two halves of the frame, what a byte that n more bytes follow leaves in the register. */
interface Tables {
  readonly high: readonly Int32Array[];
  readonly low: readonly Int32Array[];
}

/** The entry of a byte is the sum of those of its bits, and that of a bit is a power of x from x^width on. */
function tablesOf({ width, poly, refin }: CrcDivision, count: number): Tables {
  const empty = () => Array.from({ length: count }, () => new Int32Array(256));
  const tables = { high: empty(), low: empty() };
  let power = poly;
  for (let n = 0; n < count; n++) {
    const [high, low] = [tables.high[n] as Int32Array, tables.low[n] as Int32Array];
    for (let exponent = 0; exponent < 8; exponent++) {
      const bit = refin ? 0x80 >> exponent : 1 << exponent;
      const framed = halvesOf(refin ? reflect(power, width) : power << BigInt(64 - width));
      high[bit] = framed.high;
      low[bit] = framed.low;
      const overflows = power >> BigInt(width - 1) !== 0n;
      power = BigInt.asUintN(width, power << 1n) ^ (overflows ? poly : 0n);
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

function littleWord(run: Uint8Array, i: number): number {
  return byteOf(run, i) | (byteOf(run, i + 1) << 8) | (byteOf(run, i + 2) << 16) | (byteOf(run, i + 3) << 24);
}

function bigWord(run: Uint8Array, i: number): number {
  return (byteOf(run, i) << 24) | (byteOf(run, i + 1) << 16) | (byteOf(run, i + 2) << 8) | byteOf(run, i + 3);
}
