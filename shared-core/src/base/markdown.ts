import { listed, type Phrase, type PhrasePart } from './phrase.js';
import { oneLine } from './readable.js';

/**
 * Any text as Markdown that shows just that text: on one line, with nothing in it that Markdown or HTML gives a
 * meaning, nor any renderer that makes links of addresses. It is not cut, as what a card says must be there.
 */
export function plain(text: string | number): string {
  return oneLine(String(text), Number.POSITIVE_INFINITY)
    .trim()
    .replace(/[\\`*_[\]<>|~&$]/g, '\\$&')
    .replace(/\/(?=\/)|(?<=\/)\/|(?<=\S)@(?=\S)|(?<=\bwww)\./gi, '\\$&')
    .replace(/^([#+=-])/, '\\$1')
    .replace(/^(\d+)([.)])/, '$1\\$2');
}

/** A phrase with `plain` texts in it; its patterns may be Markdown. */
export function plainParts({ pattern, parts }: Phrase): Phrase {
  const plainPart = (part: PhrasePart) =>
    typeof part === 'object' ? plainParts(part) : typeof part === 'string' ? plain(part) : part;
  return { pattern, parts: parts.map(plainPart) };
}

/** A link to a file by its path from the page. */
export function fileLink(path: string): string {
  const address = path.split('/').map(encodeURIComponent).join('/');
  return `[${plain(path)}](./${address.replace(/[()*!'~]/g, (sign) => `%${sign.charCodeAt(0).toString(16)}`)})`;
}

/** Text between code marks; what would end them or a table's cell is left out. */
export function code(text: string): string {
  return `\`${oneLine(text).replace(/[`|]+/g, ' ')}\``;
}

/** A table of cells that are Markdown already. */
export function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]) => `| ${cells.join(' | ')} |`;
  return [line(head), line(head.map(() => '---')), ...rows.map(line)].join('\n');
}

/** A box to be ticked with a pen; `[ ]` is drawn as one by few renderers. */
export const BOX = '☐';

export function ticks(items: readonly string[]): string {
  return marked(BOX, items);
}

/** Items, a line each, with a sign before each instead of the dot of a list. */
export function marked(sign: string, items: readonly string[]): string {
  return items.map((item) => `${sign} ${item}`).join('\\\n');
}

/** Longer names than any line has; those may break. */
const MOST_OF_NAME = 40;

/** A name in bold that stays on one line; without a hyphen or a blank, none breaks. */
export function boldName(name: string): string {
  const bold = `**${plain(name)}**`;
  return /^\w*$/.test(name) || name.length > MOST_OF_NAME ? bold : `<nobr>${bold}</nobr>`;
}

export function bullets(items: readonly string[]): string {
  return items.map((item) => `- ${item}`).join('\n');
}

export function numbered(items: readonly string[]): string {
  return items.map((item, index) => `${index + 1}. ${item}`).join('\n');
}

/** A block set off from the rest. */
export function quoted(block: string): string {
  return block
    .split('\n')
    .map((line) => `> ${line}`)
    .join('\n');
}

/** A section with its heading; nothing where it has no content. */
export function section(heading: string, ...parts: readonly string[]): readonly string[] {
  const content = parts.filter((part) => part !== '');
  return content.length === 0 ? [] : [`## ${heading}`, ...content];
}

/** A block that shows only its head until somebody opens it. */
export function folded(head: string, block: string): readonly string[] {
  return [`<details>\n<summary>${head}</summary>`, block, '</details>'];
}

/** Blocks one below the other, as a text that ends with a line end. */
export function pageOf(blocks: readonly string[]): string {
  return `${blocks.filter((block) => block !== '').join('\n\n')}\n`;
}

/** Lines as one text. */
export function lines(parts: readonly PhrasePart[]): Phrase {
  return listed(parts, '\n');
}

/** A row of a table. */
export function tableRow(cells: readonly PhrasePart[]): Phrase {
  return { pattern: `| ${cells.map((_, index) => `{${index}}`).join(' | ')} |`, parts: cells };
}
