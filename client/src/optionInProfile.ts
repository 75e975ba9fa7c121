import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import type { DraftOption } from '../../shared-core/src/learn/index.js';
import type { Refusal } from '../../shared-core/src/protocol/common.js';
import { ADD_OPTION, type AddOptionParams, type AddOptionResult } from '../../shared-core/src/protocol/learning.js';
import { isRefusal } from './ask.js';
import { nameOf } from './places.js';
import { replaceIn, tellWithProfile } from './profileText.js';
import { confirm, inform, warn } from './ui.js';

/** The text of a profile with an option in it, where nothing speaks against that; the person is told what does. */
export async function withOption(
  client: BaseLanguageClient,
  profile: string,
  option: DraftOption,
  uri?: vscode.Uri,
): Promise<AddOptionResult | undefined> {
  const params: AddOptionParams = { profile, option, ...(uri && { uri: uri.toString() }) };
  const added = await client.sendRequest<AddOptionResult | Refusal>(ADD_OPTION, params);
  if (!isRefusal(added)) return added;
  void warn(added.refused);
  return undefined;
}

/**
 * Writes an option into a profile, in place: comments and order stay. The person is told, with a button that shows it; false
 * where nothing was written.
 */
export async function writeOption(
  client: BaseLanguageClient,
  profile: vscode.Uri,
  option: DraftOption,
): Promise<boolean> {
  const document = await vscode.workspace.openTextDocument(profile);
  const { version } = document;
  const added = await withOption(client, document.getText(), option, profile);
  if (added === undefined || (added.replaces && !(await mayReplace(option.id)))) return false;
  if (document.version !== version) {
    void warn(vscode.l10n.t('The profile has changed meanwhile. Add the option again.'));
    return false;
  }
  const { isDirty } = document;
  if (!(await replaceIn(document, added.edits))) {
    void warn(vscode.l10n.t('The editor did not take the changes. Nothing was written.'));
    return false;
  }
  if (!isDirty) await document.save();
  const said = vscode.l10n.t('The option "{0}" is in the profile {1}.', option.title || option.id, nameOf(profile));
  // Nothing waits for the person to press a button of it.
  void tellWithProfile(profile, said, inform, (text) => text.indexOf(`"id": ${JSON.stringify(option.id)}`));
  return true;
}

/** An option of that name is replaced only where the person says so. */
function mayReplace(id: string): Promise<boolean> {
  return confirm(vscode.l10n.t('The profile has an option "{0}" already.', id), 'replace');
}
