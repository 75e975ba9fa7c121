import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  ADD_OPTION,
  type AddOptionParams,
  type AddOptionResult,
  type DraftOption,
  type Refusal,
} from '../../shared-core/src/index.js';
import { isRefusal } from './ask.js';
import { confirm, warn } from './ui.js';

/** The text of a profile with an option in it, where nothing speaks against that; the person is told what does. */
export async function withOption(
  client: BaseLanguageClient,
  profile: string,
  option: DraftOption,
): Promise<AddOptionResult | undefined> {
  const params: AddOptionParams = { profile, option };
  const added = await client.sendRequest<AddOptionResult | Refusal>(ADD_OPTION, params);
  if (!isRefusal(added)) return added;
  void warn(added.refused);
  return undefined;
}

/** Writes an option into a profile, in place: comments and order stay. The profile is shown, unsaved. */
export async function writeOption(client: BaseLanguageClient, profile: vscode.Uri, option: DraftOption): Promise<void> {
  const document = await vscode.workspace.openTextDocument(profile);
  const { version } = document;
  const added = await withOption(client, document.getText(), option);
  if (added === undefined || (added.replaces && !(await mayReplace(option.id)))) return;
  if (document.version !== version) {
    void warn(vscode.l10n.t('The profile has changed meanwhile. Add the option again.'));
    return;
  }
  const edit = new vscode.WorkspaceEdit();
  for (const { offset, length, text } of added.edits) {
    const range = new vscode.Range(document.positionAt(offset), document.positionAt(offset + length));
    edit.replace(document.uri, range, text);
  }
  await vscode.workspace.applyEdit(edit);
  const at = document.getText().indexOf(`"id": ${JSON.stringify(option.id)}`);
  const editor = await vscode.window.showTextDocument(document, vscode.ViewColumn.Beside);
  const position = document.positionAt(Math.max(0, at));
  editor.selection = new vscode.Selection(position, position);
  editor.revealRange(new vscode.Range(position, position), vscode.TextEditorRevealType.InCenter);
}

/** An option of that name is replaced only where the person says so. */
function mayReplace(id: string): Promise<boolean> {
  return confirm(vscode.l10n.t('The profile has an option "{0}" already.', id), vscode.l10n.t('Replace'));
}
