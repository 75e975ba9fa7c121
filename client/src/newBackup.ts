import * as vscode from 'vscode';
import { BACKUP, type BackupParams, type BackupResult } from '../../shared-core/src/index.js';
import type { AskServer } from './ask.js';
import { tick } from './firstSteps.js';
import { addHeadersBeside } from './headersBeside.js';
import { exists, firstFree, writeText } from './newFile.js';
import { nameOf } from './places.js';
import { headersFile } from './rawPair.js';
import { isRaw, rawUri } from './rawUri.js';
import { inform, warn } from './ui.js';

/** The button that makes a backup. */
export function makeABackup(): string {
  return vscode.l10n.t('Make a Backup');
}

/** Makes a backup of a dump, of which the person is told; false where there is none then. */
export async function backupOf(ask: AskServer, document: vscode.TextDocument): Promise<boolean> {
  const params: BackupParams = { uri: document.uri.toString(), isRaw: isRaw(document.uri) };
  const result = await ask<BackupResult>(BACKUP, params);
  if (result === undefined) return false;
  const withHeaders = async (uri: vscode.Uri) => (await exists(uri)) || exists(headersFile(uri));
  const { beside } = result;
  const keepsBeside = isRaw(document.uri) || beside !== undefined;
  const target = await firstFree(document.uri, result.names, keepsBeside ? withHeaders : exists);
  if (target === undefined) {
    void warn(vscode.l10n.t('All names for a backup are taken here. Move old backups away first.'));
    return false;
  }
  // Raw bytes become raw bytes again, with their headers beside them.
  await writeText(isRaw(document.uri) ? rawUri(target) : target, result.text);
  if (beside !== undefined) await writeText(headersFile(target), beside);
  const name = nameOf(target);
  tick('makeBackup');
  const isNamed = await nameBackup(document, result, name);
  const sealed = result.isSaved
    ? vscode.l10n.t('Backup sealed of the file as it was last saved: {0}. Keep a second copy somewhere else.', name)
    : vscode.l10n.t('Backup sealed: {0}. Keep a second copy somewhere else.', name);
  void (isNamed
    ? inform(sealed)
    : warn(vscode.l10n.t('Backup sealed: {0}. The dump has changed meanwhile: write "@backup {0}" into it.', name)));
  return isNamed;
}

/** Names the backup in the dump; not where that has changed since, as the line may be another one by now. */
async function nameBackup(
  document: vscode.TextDocument,
  { line, column, replaces, before, after, version, beside }: BackupResult,
  name: string,
): Promise<boolean> {
  if (document.version !== version) return false;
  if (beside !== undefined) return addHeadersBeside(document.uri, `${before}${name}${after}`, 'backup');
  const edit = new vscode.WorkspaceEdit();
  const header = `${before}${name}${after}`;
  if (replaces) edit.replace(document.uri, document.lineAt(line).range, header);
  else edit.insert(document.uri, new vscode.Position(line, column), header);
  return vscode.workspace.applyEdit(edit);
}
