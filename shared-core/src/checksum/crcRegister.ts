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

/**
 * A CRC register over tables, four bytes a step. It stands in a frame of 64 bits, at the low end and shifted down where
 * reflected, at the high end and shifted up where straight, so that the width matters to no loop; a register of up to
 * 32 bits never leaves its half of the frame.
 */
export function crcRegister(division: CrcDivision): CrcRegister {
  if (division.width <= 32) return division.refin ? reflected32(division) : straight32(division);
  return division.refin ? reflected64(division) : straight64(division);
}

function reflected32(division: CrcDivision): CrcRegister {
  const [t0, t1, t2, t3] = tablesOf(division).low;
  return (state, run) => {
    let r = Number(state);
    let i = 0;
    for (; i + 4 <= run.length; i += 4) {
      r ^= littleWord(run, i);
      r = at(t3, r & 0xff) ^ at(t2, (r >>> 8) & 0xff) ^ at(t1, (r >>> 16) & 0xff) ^ at(t0, r >>> 24);
    }
    for (; i < run.length; i++) r = at(t0, (r ^ at(run, i)) & 0xff) ^ (r >>> 8);
    return BigInt(r >>> 0);
  };
}

function straight32(division: CrcDivision): CrcRegister {
  const [t0, t1, t2, t3] = tablesOf(division).high;
  const shift = BigInt(32 - division.width);
  return (state, run) => {
    let r = Number(state << shift);
    let i = 0;
    for (; i + 4 <= run.length; i += 4) {
      r ^= bigWord(run, i);
      r = at(t3, r >>> 24) ^ at(t2, (r >>> 16) & 0xff) ^ at(t1, (r >>> 8) & 0xff) ^ at(t0, r & 0xff);
    }
    for (; i < run.length; i++) r = at(t0, (r >>> 24) ^ at(run, i)) ^ (r << 8);
    return BigInt(r >>> 0) >> shift;
  };
}

function reflected64(division: CrcDivision): CrcRegister {
  const { low, high } = tablesOf(division);
  const [l0, l1, l2, l3] = low;
  const [h0, h1, h2, h3] = high;
  return (state, run) => {
    let { low: l, high: h } = halvesOf(state);
    let i = 0;
    for (; i + 4 <= run.length; i += 4) {
      const word = l ^ littleWord(run, i);
      const [a, b, c, d] = [word & 0xff, (word >>> 8) & 0xff, (word >>> 16) & 0xff, word >>> 24];
      l = h ^ at(l3, a) ^ at(l2, b) ^ at(l1, c) ^ at(l0, d);
      h = at(h3, a) ^ at(h2, b) ^ at(h1, c) ^ at(h0, d);
    }
    for (; i < run.length; i++) {
      const byte = (l ^ at(run, i)) & 0xff;
      l = ((l >>> 8) | (h << 24)) ^ at(l0, byte);
      h = (h >>> 8) ^ at(h0, byte);
    }
    return fromHalves({ high: h, low: l });
  };
}

function straight64(division: CrcDivision): CrcRegister {
  const { low, high } = tablesOf(division);
  const [l0, l1, l2, l3] = low;
  const [h0, h1, h2, h3] = high;
  const shift = BigInt(64 - division.width);
  return (state, run) => {
    let { low: l, high: h } = halvesOf(state << shift);
    let i = 0;
    for (; i + 4 <= run.length; i += 4) {
      const word = h ^ bigWord(run, i);
      const [a, b, c, d] = [word >>> 24, (word >>> 16) & 0xff, (word >>> 8) & 0xff, word & 0xff];
      h = l ^ at(h3, a) ^ at(h2, b) ^ at(h1, c) ^ at(h0, d);
      l = at(l3, a) ^ at(l2, b) ^ at(l1, c) ^ at(l0, d);
    }
    for (; i < run.length; i++) {
      const byte = (h >>> 24) ^ at(run, i);
      h = ((h << 8) | (l >>> 24)) ^ at(h0, byte);
      l = (l << 8) ^ at(l0, byte);
    }
    return fromHalves({ high: h, low: l }) >> shift;
  };
}

type FourTables = readonly [Uint32Array, Uint32Array, Uint32Array, Uint32Array];

/** Table n holds, in two halves of the frame, what a byte that n more bytes follow leaves in the register. */
interface Tables {
  readonly high: FourTables;
  readonly low: FourTables;
}

/** The entry of a byte is the sum of those of its bits, and that of a bit is a power of x from x^width on. */
function tablesOf({ width, poly, refin }: CrcDivision): Tables {
  const empty = (): FourTables => [table(), table(), table(), table()];
  const tables: Tables = { high: empty(), low: empty() };
  let power = poly;
  for (let n = 0; n < 4; n++) {
    const [high, low] = [tables.high[n] as Uint32Array, tables.low[n] as Uint32Array];
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

function table(): Uint32Array {
  return new Uint32Array(256);
}

/** An entry that is known to be there. */
function at(entries: Uint32Array | Uint8Array, index: number): number {
  return entries[index] as number;
}

function littleWord(run: Uint8Array, i: number): number {
  return at(run, i) | (at(run, i + 1) << 8) | (at(run, i + 2) << 16) | (at(run, i + 3) << 24);
}

function bigWord(run: Uint8Array, i: number): number {
  return (at(run, i) << 24) | (at(run, i + 1) << 16) | (at(run, i + 2) << 8) | at(run, i + 3);
}
