import * as vscode from 'vscode';
import type { BaseLanguageClient, WorkspaceEdit } from 'vscode-languageclient';
import { BALANCE_CHOICES, type BalanceChoice, type Refusal } from '../../shared-core/src/index.js';
import { activeDump, isRefusal } from './activeDump.js';

/** *Rebalance Using a Line…*: all lines that could take up the difference, with what each would change. */
export function registerRebalance(client: BaseLanguageClient): vscode.Disposable {
  return vscode.commands.registerCommand('countersum.rebalance', async () => {
    const document = activeDump();
    if (!document) return;
    const { version } = document;
    const choices = await client.sendRequest<readonly BalanceChoice[] | Refusal>(BALANCE_CHOICES, {
      uri: document.uri.toString(),
    });
    if (isRefusal(choices)) return;
    const items = choices.map(({ title, detail, edit }) => ({ label: title, description: detail, edit }));
    const able = items.filter(({ edit }) => edit !== null);
    const unable = items.filter(({ edit }) => edit === null);
    const separator = { label: vscode.l10n.t('Cannot'), kind: vscode.QuickPickItemKind.Separator, edit: null };
    const chosen = await vscode.window.showQuickPick([...able, separator, ...unable], {
      title: vscode.l10n.t('Which line is to take up the difference?'),
      placeHolder: vscode.l10n.t('Choose a line whose bytes mean nothing on this car'),
      matchOnDescription: true,
    });
    if (!chosen?.edit) return;
    if (document.version !== version) {
      void vscode.window.showWarningMessage(vscode.l10n.t('The dump has changed meanwhile. Run the command again.'));
      return;
    }
    const edit = await client.protocol2CodeConverter.asWorkspaceEdit(chosen.edit as WorkspaceEdit);
    await vscode.workspace.applyEdit(edit);
  });
}
