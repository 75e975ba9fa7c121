import type { Checksum, RunChange } from './checksum.js';

/** A cyclic redundancy check in the parameters of the Rocksoft model (R. Williams, "A Painless Guide to CRC Error Detection Algorithms", 1993). */
export interface CrcParameters {
  /** 3 to 64. */
  readonly width: number;
  /** Without the highest term. */
  readonly poly: bigint;
  readonly init: bigint;
  readonly refin: boolean;
  readonly refout: boolean;
  readonly xorout: bigint;
}

/**
 * CRC of any width. The register is kept in the bit order of the input (reflected where `refin` is), so that one loop
 * serves both; it is the state.
 */
export function crc(parameters: CrcParameters): Checksum {
  const { width, poly, init, refin, refout, xorout } = parameters;
  const register = width <= 32 ? smallRegister(parameters) : wideRegister(parameters);
  const begin = refin ? reflect(init, width) : init;
  const turn = refin !== refout;
  const outOf = (state: bigint) => (turn ? reflect(state, width) : state) ^ xorout;
  const multiply = (a: bigint, b: bigint) => multiplyModulo(a, b, poly, width);
  const straight = (state: bigint) => (refin ? reflect(state, width) : state);
  /** The register after `count` zero bytes, when nothing but the difference of two registers is kept. */
  const advance = (difference: bigint, count: number): bigint => {
    if (difference === 0n || count === 0) return difference;
    return straight(multiply(straight(difference), powerOfX(8 * count, poly, width)));
  };
  const differenceOf = (xored: Uint8Array) => register(0n, xored);
  return {
    bits: width,
    stateOf: (run) => register(begin, run),
    moved: (state, { at, length, before, after }: RunChange) =>
      state ^ advance(differenceOf(before.map((byte, i) => byte ^ (after[i] as number))), length - at - after.length),
    valueOf: outOf,
    law: {
      kind: 'binary',
      effect: (at, length, mask) => {
        const state = advance(differenceOf(Uint8Array.of(mask)), length - at - 1);
        return turn ? reflect(state, width) : state;
      },
    },
  };
}

type Register = (state: bigint, run: Uint8Array) => bigint;

/** Registers of up to 32 bits: four tables, four bytes a step. Straight ones are kept at the top of 32 bits. */
function smallRegister({ width, poly, refin }: CrcParameters): Register {
  const shift = BigInt(32 - width);
  const top = refin ? Number(reflect(poly, width)) : Number(BigInt.asUintN(32, poly << shift));
  const tables = refin ? reflectedTables(top) : straightTables(top);
  const [t0, t1, t2, t3] = tables as [Uint32Array, Uint32Array, Uint32Array, Uint32Array];
  if (refin) {
    return (state, run) => {
      let r = Number(state);
      let i = 0;
      for (; i + 4 <= run.length; i += 4) {
        r ^=
          (run[i] as number) |
          ((run[i + 1] as number) << 8) |
          ((run[i + 2] as number) << 16) |
          ((run[i + 3] as number) << 24);
        r =
          (t3[r & 0xff] as number) ^
          (t2[(r >>> 8) & 0xff] as number) ^
          (t1[(r >>> 16) & 0xff] as number) ^
          (t0[r >>> 24] as number);
      }
      for (; i < run.length; i++) r = (t0[(r ^ (run[i] as number)) & 0xff] as number) ^ (r >>> 8);
      return BigInt(r >>> 0);
    };
  }
  return (state, run) => {
    let r = Number(BigInt.asUintN(32, state << shift));
    let i = 0;
    for (; i + 4 <= run.length; i += 4) {
      r ^=
        ((run[i] as number) << 24) |
        ((run[i + 1] as number) << 16) |
        ((run[i + 2] as number) << 8) |
        (run[i + 3] as number);
      r =
        (t3[r >>> 24] as number) ^
        (t2[(r >>> 16) & 0xff] as number) ^
        (t1[(r >>> 8) & 0xff] as number) ^
        (t0[r & 0xff] as number);
    }
    for (; i < run.length; i++) r = (t0[(r >>> 24) ^ (run[i] as number)] as number) ^ (r << 8);
    return BigInt(r >>> 0) >> shift;
  };
}

function reflectedTables(poly: number): Uint32Array[] {
  const step = (value: number) => {
    let r = value;
    for (let bit = 0; bit < 8; bit++) r = r & 1 ? (r >>> 1) ^ poly : r >>> 1;
    return r;
  };
  return fourTables(step, (r, t0) => (r >>> 8) ^ (t0[r & 0xff] as number));
}

function straightTables(poly: number): Uint32Array[] {
  const step = (value: number) => {
    let r = value << 24;
    for (let bit = 0; bit < 8; bit++) r = r & 0x80000000 ? (r << 1) ^ poly : r << 1;
    return r;
  };
  return fourTables(step, (r, t0) => (r << 8) ^ (t0[r >>> 24] as number));
}

/** Table n holds the effect of a byte that n more zero bytes follow. */
function fourTables(step: (value: number) => number, next: (r: number, t0: Uint32Array) => number): Uint32Array[] {
  const first = Uint32Array.from({ length: 256 }, (_, value) => step(value));
  const tables = [first];
  while (tables.length < 4) tables.push(Uint32Array.from(tables.at(-1) as Uint32Array, (r) => next(r, first)));
  return tables;
}

/** Registers of more than 32 bits: one table, a byte a step over bigints. */
function wideRegister({ width, poly, refin }: CrcParameters): Register {
  const w = BigInt(width);
  const mask = (1n << w) - 1n;
  if (refin) {
    const reflected = reflect(poly, width);
    const table = Array.from({ length: 256 }, (_, value) => {
      let r = BigInt(value);
      for (let bit = 0; bit < 8; bit++) r = r & 1n ? (r >> 1n) ^ reflected : r >> 1n;
      return r;
    });
    return (state, run) => {
      let r = state;
      for (const byte of run) r = (table[Number((r ^ BigInt(byte)) & 0xffn)] as bigint) ^ (r >> 8n);
      return r;
    };
  }
  const step = (state: bigint, bit: bigint) => {
    const carry = ((state >> (w - 1n)) & 1n) ^ bit;
    return ((state << 1n) & mask) ^ (carry ? poly : 0n);
  };
  const table = Array.from({ length: 256 }, (_, value) => {
    let r = 0n;
    for (let bit = 7; bit >= 0; bit--) r = step(r, BigInt((value >> bit) & 1));
    return r;
  });
  return (state, run) => {
    let r = state;
    for (const byte of run) r = ((r << 8n) & mask) ^ (table[Number(r >> (w - 8n)) ^ byte] as bigint);
    return r;
  };
}

/** The lowest `width` bits in opposite order. */
export function reflect(value: bigint, width: number): bigint {
  let rest = value;
  let turned = 0n;
  for (let bit = 0; bit < width; bit++) {
    turned = (turned << 1n) | (rest & 1n);
    rest >>= 1n;
  }
  return turned;
}

/** Product of two polynomials over GF(2), modulo x^width + poly. */
export function multiplyModulo(a: bigint, b: bigint, poly: bigint, width: number): bigint {
  const top = 1n << BigInt(width - 1);
  const mask = (1n << BigInt(width)) - 1n;
  let product = 0n;
  for (let bit = BigInt(width - 1); bit >= 0n; bit--) {
    product = product & top ? ((product << 1n) & mask) ^ poly : product << 1n;
    if ((b >> bit) & 1n) product ^= a;
  }
  return product;
}

/** x to the power `exponent`, modulo x^width + poly: what running a register over that many zero bits multiplies it by. */
export function powerOfX(exponent: number, poly: bigint, width: number): bigint {
  let power = 1n;
  let square = 2n;
  for (let rest = exponent; rest > 0; rest = Math.floor(rest / 2)) {
    if (rest % 2 === 1) power = multiplyModulo(power, square, poly, width);
    square = multiplyModulo(square, square, poly, width);
  }
  return power;
}
