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
import { type CurrentDump, placeIn } from '../currentDump.js';
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
  const changed = async (): Promise<void> => {
    const document = current.document();
    tell({ says: 'changed', name: document ? nameOf(document.uri) : null });
    const editor = vscode.window.visibleTextEditors.find((shown) => shown.document === document);
    if (editor) await moved(placeIn(editor.selection));
  };
  const byteAt = async (at: MapByteParams['at']): Promise<MapByteResult | null> => {
    const document = current.document();
    if (!panel?.visible || !document || !client.isRunning()) return null;
    return client.sendRequest<MapByteResult | null>(MAP_BYTE, { uri: document.uri.toString(), at });
  };
  const moved = async ({ line: row, character }: vscode.Position): Promise<void> => {
    const found = await byteAt({ row, character });
    tell({ says: 'cursor', place: found && { at: found.line, byte: found.byte } });
  };
  const answer = async (told: unknown): Promise<void> => {
    const message = told as FromMap;
    const document = current.document();
    if (message.says === 'ready') {
      tell({ says: 'words', words: mapWords() });
      await changed();
    } else if (message.says === 'lines' && document) {
      const { from, count } = message;
      const params: MapParams = { uri: document.uri.toString(), from, count };
      const map = await client.sendRequest<MapResult | null>(MAP, params);
      if (map && document === current.document()) tell({ says: 'lines', map });
    } else if (message.says === 'byte' || message.says === 'go') {
      const { at, byte } = message;
      const found = await byteAt({ line: at, byte });
      if (message.says === 'byte') tell({ says: 'byte', at, byte, lines: found?.lines ?? [] });
      else if (found && document) await goTo(document.uri, found.range);
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
