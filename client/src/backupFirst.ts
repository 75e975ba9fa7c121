import * as vscode from 'vscode';
import type { AskServer } from './ask.js';
import { backupOf } from './newBackup.js';
import { choosing } from './ui.js';
import type { WriteEdit } from './writeEdit.js';

/** Offers a backup before a dump is changed that has none; false where the dump is to stay as it is. */
export type BackupFirst = (document: vscode.TextDocument, write: WriteEdit) => Promise<boolean>;

/** Whoever wants none is not asked again for that dump while it is open. */
export function createBackupFirst(ask: AskServer): BackupFirst & vscode.Disposable {
  const declined = new Set<string>();
  const closed = vscode.workspace.onDidCloseTextDocument(({ uri }) => declined.delete(uri.toString()));
  const first: BackupFirst = async (document, write) => {
    const uri = document.uri.toString();
    if (declined.has(uri)) return true;
    const question = vscode.l10n.t('This dump has no backup, so nothing would lead back to what was read.');
    const chosen = await choosing(question, ['makeBackupFirst', 'withoutBackup']);
    if (chosen === 'makeBackupFirst') return backupOf({ ask, write }, document);
    if (chosen === 'withoutBackup') declined.add(uri);
    return chosen === 'withoutBackup';
  };
  return Object.assign(first, { dispose: () => closed.dispose() });
}
