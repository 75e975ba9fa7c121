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
  const { t } = vscode.l10n;
  const head = [
    { title: t('As found'), name: nameOf(found) },
    { title: t('Planned'), name: nameOf(planned) },
    { title: t('Read back'), name: nameOf(read) },
  ];
  const table = (caption: string, rows: readonly ThreeWaysRow[], from: number) =>
    rows.length === 0
      ? ''
      : `<h2>${escaped(caption)}</h2><table><thead><tr><th scope="col">${escaped(t('Place'))}</th>${head
          .map(
            ({ title, name }) =>
              `<th scope="col">${escaped(title)}<br><span class="muted">${escaped(name)}</span></th>`,
          )
          .join('')}<th scope="col">${escaped(t('What became of it'))}</th></tr></thead><tbody>${rows
          .map((row, i) => rowHtml(row, from + i))
          .join('')}</tbody></table>`;
  const body = `
<h1>${escaped(title)}</h1>
<p class="verdict ${good ? 'written' : 'other'}">${escaped(verdict)}</p>
${remarks.map((remark) => `<p>${escaped(remark)}</p>`).join('')}
${table(t('Options'), options, 0)}
${table(t('Bytes'), bytes, options.length)}
${options.length + bytes.length === 0 ? `<p>${escaped(t('All three hold the same bytes.'))}</p>` : ''}`;
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
tbody th { font-weight: normal; }
.place { background: none; color: var(--vscode-textLink-foreground); border: 0; padding: 0; text-align: left; }
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
