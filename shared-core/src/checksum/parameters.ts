import type { ByteOrder } from '../base/number.js';

/**
 * What a profile may say of a sum besides its method, each parameter as data. The reader of profiles, their schema, the
 * drafts of `learn` and the tests are all made from it.
 */
export type Parameter = Choice | WideNumber | WholeNumber | Flag | Preset;

interface Described {
  /** What the parameter is, for whoever writes a profile. */
  readonly about: string;
  /** Drafts leave the parameter out where it is as usual. */
  readonly seldom?: true;
}

/** One of a few numbers or words. */
export interface Choice<T extends string | number = string | number> extends Described {
  readonly kind: 'choice';
  readonly of: readonly T[];
  readonly usual: T;
}

/** A number of as many bits as another parameter says, which is named here; it must be given where nothing is usual. */
export interface WideNumber extends Described {
  readonly kind: 'wide';
  readonly bits: string;
  readonly usual?: bigint;
}

/** A whole number that must be given. */
export interface WholeNumber extends Described {
  readonly kind: 'whole';
  readonly from: number;
  readonly to: number;
}

/** True or false; as another flag is, which is named here, where nobody says. */
export interface Flag extends Described {
  readonly kind: 'flag';
  readonly usual: boolean | string;
}

/** A name from a catalogue in place of all other parameters. */
export interface Preset extends Described {
  readonly kind: 'preset';
  readonly names: readonly string[];
  /** The parameters that a name means, in any letter case; undefined where there is no such name. */
  readonly parametersOf: (name: string) => object | undefined;
}

export type Parameters = Readonly<Record<string, Parameter>>;

/** The parameters of a sum with their values. */
export type ValuesOf<P extends Parameters> = { readonly [Key in keyof P]: ValueOf<P[Key]> };

type ValueOf<P extends Parameter> =
  P extends Choice<infer T>
    ? T
    : P extends WideNumber
      ? bigint
      : P extends WholeNumber
        ? number
        : P extends Flag
          ? boolean
          : string | undefined;

/** How wide a sum is: one of these numbers of bits. */
export function bitsOf<const T extends number>(of: readonly T[], usual: T): Choice<T> {
  return { kind: 'choice', of, usual, about: 'Width of the sum in bits.' };
}

export const ORDER: Choice<ByteOrder> = {
  kind: 'choice',
  of: ['big', 'little'],
  usual: 'big',
  seldom: true,
  about: 'Order of the bytes of the stored value, and of numbers of several bytes that are summed.',
};

/** What a sum of `bits` bits starts from. */
export const START: WideNumber = {
  kind: 'wide',
  bits: 'bits',
  usual: 0n,
  seldom: true,
  about: 'What the sum starts from.',
};
