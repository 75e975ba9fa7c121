import { isHexDigit } from '../base/hex.js';
import { phrase } from '../base/phrase.js';
import { readHexGroups } from './hexGroups.js';
import { readOtherLine, strayRow } from './imageText.js';
import type { ByteStore, WrittenForm } from './notation.js';
import { contentOf, NO_PROBLEMS, type Row } from './row.js';

/**
 * A row of bytes of two digits each, parted by blanks, that stand behind the first `start` characters. Where digits are
 * wrong it is still known how many bytes there should be. Undefined for other text.
 */
export function readPairs(text: string, start: number, type: number, label: number, store: ByteStore): Row | undefined {
  const end = start + contentOf(text.slice(start)).length;
  const groups = text
    .slice(start, end)
    .replace('\ufeff', ' ')
    .trim()
    .split(/[ \t]+/);
  if (groups.some((group) => group.length !== 2)) return undefined;
  const isSound = groups.every((group) => isHexDigit(group.charCodeAt(0)) && isHexDigit(group.charCodeAt(1)));
  if (!isSound && !mostlyHex(groups.join(''))) return undefined;
  const from = store.used;
  const problems = readHexGroups(text, start, end, store);
  const count = store.used - from;
  if (problems.length === 0 && count === groups.length)
    return { kind: 'record', text, label, type, store: store.bytes, from, count, problems: NO_PROBLEMS };
  return { kind: 'broken', text, label, head: { type, data: groups.length }, problems };
}

function mostlyHex(digits: string): boolean {
  return 2 * Array.from(digits).filter((digit) => isHexDigit(digit.charCodeAt(0))).length >= digits.length;
}

/** A line that is no row of a form: blank, a comment or a header behind the sign of one, or in doubt. */
export function readRest(text: string, { title, commentSign }: Pick<WrittenForm, 'title' | 'commentSign'>): Row {
  const row = readOtherLine(text);
  const isComment = commentSign === '//' ? /^[\s\ufeff]*\/\// : /^[\s\ufeff]*(?:[;#]|\/\/)/;
  if (row.kind === 'blank' || isComment.test(text)) return row;
  return strayRow(
    text,
    phrase(
      'This line cannot be read as {0}. Correct it, or put "{1}" before it if it is a comment.',
      title,
      commentSign,
    ),
  );
}

/** Lines that say how a text is written, but no blank ones and no comments: all, or of a long text its first ones and its last ones. */
export function tellingLines(text: string): { readonly head: readonly string[]; readonly tail: readonly string[] } {
  if (text.length <= HEAD + TAIL) return { head: tellingIn(text.split(LINE_END)), tail: [] };
  // A line that is cut in two says nothing.
  return {
    head: tellingIn(text.slice(0, HEAD).split(LINE_END).slice(0, -1)),
    tail: tellingIn(text.slice(-TAIL).split(LINE_END).slice(1)),
  };
}

function tellingIn(lines: readonly string[]): readonly string[] {
  return lines.map((line) => line.replace('\ufeff', '')).filter((line) => !/^\s*(?:$|[;#]|\/\/)/.test(line));
}

const LINE_END = /\r\n|\n|\r/;
const HEAD = 1 << 14;
const TAIL = 1 << 10;
