import { done, type Phrase, phrase, type Result, refuse } from '../../../shared-core/src/base/index.js';
import { FORM_IDS, WORDS } from '../../../shared-core/src/format/index.js';
import { BINARY } from '../../../shared-core/src/workspace/index.js';

/** An option of a command, and what a person reads about it. */
export type OptionSpec = Flag | Value<unknown> | List | Group;

/** Given or not: `--write`. */
export interface Flag {
  readonly kind: 'flag';
  readonly does: Phrase;
}

/** Has one value, and is given once: `--out FILE`. */
export interface Value<T> {
  readonly kind: 'value';
  /** What the value is called in the usage: FILE, N. */
  readonly wants: string;
  readonly does: Phrase;
  readonly read: (text: string) => Result<T>;
}

/** Has one value each time it is given: `--despite OPTION`. */
export interface List {
  readonly kind: 'list';
  readonly wants: string;
  readonly does: Phrase;
}

/** Takes the files behind it, up to the next group: `--with FILE…`. */
export interface Group {
  readonly kind: 'group';
  readonly wants: string;
  readonly does: Phrase;
}

export type Options = Readonly<Record<string, OptionSpec>>;

type Given<S extends OptionSpec> = S extends Flag
  ? boolean
  : S extends Value<infer T>
    ? T | undefined
    : readonly string[];

/** What the options of a command were given as. */
export type ValuesOf<O extends Options> = { readonly [Name in keyof O]: Given<O[Name]> };

export function flag(does: Phrase): Flag {
  return { kind: 'flag', does };
}

export function text(wants: string, does: Phrase): Value<string> {
  return { kind: 'value', wants, does, read: done };
}

export function number(from: number, to: number, does: Phrase): Value<number> {
  const read = (written: string) => {
    const value = /^\d{1,9}$/.test(written) ? Number(written) : Number.NaN;
    return value >= from && value <= to ? done(value) : refuse(phrase('a number from {0} to {1} is wanted', from, to));
  };
  return { kind: 'value', wants: 'N', does, read };
}

export function choice<T extends string>(of: readonly T[], does: Phrase): Value<T> {
  const read = (written: string) => {
    const chosen = of.find((one) => one === written);
    return chosen === undefined ? refuse(phrase('one of these is wanted: {0}', of.join(', '))) : done(chosen);
  };
  return { kind: 'value', wants: of.join('|'), does, read };
}

/** One or more of some words, with commas between them. */
export function choices<T extends string>(of: readonly T[], does: Phrase): Value<readonly T[]> {
  const read = (written: string) => {
    const words = written.split(',').map((word) => word.trim());
    const chosen = of.filter((one) => words.includes(one));
    return chosen.length < words.length
      ? refuse(phrase('one or more of these are wanted, with commas between them: {0}', of.join(', ')))
      : done(chosen);
  };
  return { kind: 'value', wants: `${of.join('|')},…`, does, read };
}

/** An address, in decimal or as 0x1F0. */
export function address(does: Phrase): Value<number> {
  const read = (written: string) => {
    const value = /^(?:0x[0-9a-f]{1,8}|\d{1,10})$/i.test(written) ? Number(written) : Number.NaN;
    return value <= 0xffffffff ? done(value) : refuse(phrase('an address is wanted, such as 0x1F0'));
  };
  return { kind: 'value', wants: 'A', does, read };
}

export function list(wants: string, does: Phrase): List {
  return { kind: 'list', wants, does };
}

export function group(wants: string, does: Phrase): Group {
  return { kind: 'group', wants, does };
}

/** Options that several commands have. */
export const PROFILE = { profile: text('FILE', phrase('use this profile')) };
/** Where a profile is looked for where a dump names none. */
export const PROFILES = {
  profiles: list('DIR', phrase('take the one profile of this folder that fits a dump that names none')),
};
/** How the files are written, for commands that read dumps of any form. */
export const FROM = {
  from: choice([...FORM_IDS, BINARY], phrase('how FILE is written, whatever it looks like')),
  offset: address(phrase('of a binary: the address of its first byte')),
  word: choice(
    WORDS,
    phrase(
      'of raw bytes, hex views, lists of hex and Verilog memory: bytes are stored or printed as words of this size and order',
    ),
  ),
};
export const WRITE = { write: flag(phrase('write FILE itself')) };
export const OUT = {
  out: text('FILE', phrase('write this file')),
  force: flag(phrase('with --out: replace the file if it exists')),
};
export const UNCONFIRMED = {
  unconfirmed: flag(phrase('even if the dump does not say that the profile is for its module')),
};
export const DESPITE = {
  despite: list('OPTION', phrase('even if what this option needs is not met; repeat for each option')),
};
