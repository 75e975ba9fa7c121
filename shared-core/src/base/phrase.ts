import { oneLine } from './readable.js';

/**
 * A sentence for the user that is not yet in a language: an English pattern with `{0}`, `{1}` … and what goes in.
 *
 * A text that goes in comes from a file of anyone: `say` shows it readable and on one line.
 *
 * The core says what is wrong in phrases; only the rim (server, command line, editor side) turns them into text, in
 * the user's language. The English pattern is the key of the translation (`l10n/bundle.l10n.*.json`).
 */
export interface Phrase {
  readonly pattern: string;
  readonly parts: readonly PhrasePart[];
}

export type PhrasePart = string | number | Phrase;

/** From English patterns, or what is short for them, to patterns in another language. */
export type Translation = Readonly<Record<string, string>>;

/** Makes a phrase. The pattern must be written out at the call, so that the tests find every pattern in the sources. */
export function phrase(pattern: string, ...parts: readonly PhrasePart[]): Phrase {
  return { pattern, parts };
}

/** The phrase as text, in English where no translation has it. */
export function say(said: Phrase, translation?: Translation): string {
  return translated(said.pattern, translation).replace(
    /\{(\d+)\}/g,
    (whole, index: string, at: number, all: string) => {
      const part = said.parts[Number(index)];
      if (part === undefined) return whole;
      // A sentence that goes in has a stop of its own.
      if (typeof part === 'object')
        return say(part, translation).replace(all[at + whole.length] === '.' ? /\.$/ : '', '');
      return typeof part === 'number' ? numberAs(part, translated(A_HALF.pattern, translation)) : oneLine(part);
    },
  );
}

/** By its own form of this number a translation says how it writes numbers that are not whole. */
const A_HALF = phrase('0.5');

function translated(pattern: string, translation: Translation | undefined): string {
  return translation?.[pattern] ?? translation?.[shortFor(pattern)] ?? pattern;
}

/** What is short for a pattern in translations that are given away: 26 bits of a hash of it (FNV-1a). The build sees to it that no two are the same. */
export function shortFor(pattern: string): string {
  let hash = 0x811c9dc5;
  for (let i = 0; i < pattern.length; i++) hash = Math.imul(hash ^ pattern.charCodeAt(i), 0x01000193);
  return (hash & 0x3ffffff).toString(36);
}

function numberAs(number: number, half: string): string {
  return String(number).replace('.', half.slice(1, -1));
}

/** Sentences one after the other; one without a stop at its end gets it. */
export function sentences(all: readonly Phrase[]): Phrase {
  return listed(
    all.map((one) => (endsWithStop(one) ? one : phrase('{0}.', one))),
    ' ',
  );
}

function endsWithStop({ pattern, parts }: Phrase): boolean {
  const last = parts[Number(/\{(\d+)\}$/.exec(pattern)?.[1])];
  return typeof last === 'object' ? endsWithStop(last) : /[.!?]$/.test(last === undefined ? pattern : String(last));
}

/** Several phrases as one, parted by `between`: "a, b, c". */
export function listed(parts: readonly PhrasePart[], between = ', '): Phrase {
  return { pattern: parts.map((_, index) => `{${index}}`).join(between), parts };
}
