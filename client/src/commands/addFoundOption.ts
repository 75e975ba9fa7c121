import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  ADD_OPTION,
  type AddOptionParams,
  type AddOptionResult,
  type FindOptionResult,
  type FoundPlace,
  type Refusal,
} from '../../../shared-core/src/index.js';
import { isRefusal } from '../ask.js';
import { askText, confirm, warn } from '../ui.js';
import { keepDraft } from './newProfile.js';

/**
 * Writes a found place into the profile as an option, in place: comments and order stay. Where the dumps have no
 * profile, a draft of one is made beside the dump with the option in it.
 */
export async function addFoundOption(
  client: BaseLanguageClient,
  dump: vscode.Uri,
  { name, profile, naming }: FindOptionResult,
  place: FoundPlace,
): Promise<void> {
  if (profile === null) {
    void warn(vscode.l10n.t('No profile explains these dumps, and none could be learned. Write one first.'));
    return;
  }
  const title = await askText({
    title: vscode.l10n.t('What is the option called?'),
    value: name,
  });
  if (!title) return;
  const id = idOf(title);
  const addTo = async (text: string): Promise<AddOptionResult | undefined> => {
    const params: AddOptionParams = { profile: text, option: { ...(place.option as object), id, title } };
    const added = await client.sendRequest<AddOptionResult | Refusal>(ADD_OPTION, params);
    if (!isRefusal(added)) return added;
    void warn(added.refused);
    return undefined;
  };
  if ('draft' in profile) {
    const added = await addTo(profile.draft);
    if (added) await keepDraft(dump, added.text, naming);
    return;
  }
  const document = await vscode.workspace.openTextDocument(vscode.Uri.parse(profile.uri));
  const { version } = document;
  const added = await addTo(document.getText());
  if (added === undefined || (added.replaces && !(await mayReplace(id)))) return;
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
  const at = document.getText().indexOf(`"id": ${JSON.stringify(id)}`);
  const editor = await vscode.window.showTextDocument(document, vscode.ViewColumn.Beside);
  const position = document.positionAt(Math.max(0, at));
  editor.selection = new vscode.Selection(position, position);
  editor.revealRange(new vscode.Range(position, position), vscode.TextEditorRevealType.InCenter);
}

/** An option of that name is replaced only where the person says so. */
function mayReplace(id: string): Promise<boolean> {
  return confirm(vscode.l10n.t('The profile has an option "{0}" already.', id), vscode.l10n.t('Replace'));
}

/** Words in lower case with hyphens, as ids in profiles are. */
function idOf(title: string): string {
  const words = title.toLowerCase().match(/[\p{L}\p{N}]+/gu) ?? [];
  return words.join('-') || 'option';
}
