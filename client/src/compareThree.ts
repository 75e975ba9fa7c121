import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  type Refusal,
  THREE_WAYS,
  type ThreeWaysParams,
  type ThreeWaysResult,
  type ThreeWaysRow,
} from '../../shared-core/src/index.js';
import { activeDump, isRefusal } from './activeDump.js';
import { escaped, pageHtml } from './page.js';
import { goTo } from './places.js';
import { chooseReading } from './readBack.js';

/** *Compare Three Ways…*: the dump as it was found, as it is planned and as it was read back, place by place. */
export function registerCompareThree(client: BaseLanguageClient): vscode.Disposable {
  return vscode.commands.registerCommand('countersum.compareThree', async () => {
    const document = activeDump();
    if (!document) return;
    const read = await chooseReading(document.uri);
    if (read === undefined) return;
    const params: ThreeWaysParams = { uri: document.uri.toString(), read: read.toString() };
    const result = await client.sendRequest<ThreeWaysResult | Refusal>(THREE_WAYS, params);
    if (isRefusal(result)) return;
    const title = vscode.l10n.t('Three ways: {0}', nameOf(document.uri));
    const place = { viewColumn: vscode.ViewColumn.Beside, preserveFocus: false };
    const panel = vscode.window.createWebviewPanel('countersum.threeWays', title, place, {
      enableScripts: true,
      localResourceRoots: [],
    });
    panel.webview.html = threeWaysPage(title, [vscode.Uri.parse(result.foundUri), document.uri, read], result);
    const rows = [...result.options, ...result.bytes];
    panel.webview.onDidReceiveMessage(async (index: number) => {
      const range = rows[index]?.range;
      if (range) await goTo(document.uri, range);
    });
  });
}

function nameOf(uri: vscode.Uri): string {
  return uri.path.split('/').at(-1) ?? '';
}

function threeWaysPage(
  title: string,
  [found, planned, read]: readonly [vscode.Uri, vscode.Uri, vscode.Uri],
  { options, bytes, remarks, verdict, good }: ThreeWaysResult,
): string {
  const sides = [
    { title: vscode.l10n.t('As found'), name: nameOf(found) },
    { title: vscode.l10n.t('Planned'), name: nameOf(planned) },
    { title: vscode.l10n.t('Read back'), name: nameOf(read) },
  ];
  const columns = [vscode.l10n.t('Place'), ...sides.map((side) => side.title), vscode.l10n.t('Outcome')];
  const part = (caption: string, rows: readonly ThreeWaysRow[], from: number) =>
    rows.length === 0
      ? ''
      : `<tbody><tr><th class="part" scope="rowgroup" colspan="${columns.length}">${escaped(caption)}</th></tr>${rows
          .map((row, i) => rowHtml(row, from + i))
          .join('')}</tbody>`;
  const head = columns.map((column) => `<th scope="col">${escaped(column)}</th>`).join('');
  const table = `<table><thead><tr>${head}</tr></thead>${part(vscode.l10n.t('Options'), options, 0)}${part(
    vscode.l10n.t('Bytes'),
    bytes,
    options.length,
  )}</table>`;
  const body = `
<h1>${escaped(title)}</h1>
<p class="verdict ${good ? 'written' : 'other'}">${escaped(verdict)}</p>
<dl>${sides.map((side) => `<div><dt>${escaped(side.title)}</dt><dd>${escaped(side.name)}</dd></div>`).join('')}</dl>
${remarks.map((remark) => `<p>${escaped(remark)}</p>`).join('')}
${options.length + bytes.length === 0 ? `<p>${escaped(vscode.l10n.t('All three hold the same bytes.'))}</p>` : table}`;
  return pageHtml({ title, body, style: STYLE, script: SCRIPT });
}

function rowHtml({ title, what, found, planned, read, says, outcome, range }: ThreeWaysRow, index: number): string {
  const name = range ? `<button class="place" data-index="${index}">${escaped(title)}</button>` : escaped(title);
  const cell = (text: string, other: boolean) => `<td class="mono${other ? ' differs' : ''}">${escaped(text)}</td>`;
  return `<tr><th scope="row">${name}<br><span class="muted">${escaped(what)}</span></th>${cell(found, false)}${cell(
    planned,
    planned !== found,
  )}${cell(read, read !== planned)}<td class="outcome ${outcome}">${escaped(says)}</td></tr>`;
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
.volatile::before { content: '~' / ''; }
.verdict { padding: 0.7em 1em; border: 1px solid var(--vscode-widget-border, var(--vscode-contrastBorder, currentColor)); border-radius: 4px; }
`;

const SCRIPT = `
for (const button of document.querySelectorAll('.place'))
  button.addEventListener('click', () => post(Number(button.dataset.index)));
`;
