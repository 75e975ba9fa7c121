import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { BACKUP, type BackupResult, type Refusal } from '../../shared-core/src/index.js';
import { activeDump, isRefusal } from './activeDump.js';

/** *Make a Backup*: a sealed copy beside the dump, which from then on names it. No file is ever overwritten. */
export function registerBackup(client: BaseLanguageClient): vscode.Disposable {
  return vscode.commands.registerCommand('countersum.makeBackup', async () => {
    const document = activeDump();
    if (!document) return;
    const result = await client.sendRequest<BackupResult | Refusal>(BACKUP, { uri: document.uri.toString() });
    if (isRefusal(result)) return;
    const target = await firstFree(document.uri, result.names);
    if (target === undefined) {
      void vscode.window.showWarningMessage(
        vscode.l10n.t('All names for a backup are taken here. Move old backups away first.'),
      );
      return;
    }
    await vscode.workspace.fs.writeFile(target, new TextEncoder().encode(result.text));
    const name = target.path.split('/').at(-1) ?? '';
    await nameBackup(document, result, name);
    void vscode.window.showInformationMessage(
      vscode.l10n.t('Backup sealed: {0}. Keep a second copy somewhere else.', name),
    );
  });
}

/** The first of the names that no file beside another has. */
export async function firstFree(beside: vscode.Uri, names: readonly string[]): Promise<vscode.Uri | undefined> {
  for (const name of names) {
    const target = vscode.Uri.joinPath(beside, '..', name);
    try {
      await vscode.workspace.fs.stat(target);
    } catch {
      return target;
    }
  }
  return undefined;
}

async function nameBackup(
  document: vscode.TextDocument,
  { line, column, replaces, before, after }: BackupResult,
  name: string,
): Promise<void> {
  const edit = new vscode.WorkspaceEdit();
  const header = `${before}${name}${after}`;
  if (replaces) edit.replace(document.uri, document.lineAt(line).range, header);
  else edit.insert(document.uri, new vscode.Position(line, column), header);
  await vscode.workspace.applyEdit(edit);
}
