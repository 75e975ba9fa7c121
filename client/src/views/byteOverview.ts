import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  BYTE_OVERVIEW,
  type ByteOverviewParams,
  type ByteOverviewResult,
  OVERVIEW_BYTE,
  type OverviewByteParams,
  type OverviewByteResult,
} from '../../../shared-core/src/protocol/byteOverview.js';
import { type CurrentDump, placeIn } from '../currentDump.js';
import { byteOverviewPage, overviewWords } from '../pages/byteOverviewPage.js';
import type { FromOverview, ToOverview } from '../pages/inPage/byteOverviewMessages.js';
import { fillPage, openPage } from '../pages/page.js';
import { goTo, nameOf } from '../places.js';

export interface ByteOverview extends vscode.Disposable {
  readonly show: () => void;
}

/** All bytes of the current dump at a glance, beside its text. There is one overview, of the dump that is worked on. */
export function createByteOverview(client: BaseLanguageClient, current: CurrentDump): ByteOverview {
  let panel: vscode.WebviewPanel | undefined;
  const tell = (message: ToOverview) => void panel?.webview.postMessage(message);
  const changed = async (): Promise<void> => {
    const document = current.document();
    tell({ says: 'changed', name: document ? nameOf(document.uri) : null });
    const editor = vscode.window.visibleTextEditors.find((shown) => shown.document === document);
    if (editor) await moved(placeIn(editor.selection));
  };
  const byteAt = async (at: OverviewByteParams['at']): Promise<OverviewByteResult | null> => {
    const document = current.document();
    if (!panel?.visible || !document || !client.isRunning()) return null;
    return client.sendRequest<OverviewByteResult | null>(OVERVIEW_BYTE, { uri: document.uri.toString(), at });
  };
  const moved = async ({ line: row, character }: vscode.Position): Promise<void> => {
    const found = await byteAt({ row, character });
    tell({ says: 'cursor', place: found && { at: found.line, byte: found.byte } });
  };
  const answer = async (told: unknown): Promise<void> => {
    const message = told as FromOverview;
    const document = current.document();
    if (message.says === 'ready') {
      tell({ says: 'words', words: overviewWords() });
      await changed();
    } else if (message.says === 'lines' && document) {
      const { from, count } = message;
      const params: ByteOverviewParams = { uri: document.uri.toString(), from, count };
      const map = await client.sendRequest<ByteOverviewResult | null>(BYTE_OVERVIEW, params);
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
    vscode.window.registerWebviewPanelSerializer(`countersum.${byteOverviewPage.id}`, {
      deserializeWebviewPanel: async (shown: vscode.WebviewPanel) => {
        adopt(shown);
        fillPage(shown.webview, byteOverviewPage.content(undefined), answer);
      },
    }),
  );
  return {
    show: () => {
      if (panel) panel.reveal(undefined, true);
      else
        adopt(openPage(byteOverviewPage, undefined, { column: vscode.ViewColumn.Beside, preserveFocus: true, answer }));
    },
    dispose: () => vscode.Disposable.from(disposable, ...(panel ? [panel] : [])).dispose(),
  };
}
