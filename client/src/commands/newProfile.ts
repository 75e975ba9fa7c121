import * as vscode from 'vscode';
import type { HeaderPlace } from '../../../shared-core/src/index.js';
import { firstFree, namesLike, writeText } from '../newFile.js';
import { nameOf } from '../places.js';
import { inform, warn } from '../ui.js';

/**
 * Writes a draft of a profile beside a dump, never over another file, and names it in the dump where a place for that
 * is given. The dump stays unsaved, so that one undo takes it back.
 */
export async function keepDraft(dump: vscode.Uri, profile: string, naming: HeaderPlace | null): Promise<void> {
  const target = await firstFree(dump, namesLike(dump, 'dump-profile.json'));
  if (target === undefined) {
    void warn(vscode.l10n.t('All names for a profile are taken here. Move old ones away first.'));
    return;
  }
  const name = nameOf(target);
  if (naming !== null && !(await nameProfile(dump, naming, name))) return;
  await writeText(target, profile);
  await vscode.window.showTextDocument(target, { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true });
  if (naming === null)
    void inform(vscode.l10n.t('The draft is {0}. The dump names another profile, and that was left so.', name));
  else void offerToSave(dump, vscode.l10n.t('The draft is {0}, and the dump names it.', name));
}

async function offerToSave(dump: vscode.Uri, message: string): Promise<void> {
  const save = vscode.l10n.t('Save the Dump');
  if ((await inform(message, save)) === save) await (await vscode.workspace.openTextDocument(dump)).save();
}

/** Names a profile in a dump; not where the dump has changed since it was looked at, which the person is told. */
export async function nameProfile(dump: vscode.Uri, naming: HeaderPlace, name: string): Promise<boolean> {
  const document = await vscode.workspace.openTextDocument(dump);
  if (naming.version !== null && document.version !== naming.version) {
    void warn(vscode.l10n.t('The dump has changed since. Nothing was written; search again.'));
    return false;
  }
  const edit = new vscode.WorkspaceEdit();
  edit.insert(dump, new vscode.Position(naming.line, naming.column), `${naming.before}${name}${naming.after}`);
  return vscode.workspace.applyEdit(edit);
}
