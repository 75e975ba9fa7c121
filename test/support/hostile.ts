import MarkdownIt from 'markdown-it';

/** Titles that a stranger's profile may have, each with what it would do where it is not taken for mere text. */
export const HOSTILE: readonly string[] = [
  '![x](https://example.com/seen.png)',
  '[a](command:workbench.action.closeWindow)',
  '[a]: https://example.com',
  '<https://example.com> https://example.com //example.com www.example.com a@example.com',
  '# big',
  '> quoted',
  '- item',
  '1. first',
  '=====',
  '```',
  '    indented',
  '| a | b |',
  '**bold** _slanted_ ~~struck~~ `code` $x$',
  '<img src=x onerror=alert(1)>',
  "\"><script>alert(1)</script>' onclick='x",
  '&lt;b&gt; &#60;b&#62;',
  '$(alert) \\$(alert) $(loading~spin)',
  'two\nlines\r\nand\u2028more',
  '\n\n# big\n\n![x](https://example.com)\n',
  'end\u202Eesrever\u2066isolated\u200Bunseen',
  '\u001B]0;title\u0007\u001B[2J\u0000\u009B31m',
  'x'.repeat(10_000),
];

/** What no text that comes from a stranger may hold once it is shown. */
export const UNSEEN = /(?![\n\u200C\u200D])[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/u;

/** Markdown as the editor renders it in its previews. */
export function rendered(markdown: string): string {
  const renderer = new MarkdownIt({ html: true, linkify: true });
  renderer.linkify.set({ fuzzyLink: false });
  return renderer.render(markdown);
}

/** The names of the elements of a piece of HTML, in order of the alphabet. */
export function elementsOf(html: string): readonly string[] {
  const names = [...html.matchAll(/<\s*\/?\s*([a-zA-Z][^\s/>]*)/g)].map(([, name]) => (name ?? '').toLowerCase());
  return [...new Set(names)].sort();
}

/** The text of a piece of HTML. */
export function textOf(html: string): string {
  return html
    .replace(/<[^>]*>/g, '')
    .replace(/&(?:#(\d+)|(lt|gt|quot|amp));/g, (_, number: string | undefined, name: string | undefined) =>
      number === undefined
        ? ({ lt: '<', gt: '>', quot: '"', amp: '&' }[name ?? ''] ?? '')
        : String.fromCharCode(Number(number)),
    );
}
