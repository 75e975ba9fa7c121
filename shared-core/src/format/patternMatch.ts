import { isHexDigit } from '../base/hex.js';
import type { Span } from '../base/span.js';
import { isBlank } from './hexGroups.js';
import { MOST_IN_LABEL } from './label.js';
import { meantDigit } from './lookAlike.js';
import { type Between, withoutMarks } from './patternBytes.js';
import { cutAtCharacters } from './patternCharacters.js';
import { contentOf } from './row.js';
import type { Word } from './word.js';

/** What stands at a place of a pattern that differs from line to line; `number` is one of the numbers of a label. */
export type PatternField = 'label' | 'label:hex' | 'number' | 'number:hex' | 'data' | 'sum' | 'skip' | 'characters';

/** A pattern, taken apart: literal text before the first field, then fields with the literal text after each. */
export interface PatternParts {
  readonly lead: string;
  /** Text after the last field may be empty: that field then runs to the end of the line. */
  readonly fields: readonly {
    readonly field: PatternField;
    readonly after: string;
    /** What is between the bytes of the field, where that is more than blanks. */
    readonly between: Between | undefined;
  }[];
  /** The words that bytes are in; each is a group of digits, or its bytes are stored turned. */
  readonly word?: Word;
}

interface NumberSpan extends Span {
  readonly radix: 10 | 16;
}

/** Where the fields of a line stand. */
export interface PatternMatch extends FieldMatch {
  readonly label: Span;
  readonly data: Span;
}

export interface FieldMatch {
  /** The label, from its first number to its last one. */
  readonly label: Span | undefined;
  readonly isHex: boolean;
  /** Each number of the label; undefined where it is not of several. */
  readonly numbers: readonly NumberSpan[] | undefined;
  readonly data: Span | undefined;
  readonly sum: Span | undefined;
  readonly characters: Span | undefined;
}

/**
 * Finds the fields of a line, or undefined where the line does not fit. Each field ends where the literal text after it
 * stands for the first time, and nothing is ever tried a second way: the time grows with the length of the line alone.
 * A blank in literal text stands for one or more blanks.
 */
export function matchPattern(line: string, parts: PatternParts, fits: FieldTest = FITS): PatternMatch | undefined {
  const match = matchFields(line, parts, fits);
  return match !== undefined && isWhole(match) ? match : undefined;
}

function isWhole(match: FieldMatch): match is PatternMatch {
  return match.label !== undefined && match.data !== undefined;
}

/** The same of a pattern that need not have a label. */
export function matchFields(
  line: string,
  { lead, fields, word }: PatternParts,
  fits: FieldTest = FITS,
): FieldMatch | undefined {
  const end = trimmedEnd(line, 0, contentOf(line).length);
  let at = literalEnd(line, skipBlanks(line, 0, end), end, lead);
  let label: Span | undefined;
  let data: Span | undefined;
  let sum: Span | undefined;
  let numbers: NumberSpan[] | undefined;
  let isHex = false;
  for (const [i, { field, after, between }] of fields.entries()) {
    if (at === undefined) return undefined;
    if (field === 'characters') {
      const characters = charactersUpTo(line, at, end, after);
      return characters && { label, isHex, numbers, data, sum, characters };
    }
    const start = skipBlanks(line, at, end);
    if (field === 'data' && after === '' && fields[i + 1]?.field === 'characters') {
      const plain = withoutMarks(line, { start, end }, between);
      const cut = cutAtCharacters(plain, start, end, word) ?? (fits === FITS ? undefined : cutAtGap(line, start, end));
      return cut && { label, isHex, numbers, sum, ...cut };
    }
    const next =
      after === ''
        ? { start: end, end }
        : (nothingThere(line, start, end, field, after) ?? findLiteral(line, start, end, after));
    if (next === undefined) return undefined;
    const span = { start, end: trimmedEnd(line, start, next.start) };
    const text = withoutMarks(line, span, between).slice(span.start, span.end);
    // A separator beside which a byte is missing is wrong where it is.
    if (!fits[field](between === undefined ? text : text.replaceAll(between.mark, ' '))) return undefined;
    if (field === 'data') data = span;
    else if (field === 'sum') sum = span;
    else if (field !== 'skip') {
      if (isNumber(field)) {
        numbers ??= [];
        numbers.push({ ...span, radix: field === 'number' ? 10 : 16 });
      }
      isHex = field === 'label:hex';
      label = label === undefined ? span : { start: label.start, end: span.end };
    }
    at = next.end;
  }
  return at === end ? { label, isHex, numbers, data, sum, characters: undefined } : undefined;
}

/** Whether a field is a label by itself. */
export function isLabel(field: PatternField): boolean {
  return field === 'label' || field === 'label:hex';
}

/** Whether a field is one of several numbers of a label. */
export function isNumber(field: PatternField): boolean {
  return field === 'number' || field === 'number:hex';
}

/** Whether the text at the place of a field can be one. */
export type FieldTest = Readonly<Record<PatternField, (text: string) => boolean>>;

const FITS: FieldTest = {
  label: (text) => /^[\w.-]+$/.test(text),
  'label:hex': isHexNumber,
  number: (text) => /^(?:\d{1,10}|0x[0-9a-f]{1,8})$/i.test(text) && Number(text) <= MOST_IN_LABEL,
  'number:hex': isHexNumber,
  data: isMeantAsBytes,
  sum: isMeantAsBytes,
  skip: () => true,
  characters: () => true,
};

/** Where bytes end and characters begin, if these need not be those of the bytes. */
function cutAtGap(line: string, start: number, end: number): { readonly data: Span; readonly characters: Span } {
  const gap = line.indexOf('  ', start);
  const at = gap < 0 || gap > end ? end : gap;
  return { data: { start, end: at }, characters: { start: at, end } };
}

/** Characters go to the end of the line, or to the literal text at its end. */
function charactersUpTo(line: string, start: number, end: number, after: string): Span | undefined {
  const closing = after.trim();
  if (!line.slice(start, end).endsWith(closing)) return undefined;
  return { start, end: end - closing.length };
}

function isHexNumber(text: string): boolean {
  return /^[0-9a-f]{1,8}$/i.test(text);
}

/**
 * Hex digits, blanks and a "|"; or a few characters among them that look like digits, so that a slip of copying is reported
 * where it is, and does not turn the line into one that is no record.
 */
function isMeantAsBytes(text: string): boolean {
  let digits = 0;
  let alike = 0;
  for (const character of text) {
    const code = character.charCodeAt(0);
    if (isHexDigit(code)) digits++;
    else if (meantDigit(character) !== undefined) alike++;
    else if (!isBlank(code) && character !== '|') return false;
  }
  // Words such as "of file" are written in such letters too.
  const isWords = alike > 0 && !/\d/.test(text) && /\S{3}/.test(text);
  return digits > 0 && alike <= digits && !isWords;
}

/** Where nothing is to be skipped, the blanks before and after the field are the same ones. */
function nothingThere(line: string, at: number, end: number, field: PatternField, after: string): Span | undefined {
  if (field !== 'skip' || !/^ ./.test(after) || !isBlank(line.charCodeAt(at - 1))) return undefined;
  const next = literalEnd(line, at, end, after.slice(1));
  return next === undefined ? undefined : { start: at, end: next };
}

/**
 * Where literal text stands for the first time from `from` on. Text that begins with a blank is looked for only where
 * blanks begin: else each blank of a long run would be tried, and the rest of the run passed over each time.
 */
function findLiteral(line: string, from: number, end: number, literal: string): Span | undefined {
  const startsBlank = literal.startsWith(' ');
  for (let start = from; start < end; start++) {
    if (startsBlank && start > from && isBlank(line.charCodeAt(start - 1))) continue;
    const after = literalEnd(line, start, end, literal);
    if (after !== undefined) return { start, end: after };
  }
  return undefined;
}

/** Where literal text ends that begins at `at`, or undefined where other text stands there. */
function literalEnd(line: string, at: number, end: number, literal: string): number | undefined {
  let next = at;
  for (let i = 0; i < literal.length; i++) {
    if (next >= end) return undefined;
    if (literal[i] === ' ') {
      if (!isBlank(line.charCodeAt(next))) return undefined;
      next = skipBlanks(line, next, end);
    } else if (line[next++] !== literal[i]) return undefined;
  }
  return next;
}

function skipBlanks(line: string, start: number, end: number): number {
  let at = start;
  while (at < end && isBlank(line.charCodeAt(at))) at++;
  return at;
}

function trimmedEnd(line: string, start: number, end: number): number {
  let last = end;
  while (last > start && isBlank(line.charCodeAt(last - 1))) last--;
  return last;
}
