import { listed, type Phrase } from '../base/phrase.js';
import { add } from './add.js';
import { addEndAround } from './addEndAround.js';
import { type Checksum, valueOver } from './checksum.js';
import { crc } from './crc.js';
import { adler, fletcher } from './fletcherAdler.js';
import type { SumMethod } from './method.js';
import type { ValuesOf } from './parameters.js';
import { xor } from './xor.js';

/** Every way to make a sum, by the name that profiles give to it. */
const METHODS = { add, 'add-end-around': addEndAround, xor, fletcher, adler, crc };

export type SumId = keyof typeof METHODS;
type ParametersOf<Id extends SumId> = (typeof METHODS)[Id]['parameters'];
type SpecById = { readonly [Id in SumId]: { readonly method: Id } & ValuesOf<ParametersOf<Id>> };

/** A sum as a profile describes it: the method and all its parameters. */
export type SumSpec = SpecById[SumId];

/** The same table, in a type by which a method takes the values of its own parameters only. */
const BY_ID: { readonly [Id in SumId]: SumMethod<ParametersOf<Id>> } = METHODS;

/** What each method is and what it takes, for whatever is made from all of them. */
export const SUM_METHODS: Readonly<Record<SumId, Pick<SumMethod, 'about' | 'parameters'>>> = METHODS;

export const SUM_IDS = Object.keys(METHODS) as readonly SumId[];

/** The checksum that a description means. */
export function checksumOf(spec: SumSpec): Checksum {
  return checksumBy(spec.method, spec);
}

function checksumBy<Id extends SumId>(id: Id, spec: SpecById[Id]): Checksum {
  return BY_ID[id].checksum(spec);
}

/** The method in words, for hovers and lists: "8-bit sum, two's complement". */
export function sumInWords(spec: SumSpec): Phrase {
  return wordsBy(spec.method, spec);
}

function wordsBy<Id extends SumId>(id: Id, spec: SpecById[Id]): Phrase {
  return listed(BY_ID[id].words(spec));
}

/**
 * The steps by which a person gets from a run to its sum, in hex; undefined for a sum that nobody works out by hand. What
 * does not come to the value of the checksum itself is not shown.
 */
export function sumOnPaper(spec: SumSpec, run: Uint8Array): readonly string[] | undefined {
  const steps = paperBy(spec.method, spec, run);
  const last = /[0-9A-F]+$/.exec(steps?.at(-1) ?? '')?.[0];
  return last !== undefined && BigInt(`0x${last}`) === valueOver(checksumOf(spec), run) ? steps : undefined;
}

function paperBy<Id extends SumId>(id: Id, spec: SpecById[Id], run: Uint8Array): readonly string[] | undefined {
  return BY_ID[id].onPaper?.(spec, run);
}

/** The sum that a method makes with values that were read as its parameters want them. */
export function specOf(method: SumId, values: object): SumSpec {
  return { ...values, method } as SumSpec;
}
