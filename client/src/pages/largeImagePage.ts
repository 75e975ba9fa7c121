import * as vscode from 'vscode';
import { hex } from '../../../shared-core/src/base/index.js';
import type { ImagePage, ImageRegion, OpenImageResult } from '../../../shared-core/src/protocol/imageView.js';
import { nameOf } from '../places.js';
import { type Html, html, linesOf } from './html.js';
import type { PageContent } from './page.js';
import { boxed, headRow } from './parts.js';

/** Lines of 16 bytes that are shown at a time. */
export const LINES_ON_PAGE = 256;

/** What the script of the page asks for. */
export interface PageQuestion {
  readonly page?: unknown;
  readonly address?: unknown;
}

/** The lines of a page, and what is said of an address that was asked for. */
export interface PageAnswer {
  readonly text: string;
  readonly page: number;
  /** The line of the page that was asked for. */
  readonly line?: number;
  readonly said: string;
}

export function answerOf({ page, pages, text, line, refused }: ImagePage): PageAnswer {
  const said = refused ?? vscode.l10n.t('Page {0} of {1}', page + 1, pages);
  return { page, text, said, ...(line !== undefined && { line }) };
}

export function imageContent(uri: vscode.Uri, image: OpenImageResult): PageContent {
  const name = nameOf(uri);
  return { title: name, body: body(name, image), style: STYLE, script: SCRIPT };
}

function body(name: string, image: OpenImageResult): Html {
  return html`
<h1>${name}</h1>
<p>${summary(image)}</p>
<p class="muted">${vscode.l10n.t('This view is read-only. It says the same as "countersum check" on the command line.')}</p>
<h2 id="problems">${vscode.l10n.t('Problems')}</h2>
${image.problems.length > 0 ? problemTable(image.problems) : ''}${image.summary.map((one) => html`<p>${one}</p>`)}
<h2>${vscode.l10n.t('Regions')}</h2>
${regionTable(image.regions)}
<h2 id="bytes-title">${vscode.l10n.t('Bytes')}</h2>
<form id="go"><label for="address">${vscode.l10n.t('Address')}</label>
<input id="address" class="mono" size="10" spellcheck="false" autocomplete="off">
<button type="submit">${vscode.l10n.t('Go')}</button>
<button type="button" class="secondary" id="previous">${vscode.l10n.t('Previous page')}</button>
<button type="button" class="secondary" id="next">${vscode.l10n.t('Next page')}</button>
<span id="said" role="status">${answerOf(image.first).said}</span></form>
<pre id="bytes" class="mono" tabindex="0" role="region" aria-labelledby="bytes-title">${linesOf(image.first.text)}</pre>`;
}

function summary({ form, size, held, regionCount, profile }: OpenImageResult): string {
  const count = held.toLocaleString(vscode.env.language);
  const parts = [
    form,
    size < 1e6
      ? vscode.l10n.t('{0} kB of text', Math.ceil(size / 1000))
      : vscode.l10n.t('{0} MB of text', (size / 1e6).toFixed(1)),
    regionCount === 1
      ? vscode.l10n.t('{0} bytes in one region', count)
      : vscode.l10n.t('{0} bytes in {1} regions', count, regionCount),
    profile ?? vscode.l10n.t('no profile'),
  ];
  return parts.join(' · ');
}

function problemTable(problems: OpenImageResult['problems']): Html {
  const rows = problems.map(
    ({ row, character, message }) =>
      html`<tr><td class="mono">${row + 1}:${character + 1}</td><td>${message}</td></tr>`,
  );
  const heads = [vscode.l10n.t('Row'), vscode.l10n.t('What is wrong')];
  return boxed(vscode.l10n.t('Problems'), html`<table><thead>${headRow(heads)}</thead><tbody>${rows}</tbody></table>`);
}

function regionTable(regions: readonly ImageRegion[]): Html {
  const rows = regions.map(({ from, to, crc32 }) => {
    const [first, last] = [hex(from, 8), hex(to, 8)];
    const count = (to - from + 1).toLocaleString(vscode.env.language);
    return html`<tr><td><button type="button" class="link mono" data-address="${first}">${first}</button></td>
<td class="mono">${last}</td><td class="number">${count}</td><td class="mono">${crc32 ?? '–'}</td></tr>`;
  });
  const heads = [vscode.l10n.t('From'), vscode.l10n.t('To'), vscode.l10n.t('Bytes'), 'CRC-32'];
  return boxed(vscode.l10n.t('Regions'), html`<table><thead>${headRow(heads)}</thead><tbody>${rows}</tbody></table>`);
}

const STYLE = `
form { display: flex; flex-wrap: wrap; gap: 0.5em; align-items: center; position: sticky; top: 0; padding: 0.5em 0; background: var(--vscode-editor-background); }
input { color: var(--vscode-input-foreground); background: var(--vscode-input-background); border: 1px solid var(--vscode-input-border, var(--vscode-contrastBorder, currentColor)); padding: 0.25em 0.4em; }
mark { color: inherit; background: none; font-weight: bold; outline: 1px solid var(--vscode-focusBorder); }
pre { margin: 0; line-height: 1.4; overflow-x: auto; }
td.number { text-align: right; }
button.link { color: var(--vscode-textLink-foreground); background: none; border: none; padding: 0; text-decoration: underline; }
button:disabled { opacity: 0.5; cursor: default; }
`;

const SCRIPT = `
const at = (id) => document.getElementById(id);
  let page = 0;
const ask = (question) => post(question);
at('go').addEventListener('submit', (event) => { event.preventDefault(); ask({ address: at('address').value }); });
at('previous').addEventListener('click', () => ask({ page: page - 1 }));
at('next').addEventListener('click', () => ask({ page: page + 1 }));
for (const button of document.querySelectorAll('[data-address]'))
  button.addEventListener('click', () => { ask({ address: button.dataset.address }); at('bytes').focus(); });
window.addEventListener('message', ({ data }) => {
  page = data.page;
  const lines = data.text.split('\\n');
  const asked = document.createElement('mark');
  asked.textContent = lines[data.line] ?? '';
  const around = (from, to) => lines.slice(from, to).map((line) => line + '\\n').join('');
  if (data.line === undefined) at('bytes').textContent = data.text;
  else at('bytes').replaceChildren(around(0, data.line), asked, '\\n' + around(data.line + 1));
  if (data.line !== undefined) asked.scrollIntoView({ block: 'center' });
  at('said').textContent = data.said;
});
`;
