import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  MAP,
  MAP_BYTE,
  type MapByteParams,
  type MapByteResult,
  type MapParams,
  type MapResult,
} from '../../shared-core/src/index.js';
import type { CurrentDump } from './currentDump.js';
import type { FromMap, MapWords, ToMap } from './inPage/mapMessages.js';
import { MAP_STYLE } from './mapStyle.js';
import { escaped, pageHtml } from './page.js';
import { goTo } from './places.js';

/** The script of the page; the build puts it here. */
declare const MAP_SCRIPT: string;

const VIEW = 'countersum.map';

/** *Show the Dump Map*: all bytes of the current dump at a glance, beside its text. There is one map, of the dump that is worked on. */
export function registerMap(client: BaseLanguageClient, current: CurrentDump): vscode.Disposable {
  let panel: vscode.WebviewPanel | undefined;
  const tell = (message: ToMap) => void panel?.webview.postMessage(message);
  const nameOf = (document: vscode.TextDocument | undefined) => document?.uri.path.split('/').at(-1) ?? null;

  const changed = (): void => tell({ says: 'changed', name: nameOf(current.document()) });
  const byteAt = async (row: number, at: MapByteParams['at']): Promise<MapByteResult | null> => {
    const document = current.document();
    if (!panel?.visible || !document || !client.isRunning()) return null;
    return client.sendRequest<MapByteResult | null>(MAP_BYTE, { uri: document.uri.toString(), row, at });
  };
  const moved = async ({ line, character }: vscode.Position): Promise<void> => {
    const found = await byteAt(line, { character });
    if (found) tell({ says: 'cursor', at: found.line, row: found.row, byte: found.byte });
  };
  const answer = async (message: FromMap): Promise<void> => {
    const document = current.document();
    if (message.says === 'ready') {
      tell({ says: 'words', words: mapWords() });
      changed();
      const editor = vscode.window.visibleTextEditors.find((shown) => shown.document === document);
      if (editor) await moved(editor.selection.active);
    } else if (message.says === 'lines' && document) {
      const { from, count } = message;
      const params: MapParams = { uri: document.uri.toString(), from, count };
      const map = await client.sendRequest<MapResult | null>(MAP, params);
      if (map && document === current.document()) tell({ says: 'lines', map });
    } else if (message.says === 'byte' || message.says === 'go') {
      const found = await byteAt(message.row, { byte: message.byte });
      if (!found || !document) return;
      if (message.says === 'byte') tell({ says: 'byte', found });
      else await goTo(document.uri, found.range);
    }
  };
  const adopt = (shown: vscode.WebviewPanel): void => {
    panel = shown;
    shown.webview.options = { enableScripts: true, localResourceRoots: [] };
    shown.webview.onDidReceiveMessage(answer);
    shown.onDidDispose(() => {
      panel = undefined;
    });
    shown.webview.html = mapPage();
  };
  return vscode.Disposable.from(
    current.onDidChange(changed),
    current.onDidMove(moved),
    vscode.commands.registerCommand('countersum.showMap', () => {
      if (panel) panel.reveal(undefined, true);
      else {
        const place = { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true };
        adopt(vscode.window.createWebviewPanel(VIEW, vscode.l10n.t('Dump Map'), place));
      }
    }),
    vscode.window.registerWebviewPanelSerializer(VIEW, {
      deserializeWebviewPanel: async (shown: vscode.WebviewPanel) => adopt(shown),
    }),
    new vscode.Disposable(() => panel?.dispose()),
  );
}

function mapWords(): MapWords {
  return {
    noDump: vscode.l10n.t('Open a dump: its bytes are shown here.'),
    line: vscode.l10n.t('Line {0}', '{0}'),
    cell: vscode.l10n.t('Line {0}, byte {1}: {2}', '{0}', '{1}', '{2}'),
    roles: roles(),
    changed: vscode.l10n.t('changed from the backup'),
    wrong: vscode.l10n.t('wrong'),
    unreadable: vscode.l10n.t('cannot be read'),
  };
}

function roles(): Readonly<Record<'d' | 'o' | 'l' | 'v' | 'b' | 's', string>> {
  return {
    d: vscode.l10n.t('data'),
    o: vscode.l10n.t('option'),
    l: vscode.l10n.t('locked'),
    v: vscode.l10n.t('changes by itself'),
    b: vscode.l10n.t('balance place'),
    s: vscode.l10n.t('sum'),
  };
}

function mapPage(): string {
  const key = (role: string, sign: string, words: string) =>
    `<li><span class="cell" data-role="${role}" data-sign="${sign}" aria-hidden="true">A5</span> ${escaped(words)}</li>`;
  const keys = [
    ...Object.entries(roles()).map(([role, words]) => key(role, '.', words)),
    key('d', 'c', vscode.l10n.t('changed from the backup')),
    key('d', 'w', vscode.l10n.t('wrong')),
  ];
  const body = `
<header>
  <h1 id="title">${escaped(vscode.l10n.t('Dump Map'))}</h1>
  <p id="summary" role="status"></p>
  <div class="line">
    <ul class="key" aria-label="${escaped(vscode.l10n.t('What the bytes are'))}">${keys.join('')}</ul>
    <button id="small" class="secondary" aria-pressed="false">${escaped(vscode.l10n.t('Small'))}</button>
  </div>
</header>
<div class="stage">
  <div id="scroll">
    <div id="grid" role="grid" aria-labelledby="title">
      <div id="top" role="rowgroup"><div id="head" role="row" aria-rowindex="1"><span role="columnheader" class="name">${escaped(vscode.l10n.t('Line'))}</span></div></div>
      <div id="rows" role="rowgroup"></div>
    </div>
  </div>
  <div id="ruler" aria-hidden="true"></div>
  <section id="side" tabindex="0" aria-live="polite" aria-label="${escaped(vscode.l10n.t('The byte'))}"><p class="muted">${escaped(vscode.l10n.t('Point at a byte, or walk with the arrow keys; Enter goes to it in the text.'))}</p></section>
</div>`;
  return pageHtml({ title: vscode.l10n.t('Dump Map'), body, style: MAP_STYLE, script: MAP_SCRIPT });
}
