import * as vscode from 'vscode';
import {
  FIND_OPTION,
  type FindOptionParams,
  type FindOptionResult,
  OPTION_GROUPS,
  type OptionGroupsResult,
} from '../../../shared-core/src/protocol/learning.js';
import type { Button } from '../buttons.js';
import { type Command, onDump } from '../command.js';
import { fileItem } from '../fileItem.js';
import { foundOptionPage } from '../pages/foundOptionPage.js';
import { openPage } from '../pages/page.js';
import { searching } from '../searching.js';
import type { Services } from '../services.js';
import { askText, chooseMany, chooseOne, warn } from '../ui.js';
import { answerFoundOption } from './answerFoundOption.js';
import { HAS_DUMP, IN_OPTIONS } from './conditions.js';
import { useForSimilar } from './similarDumps.js';

/** *Find an Option*: the places that tell dumps of cars with some equipment from those without it, as a page. */
export const findOption: Command = {
  id: 'findOption',
  title: 'Find an Option',
  does: 'shows which places tell dumps of cars with some equipment from those without it, by headers or your choice; adds one to the profile, or plans trials',
  icon: 'search',
  when: HAS_DUMP,
  menus: [{ menu: 'view/title', group: 'navigation@1', when: `${IN_OPTIONS} && countersum.dump == found` }],
  run: onDump(async (services, { uri }) => {
    const params = await chooseGroups(services, uri);
    if (params === undefined) return;
    const result = await searching(vscode.l10n.t('Looking for {0}', params.tag), (token) =>
      services.ask<FindOptionResult>(FIND_OPTION, params, token),
    );
    if (result === undefined) return;
    const page: vscode.WebviewPanel = openPage(foundOptionPage, result, {
      answer: answerFoundOption(services, params, result, (added) => page.webview.postMessage(added)),
    });
  }),
};

/** By what the headers say, or by hand. */
async function chooseGroups(services: Services, uri: vscode.Uri): Promise<FindOptionParams | undefined> {
  const groups = await services.ask<OptionGroupsResult>(OPTION_GROUPS, { uri: uri.toString() });
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
  return byChoice(services, uri, groups);
}

async function byChoice(
  services: Services,
  uri: vscode.Uri,
  groups: OptionGroupsResult,
): Promise<FindOptionParams | undefined> {
  const { dumps, others, profile } = groups;
  const [only, ...more] = dumps;
  if (more.length === 0) {
    const name = only?.name ?? '';
    const unnamed = others.filter(({ isUnnamed }) => isUnnamed).length;
    const why =
      unnamed === 0
        ? vscode.l10n.t('Only {0} can be compared here.', name)
        : vscode.l10n.t('Only {0} can be compared here, as other dumps name no profile: {1}.', name, unnamed);
    const wanted = vscode.l10n.t('Two groups of the same module are wanted: with the equipment and without it.');
    await offerHelp(services, uri, groups, `${why} ${wanted}`);
    return undefined;
  }
  const items = dumps.map(({ uri: dump, words, fitted, absent }) => {
    const tags = [...(fitted ? [`@fitted ${fitted}`] : []), ...(absent ? [`@absent ${absent}`] : [])];
    // All are of one module.
    return { ...fileItem(vscode.Uri.parse(dump), { ...words, module: '' }, ...tags), dump };
  });
  const fitted = await tickDumps(items, others, {
    title: vscode.l10n.t('Which cars have the equipment?'),
    more: {
      bring: async () => {
        await vscode.commands.executeCommand('countersum.bringIn');
      },
      name: profile === null ? undefined : () => useForSimilar(services, uri, vscode.Uri.parse(profile)),
    },
    nothing: vscode.l10n.t('No dump was ticked. Tick the dumps of the cars that have the equipment.'),
  });
  if (fitted === 'changed') return askAgain(services, uri, groups);
  if (fitted === undefined) return undefined;
  const rest = items.filter(({ dump }) => !fitted.includes(dump));
  if (rest.length === 0) {
    const said = vscode.l10n.t('All dumps were ticked. Leave out those of the cars that do not have the equipment.');
    return (await warn(said, 'chooseAgain')) === 'chooseAgain' ? byChoice(services, uri, groups) : undefined;
  }
  const absent = await tickDumps(rest, [], {
    title: vscode.l10n.t('Which cars do not have it? Leave out those you do not know.'),
    nothing: vscode.l10n.t('No dump was ticked. Tick the dumps of the cars that do not have the equipment.'),
  });
  if (absent === undefined || absent === 'changed') return undefined;
  const tag = await askText({
    title: vscode.l10n.t('What is the equipment called?'),
    check: async (text) =>
      text.trim() === '' ? { says: vscode.l10n.t('The equipment needs a name.'), takes: false } : undefined,
  });
  return tag === undefined ? undefined : { uri: uri.toString(), tag: tag.trim(), with: fitted, without: absent };
}

/** Once there are other dumps to choose from than before; where there are not, the person has left it at that. */
async function askAgain(
  services: Services,
  uri: vscode.Uri,
  before: OptionGroupsResult,
): Promise<FindOptionParams | undefined> {
  const groups = await services.ask<OptionGroupsResult>(OPTION_GROUPS, { uri: uri.toString() });
  const known = ({ dumps, others }: OptionGroupsResult) => [dumps.length, others.length].join();
  return groups === undefined || known(groups) === known(before) ? undefined : byChoice(services, uri, groups);
}

/** How more dumps come into the list: another file is brought in, or dumps that name no profile name this one. */
interface MoreDumps {
  readonly bring: () => Promise<void>;
  /** Undefined where there is no profile to be named. */
  readonly name: (() => Promise<void>) | undefined;
}

interface DumpItem {
  readonly label: string;
  readonly description: string;
  readonly dump: string;
}

/**
 * The dumps that a person ticks. Those that cannot be compared are in the list, each with the reason; ticked ones are
 * told. `changed` where something was done that may have changed the list.
 */
async function tickDumps(
  items: readonly DumpItem[],
  others: OptionGroupsResult['others'],
  { title, nothing, more }: { readonly title: string; readonly nothing: string; readonly more?: MoreDumps },
): Promise<readonly string[] | 'changed' | undefined> {
  const separator = {
    label: vscode.l10n.t('Not offered: a tick here does not count'),
    kind: vscode.QuickPickItemKind.Separator,
    description: '',
    dump: undefined,
  };
  const another = {
    label: vscode.l10n.t('Another file…'),
    detail: vscode.l10n.t('Tick this to bring a file in first; the list then comes again'),
    dump: undefined,
  };
  const unable = others.map(({ uri, why, isUnnamed }) => {
    const { label, detail = '' } = fileItem(vscode.Uri.parse(uri), {});
    return { label, description: detail, detail: why, dump: undefined, isUnnamed };
  });
  const shown: readonly (vscode.QuickPickItem & { readonly dump: string | undefined })[] = [
    ...items,
    ...(unable.length === 0 ? [] : [separator, ...unable]),
    ...(more ? [another] : []),
  ];
  for (;;) {
    const chosen = await chooseMany(shown, { title });
    if (chosen === undefined) return undefined;
    if (more && chosen.some((one) => one === another)) {
      await more.bring();
      return 'changed';
    }
    const wrong = chosen.find(({ dump }) => dump === undefined);
    const isUnnamed = unable.some((one) => one === wrong && one.isUnnamed);
    const dumps = chosen.flatMap(({ dump }) => dump ?? []);
    if (wrong === undefined && dumps.length > 0) return dumps;
    const said =
      wrong === undefined ? nothing : vscode.l10n.t('{0} cannot be compared. {1}', wrong.label, wrong.detail ?? '');
    const pressed = await warn(said, 'chooseAgain', ...(isUnnamed && more?.name ? (['useForSimilar'] as const) : []));
    if (pressed === 'useForSimilar' && more?.name) {
      await more.name();
      return 'changed';
    }
    if (pressed !== 'chooseAgain') return undefined;
  }
}

/** Why there is nothing to compare, with what can be done about it. */
async function offerHelp(
  services: Services,
  uri: vscode.Uri,
  { others, profile }: OptionGroupsResult,
  said: string,
): Promise<void> {
  // A notice shows whole sentences: the reason is in the one that names the dump.
  const meant = others.filter(({ isOther }) => !isOther);
  const named = meant.slice(0, MOST_NAMED).map(({ name, why }) => vscode.l10n.t('Not offered: {0} – {1}', name, why));
  const left = meant.length - named.length;
  const more = left > 0 ? [vscode.l10n.t('And {0} more.', left)] : [];
  // A profile of its own makes other dumps of its module known; one that there is may explain those that name none.
  const first = profile === null ? 'learn' : others.some(({ isUnnamed }) => isUnnamed) ? 'useForSimilar' : undefined;
  const buttons: readonly Button[] = first === undefined || others.length === 0 ? ['bringIn'] : [first, 'bringIn'];
  const pressed = await warn([said, ...named, ...more].join(' '), ...buttons);
  if (pressed === 'useForSimilar' && profile !== null) await useForSimilar(services, uri, vscode.Uri.parse(profile));
  else if (pressed === 'learn') await vscode.commands.executeCommand('countersum.learn', uri.toString());
  else if (pressed === 'bringIn') await vscode.commands.executeCommand('countersum.bringIn');
}

/** More dumps than these are not named in a notice. */
const MOST_NAMED = 3;
