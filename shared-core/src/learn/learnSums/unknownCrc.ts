import type { ByteOrder } from '../../bytes/number.js';
import { reflect } from '../../checksum/polynomial.js';
import { degree, divisorsOfDegree, greatestCommonDivisor } from './gf2.js';
import type { Sample } from './line.js';
import { crcTemplate, type Template } from './template.js';

/** Bits of a byte in opposite order. */
const reflectByte = (byte: number) => Number(reflect(BigInt(byte), 8));

/** Samples that are enough to dismiss a polynomial. */
const FIRST = 4;

/**
 * All CRCs of 8 bits that meet the samples so far that a closer look is worth while. Each polynomial but 0 is tried
 * in both directions; the constant is what the samples agree on.
 */
export function shortCrcs(samples: readonly Sample[], order: ByteOrder): Template[] {
  const first = samples.slice(0, FIRST);
  const turned = first.map(({ run }) => run.map(reflectByte));
  const stored = first.map(({ stored: value }) => Number(value));
  const found: Template[] = [];
  for (let poly = 1; poly < 256; poly++) {
    for (const refin of [false, true]) {
      const straight = first.map(({ run }, i) => register8(poly, refin ? (turned[i] as Uint8Array) : run));
      for (const refout of [false, true]) {
        const residuals = straight.map((value, i) => (refout ? reflectByte(value) : value) ^ (stored[i] as number));
        if (agree(residuals)) found.push(crcTemplate(8, { poly: BigInt(poly), refin, refout }, order, 8));
      }
    }
  }
  return found;
}

function register8(poly: number, run: Uint8Array): number {
  let register = 0;
  for (const byte of run) {
    register ^= byte;
    for (let bit = 0; bit < 8; bit++) register = register & 0x80 ? ((register << 1) ^ poly) & 0xff : register << 1;
  }
  return register;
}

/** Do all but at most one of the values agree? */
function agree(values: readonly number[]): boolean {
  const [a, b, c] = values;
  const common = a === b || a === c ? a : b;
  return values.filter((value) => value !== common).length <= (values.length > 2 ? 1 : 0);
}

/** Polynomials left with more than these extra factors need more lines. */
const MOST_SPARE = 8;

/**
 * CRCs of 16 bits and more with an unknown polynomial. The difference of two runs of one length, followed by the
 * difference of their sums, is a multiple of the polynomial whatever start and end value are: the greatest common
 * divisor of several such differences is the polynomial, or has it as a factor.
 */
export function longCrcs(samples: readonly Sample[], width: number, order: ByteOrder): Template[] {
  const group = largestGroup(samples);
  if (group.length < 4) return [];
  const found: Template[] = [];
  for (const refin of [false, true]) {
    const runs = group.map(({ run }) => polynomialOf(refin ? run.map(reflectByte) : run));
    for (const refout of [false, true]) {
      const words = group.map(
        ({ stored }, i) => ((runs[i] as bigint) << BigInt(width)) ^ (refout ? reflect(stored, width) : stored),
      );
      for (const divisor of divisors(words, width)) {
        const poly = divisor ^ (1n << BigInt(width));
        found.push(crcTemplate(width, { poly, refin, refout }, order, 8));
      }
    }
  }
  return found;
}

/**
 * The common divisors of this degree of the differences of nearly all words. One damaged word spoils only the
 * differences that it is part of, so several beginnings are tried, each with words of its own.
 */
function divisors(words: readonly bigint[], width: number): readonly bigint[] {
  const size = Math.min(5, Math.max(3, Math.floor(words.length / 2)));
  for (let from = 0; from + size <= words.length && from <= size; from += size) {
    const base = words[from] as bigint;
    let common = 0n;
    for (let i = from + 1; i < from + size && (common === 0n || degree(common) >= width); i++) {
      common = greatestCommonDivisor((words[i] as bigint) ^ base, common);
    }
    if (common === 0n || degree(common) < width) continue;
    for (const word of words) {
      const next = greatestCommonDivisor(word ^ base, common);
      if (degree(next) >= width) common = next;
    }
    const exact = divisorsOfDegree(common, width, MOST_SPARE);
    if (exact.length > 0) return exact;
  }
  return [];
}

function largestGroup(samples: readonly Sample[]): readonly Sample[] {
  const groups = new Map<number, Sample[]>();
  for (const sample of samples) {
    const group = groups.get(sample.run.length);
    if (group === undefined) groups.set(sample.run.length, [sample]);
    else group.push(sample);
  }
  return [...groups.values()].reduce((most, group) => (group.length > most.length ? group : most), []);
}

function polynomialOf(bytes: Uint8Array): bigint {
  let value = 0n;
  for (const byte of bytes) value = (value << 8n) | BigInt(byte);
  return value;
}
