import * as vscode from 'vscode';
import {
  BALANCE_AT,
  BALANCE_CHOICES,
  type BalanceAtParams,
  type BalanceChoice,
  type BalanceChoices,
  type BalanceParams,
} from '../../../shared-core/src/protocol/balance.js';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import { isRefusal } from '../ask.js';
import { makeChange } from '../change.js';
import { type Command, onDump } from '../command.js';
import type { Services } from '../services.js';
import { askText, chooseOne } from '../ui.js';
import { HAS_PROFILE, IN_EDITABLE_DUMP, WITHOUT_PROFILE } from './conditions.js';

const CAN_BALANCE = `${IN_EDITABLE_DUMP} && !${WITHOUT_PROFILE}`;

/** *Rebalance Using a Line…*: all lines that could take up the difference; in a memory image, addresses of one's choice. */
export const rebalance: Command = {
  id: 'rebalance',
  title: 'Rebalance Using a Line…',
  does: 'lists all lines that could take up the difference, with what each would change; in a memory image it asks for addresses and shows, as you type, what they would become, whether that is the only way, or why it cannot be done',
  when: HAS_PROFILE,
  menus: [{ menu: 'editor/context', group: '1_countersum@3', when: CAN_BALANCE }],
  run: onDump(async (services, document) => {
    const { client, ask } = services;
    const { version } = document;
    const selected = vscode.window.visibleTextEditors.find((shown) => shown.document === document)?.selection;
    const params: BalanceParams = {
      uri: document.uri.toString(),
      ...(selected && { selection: client.code2ProtocolConverter.asRange(selected) }),
    };
    const choices = await ask<BalanceChoices>(BALANCE_CHOICES, params);
    if (choices === undefined) return;
    const chosen =
      'suggested' in choices ? await askAddresses(services, document, choices.suggested) : await chooseLine(choices);
    if (!chosen?.edit) return;
    await makeChange(services, document, { ...chosen, edit: chosen.edit, version });
  }),
};

async function chooseLine(choices: readonly BalanceChoice[]): Promise<BalanceChoice | undefined> {
  const items = choices.map((choice) => ({ label: choice.title, description: choice.detail, choice }));
  const separator = { label: vscode.l10n.t('Cannot'), kind: vscode.QuickPickItemKind.Separator, choice: undefined };
  const [able, unable] = [true, false].map((can) => items.filter(({ choice }) => (choice.edit !== null) === can));
  const chosen = await chooseOne([...(able ?? []), separator, ...(unable ?? [])], {
    title: vscode.l10n.t('Which line is to take up the difference?'),
    placeHolder: vscode.l10n.t('Choose a line whose bytes mean nothing on this car'),
  });
  return chosen?.choice;
}

/** What the bytes at the addresses would become is shown while they are typed. */
async function askAddresses(
  { client, ask }: Services,
  document: vscode.TextDocument,
  suggested: string,
): Promise<BalanceChoice | undefined> {
  const paramsFor = (addresses: string): BalanceAtParams => ({ uri: document.uri.toString(), addresses });
  const addresses = await askText({
    title: vscode.l10n.t('Which addresses are to take up the difference?'),
    prompt: vscode.l10n.t('Addresses in hex whose bytes mean nothing on this car, such as 1F0..1FF'),
    value: suggested,
    ignoreFocusOut: true,
    check: async (text) => {
      if (text.trim() === '') return undefined;
      const answer = await client.sendRequest<BalanceChoice | Refusal>(BALANCE_AT, paramsFor(text));
      if (isRefusal(answer)) return { says: answer.refused, takes: answer.asks !== undefined };
      const { title, detail } = answer;
      return { says: vscode.l10n.t('{0} – {1}. Press Enter to write it.', title, detail), takes: true };
    },
  });
  if (addresses === undefined || addresses.trim() === '') return undefined;
  return ask<BalanceChoice>(BALANCE_AT, paramsFor(addresses));
}
