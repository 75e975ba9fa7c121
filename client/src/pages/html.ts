import { oneLine, readable } from '../../../shared-core/src/base/index.js';

/** A piece of a page in which every text of others is escaped: only what stands here makes one. */
export interface Html {
  readonly html: string;
}

type Part = string | number | Html | readonly Html[];

/** A piece of a page from a template. What is put in is shown as just that text, within quotes of an attribute too. */
export function html(pattern: readonly string[], ...parts: readonly Part[]): Html {
  return { html: pattern.map((written, i) => written + (i < parts.length ? htmlOf(parts[i] ?? '') : '')).join('') };
}

/** A text of several lines, of any length. */
export function linesOf(text: string): Html {
  return { html: escaped(readable(text)) };
}

function htmlOf(part: Part): string {
  if (typeof part === 'object') return 'html' in part ? part.html : part.map(htmlOf).join('');
  return escaped(oneLine(String(part)));
}

function escaped(text: string): string {
  return text.replace(/[&<>"']/g, (character) => `&#${character.charCodeAt(0)};`);
}
