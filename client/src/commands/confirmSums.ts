import * as vscode from 'vscode';
import {
  UNCONFIRMED_SUMS,
  type UnconfirmedSumsParams,
  type UnconfirmedSumsResult,
} from '../../../shared-core/src/protocol/learning.js';
import { nameOf } from '../places.js';
import { changeProfileText } from '../profileText.js';
import type { Services } from '../services.js';
import { confirmRisk, inform } from '../ui.js';

/** Takes the guess away from the file sums of a profile that dumps with other values follow, once the person has seen which. */
export async function confirmSums({ client }: Services, profile: vscode.Uri): Promise<void> {
  const params: UnconfirmedSumsParams = { profile: profile.toString() };
  const { wish, says } = await client.sendRequest<UnconfirmedSumsResult>(UNCONFIRMED_SUMS, params);
  if (wish === null) {
    void inform(vscode.l10n.t('No dumps here confirm a file sum of {0}.', nameOf(profile)));
    return;
  }
  const question = vscode.l10n.t('Write into {0} that its file sum is confirmed?', nameOf(profile));
  if (!(await confirmRisk(question, 'write', says))) return;
  const said = vscode.l10n.t('The file sum in {0} is no guess any more.', nameOf(profile));
  await changeProfileText(client, profile, wish, said);
}
