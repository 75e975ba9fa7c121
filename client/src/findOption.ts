import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  FIND_OPTION,
  type FindOptionParams,
  type FindOptionResult,
  OPTION_GROUPS,
  type OptionGroupsResult,
  PLAN_TRIALS,
  type PlanTrialsResult,
  type Refusal,
} from '../../shared-core/src/index.js';
import { activeDump, isRefusal } from './activeDump.js';
import { addFoundOption } from './addFoundOption.js';
import { offerToKeep } from './keepPage.js';
import { optionPage } from './optionPage.js';
import { pageHtml } from './page.js';
import type { ShowPage } from './pages.js';
import { searching } from './searching.js';

/** *Find an Option*: the places that tell dumps of cars with some equipment from those without it, as a page. */
export function registerFindOption(client: BaseLanguageClient, showPage: ShowPage): vscode.Disposable {
  return vscode.commands.registerCommand('countersum.findOption', async () => {
    const uri = activeDump()?.uri;
    if (uri === undefined) return;
    const params = await chooseGroups(client, uri);
    if (params === undefined) return;
    const result = await searching(vscode.l10n.t('Looking for {0}', params.tag), (token) =>
      client.sendRequest<FindOptionResult | Refusal>(FIND_OPTION, params, token),
    );
    if (result === undefined || isRefusal(result)) return;
    show(result as FindOptionResult, uri, () => planTrials(client, params, showPage));
  });
}

/** By what the headers say, or by hand. */
async function chooseGroups(client: BaseLanguageClient, uri: vscode.Uri): Promise<FindOptionParams | undefined> {
  const groups = await client.sendRequest<OptionGroupsResult | Refusal>(OPTION_GROUPS, { uri: uri.toString() });
  if (isRefusal(groups)) return undefined;
  const { tags, dumps } = groups as OptionGroupsResult;
  const byHand = { label: vscode.l10n.t('Choose the dumps…'), description: '', tag: undefined };
  const items = tags.map(({ tag, fitted, absent }) => ({
    label: tag,
    description: vscode.l10n.t('{0} with, {1} without', fitted, absent),
    tag,
  }));
  const chosen =
    items.length === 0
      ? byHand
      : await vscode.window.showQuickPick([...items, byHand], {
          title: vscode.l10n.t('Which equipment? By the headers "@fitted" and "@absent" of {0} dumps', dumps.length),
        });
  if (chosen === undefined) return undefined;
  if (chosen.tag !== undefined) return { uri: uri.toString(), tag: chosen.tag, with: [], without: [] };
  return byChoice(uri, dumps);
}

async function byChoice(uri: vscode.Uri, dumps: OptionGroupsResult['dumps']): Promise<FindOptionParams | undefined> {
  const items = dumps.map(({ uri: dump, name, fitted, absent }) => ({
    label: name,
    description: [...(fitted ? [`@fitted ${fitted}`] : []), ...(absent ? [`@absent ${absent}`] : [])].join('  '),
    dump,
  }));
  const fitted = await vscode.window.showQuickPick(items, {
    title: vscode.l10n.t('Which cars have the equipment?'),
    canPickMany: true,
  });
  if (fitted === undefined || fitted.length === 0) return undefined;
  const rest = items.filter((item) => !fitted.includes(item));
  const absent = await vscode.window.showQuickPick(rest, {
    title: vscode.l10n.t('Which cars do not have it? Those left are asked about.'),
    canPickMany: true,
  });
  if (absent === undefined || absent.length === 0) return undefined;
  const tag = await vscode.window.showInputBox({ title: vscode.l10n.t('What is the equipment called?') });
  if (!tag) return undefined;
  const uris = (chosen: readonly { readonly dump: string }[]) => chosen.map(({ dump }) => dump);
  return { uri: uri.toString(), tag, with: uris(fitted), without: uris(absent) };
}

function show(result: FindOptionResult, dump: vscode.Uri, trials: () => Promise<void>): void {
  const content = optionPage(result);
  const panel = vscode.window.createWebviewPanel('countersum.option', content.title, vscode.ViewColumn.Active, {
    enableScripts: true,
    localResourceRoots: [],
  });
  panel.webview.html = pageHtml(content);
  panel.webview.onDidReceiveMessage((message: { readonly add?: unknown; readonly trials?: unknown }) => {
    if (message.trials === true) void trials();
    const place = result.candidates[Number(message.add)];
    if (place !== undefined) void addFoundOption(dump, result, place);
  });
}

async function planTrials(client: BaseLanguageClient, params: FindOptionParams, showPage: ShowPage): Promise<void> {
  const result = await searching(vscode.l10n.t('Planning trials'), (token) =>
    client.sendRequest<PlanTrialsResult | Refusal>(PLAN_TRIALS, params, token),
  );
  if (result === undefined || isRefusal(result)) return;
  const { title, page } = result as PlanTrialsResult;
  await showPage(title, page);
  const dump = vscode.Uri.parse(params.uri);
  const stem = (dump.path.split('/').at(-1) ?? '').replace(/\.[^.]*$/, '');
  await offerToKeep(dump, { title, page, stem, kind: 'trials' }, (...answers) =>
    vscode.window.showInformationMessage(vscode.l10n.t('The trials are planned.'), ...answers),
  );
}
