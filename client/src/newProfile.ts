import * as vscode from 'vscode';
import type { HeaderPlace } from '../../shared-core/src/index.js';
import { firstFree } from './backup.js';

const MOST_NAMES = 99;

/**
 * Writes a draft of a profile beside a dump, never over another file, and names it in the dump where a place for that
 * is given. The dump stays unsaved, so that one undo takes it back.
 */
export async function keepDraft(dump: vscode.Uri, profile: string, naming: HeaderPlace | null): Promise<void> {
  const stem = (dump.path.split('/').at(-1) ?? '').replace(/\.[^.]*$/, '');
  const names = Array.from({ length: MOST_NAMES }, (_, i) => `${stem}${i === 0 ? '' : `-${i + 1}`}.dump-profile.json`);
  const target = await firstFree(dump, names);
  if (target === undefined) {
    void vscode.window.showWarningMessage(
      vscode.l10n.t('All names for a profile are taken here. Move old ones away first.'),
    );
    return;
  }
  const name = target.path.split('/').at(-1) ?? '';
  if (naming !== null && !(await nameProfile(dump, naming, name))) return;
  await vscode.workspace.fs.writeFile(target, new TextEncoder().encode(profile));
  await vscode.window.showTextDocument(target, { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true });
  void vscode.window.showInformationMessage(
    naming === null
      ? vscode.l10n.t('The draft is {0}. The dump names another profile, and that was left so.', name)
      : vscode.l10n.t('The draft is {0}, and the dump names it. Save the dump to keep that.', name),
  );
}

/** Names a profile in a dump; not where the dump has changed since it was looked at, which the person is told. */
export async function nameProfile(dump: vscode.Uri, naming: HeaderPlace, name: string): Promise<boolean> {
  const document = await vscode.workspace.openTextDocument(dump);
  if (naming.version !== null && document.version !== naming.version) {
    void vscode.window.showWarningMessage(
      vscode.l10n.t('The dump has changed since. Nothing was written; search again.'),
    );
    return false;
  }
  const edit = new vscode.WorkspaceEdit();
  edit.insert(dump, new vscode.Position(naming.line, naming.column), `${naming.before}${name}${naming.after}`);
  return vscode.workspace.applyEdit(edit);
}
