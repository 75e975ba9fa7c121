import * as vscode from 'vscode';
import {
  LEARN,
  LEARN_FROM,
  type LearnFromResult,
  type LearnParams,
  type LearnResult,
} from '../../../shared-core/src/protocol/learning.js';
import { activeDump } from '../activeDump.js';
import type { Command } from '../command.js';
import { fileItem } from '../fileItem.js';
import { tick } from '../firstSteps.js';
import { learnedPage } from '../pages/learnedPage.js';
import { openPage } from '../pages/page.js';
import { nameOf } from '../places.js';
import { headersFile } from '../rawPair.js';
import { fileUri, isRaw } from '../rawUri.js';
import { searching } from '../searching.js';
import type { Services } from '../services.js';
import { chooseMany, chooseOne, inform, tellDone, withFiles } from '../ui.js';
import { HAS_DUMP, IN_DUMP, WITHOUT_PROFILE } from './conditions.js';
import { keepDraft, nameProfile, saveToKeep } from './newProfile.js';

/** *Work Out the Checksum Rule*: rules that explain a dump that nobody has described, as a page to choose from. */
export const learn: Command = {
  id: 'learn',
  title: 'Work Out the Checksum Rule',
  does: 'works out how a dump without a profile is written and summed; a page of rules, each to be made the profile',
  when: HAS_DUMP,
  menus: [{ menu: 'editor/context', group: '1_countersum@1', when: `${IN_DUMP} && ${WITHOUT_PROFILE}` }],
  run: async (services, given?: string) => {
    const { ask, client, current } = services;
    const dump = given === undefined ? activeDump(current)?.uri : client.protocol2CodeConverter.asUri(given);
    if (dump === undefined) return;
    const found = await ask<LearnFromResult>(LEARN_FROM, { uri: dump.toString() });
    if (found === undefined) return;
    if (await takesKnown(services, dump, found)) return;
    const others = await chooseOthers(found);
    if (others === undefined) return;
    const params: LearnParams = { uri: dump.toString(), others };
    const result = await searching(vscode.l10n.t('Working out the checksum rule'), (token) =>
      ask<LearnResult>(LEARN, params, token),
    );
    if (result === undefined) return;
    tick('learn');
    // What the editor shows of raw bytes is a view of them.
    const rules = result.rules.map((rule) => (isRaw(dump) ? { ...rule, form: vscode.l10n.t('raw bytes') } : rule));
    // What the page offers is done then, and what it says was before.
    const from = vscode.workspace.textDocuments.find(({ uri }) => uri.toString() === dump.toString())?.getText();
    const keep = async (text: string): Promise<void> => {
      if (await keepDraft(services, dump, { text, title: result.title, from }, result.naming)) page.dispose();
    };
    const page = openPage(
      learnedPage,
      {
        ...result,
        rules,
        isUnsaved: dump.scheme === 'untitled',
        remarks: [...new Set([...found.remarks, ...result.remarks])],
      },
      {
        answer: (message) => {
          const { add } = message as { readonly add?: unknown };
          if (add === -1) void vscode.commands.executeCommand('countersum.bringIn');
          const rule = result.rules[Number(add)];
          if (rule !== undefined) void keep(rule.profile);
        },
      },
    );
  },
};

/** Where a profile of the workspace fits already, nothing need be learned. True as well where the person goes away. */
async function takesKnown(
  services: Services,
  uri: vscode.Uri,
  { profiles, naming, remarks }: LearnFromResult,
): Promise<boolean> {
  if (naming === null || profiles.length === 0) return false;
  const known = profiles.map(({ path, title }) => {
    const item = fileItem(vscode.Uri.joinPath(fileUri(uri), '..', path), { module: title });
    return { ...item, label: vscode.l10n.t('Name {0} in the dump', item.label), path };
  });
  const learn = { label: vscode.l10n.t('Learn all the same'), path: '' };
  const chosen = await chooseOne([...known, learn], {
    title: vscode.l10n.t('A profile in this folder explains all lines and sums of this dump.'),
  });
  if (chosen === learn) return false;
  const files = chosen && (await nameProfile(services, uri, naming, chosen.path));
  if (chosen !== undefined && files !== undefined) {
    const named = naming.isBeside
      ? vscode.l10n.t('{0} names {1}.', nameOf(headersFile(fileUri(uri))), chosen.path)
      : vscode.l10n.t('The dump names {0}.', chosen.path);
    const kept = naming.isBeside ? '' : files || saveToKeep();
    if (remarks.length === 0) tellDone(named, kept);
    else void inform([withFiles(named, kept), ...remarks].join(' '));
  }
  return true;
}

/** More dumps of the same module make a rule surer; which ones they are only a person knows for certain. */
async function chooseOthers({ dumps, remarks }: LearnFromResult): Promise<readonly string[] | undefined> {
  // A question without a possible answer is none.
  if (dumps.length === 0 || !dumps.some(({ alike }) => alike)) return [];
  const items = dumps.map(({ uri: other, words, alike }) => ({
    ...fileItem(vscode.Uri.parse(other), words, ...(alike ? [] : [vscode.l10n.t('other lines, or another part')])),
    picked: alike,
    other,
  }));
  const chosen = await chooseMany(items, {
    title: vscode.l10n.t('Which dumps are of the same module? More dumps make it surer.'),
    ...(remarks.length > 0 && { placeHolder: remarks.join(' ') }),
  });
  return chosen?.map(({ other }) => other);
}
