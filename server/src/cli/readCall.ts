import { listed, nearestName, type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import { Failure } from '../files/failure.js';
import type { OptionSpec, Options } from './options.js';

/** The words behind the name of a command, taken apart. */
export interface ReadCall {
  readonly files: readonly string[];
  readonly json: boolean;
  readonly values: Readonly<Record<string, unknown>>;
}

/** The part of a command that says what it accepts. */
export interface Accepts {
  readonly name: string;
  /** As in the usage: `[…]` may be left out, and `…` may be repeated. */
  readonly arguments: string;
  readonly options: Options;
  /** Names of options of which only one can be given. */
  readonly exclusive?: readonly (readonly string[])[];
}

/** Reads what a command is called with; whatever it does not accept is refused. */
export function readCall(accepts: Accepts, words: readonly string[]): ReadCall {
  const { options } = accepts;
  const given = new Map<string, string[]>();
  const named = new Map<string, string[]>([['', []]]);
  let into = '';
  let ended = false;
  for (let at = 0; at < words.length; at++) {
    const word = words[at] as string;
    if (ended || word === '-' || !word.startsWith('-')) {
      if (word === '') throw new Failure(phrase('The name of a file is empty.'));
      named.get(into)?.push(word);
    } else if (word === '--') {
      ended = true;
    } else {
      const [, name = '', inline] = /^--([^=]*)(?:=(.*))?$/s.exec(word) ?? [];
      const spec = specOf(options, name);
      if (spec === undefined) throw new Failure(noSuchOption(accepts, inline === undefined ? word : `--${name}`));
      const takesValue = spec.kind === 'value' || spec.kind === 'list';
      if (!takesValue && inline !== undefined) throw new Failure(phrase('"--{0}" takes no value.', name));
      if (spec.kind === 'group') {
        into = name;
        named.set(name, named.get(name) ?? []);
      }
      if (spec.kind === 'value' && given.has(name))
        throw new Failure(phrase('"--{0}" is given twice. Give it once.', name));
      const before = given.get(name) ?? [];
      if (!takesValue) given.set(name, before);
      else if (inline !== undefined) given.set(name, [...before, mustBeGiven(name, spec, inline)]);
      else given.set(name, [...before, mustBeGiven(name, spec, following(words[++at]))]);
    }
  }
  refuseExclusive(accepts, given);
  const files = named.get('') ?? [];
  refuseCount(accepts, files.length);
  const values = Object.entries(options).map(([name, spec]) => [
    name,
    spec.kind === 'group' ? (named.get(name) ?? []) : readValue(name, spec, given.get(name)),
  ]);
  return { files, json: given.has('json'), values: Object.fromEntries(values) };
}

/** Every command has these. */
export const COMMON: Options = { json: { kind: 'flag', does: phrase('the answer as JSON, for scripts') } };

function specOf(options: Options, name: string): OptionSpec | undefined {
  for (const known of [COMMON, options]) if (Object.hasOwn(known, name)) return known[name];
  return undefined;
}

/** The word behind an option as its value; another option is none. */
function following(word: string | undefined): string {
  return word === undefined || (word.startsWith('-') && word !== '-') ? '' : word;
}

function mustBeGiven(name: string, { wants }: { readonly wants: string }, value: string): string {
  if (value === '') throw new Failure(phrase('"--{0}" needs a value: --{0} {1}', name, wants));
  return value;
}

function readValue(name: string, spec: OptionSpec, given: readonly string[] | undefined): unknown {
  if (spec.kind === 'flag') return given !== undefined;
  if (spec.kind !== 'value') return given ?? [];
  const [written] = given ?? [];
  if (written === undefined) return undefined;
  const read = spec.read(written);
  if (read.ok) return read.value;
  throw new Failure(phrase('"--{0}": "{1}" was given; {2}.', name, written, read.why));
}

function refuseExclusive({ exclusive = [] }: Accepts, given: ReadonlyMap<string, unknown>): void {
  for (const names of exclusive) {
    const [one, other] = names.filter((name) => given.has(name));
    if (one !== undefined && other !== undefined)
      throw new Failure(phrase('Give "--{0}" or "--{1}", not both.', one, other));
  }
}

function refuseCount(accepts: Accepts, count: number): void {
  const words = accepts.arguments.split(' ').filter(Boolean);
  const least = words.filter((word) => !word.startsWith('[')).length;
  const most = words.some((word) => word.includes('…')) ? Number.POSITIVE_INFINITY : words.length;
  if (count < least || count > most) throw new Failure(howToUse(accepts));
}

/** "Use: countersum compare BEFORE AFTER". */
export function howToUse({ name, arguments: wanted }: Pick<Accepts, 'name' | 'arguments'>): Phrase {
  return phrase('Use: countersum {0}', listed([name, wanted].filter(Boolean), ' '));
}

function noSuchOption({ name, options }: Accepts, written: string): Phrase {
  const known = Object.keys({ ...options, ...COMMON }).map((option) => `--${option}`);
  const near = nearestName(written, known) ?? known.find((option) => written.length > 3 && option.startsWith(written));
  return near === undefined
    ? phrase('"{0}" has no option "{1}". It has: {2}.', name, written, known.join(', '))
    : phrase('"{0}" has no option "{1}"; "{2}" is probably meant.', name, written, near);
}
