import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  LEARN,
  LEARN_FROM,
  type LearnFromResult,
  type LearnParams,
  type LearnResult,
  type Refusal,
} from '../../shared-core/src/index.js';
import { activeDump, isRefusal } from './activeDump.js';
import { learnPage } from './learnPage.js';
import { keepDraft, nameProfile } from './newProfile.js';
import { pageHtml } from './page.js';
import { searching } from './searching.js';

/** *Learn How a Dump Sums*: rules that explain a dump that nobody has described, as a page to choose from. */
export function registerLearn(client: BaseLanguageClient): vscode.Disposable {
  return vscode.commands.registerCommand('countersum.learn', async (given?: string) => {
    const uri = given === undefined ? activeDump()?.uri : vscode.Uri.parse(given);
    if (uri === undefined) return;
    const found = await client.sendRequest<LearnFromResult | Refusal>(LEARN_FROM, { uri: uri.toString() });
    if (isRefusal(found) || (await takesKnown(uri, found))) return;
    const others = await chooseOthers(found.dumps);
    if (others === undefined) return;
    const params: LearnParams = { uri: uri.toString(), others };
    const result = await searching(vscode.l10n.t('Learning how the dump sums'), (token) =>
      client.sendRequest<LearnResult | Refusal>(LEARN, params, token),
    );
    if (result === undefined || isRefusal(result)) return;
    show(uri, result);
  });
}

/** Where a profile of the workspace fits already, nothing need be learned. True as well where the person goes away. */
async function takesKnown(uri: vscode.Uri, { profiles, naming }: LearnFromResult): Promise<boolean> {
  if (naming === null || profiles.length === 0) return false;
  const known = profiles.map((path) => ({ label: vscode.l10n.t('Name {0} in the dump', path), path }));
  const learn = { label: vscode.l10n.t('Learn all the same'), path: undefined };
  const chosen = await vscode.window.showQuickPick([...known, learn], {
    title: vscode.l10n.t('A profile in this folder explains all lines and sums of this dump.'),
  });
  if (chosen?.path !== undefined) await nameProfile(uri, naming, chosen.path);
  return chosen !== learn;
}

/** More dumps of the same module make a rule surer; which ones they are only a person knows for certain. */
async function chooseOthers(dumps: LearnFromResult['dumps']): Promise<readonly string[] | undefined> {
  if (dumps.length === 0) return [];
  const items = dumps.map(({ uri: other, name, alike }) => ({
    label: name,
    description: alike ? '' : vscode.l10n.t('other lines, or another part'),
    picked: alike,
    other,
  }));
  const chosen = await vscode.window.showQuickPick(items, {
    title: vscode.l10n.t('Which dumps are of the same module? More dumps make it surer.'),
    canPickMany: true,
  });
  return chosen?.map(({ other }) => other);
}

function show(dump: vscode.Uri, result: LearnResult): void {
  const content = learnPage(result);
  const panel = vscode.window.createWebviewPanel('countersum.learned', content.title, vscode.ViewColumn.Active, {
    enableScripts: true,
    localResourceRoots: [],
  });
  panel.webview.html = pageHtml(content);
  panel.webview.onDidReceiveMessage((message: { readonly add?: unknown }) => {
    const rule = result.rules[Number(message.add)];
    if (rule !== undefined) void keepDraft(dump, rule.profile, result.naming);
  });
}
