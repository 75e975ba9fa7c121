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

/** English pattern → pattern in another language. */
export type Translation = Readonly<Record<string, string>>;

/** Makes a phrase. The pattern must be written out at the call, so that the tests find every pattern in the sources. */
export function phrase(pattern: string, ...parts: readonly PhrasePart[]): Phrase {
  return { pattern, parts };
}

/** The phrase as text, in English where the translation lacks it. */
export function say(said: Phrase, translation: Translation = {}): string {
  const pattern = translation[said.pattern] ?? said.pattern;
  return pattern.replace(/\{(\d+)\}/g, (whole, index: string) => {
    const part = said.parts[Number(index)];
    if (part === undefined) return whole;
    if (typeof part === 'object') return say(part, translation);
    return typeof part === 'number' ? numberAs(part, translation[A_HALF.pattern]) : oneLine(part);
  });
}

/** By its own form of this number a translation says how it writes numbers that are not whole. */
const A_HALF = phrase('0.5');

function numberAs(number: number, half = A_HALF.pattern): string {
  return String(number).replace('.', half.slice(1, -1));
}

/** Several phrases as one, parted by `between`: "a, b, c". */
export function listed(parts: readonly PhrasePart[], between = ', '): Phrase {
  return { pattern: parts.map((_, index) => `{${index}}`).join(between), parts };
}
