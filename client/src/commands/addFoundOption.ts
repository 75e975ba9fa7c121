import * as vscode from 'vscode';
import {
  addOption,
  type DraftOption,
  editedProfile,
  type FindOptionResult,
  type FoundPlace,
  readProfile,
  say,
  whyNotAdded,
} from '../../../shared-core/src/index.js';
import { askText, confirm, warn } from '../ui.js';
import { keepDraft } from './newProfile.js';

/**
 * Writes a found place into the profile as an option, in place: comments and order stay. Where the dumps have no
 * profile, a draft of one is made beside the dump with the option in it.
 */
export async function addFoundOption(
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
  const option: DraftOption = { ...(place.option as DraftOption), id: idOf(title), title };
  if ('draft' in profile) {
    await keepDraft(dump, editedProfile(profile.draft, addOption(profile.draft, option)), naming);
    return;
  }
  const document = await vscode.workspace.openTextDocument(vscode.Uri.parse(profile.uri));
  const refused = whyNotAdded(document.getText(), option);
  if (refused !== undefined) {
    void warn(say(refused, vscode.l10n.bundle));
    return;
  }
  if (!(await mayAdd(document.getText(), option))) return;
  const edits = addOption(document.getText(), option);
  if (edits.length === 0) {
    void warn(vscode.l10n.t('The profile is no JSON object, so nothing can be added to it.'));
    return;
  }
  const edit = new vscode.WorkspaceEdit();
  for (const { offset, length, text } of edits) {
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
async function mayAdd(text: string, { id }: DraftOption): Promise<boolean> {
  if (!readProfile(text).profile.options.some((known) => known.id === id)) return true;
  const replace = vscode.l10n.t('Replace');
  const question = vscode.l10n.t('The profile has an option "{0}" already.', id);
  return confirm(question, replace);
}

/** Words in lower case with hyphens, as ids in profiles are. */
function idOf(title: string): string {
  const words = title.toLowerCase().match(/[\p{L}\p{N}]+/gu) ?? [];
  return words.join('-') || 'option';
}
