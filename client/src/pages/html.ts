import { oneLine, readable } from '../../../shared-core/src/index.js';

/** A piece of a page in which every text of others is escaped: only `html` makes one. */
export interface Html {
  readonly html: string;
}

type Part = string | number | Html | readonly Html[];

/** A piece of a page from a template. What is put in is shown as just that text, within quotes of an attribute too. */
export function html(pattern: readonly string[], ...parts: readonly Part[]): Html {
  return { html: pattern.map((written, i) => written + (i < parts.length ? htmlOf(parts[i] ?? '') : '')).join('') };
}

function htmlOf(part: Part): string {
  if (typeof part === 'object') return 'html' in part ? part.html : part.map(htmlOf).join('');
  return escaped(typeof part === 'string' ? oneLine(part) : part);
}

/** A text of several lines as HTML that shows just that text. */
export function escaped(text: string | number): string {
  return readable(String(text)).replace(/[&<>"']/g, (character) => `&#${character.charCodeAt(0)};`);
}
