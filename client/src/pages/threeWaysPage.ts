import * as vscode from 'vscode';
import type { ThreeWaysResult, ThreeWaysRow } from '../../../shared-core/src/protocol/compare.js';
import { nameOf } from '../places.js';
import { type Html, html } from './html.js';
import type { Page, PageContent } from './page.js';
import { boxed, headRow } from './parts.js';

export interface ThreeWays {
  readonly found: vscode.Uri;
  readonly planned: vscode.Uri;
  readonly read: vscode.Uri;
  readonly result: ThreeWaysResult;
}

/** A dump as found, planned and read back, place by place; a place tells the extension its number among `rowsOf`. */
export const threeWaysPage: Page<ThreeWays> = { id: 'threeWays', content: threeWaysContent };

/** All rows of the page, in order. */
export function rowsOf({ options, bytes }: ThreeWaysResult): readonly ThreeWaysRow[] {
  return [...options, ...bytes];
}

function threeWaysContent({ found, planned, read, result }: ThreeWays): PageContent {
  const { options, bytes, remarks, verdict, good } = result;
  const title = vscode.l10n.t('Three ways: {0}', nameOf(planned));
  const sides = [
    { title: vscode.l10n.t('As found'), name: nameOf(found) },
    { title: vscode.l10n.t('Planned'), name: nameOf(planned) },
    { title: vscode.l10n.t('Read back'), name: nameOf(read) },
  ];
  const columns = [vscode.l10n.t('Place'), ...sides.map((side) => side.title), vscode.l10n.t('Outcome')];
  const part = (caption: string, rows: readonly ThreeWaysRow[], from: number): Html =>
    rows.length === 0
      ? html``
      : html`<tbody><tr><th class="part" scope="rowgroup" colspan="${columns.length}">${caption}</th></tr>${rows.map(
          (row, i) => rowHtml(row, from + i),
        )}</tbody>`;
  const table = boxed(
    title,
    html`<table><thead>${headRow(columns)}</thead>
${part(vscode.l10n.t('Options'), options, 0)}
${part(vscode.l10n.t('Bytes'), bytes, options.length)}
</table>`,
  );
  const body = html`
<h1>${title}</h1>
<p class="verdict ${good ? 'written' : 'other'}">${verdict}</p>
<dl>${sides.map((side) => html`<div><dt>${side.title}</dt><dd>${side.name}</dd></div>`)}</dl>
${remarks.map((remark) => html`<p>${remark}</p>`)}
${rowsOf(result).length === 0 ? html`<p>${vscode.l10n.t('All three hold the same bytes.')}</p>` : table}`;
  return { title, body, style: STYLE, script: SCRIPT };
}

function rowHtml({ title, what, found, planned, read, says, outcome, range }: ThreeWaysRow, index: number): Html {
  const name = range ? html`<button class="place" data-index="${index}">${title}</button>` : title;
  const cell = (text: string, other: boolean) => html`<td class="mono${other ? ' differs' : ''}">${text}</td>`;
  return html`<tr><th scope="row">${name}<br><span class="muted">${what}</span></th>${cell(found, false)}${cell(
    planned,
    planned !== found,
  )}${cell(read, read !== planned)}<td class="outcome ${outcome}">${says}</td></tr>`;
}

const STYLE = `
table { width: 100%; }
th, td { padding-right: 0.6em; }
thead th { white-space: nowrap; }
tbody th { font-weight: normal; }
th.part { font-weight: 600; padding-top: 1.2em; }
dl { display: flex; flex-wrap: wrap; gap: 0.2em 1.6em; margin: 0 0 1em; }
dt { color: var(--vscode-descriptionForeground); }
dd { margin: 0; }
.place { background: none; color: var(--vscode-textLink-foreground); border: 0; padding: 0; text-align: left; white-space: nowrap; }
.place:hover { background: none; text-decoration: underline; }
.differs { font-weight: bold; }
.outcome::before, .verdict::before { display: inline-block; width: 1.4em; font-weight: bold; }
.written::before { content: '✓' / ''; color: var(--vscode-testing-iconPassed, var(--vscode-charts-green)); }
.kept::before, .other::before { content: '✗' / ''; color: var(--vscode-editorError-foreground); }
.not-read::before { content: '?' / ''; color: var(--vscode-editorWarning-foreground); }
.volatile::before { content: '~' / ''; }
.verdict { padding: 0.7em 1em; border: 1px solid var(--vscode-widget-border, var(--vscode-contrastBorder, currentColor)); border-radius: 4px; }
`;

const SCRIPT = `
for (const button of document.querySelectorAll('.place'))
  button.addEventListener('click', () => post(Number(button.dataset.index)));
`;
