import type { LineToLearn } from './line.js';
import type { LineRule } from './lineRule.js';

/**
 * How much more the last byte of lines looks like a sum than the first one does, in bits: a sum is as often one value as
 * another, and data have values that come again, in their column or in all. Below 0 where the first does more.
 */
export function sumAtEndBits(lines: readonly LineToLearn[]): number {
  const middle = new Map<number, number>();
  let all = 0;
  for (const { bytes } of lines)
    for (const byte of bytes.subarray(1, bytes.length - 1)) {
      middle.set(byte, (middle.get(byte) ?? 0) + 1);
      all++;
    }
  const common = (byte: number) => ((middle.get(byte) ?? 0) + 0.5) / (all + 128);
  const first = lines.map(({ bytes }) => bytes[0] as number);
  const last = lines.map(({ bytes }) => bytes.at(-1) as number);
  return bitsAsData(first, common) - bitsAsData(last, common);
}

/** So much counts what is common in all columns before anything is known of one. */
const BEFORE = 4;

/**
 * How much better a column is foretold by what is common and by itself than by chance, in bits. Data may follow no pattern
 * either, one time in two: of two columns without any, a value more or less that comes again tells nothing.
 */
function bitsAsData(column: readonly number[], common: (byte: number) => number): number {
  const seen = new Map<number, number>();
  const bits = column.reduce((sum, byte, i) => {
    const count = seen.get(byte) ?? 0;
    seen.set(byte, count + 1);
    return sum + Math.log2((256 * (count + BEFORE * common(byte))) / (i + BEFORE));
  }, 0);
  return bits > MUCH ? bits - 1 : Math.log2((1 + 2 ** bits) / 2);
}

/** Beyond so many bits, what is added to their power of two is lost. */
const MUCH = 64;

/** Whether a rule of one byte would hold as well with the sum in another place of its line. */
export function isSymmetric({ width, spec, coverage: { spare, over } }: LineRule): boolean {
  if (width !== 1 || spare.first + spare.last > 0 || over.includes('length')) return false;
  if (spec.method === 'xor' || spec.method === 'add-end-around') return true;
  return spec.method === 'add' && spec.complement !== 'none';
}
