import * as vscode from 'vscode';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  LIST_PROFILES,
  type ListProfilesParams,
  type ListProfilesResult,
  TEST_SAMPLES,
  type TestSamplesResult,
} from '../../../shared-core/src/protocol/profiles.js';
import type { Command } from '../command.js';
import { readMessage, shownRows, type ToldInRow } from '../pages/liveTable.js';
import { openPage } from '../pages/page.js';
import { profilesPage, profilesTable } from '../pages/profilesPage.js';
import type { Services } from '../services.js';

/** *Show Profiles*: what the profiles at hand are for, how sure they are, and what is wrong with them. */
export const showProfiles: Command = {
  id: 'showProfiles',
  title: 'Show Profiles',
  does: 'the profiles of the open folders, of your own (`countersum.profileFolders`) and of `profiles` beside or above the dump: parts, software, options, samples and problems, to be searched and sorted; *Test Samples* proves one',
  run: async (services) => {
    const { client, current } = services;
    const params: ListProfilesParams = { around: current.document()?.uri.toString() ?? null };
    const result = await client.sendRequest<ListProfilesResult>(LIST_PROFILES, params);
    const table = profilesTable(result);
    const panel: vscode.WebviewPanel = openPage(profilesPage, result, {
      answer: async (message) => {
        const told = readMessage(message);
        if (told === undefined) return;
        if ('look' in told) await panel.webview.postMessage(shownRows(table, told.look));
        else await press(services, result, told.press, (said) => panel.webview.postMessage(said));
      },
    });
  },
};

async function press(
  { client }: Services,
  { profiles }: ListProfilesResult,
  pressed: string,
  tell: (said: ToldInRow) => unknown,
): Promise<void> {
  const [kind, ...numbers] = pressed.split('.');
  const [row = -1, item = -1] = numbers.map(Number);
  const profile = profiles[row];
  if (kind === 'settings')
    await vscode.commands.executeCommand('workbench.action.openSettings', 'countersum.profileFolders');
  if (profile === undefined) return;
  if (kind === 'file') await goToStart(profile.uri, 0);
  const at = { option: profile.options, problem: profile.problems }[kind ?? '']?.[item]?.at;
  if (at !== undefined) await goToStart(at.uri, at.start);
  if (kind !== 'test') return;
  tell({ row, told: vscode.l10n.t('Testing…') });
  const { uri } = profile;
  const answer = await client.sendRequest<TestSamplesResult | Refusal>(TEST_SAMPLES, { uri });
  tell({ row, told: 'refused' in answer ? answer.refused : answer.says.join('\n') });
}

async function goToStart(uri: string, start: number): Promise<void> {
  const document = await vscode.workspace.openTextDocument(vscode.Uri.parse(uri));
  const at = document.positionAt(start);
  await vscode.window.showTextDocument(document, { selection: new vscode.Range(at, at) });
}
