import { type Phrase, type PhrasePart, say as sayIn } from '../../../shared-core/src/base/index.js';
import { translationFor } from '../translation.js';

/** The variables in which a terminal names its language, each going before the next (POSIX.1-2017, chapter 8.2). */
const { LC_ALL, LC_MESSAGES, LANG } = process.env;
const translation = translationFor(LC_ALL || LC_MESSAGES || LANG);

/** A sentence in the language of the terminal, for JSON and for pages. */
export function say(said: Phrase): string {
  return sayIn(said, translation);
}

/** A sentence as one line on a terminal: whatever a name or value in it contains, it moves no cursor and hides no text. */
export function sayOnTerminal(said: Phrase): string {
  return say(escapedIn(said));
}

function escapedIn({ pattern, parts }: Phrase): Phrase {
  return { pattern, parts: parts.map(escapedPart) };
}

function escapedPart(part: PhrasePart): PhrasePart {
  if (typeof part === 'string') return escaped(part, CONTROLS);
  return typeof part === 'number' ? part : escapedIn(part);
}

/** A text of many lines on a terminal: its line ends and tabs remain. */
export function escapedText(text: string): string {
  return escaped(text, CONTROLS_IN_LINES);
}

/** C0, DEL, C1, line separators, and what changes the direction of writing (Unicode 15, Bidi_Control). */
const CONTROLS = /[\p{Cc}\p{Bidi_Control}\u2028\u2029]/gu;
const CONTROLS_IN_LINES = /(?!\r?\n|\t)[\p{Cc}\p{Bidi_Control}\u2028\u2029]/gu;

const NAMED: Readonly<Record<string, string>> = { '\n': '\\n', '\r': '\\r', '\t': '\\t' };

function escaped(text: string, controls: RegExp): string {
  return text.replace(controls, (character) => {
    const code = character.charCodeAt(0);
    const hex = (digits: number) => code.toString(16).padStart(digits, '0');
    return NAMED[character] ?? (code < 0x100 ? `\\x${hex(2)}` : `\\u${hex(4)}`);
  });
}
