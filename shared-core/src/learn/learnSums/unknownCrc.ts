import { type ByteOrder, bytesOfNumber } from '../../base/number.js';
import type { Steps } from '../../base/steps.js';
import { type Checksum, valueOver } from '../../checksum/checksum.js';
import { fromHalves, reflect, zeroBytes } from '../../checksum/polynomial.js';
import { checksumOf } from '../../checksum/registry.js';
import { commonDivisors } from './commonDivisors.js';
import { degree, product, remainder, solveProduct } from './gf2.js';
import type { Sample } from './line.js';
import { polynomialOf } from './longPolynomial.js';
import { catalogueDivisions, crcTemplate, type Division, type Template } from './template.js';

/** Bits of a byte in opposite order: neighbours change places, then pairs, then halves. */
function reflectByte(byte: number): number {
  let bits = ((byte >>> 1) & 0x55) | ((byte & 0x55) << 1);
  bits = ((bits >>> 2) & 0x33) | ((bits & 0x33) << 2);
  return (bits >>> 4) | ((bits & 0x0f) << 4);
}

/** Samples that are enough to dismiss a polynomial. */
const FIRST = 4;

/** A division with its tables, which take longer to make than to use. */
export interface MadeDivision {
  readonly division: Division;
  /** With both constants zero. */
  readonly checksum: Checksum;
  /** The power of x that a start value is multiplied by on its way through so many bytes, modulo the polynomial. */
  readonly shiftOf: (bytes: number) => bigint;
}

/** The divisions of the catalogue, whose start values are to be solved for over lines of different lengths. */
export function madeDivisions(width: number): readonly MadeDivision[] {
  return catalogueDivisions(width).map((division) => made(width, division));
}

function made(width: number, division: Division): MadeDivision {
  const shifted = zeroBytes(division.poly, width);
  return {
    division,
    checksum: checksumOf({ method: 'crc', model: undefined, width, ...division, init: 0n, xorout: 0n }),
    shiftOf: (bytes) => fromHalves(shifted({ high: 0, low: 1 }, bytes)),
  };
}

/**
 * CRCs of this width that the samples may follow, with polynomials that no catalogue names. Where the covered runs are
 * of one length, start and end value are one constant, which the template leaves free; else the start value is solved
 * for as well, also with the polynomials of the catalogue.
 */
export function* crcSteps(
  samples: readonly Sample[],
  width: number,
  order: ByteOrder,
  catalogue: readonly MadeDivision[] = [],
): Steps<Template[]> {
  const alike = largestGroup(samples);
  // Few enough to try each, where two lines of one length can dismiss most of them at once.
  const isShort = width === 8 && alike.length > 1;
  const unknown = isShort ? yield* shortDivisions(alike.slice(0, FIRST)) : yield* longDivisions(samples, width);
  const pairs = pairsOfLengths(samples);
  if (pairs.length === 0) return unknown.map((division) => crcTemplate(width, division, order, 8));
  const found: Template[] = [];
  for (const one of [...catalogue, ...unknown.map((division) => made(width, division))]) {
    yield;
    for (const init of startsOf(pairs, width, one)) found.push(crcTemplate(width, one.division, order, 8, init));
  }
  return found;
}

/** Disjoint pairs of samples of different lengths: one damaged sample spoils only one of them. */
function pairsOfLengths(samples: readonly Sample[]): readonly (readonly [Sample, Sample])[] {
  const pairs: (readonly [Sample, Sample])[] = [];
  const left = [...samples];
  while (pairs.length < MOST_PAIRS) {
    const first = left.shift();
    const other = left.findIndex(({ run }) => run.length !== first?.run.length);
    if (first === undefined || other < 0) return pairs;
    pairs.push([first, ...(left.splice(other, 1) as [Sample])]);
  }
  return pairs;
}

const MOST_PAIRS = 3;

/** More start values than these that come to the same are not looked through for a plain one. */
const MOST_ALIKE = 256;

/**
 * The start values that pairs of runs of different lengths give. Each moves the difference of two sums by itself times
 * the difference of two powers of x. Where the polynomial has a factor in common with that, several start values come to
 * the same but for the end value; of these zeros or ones are what people take.
 */
function startsOf(
  pairs: readonly (readonly [Sample, Sample])[],
  width: number,
  { division: { poly, refout }, checksum, shiftOf }: MadeDivision,
): readonly bigint[] {
  const modulus = poly | (1n << BigInt(width));
  const left = ({ run, stored }: Sample) => {
    const residual = stored ^ valueOver(checksum, run);
    return refout ? reflect(residual, width) : residual;
  };
  const equations = pairs.map(([one, other]) => ({
    factor: shiftOf(one.run.length) ^ shiftOf(other.run.length),
    wanted: left(one) ^ left(other),
  }));
  const holds = (init: bigint) =>
    equations.filter(({ factor, wanted }) => remainder(product(factor, init) ^ wanted, modulus) === 0n).length;
  const starts = equations.flatMap(({ factor, wanted }) => {
    const solved = solveProduct(factor, wanted, modulus);
    // One pair can always be solved; a second one must agree, where there is one.
    if (solved === undefined || holds(solved.least) < Math.min(2, pairs.length)) return [];
    const free = Math.min(MOST_ALIKE, 2 ** (width - degree(solved.step)));
    const alike = Array.from({ length: free }, (_, i) => solved.least ^ product(BigInt(i), solved.step));
    return alike.find((init) => init === 0n || init === (1n << BigInt(width)) - 1n) ?? solved.least;
  });
  return [...new Set(starts)];
}

/**
 * All CRCs of 8 bits that meet a few samples of one length so far that a closer look is worth while. Each polynomial but 0
 * is tried in both directions; the constant is what the samples agree on.
 */
function* shortDivisions(first: readonly Sample[]): Steps<Division[]> {
  const turned = first.map(({ run }) => run.map(reflectByte));
  const stored = first.map(({ stored: value }) => Number(value));
  const found: Division[] = [];
  for (let poly = 1; poly < 256; poly++) {
    if (poly % 32 === 0) yield;
    const table = table8(poly);
    for (const refin of [false, true]) {
      const straight = first.map(({ run }, i) => register8(table, refin ? (turned[i] as Uint8Array) : run));
      for (const refout of [false, true]) {
        const residuals = straight.map((value, i) => (refout ? reflectByte(value) : value) ^ (stored[i] as number));
        if (agree(residuals)) found.push({ poly: BigInt(poly), refin, refout });
      }
    }
  }
  return found;
}

/** What each byte leaves of a register of 8 bits. */
function table8(poly: number): Uint8Array {
  const table = new Uint8Array(256);
  for (let bit = 1, power = poly; bit < 256; bit <<= 1) {
    for (let rest = 0; rest < bit; rest++) table[bit | rest] = (table[rest] as number) ^ power;
    power = power & 0x80 ? (power << 1) ^ poly : power << 1;
  }
  return table;
}

function register8(table: Uint8Array, run: Uint8Array): number {
  let register = 0;
  for (const byte of run) register = table[register ^ byte] as number;
  return register;
}

/** Do all but at most one of the values agree? */
function agree(values: readonly number[]): boolean {
  const [a, b, c] = values;
  const common = a === b || a === c ? a : b;
  return values.filter((value) => value !== common).length <= (values.length > 2 ? 1 : 0);
}

/** Over more bytes no polynomial is looked for: the work grows with the square of them, 0.3 s for each order and width here. */
const LONGEST = 4096;

/**
 * Divisions with an unknown polynomial. The difference of two runs of one length, followed by the
 * difference of their sums, is a multiple of the polynomial whatever start and end value are: the greatest common
 * divisor of several such differences is the polynomial, or has it as a factor.
 */
function* longDivisions(samples: readonly Sample[], width: number): Steps<Division[]> {
  if (samples.length < 4 || samples.some(({ run }) => run.length > LONGEST)) return [];
  const found: Division[] = [];
  for (const refin of [false, true]) {
    const runs = samples.map(({ run }) => (refin ? run.map(reflectByte) : run));
    for (const refout of [false, true]) {
      yield;
      const words = samples.map(({ stored }, i) => {
        const run = runs[i] as Uint8Array;
        const bytes = new Uint8Array(run.length + width / 8);
        bytes.set(run);
        bytes.set(bytesOfNumber(refout ? reflect(stored, width) : stored, width / 8, 'big'), run.length);
        return { word: polynomialOf(bytes), power: 8 * run.length };
      });
      for (const divisor of commonDivisors(words, width)) {
        found.push({ poly: divisor ^ (1n << BigInt(width)), refin, refout });
      }
    }
  }
  return found;
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
