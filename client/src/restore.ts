import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  RESTORABLE_LINES,
  RESTORE,
  type Refusal,
  type RestorableLine,
  type RestoreResult,
} from '../../shared-core/src/index.js';
import { activeDump, isRefusal } from './activeDump.js';
import { applyEdit } from './places.js';

/** *Restore from Backup…*: all lines, or chosen ones, as the backup holds them, in one step. */
export function registerRestore(client: BaseLanguageClient): vscode.Disposable {
  return vscode.commands.registerCommand('countersum.restoreFromBackup', async () => {
    const document = activeDump();
    if (!document) return;
    const uri = document.uri.toString();
    const { version } = document;
    const lines = await client.sendRequest<readonly RestorableLine[] | Refusal>(RESTORABLE_LINES, { uri });
    if (isRefusal(lines)) return;
    const items = lines.map(({ label, detail }) => ({
      label: vscode.l10n.t('Line {0}', label),
      description: detail,
      name: label,
      picked: true,
    }));
    const chosen = await vscode.window.showQuickPick(items, {
      canPickMany: true,
      title: vscode.l10n.t('Which lines go back to what the backup holds?'),
      matchOnDescription: true,
    });
    if (chosen === undefined || chosen.length === 0) return;
    const labels = chosen.map(({ name }) => name);
    const result = await client.sendRequest<RestoreResult | Refusal>(RESTORE, { uri, labels });
    if (isRefusal(result)) return;
    if (!(await applyEdit(client, document, { edit: result.edit, version }))) return;
    const left = lines.length - chosen.length;
    void vscode.window.showInformationMessage(
      left === 0
        ? vscode.l10n.t('Every byte is as in the backup again.')
        : vscode.l10n.t('{0} lines are as in the backup again; {1} still differ.', chosen.length, left),
    );
  });
}
