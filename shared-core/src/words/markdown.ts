import { listed, type Phrase, type PhrasePart } from './phrase.js';

/** Text of a person (a title, a file name, a value) so that Markdown shows it as it is written. */
export function plain(text: string): string {
  return text.replace(/[\\`*_{}[\]<>()#+!|~&-]/g, (mark) => `\\${mark}`).replace(/\s+/g, ' ');
}

/** Lines as one text. */
export function lines(parts: readonly PhrasePart[]): Phrase {
  return listed(parts, '\n');
}

/** A row of a table. */
export function tableRow(cells: readonly PhrasePart[]): Phrase {
  return { pattern: `| ${cells.map((_, index) => `{${index}}`).join(' | ')} |`, parts: cells };
}
