import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import type { TakenOption } from '../../shared-core/src/protocol/learning.js';
import { nameOf } from './places.js';
import { changeProfileText } from './profileText.js';
import { confirm } from './ui.js';

/** Takes an option out of a profile, once the person has said so. */
export async function removeFrom(
  client: BaseLanguageClient,
  profile: vscode.Uri,
  { id, title }: Pick<TakenOption, 'id' | 'title'>,
): Promise<void> {
  const question = vscode.l10n.t('Remove the option "{0}" from the profile {1}?', title, nameOf(profile));
  const detail = vscode.l10n.t('Dumps stay as they are. One undo in the profile brings it back.');
  if (!(await confirm(question, 'remove', [detail]))) return;
  const said = vscode.l10n.t('The option "{0}" is out of the profile.', title);
  await changeProfileText(client, profile, { kind: 'remove', id }, said);
}

/** Makes an option have all of some digits, once the person has seen what becomes of its values. */
export async function widenIn(
  client: BaseLanguageClient,
  profile: vscode.Uri,
  { title, widen }: Pick<TakenOption, 'title' | 'widen'>,
): Promise<void> {
  if (widen === null) return;
  const question = vscode.l10n.t('Widen the option "{0}" in the profile {1}?', title, nameOf(profile));
  if (!(await confirm(question, 'widen', widen.asks))) return;
  const said = vscode.l10n.t('The option "{0}" is wider in the profile now.', title);
  await changeProfileText(client, profile, widen.wish, said);
}
