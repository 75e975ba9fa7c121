import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  BALANCE_AT,
  BALANCE_CHOICES,
  type BalanceAtParams,
  type BalanceChoice,
  type BalanceChoices,
  type BalanceParams,
  type Refusal,
} from '../../shared-core/src/index.js';
import { activeDump, isRefusal } from './activeDump.js';
import { applyEdit } from './places.js';

/** *Rebalance Using a Line…*: all lines that could take up the difference; in a memory image, addresses of one's choice. */
export function registerRebalance(client: BaseLanguageClient): vscode.Disposable {
  return vscode.commands.registerCommand('countersum.rebalance', async () => {
    const document = activeDump();
    if (!document) return;
    const { version } = document;
    const selected = vscode.window.activeTextEditor?.selection;
    const params: BalanceParams = {
      uri: document.uri.toString(),
      ...(selected && { selection: client.code2ProtocolConverter.asRange(selected) }),
    };
    const choices = await client.sendRequest<BalanceChoices>(BALANCE_CHOICES, params);
    if (isRefusal(choices)) return;
    const chosen =
      'suggested' in choices ? await askAddresses(client, document, choices.suggested) : await chooseLine(choices);
    if (!chosen?.edit) return;
    await applyEdit(client, document, { edit: chosen.edit, version });
  });
}

async function chooseLine(choices: readonly BalanceChoice[]): Promise<Pick<BalanceChoice, 'edit'> | undefined> {
  const items = choices.map(({ title, detail, edit }) => ({ label: title, description: detail, edit }));
  const able = items.filter(({ edit }) => edit !== null);
  const unable = items.filter(({ edit }) => edit === null);
  const separator = { label: vscode.l10n.t('Cannot'), kind: vscode.QuickPickItemKind.Separator, edit: null };
  return vscode.window.showQuickPick([...able, separator, ...unable], {
    title: vscode.l10n.t('Which line is to take up the difference?'),
    placeHolder: vscode.l10n.t('Choose a line whose bytes mean nothing on this car'),
    matchOnDescription: true,
  });
}

/** What the bytes at the addresses would become is shown while they are typed. */
async function askAddresses(
  client: BaseLanguageClient,
  document: vscode.TextDocument,
  suggested: string,
): Promise<BalanceChoice | undefined> {
  let shown: { readonly addresses: string; readonly answer: BalanceChoice | Refusal } | undefined;
  const solve = async (addresses: string): Promise<BalanceChoice | Refusal> => {
    const params: BalanceAtParams = { uri: document.uri.toString(), addresses };
    const answer = await client.sendRequest<BalanceChoice | Refusal>(BALANCE_AT, params);
    shown = { addresses, answer };
    return answer;
  };
  const addresses = await vscode.window.showInputBox({
    title: vscode.l10n.t('Which addresses are to take up the difference?'),
    prompt: vscode.l10n.t('Addresses in hex whose bytes mean nothing on this car, such as 1F0..1FF'),
    value: suggested,
    ignoreFocusOut: true,
    validateInput: async (text) => {
      if (text.trim() === '') return undefined;
      const answer = await solve(text);
      if ('refused' in answer) return answer.refused;
      const message = vscode.l10n.t('{0} – {1}. Press Enter to write it.', answer.title, answer.detail);
      return { message, severity: vscode.InputBoxValidationSeverity.Info };
    },
  });
  if (addresses === undefined || addresses.trim() === '') return undefined;
  const answer = shown?.addresses === addresses ? shown.answer : await solve(addresses);
  return isRefusal(answer) ? undefined : answer;
}
