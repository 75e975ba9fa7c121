import * as vscode from 'vscode';
import { ALL_SUMS } from '../../shared-core/src/index.js';
import { activeDump } from './activeDump.js';

/** *Make All Sums Right*: the quick fix of the same name, for those who look in the command palette. */
export function registerRepair(): vscode.Disposable {
  return vscode.commands.registerCommand('countersum.rightAllSums', async () => {
    const document = activeDump();
    if (!document) return;
    const whole = new vscode.Range(0, 0, document.lineCount, 0);
    const [action] = await vscode.commands.executeCommand<vscode.CodeAction[]>(
      'vscode.executeCodeActionProvider',
      document.uri,
      whole,
      ALL_SUMS,
    );
    if (action?.disabled) void vscode.window.showWarningMessage(action.disabled.reason);
    else if (action?.edit) await vscode.workspace.applyEdit(action.edit);
    else void vscode.window.showInformationMessage(vscode.l10n.t('All sums of this dump are right.'));
  });
}
