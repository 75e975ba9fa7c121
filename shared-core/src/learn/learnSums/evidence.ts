import { hexBytes } from '../../base/hex.js';
import { bytesOfNumber } from '../../base/number.js';
import type { Sample } from './line.js';

/** How much samples that a rule explains can say for it. */
export interface Evidence {
  /** Samples with different runs: a run that comes again says nothing new. */
  readonly distinct: number;
  /** Of these the ones that are no exclusive or of others; many rules that explain the others explain the rest as well. */
  readonly independent: number;
  /** Entropy of the stored sum from sample to sample. Bytes that stay the same or copy another byte have none. */
  readonly bits: number;
}

/** More independent samples than these say no more to anybody. */
const ENOUGH = 64;

export function evidenceOf(samples: readonly Sample[], width: number): Evidence {
  const different = distinctSamples(samples);
  return {
    distinct: different.length,
    independent: independentRuns(different.map(({ run }) => run)),
    bits: bitsOf(different, width),
  };
}

/**
 * Bits that the evidence is worth, by how the stored values are spread. A rule without a constant foretells the first
 * sample too. Each constant that was solved for was chosen among all that there are, and takes as many bits as it has,
 * however few the stored values differ in.
 */
export function bitsFor({ bits, independent }: Evidence, solvedBits: number): number {
  return Math.max(0, bits * independent - solvedBits);
}

export function distinctRuns(samples: readonly Sample[]): number {
  return distinctSamples(samples).length;
}

function distinctSamples(samples: readonly Sample[]): readonly Sample[] {
  return [...new Map(samples.map((sample) => [hexBytes(sample.run), sample])).values()];
}

/** The number of runs that no exclusive or of an odd number of others gives, up to what is enough. */
export function independentRuns(runs: readonly Uint8Array[]): number {
  const [first, ...others] = runs.map(marked);
  if (first === undefined) return 0;
  const basis: bigint[] = [];
  for (const other of others) {
    if (basis.length + 1 === ENOUGH) break;
    let rest = first ^ other;
    for (const one of basis) if ((rest ^ one) < rest) rest ^= one;
    if (rest !== 0n) basis.push(rest);
  }
  return basis.length + 1;
}

/** A run as a number that tells its length as well. */
function marked(run: Uint8Array): bigint {
  return BigInt(`0x1${hexBytes(run)}`);
}

function bitsOf(samples: readonly Sample[], width: number): number {
  const stored = samples.map((sample) => bytesOfNumber(sample.stored, width, 'big'));
  const least = samples.reduce((length, { run }) => Math.min(length, run.length), Number.POSITIVE_INFINITY);
  const column = (byteOf: (sample: number) => number | undefined) =>
    Uint8Array.from(samples, (_, sample) => byteOf(sample) ?? 0);
  const known: Uint8Array[] = samples.length === 0 ? [] : columnsOf(samples, least);
  let bits = 0;
  for (let byte = 0; byte < width; byte++) {
    const one = column((sample) => stored[sample]?.[byte]);
    if (!known.some((other) => isCopy(one, other))) bits += entropyOf(one);
    known.push(one);
  }
  return bits;
}

/** The bytes of runs by their distance from the start, and where lengths differ from the end. */
function columnsOf(samples: readonly Sample[], least: number): Uint8Array[] {
  const from = (start: (run: Uint8Array) => number) =>
    Array.from({ length: least }, (_, i) => Uint8Array.from(samples, ({ run }) => run[start(run) + i] as number));
  const isOneLength = samples.every(({ run }) => run.length === least);
  return [...from(() => 0), ...(isOneLength ? [] : from((run) => run.length - least))];
}

/** Does one byte give another by itself, as its copy or its complement? */
export function isCopy(one: Uint8Array, other: Uint8Array): boolean {
  const gap = (one[0] ?? 0) ^ (other[0] ?? 0);
  return (gap === 0 || gap === 0xff) && one.every((byte, i) => (byte ^ (other[i] as number)) === gap);
}

/** Sum over the bits of a byte of how uncertain each is, from 0 (always the same) to 1 (as often set as not). */
function entropyOf(bytes: Uint8Array): number {
  if (bytes.length === 0) return 0;
  return [1, 2, 4, 8, 16, 32, 64, 128].reduce((sum, bit) => {
    const set = bytes.reduce((count, byte) => count + ((byte & bit) === 0 ? 0 : 1), 0) / bytes.length;
    return set === 0 || set === 1 ? sum : sum - set * Math.log2(set) - (1 - set) * Math.log2(1 - set);
  }, 0);
}

/**
 * Bits that a stored value is worth among the bytes of its dump: a value of bytes that are common there, or that repeats
 * one byte, comes about by accident.
 */
export function surprise(value: Uint8Array, among: Uint8Array): number {
  return [...new Set(value)].reduce((bits, byte) => {
    const often = among.reduce((count, other) => count + (other === byte ? 1 : 0), 0);
    return bits + Math.min(8, -Math.log2(often / (among.length + 1)));
  }, 0);
}
