import * as vscode from 'vscode';
import {
  FIND_OPTION,
  type FindOptionParams,
  type FindOptionResult,
  OPTION_GROUPS,
  type OptionGroupsResult,
  PLAN_TRIALS,
  type PlanTrialsResult,
} from '../../../shared-core/src/index.js';
import type { AskServer } from '../ask.js';
import { type Command, onDump } from '../command.js';
import { backupOf, makeABackup } from '../newBackup.js';
import { stemOf } from '../newFile.js';
import { foundOptionPage } from '../pages/foundOptionPage.js';
import { offerToKeep } from '../pages/keepPage.js';
import { openPage } from '../pages/page.js';
import { searching } from '../searching.js';
import type { Services } from '../services.js';
import { askText, chooseMany, chooseOne, inform } from '../ui.js';
import { addFoundOption } from './addFoundOption.js';
import { HAS_DUMP } from './conditions.js';

/** *Find an Option*: the places that tell dumps of cars with some equipment from those without it, as a page. */
export const findOption: Command = {
  id: 'findOption',
  title: 'Find an Option',
  does: 'shows which places tell dumps of cars with some equipment from those without it, by headers or your choice; adds one to the profile, or plans trials',
  when: HAS_DUMP,
  run: onDump(async (services, { uri }) => {
    const params = await chooseGroups(services.ask, uri);
    if (params === undefined) return;
    const result = await searching(vscode.l10n.t('Looking for {0}', params.tag), (token) =>
      services.ask<FindOptionResult>(FIND_OPTION, params, token),
    );
    if (result === undefined) return;
    openPage(foundOptionPage, result, {
      answer: (message) => {
        const { add, trials } = message as { readonly add?: unknown; readonly trials?: unknown };
        if (trials === true) void planTrials(services, params);
        const place = result.candidates[Number(add)];
        if (place !== undefined) void addFoundOption(services.client, uri, result, place);
      },
    });
  }),
};

/** By what the headers say, or by hand. */
async function chooseGroups(ask: AskServer, uri: vscode.Uri): Promise<FindOptionParams | undefined> {
  const groups = await ask<OptionGroupsResult>(OPTION_GROUPS, { uri: uri.toString() });
  if (groups === undefined) return undefined;
  const { tags, dumps } = groups;
  const byHand = { label: vscode.l10n.t('Choose the dumps…'), description: '', tag: undefined };
  const items = tags.map(({ tag, fitted, absent }) => ({
    label: tag,
    description: vscode.l10n.t('{0} with, {1} without', fitted, absent),
    tag,
  }));
  const chosen =
    items.length === 0
      ? byHand
      : await chooseOne([...items, byHand], {
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
  const fitted = await chooseMany(items, { title: vscode.l10n.t('Which cars have the equipment?') });
  if (fitted === undefined || fitted.length === 0) return undefined;
  const rest = items.filter((item) => !fitted.includes(item));
  const absent = await chooseMany(rest, {
    title: vscode.l10n.t('Which cars do not have it? Those left are asked about.'),
  });
  if (absent === undefined || absent.length === 0) return undefined;
  const tag = await askText({ title: vscode.l10n.t('What is the equipment called?') });
  if (!tag) return undefined;
  const uris = (chosen: readonly { readonly dump: string }[]) => chosen.map(({ dump }) => dump);
  return { uri: uri.toString(), tag, with: uris(fitted), without: uris(absent) };
}

async function planTrials({ ask, showPage }: Services, params: FindOptionParams): Promise<void> {
  const result = await searching(vscode.l10n.t('Planning trials'), (token) =>
    ask<PlanTrialsResult>(PLAN_TRIALS, params, token),
  );
  if (result === undefined) return;
  const { title, page, lacksBackup } = result;
  await showPage(title, page);
  const dump = vscode.Uri.parse(params.uri);
  await offerToKeep(dump, { title, page, stem: stemOf(dump), kind: 'trials' }, async (...answers) => {
    const make = makeABackup();
    const buttons = lacksBackup ? [make, ...answers] : answers;
    const chosen = await inform(vscode.l10n.t('The trials are planned.'), ...buttons);
    if (chosen !== make) return chosen;
    await backupOf(ask, await vscode.workspace.openTextDocument(dump));
    return undefined;
  });
}
