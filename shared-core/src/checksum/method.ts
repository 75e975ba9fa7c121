import { hex } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import type { Checksum } from './checksum.js';
import type { Parameters, ValuesOf } from './parameters.js';

/** One way to make a sum, as data: all that the tool knows of it is made from this record. */
export interface SumMethod<P extends Parameters = Parameters> {
  /** What the method is, for whoever writes a profile. */
  readonly about: string;
  /** What a profile may say of it besides `method` and the `order` of the stored bytes, in the order in which drafts say it. */
  readonly parameters: P;
  readonly checksum: (values: ValuesOf<P>) => Checksum;
  /** The sum in words: what it is, then what is unusual about it. */
  readonly words: (values: ValuesOf<P>) => readonly [Phrase, ...Phrase[]];
  /** The sum of a run as a person works it out, in hex: each step an equation or what is kept of it. Left out where nobody could. */
  readonly onPaper?: (values: ValuesOf<P>, run: Uint8Array) => readonly string[];
}

/** The record as it is, checked against its own parameters. */
export function sumMethod<P extends Parameters>(method: SumMethod<P>): SumMethod<P> {
  return method;
}

/** The words for what a sum starts from; none for zero. */
export function startInWords(start: bigint, bits: number): readonly Phrase[] {
  return start === 0n ? [] : [phrase('start value {0}', `0x${hex(start, Math.ceil(bits / 4))}`)];
}
