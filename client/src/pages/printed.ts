import * as vscode from 'vscode';
import { html } from './html.js';

/**
 * Close lines and small margins, so that an ordinary job fits two A4 pages; no row of a table is torn, and what heads a
 * table or a list stays with it.
 */
const STYLE = `
@page { size: A4; margin: 12mm; }
body { font: 10pt/1.4 system-ui, sans-serif; margin: 0 auto; max-width: 186mm; color: #000; background: #fff; }
h1, h2, h3 { line-height: 1.2; margin: 1em 0 .5em; break-after: avoid; }
h1 { font-size: 1.7em; margin-top: 0; }
h2 { font-size: 1.25em; border-bottom: .5pt solid #999; }
p, ul, ol, table, blockquote { margin: 0 0 .7em; }
ul, ol { padding-left: 1.6em; }
table { border-collapse: collapse; }
th { text-align: left; border-bottom: 1pt solid #000; }
th, td { padding: .2em .8em .2em 0; vertical-align: top; }
td { border-bottom: .5pt solid #bbb; }
tr, li { break-inside: avoid; }
h1, h2, h3 { hyphens: auto; }
h3 { font-size: 1em; }
p:has(+ table), p:has(+ ul), thead, tr:has(> td:first-child:empty) { break-after: avoid; }
code { font-family: ui-monospace, monospace; font-size: .95em; }
code strong { border-bottom: 1.5pt solid #000; }
blockquote { border-left: 3pt solid #000; padding: .3em 0 .1em .8em; }
`;

/** A page of Markdown as a whole HTML file to be printed, rendered by the editor itself. */
export async function printed(title: string, markdown: string): Promise<string> {
  const body = await vscode.commands.executeCommand<string>('markdown.api.render', markdown);
  const lang = vscode.env.language.replace(/[^\w-]/g, '');
  return `<!doctype html>\n<html lang="${lang}">\n<meta charset="utf-8">\n<title>${html`${title}`.html}</title>\n<style>${STYLE}</style>\n<body>\n${body}</body>\n</html>\n`;
}
