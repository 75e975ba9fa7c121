import { dumpText } from './dumpText.js';
import type { WrittenForm } from './notation.js';

/**
 * A form that has no place for headers as it is read behind them: they are kept in a file beside it and stand before its
 * text as in dump text, whose marks none of its lines begins with.
 */
export function behindHeaders(form: WrittenForm): WrittenForm {
  return {
    ...form,
    headers: 'own',
    readRow: (text, store) => (BEGINS_HEADER.test(text) ? dumpText : form).readRow(text, store),
  };
}

const BEGINS_HEADER = /^\s*[@#]/;

/** The first line of a text that would be taken for one of the headers before it; below 0 where there is none. */
export function lineLikeHeader(text: string): number {
  return text.split(/\r\n?|\n/).findIndex((line) => BEGINS_HEADER.test(line));
}

/** A text with its headers before it. */
export function withHeaders(headers: string, text: string): string {
  return (headers === '' || headers.endsWith('\n') ? headers : `${headers}\n`) + text;
}

/** Takes such a text apart: up to the last line that is a header or a comment, and the rest. */
export function apartFromHeaders(text: string): { readonly headers: string; readonly text: string } {
  const end = /^(?:(?:[ \t]*(?:\r\n?|\n))*[ \t]*[@#][^\r\n]*(?:\r\n?|\n|$))*/.exec(text)?.[0].length ?? 0;
  return { headers: text.slice(0, end), text: text.slice(end) };
}
