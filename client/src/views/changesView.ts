import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { literal } from '../../../shared-core/src/base/index.js';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import { CHANGES, type ChangesResult, type CompareParams } from '../../../shared-core/src/protocol/compare.js';
import { type AskServer, isRefusal } from '../ask.js';
import type { CurrentDump } from '../currentDump.js';
import { nameOf } from '../places.js';
import { type ChangesNode, childrenOf, rootsOf, treeItemOf } from './changeItems.js';

export interface Changes extends vscode.Disposable {
  /** Says with which dump the current one is compared from now on; its backup where none is given. */
  readonly compareWith: (other: vscode.Uri | undefined) => void;
  /** A dump and what it is compared with. */
  readonly pairOf: (document: vscode.TextDocument) => CompareParams;
  /** What differs; undefined where that cannot be told, which the person is told. */
  readonly of: (document: vscode.TextDocument) => Promise<ChangesResult | undefined>;
}

/** What differs between the current dump and its backup, or another dump, in words; each change goes to its place. */
export function createChangesView(client: BaseLanguageClient, ask: AskServer, current: CurrentDump): Changes {
  let other: { readonly of: vscode.TextDocument | undefined; readonly uri: vscode.Uri } | undefined;
  let result: ChangesResult | undefined;
  let shownOf: vscode.Uri | undefined;
  const changed = new vscode.EventEmitter<undefined>();
  const view = vscode.window.createTreeView<ChangesNode>('countersum.changes', {
    showCollapseAll: true,
    treeDataProvider: {
      onDidChangeTreeData: changed.event,
      getChildren: (node) => (node === undefined ? rootsOf(result) : childrenOf(node)),
      getTreeItem: (node) => treeItemOf(node, shownOf),
    },
  });
  const pairOf = (document: vscode.TextDocument): CompareParams => ({
    uri: document.uri.toString(),
    ...(other?.of === document && { other: other.uri.toString() }),
  });

  const update = async (): Promise<void> => {
    if (!client.isRunning() || !view.visible) return;
    const document = current.document();
    const answer = document && (await client.sendRequest<ChangesResult | Refusal>(CHANGES, pairOf(document)));
    if (document !== current.document()) return;
    const refused = isRefusal(answer);
    result = refused ? undefined : answer;
    shownOf = document?.uri;
    view.description =
      result === undefined ? '' : literal(vscode.l10n.t('against {0}', nameOf(vscode.Uri.parse(result.otherUri))));
    view.message = literal(refused ? answer.refused : (result?.remarks.join(' ') ?? ''));
    // A button to make a backup is offered only where one would help.
    const told = refused && answer.helps === undefined ? 'told' : 'refused';
    const state = document === undefined ? 'none' : refused ? told : 'compared';
    await vscode.commands.executeCommand('setContext', 'countersum.changes', state);
    changed.fire(undefined);
  };

  void update();
  const disposable = vscode.Disposable.from(
    view,
    changed,
    current.onDidChange(update),
    client.onDidChangeState(update),
    view.onDidChangeVisibility(update),
  );
  return {
    compareWith: (uri) => {
      other = uri && { of: current.document(), uri };
      void update();
    },
    pairOf,
    of: (document) => ask<ChangesResult>(CHANGES, pairOf(document)),
    dispose: () => disposable.dispose(),
  };
}
