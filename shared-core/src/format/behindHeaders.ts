import { dumpText } from './dumpText.js';
import type { Notation } from './notation.js';
import type { Row } from './row.js';
import { readRows } from './rows.js';
import type { Word } from './word.js';

/**
 * A form that has no place for headers as it is read with them: they are kept in a file beside it and stand behind its
 * text as in dump text, whose marks none of its lines begins with.
 */
export function behindHeaders<Form extends Notation>(form: Form): Form {
  const { inWords } = form;
  return {
    ...form,
    headers: 'own',
    ...(inWords && { inWords: (word: Word) => behindHeaders(inWords(word)) }),
    readRow: (text, store) => (BEGINS_HEADER.test(text) ? dumpText : form).readRow(text, store),
  };
}

/** A form as its headers are read, wherever they are kept. */
export function withItsHeaders<Form extends Notation>(form: Form): Form {
  return form.headers === 'none' ? behindHeaders(form) : form;
}

const BEGINS_HEADER = /^\s*[@#]/;

/** The first line of a text that would be taken for one of its headers; below 0 where there is none. */
export function lineLikeHeader(text: string): number {
  return text.split(/\r\n?|\n/).findIndex((line) => BEGINS_HEADER.test(line));
}

/** The rows of headers, to be put behind those of a text: the first one ends the last row of it. */
export function rowsBehind(headers: string): readonly Row[] {
  return headers === '' ? [] : readRows(`\n${headers.replace('\ufeff', '')}`, dumpText);
}

/** A text with its headers behind it, where its own rows keep their numbers, and what takes it apart again. */
export interface BehindHeaders {
  readonly whole: string;
  /** The part of it that is of the file with the headers. */
  readonly rest: string;
  /** What keeps the last row of the text and the first one of the headers apart. */
  readonly between: string;
  /** The mark that the file with the headers begins with. */
  readonly mark: string;
  /** Blank lines that the headers begin with, or all of them where there is no other line. */
  readonly blank: string;
}

export function withHeaders(headers: string, text: string): BehindHeaders {
  const mark = headers.startsWith('\ufeff') ? '\ufeff' : '';
  const rest = headers.slice(mark.length);
  // A line feed behind a carriage return would be one line end with it.
  const isOpen = text !== '' && (!/[\r\n]$/.test(text) || (text.endsWith('\r') && rest.startsWith('\n')));
  const between = isOpen ? '\n' : '';
  const blank = /^(?:[ \t]*(?:\r\n?|\n))*(?:[ \t]*$)?/.exec(rest)?.[0] ?? '';
  return { whole: rest === '' ? text : text + between + rest, rest, between, mark, blank };
}

/** Takes such a text apart after changes: the rows of the dump, and all lines that are headers or comments. */
export function apartFromHeaders(
  whole: string,
  { between, mark, blank }: Omit<BehindHeaders, 'whole' | 'rest'>,
): { readonly headers: string; readonly text: string } {
  const before = /^(?:[ \t\ufeff]*[@#][^\r\n]*(?:\r\n?|\n|$))*/.exec(whole)?.[0] ?? '';
  const rest = whole.slice(before.length);
  const first = /(?<![^\r\n])[^\S\r\n]*[@#]/.exec(rest)?.index ?? rest.length;
  const end = rest.slice(0, first).endsWith(blank) ? first - blank.length : first;
  const text = rest.slice(0, end);
  const own = text.endsWith(between) ? text.slice(0, text.length - between.length) : text;
  return { headers: `${mark}${before}${rest.slice(end)}`, text: own };
}
