import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  VERIFY_READ_BACK,
  type VerifyReadBackParams,
  type VerifyReadBackResult,
} from '../../../shared-core/src/protocol/retrofit.js';
import { type Command, onDump } from '../command.js';
import { nameOf } from '../places.js';
import { changeProfileText } from '../profileText.js';
import type { Services } from '../services.js';
import { askText, chooseOne, inform, warn } from '../ui.js';
import { chooseReading } from './chooseReading.js';
import { HAS_DUMP, IN_DUMP } from './conditions.js';

/** *Verify Read-back…*: whether what was read from the module is what the dump in the editor planned, as a page. */
export const verifyReadBack: Command = {
  id: 'verifyReadBack',
  title: 'Verify Read-back…',
  does: 'holds what was read from the module against the dump in the editor, with the likely cause of each difference',
  icon: 'verified',
  when: HAS_DUMP,
  menus: [{ menu: 'editor/context', group: '1_countersum3@3', when: IN_DUMP }],
  run: onDump(async (services, document) => {
    const read = await chooseReading(services.client, document.uri);
    if (read !== undefined) await verify(services, document, read);
  }),
};

/** Shows as a page whether what was read is what a dump planned. */
export async function verify(services: Services, document: vscode.TextDocument, read: vscode.Uri): Promise<void> {
  const params: VerifyReadBackParams = { uri: document.uri.toString(), read: read.toString() };
  const result = await services.ask<VerifyReadBackResult>(VERIFY_READ_BACK, params);
  if (result === undefined) return;
  await services.showPage(result.title, result.page);
  // The message stays until it is read; the command is done before.
  void tell(services, document, read, result);
}

async function tell(
  services: Services,
  planned: vscode.TextDocument,
  read: vscode.Uri,
  { matches, verdict, seen }: VerifyReadBackResult,
): Promise<void> {
  // It may stay while another reading is looked at.
  const says = `${nameOf(read)}: ${verdict}`;
  if (matches) {
    const chosen = seen.length > 0 ? await inform(says, 'noteSeen') : await inform(says);
    // By then either file may be another.
    if (chosen === 'noteSeen') await noteTried(services, planned, read);
    return;
  }
  if ((await warn(says, 'compare')) !== 'compare') return;
  await vscode.window.showTextDocument(planned);
  await services.comparison.show(planned, read);
}

/** Notes in the profile what a read-back shows, once it is verified anew and the person says that it was tried. */
export async function noteTried(services: Services, document: vscode.TextDocument, read: vscode.Uri): Promise<void> {
  const params: VerifyReadBackParams = { uri: document.uri.toString(), read: read.toString() };
  const result = await services.ask<VerifyReadBackResult>(VERIFY_READ_BACK, params);
  if (result === undefined) return;
  if (result.seen.length > 0) await noteSeen(services.client, result.seen);
  else if (!result.matches) void warn(`${nameOf(read)}: ${result.verdict}`);
  else if (result.whyUnseen !== null) void warn(result.whyUnseen);
  else void inform(vscode.l10n.t('There is nothing new to be noted in the profile.'));
}

/** Writes into the profiles in which the options are that were set, by whom they were set and tried; nothing where they were not. */
async function noteSeen(client: BaseLanguageClient, seen: VerifyReadBackResult['seen']): Promise<void> {
  if (!(await isTried(seen.flatMap(({ titles }) => titles)))) return;
  const by = await askText({
    title: vscode.l10n.t('Who set and tried it?'),
    prompt: vscode.l10n.t('Stands in the profile. May stay empty; copies that are shared leave it out.'),
    ignoreFocusOut: true,
  });
  if (by === undefined) return;
  for (const { file, titles, wish } of seen) {
    const profile = vscode.Uri.parse(file);
    const named = wish.seen.map(({ id, observation }) => ({
      id,
      observation: by.trim() === '' ? observation : { ...observation, by: by.trim() },
    }));
    const said = vscode.l10n.t('Noted in {0} as set and tried: {1}', nameOf(profile), titles.join(', '));
    await changeProfileText(client, profile, { kind: 'seen', seen: named }, said);
  }
}

/** Asks whether what was set works in the car: only that is worth noting. */
async function isTried(titles: readonly string[]): Promise<boolean> {
  const works = { label: vscode.l10n.t('It was tried in the car and works'), detail: vscode.l10n.t('That is noted') };
  const notYet = {
    label: vscode.l10n.t('Not tried yet'),
    detail: vscode.l10n.t('Nothing is noted. The Job view keeps the button for later'),
  };
  const fails = {
    label: vscode.l10n.t('It was tried and does not work'),
    detail: vscode.l10n.t('Nothing is noted. "Go Back to the Backup…" in the Job view undoes the work'),
  };
  const title = vscode.l10n.t('Was it tried in the car? {0}', titles.join(', '));
  return (await chooseOne([notYet, works, fails], { title, ignoreFocusOut: true })) === works;
}
