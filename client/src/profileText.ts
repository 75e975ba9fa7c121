import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import type { ProfileWish } from '../../shared-core/src/learn/index.js';
import type { Refusal } from '../../shared-core/src/protocol/common.js';
import {
  CHANGE_PROFILE,
  type ChangeProfileParams,
  type ChangeProfileResult,
} from '../../shared-core/src/protocol/learning.js';
import { isRefusal } from './ask.js';
import type { Button } from './buttons.js';
import { inform, warn } from './ui.js';

/**
 * Changes a profile in place, as one undo; comments and order stay. It is saved where it had nothing unsaved, and the
 * person is told, with a button that shows it.
 */
export async function changeProfileText(
  client: BaseLanguageClient,
  profile: vscode.Uri,
  wish: ProfileWish,
  said: string,
): Promise<void> {
  const document = await vscode.workspace.openTextDocument(profile);
  const { version, isDirty } = document;
  const params: ChangeProfileParams = { profile: document.getText(), uri: profile.toString(), wish };
  const changed = await client.sendRequest<ChangeProfileResult | Refusal>(CHANGE_PROFILE, params);
  if (isRefusal(changed)) return tellWithProfile(profile, changed.refused, warn);
  if (document.version !== version) {
    void warn(vscode.l10n.t('The profile has changed meanwhile. Try again.'));
    return;
  }
  if (!(await replaceIn(document, changed.edits))) {
    void warn(vscode.l10n.t('The editor did not take the changes. Nothing was written.'));
    return;
  }
  if (!isDirty) await document.save();
  void tellWithProfile(profile, said, inform);
}

/** Writes stretches of a document anew, in one edit. */
export async function replaceIn(document: vscode.TextDocument, edits: ChangeProfileResult['edits']): Promise<boolean> {
  const edit = new vscode.WorkspaceEdit();
  for (const { offset, length, text } of edits) {
    const range = new vscode.Range(document.positionAt(offset), document.positionAt(offset + length));
    edit.replace(document.uri, range, text);
  }
  return vscode.workspace.applyEdit(edit);
}

/** Says something of a profile, with a button that shows it, at a place in it where that is given. */
export async function tellWithProfile(
  profile: vscode.Uri,
  said: string,
  tell: (said: string, open: Button) => Promise<Button | undefined>,
  offset?: (text: string) => number,
): Promise<void> {
  if ((await tell(said, 'openProfile')) !== 'openProfile') return;
  const document = await vscode.workspace.openTextDocument(profile);
  const at = document.positionAt(Math.max(0, offset?.(document.getText()) ?? 0));
  await vscode.window.showTextDocument(document, { selection: new vscode.Range(at, at) });
}
