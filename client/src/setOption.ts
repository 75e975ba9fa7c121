import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  OPTIONS,
  type OptionItem,
  type OptionsResult,
  type Refusal,
  SET_OPTION,
  type SetOptionParams,
  type SetOptionResult,
} from '../../shared-core/src/index.js';
import { isRefusal } from './activeDump.js';
import type { CurrentDump } from './currentDump.js';
import { applyEdit, goTo, toRange } from './places.js';

/** *Set an Option…*: all options of the dump to search in, then their values, in words. The edit is that of the quick fix. */
export function registerSetOption(client: BaseLanguageClient, current: CurrentDump): vscode.Disposable {
  return vscode.commands.registerCommand('countersum.setOption', async (given?: { readonly item?: OptionItem }) => {
    const document = current.document();
    if (!document) {
      void vscode.window.showInformationMessage(vscode.l10n.t('Open a dump first; its options can then be set here.'));
      return;
    }
    const uri = document.uri.toString();
    const list = await client.sendRequest<OptionsResult | null>(OPTIONS, { uri });
    const chosen = given?.item?.id;
    const option =
      chosen === undefined ? await chooseOption(document, list) : list?.options.find(({ id }) => id === chosen);
    if (option === undefined) return;
    if (option.refused !== null) {
      void vscode.window.showWarningMessage(option.refused);
      return;
    }
    if (option.range) await goTo(document.uri, option.range, true);
    const ask = (to: SetOptionParams['to']) => {
      const params: SetOptionParams = { uri, id: option.id, to };
      return client.sendRequest<SetOptionResult | Refusal>(SET_OPTION, params);
    };
    const to = await chooseValue(option, ask);
    if (to === undefined) return;
    const result = await ask(to);
    if (isRefusal(result) || !(await applyEdit(client, document, result))) return;
    vscode.window.setStatusBarMessage(`$(check) ${result.says}`, 8000);
    if (result.needs.length > 0) void vscode.window.showWarningMessage(result.needs.join(' '));
  });
}

async function chooseOption(
  document: vscode.TextDocument,
  list: OptionsResult | null,
): Promise<OptionItem | undefined> {
  if (list === null || list.options.length === 0) {
    void vscode.window.showInformationMessage(
      vscode.l10n.t(
        'Nothing is known of the options of this dump. Name its profile in a line "@profile NAME.dump-profile.json".',
      ),
    );
    return undefined;
  }
  const groups = [...new Set(list.options.map(({ group }) => group))];
  const items = groups.flatMap((group) => [
    { label: group ?? vscode.l10n.t('Other options'), kind: vscode.QuickPickItemKind.Separator },
    ...list.options
      .filter((option) => option.group === group)
      .map((option) => ({
        label: option.title,
        description: valueInWords(option),
        detail: [option.place, ...remarksOn(option)].join(' · '),
        ...(option.refused !== null && { iconPath: new vscode.ThemeIcon('lock') }),
        option,
      })),
  ]);
  const editor = vscode.window.visibleTextEditors.find((shown) => shown.document === document);
  const here = editor?.selection.active;
  const pick = vscode.window.createQuickPick<(typeof items)[number]>();
  pick.title = vscode.l10n.t('Which option is to be set?');
  pick.placeholder = vscode.l10n.t('Search by name, value, line or caution');
  pick.matchOnDescription = true;
  pick.matchOnDetail = true;
  pick.items = items;
  pick.activeItems = items.filter(
    (item) => here && 'option' in item && item.option.range && toRange(item.option.range).contains(here),
  );
  const chosen = await accepted(pick);
  return chosen && 'option' in chosen ? chosen.option : undefined;
}

/** The item that is accepted in a list; undefined where the list is left without. */
function accepted<T extends vscode.QuickPickItem>(pick: vscode.QuickPick<T>): Promise<T | undefined> {
  return new Promise((resolve) => {
    pick.onDidAccept(() => {
      resolve(pick.selectedItems[0]);
      pick.hide();
    });
    pick.onDidHide(() => {
      resolve(undefined);
      pick.dispose();
    });
    pick.show();
  });
}

type Ask = (to: SetOptionParams['to']) => Promise<SetOptionResult | Refusal>;

async function chooseValue(option: OptionItem, ask: Ask): Promise<SetOptionParams['to'] | undefined> {
  if (option.form === 'number' || option.form === 'text') return writeValue(option, ask);
  const title = vscode.l10n.t('{0}: now {1}', option.title, option.now ?? '–');
  const placeHolder = option.caution
    ? vscode.l10n.t('Touches {0}: local rules and licensed practice decide', option.caution.touches)
    : vscode.l10n.t('Choose a value; all sums are kept right');
  const items = option.choices.map(({ value, digits, words, current, before }) => ({
    label: words,
    description: digits,
    value,
    detail: [
      ...(current && option.form === 'values' ? [vscode.l10n.t('now')] : []),
      ...(before && option.before !== null ? [vscode.l10n.t('in the backup')] : []),
    ].join(' · '),
    picked: current,
  }));
  if (option.form === 'flags') {
    const chosen = await vscode.window.showQuickPick(items, { title, placeHolder, canPickMany: true });
    return chosen && { flags: chosen.map(({ value }) => value) };
  }
  const now = items.find(({ picked }) => picked);
  const pick = vscode.window.createQuickPick<(typeof items)[number]>();
  pick.title = title;
  pick.placeholder = placeHolder;
  pick.items = items;
  if (now) pick.activeItems = [now];
  const chosen = await accepted(pick);
  return chosen && chosen !== now ? { value: chosen.value } : undefined;
}

/** What is written is tried out while it is typed. */
async function writeValue(option: OptionItem, ask: Ask): Promise<SetOptionParams['to'] | undefined> {
  const now = option.now?.replace(/^"(.*)"$/, '$1') ?? '';
  const value = option.form === 'number' ? (now.split(' ')[0] ?? '') : now;
  const written = await vscode.window.showInputBox({
    title: vscode.l10n.t('{0}: now {1}', option.title, option.now ?? '–'),
    prompt: [option.limits, option.caution?.says].filter((part) => part).join('. '),
    value,
    validateInput: async (text) => {
      if (text.trim() === '') return option.limits ?? undefined;
      const answer = await ask({ written: text });
      if ('refused' in answer) return answer.refused;
      return { message: answer.says, severity: vscode.InputBoxValidationSeverity.Info };
    },
  });
  return written === undefined || written === value ? undefined : { written };
}

/** What an option is set to; "none → 13-pin" where the backup holds something else. */
export function valueInWords({ now, before }: OptionItem): string {
  const value = now ?? vscode.l10n.t('cannot be read');
  return before === null ? value : `${before} → ${value}`;
}

/** What to be careful about, in a few words each. */
export function remarksOn({ caution, certainty }: OptionItem): readonly string[] {
  return [
    ...(caution === null ? [] : [caution.touches]),
    ...(certainty === null || certainty.confidence === 'confirmed' ? [] : [certainty.says]),
  ];
}
