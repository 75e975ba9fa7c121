import { hexBytes } from '../base/hex.js';
import type { Remark } from './toWrite.js';

// Comments of code: behind two slashes, or between a slash with a star and a star with a slash.

const COMMENT = /\/\/[^\r\n]*|\/\*.*?\*\//g;

/**
 * A line of code with its comments made blank, so that all else is where it was. One over several lines is no comment
 * here: what is left of it shows as text that does not belong there.
 */
export function withoutComments(text: string): string {
  return text.includes('/') ? text.replace(COMMENT, (comment) => ' '.repeat(comment.length)) : text;
}

/** What people wrote in the comments of a line of code, without the marks of these. */
export function codeComments(text: string): readonly string[] {
  return (text.match(COMMENT) ?? []).map((comment) => comment.replace(/^\/[/*]|\*\/$/g, '').trim());
}

/** What people wrote, as a comment of code. */
export function remarkAsCode(remark: Remark): string {
  if (remark.kind === 'header') return `// @${remark.name} ${remark.value}`.trimEnd();
  const text =
    remark.kind === 'title' ? `S0: ${hexBytes(remark.bytes, ' ')}` : remark.text.replace(/^[\s\ufeff;#/*]+/, '');
  // Behind two slashes it would be a header, or a row in doubt.
  return text.startsWith('@') ? `/* ${text.replaceAll('*/', '* /')} */` : `// ${text}`.trimEnd();
}
