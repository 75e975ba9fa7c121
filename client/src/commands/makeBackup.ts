import * as vscode from 'vscode';
import { BACKUP, type BackupParams, type BackupResult } from '../../../shared-core/src/index.js';
import { type Command, onDump } from '../command.js';
import { exists, firstFree, writeText } from '../newFile.js';
import { nameOf } from '../places.js';
import { headersFile } from '../rawPair.js';
import { isRaw, rawUri } from '../rawUri.js';
import { inform, warn } from '../ui.js';
import { IN_EDITABLE_DUMP, WITHOUT_BACKUP } from './conditions.js';

/** *Make a Backup*: a sealed copy beside the dump, which from then on names it. No file is ever overwritten. */
export const makeBackup: Command = {
  id: 'makeBackup',
  title: 'Make a Backup',
  does: 'writes a sealed copy beside the dump and names it there',
  icon: 'save-as',
  when: IN_EDITABLE_DUMP,
  menus: [{ menu: 'editor/context', group: '1_countersum2@5', when: `${IN_EDITABLE_DUMP} && ${WITHOUT_BACKUP}` }],
  run: onDump(async ({ ask }, document) => {
    const params: BackupParams = { uri: document.uri.toString(), isRaw: isRaw(document.uri) };
    const result = await ask<BackupResult>(BACKUP, params);
    if (result === undefined) return;
    const withHeaders = async (uri: vscode.Uri) => (await exists(uri)) || exists(headersFile(uri));
    const target = await firstFree(document.uri, result.names, isRaw(document.uri) ? withHeaders : exists);
    if (target === undefined) {
      void warn(vscode.l10n.t('All names for a backup are taken here. Move old backups away first.'));
      return;
    }
    // Raw bytes become raw bytes again, with their headers beside them.
    await writeText(isRaw(document.uri) ? rawUri(target) : target, result.text);
    const name = nameOf(target);
    void ((await nameBackup(document, result, name))
      ? inform(vscode.l10n.t('Backup sealed: {0}. Keep a second copy somewhere else.', name))
      : warn(vscode.l10n.t('Backup sealed: {0}. The dump has changed meanwhile: write "@backup {0}" into it.', name)));
  }),
};

/** Names the backup in the dump; not where that has changed since, as the line may be another one by now. */
async function nameBackup(
  document: vscode.TextDocument,
  { line, column, replaces, before, after, version }: BackupResult,
  name: string,
): Promise<boolean> {
  if (document.version !== version) return false;
  const edit = new vscode.WorkspaceEdit();
  const header = `${before}${name}${after}`;
  if (replaces) edit.replace(document.uri, document.lineAt(line).range, header);
  else edit.insert(document.uri, new vscode.Position(line, column), header);
  return vscode.workspace.applyEdit(edit);
}
