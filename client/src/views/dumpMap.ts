import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  MAP,
  MAP_BYTE,
  type MapByteParams,
  type MapByteResult,
  type MapParams,
  type MapResult,
} from '../../../shared-core/src/index.js';
import type { CurrentDump } from '../currentDump.js';
import type { FromMap, ToMap } from '../pages/inPage/mapMessages.js';
import { mapPage, mapWords } from '../pages/mapPage.js';
import { fillPage, openPage } from '../pages/page.js';
import { goTo, nameOf } from '../places.js';

export interface DumpMap extends vscode.Disposable {
  readonly show: () => void;
}

/** All bytes of the current dump at a glance, beside its text. There is one map, of the dump that is worked on. */
export function createDumpMap(client: BaseLanguageClient, current: CurrentDump): DumpMap {
  let panel: vscode.WebviewPanel | undefined;
  const tell = (message: ToMap) => void panel?.webview.postMessage(message);
  const changed = (): void => {
    const document = current.document();
    tell({ says: 'changed', name: document ? nameOf(document.uri) : null });
  };
  const byteAt = async (row: number, at: MapByteParams['at']): Promise<MapByteResult | null> => {
    const document = current.document();
    if (!panel?.visible || !document || !client.isRunning()) return null;
    return client.sendRequest<MapByteResult | null>(MAP_BYTE, { uri: document.uri.toString(), row, at });
  };
  const moved = async ({ line, character }: vscode.Position): Promise<void> => {
    const found = await byteAt(line, { character });
    if (found) tell({ says: 'cursor', at: found.line, row: found.row, byte: found.byte });
  };
  const answer = async (told: unknown): Promise<void> => {
    const message = told as FromMap;
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
    shown.onDidDispose(() => {
      panel = undefined;
    });
  };
  const disposable = vscode.Disposable.from(
    current.onDidChange(changed),
    current.onDidMove(moved),
    vscode.window.registerWebviewPanelSerializer(`countersum.${mapPage.id}`, {
      deserializeWebviewPanel: async (shown: vscode.WebviewPanel) => {
        adopt(shown);
        fillPage(shown.webview, mapPage.content(undefined), answer);
      },
    }),
  );
  return {
    show: () => {
      if (panel) panel.reveal(undefined, true);
      else adopt(openPage(mapPage, undefined, { column: vscode.ViewColumn.Beside, preserveFocus: true, answer }));
    },
    dispose: () => vscode.Disposable.from(disposable, ...(panel ? [panel] : [])).dispose(),
  };
}
