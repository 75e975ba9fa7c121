import * as vscode from 'vscode';
import type { OptionItem, OptionsResult } from '../../../shared-core/src/protocol/options.js';
import { toRange } from '../places.js';
import { chooseOne, inform } from '../ui.js';
import { remarksOn, valueInWords } from '../views/optionInWords.js';

/** The options of a dump by group, to search in; the list begins at the one under the cursor. */
export async function chooseOption(
  document: vscode.TextDocument,
  list: OptionsResult | null,
): Promise<OptionItem | undefined> {
  const options = list?.options.filter(({ isFound }) => !isFound) ?? [];
  if (options.length === 0) {
    void tellNoOptions(list?.state);
    return undefined;
  }
  const groups = [...new Set(options.map(({ group }) => group))];
  const items = groups.flatMap((group) => [
    ...(groups.length === 1 && group === null
      ? []
      : [{ label: group ?? vscode.l10n.t('Other options'), kind: vscode.QuickPickItemKind.Separator }]),
    ...options
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
  const chosen = await chooseOne(items, {
    title: vscode.l10n.t('Which option is to be set?'),
    placeHolder: vscode.l10n.t('Search by name, value, line or caution'),
    active: items.find(
      (item) => here && 'option' in item && item.option.range && toRange(item.option.range).contains(here),
    ),
  });
  return chosen && 'option' in chosen ? chosen.option : undefined;
}

/** Why there are no options to choose from, with a button for what helps. */
async function tellNoOptions(state: OptionsResult['state'] | undefined): Promise<void> {
  if (state === 'empty' || state === 'found') {
    const why = vscode.l10n.t('The profile of this dump names no options yet.');
    if ((await inform(why, 'findOption')) === 'findOption')
      await vscode.commands.executeCommand('countersum.findOption');
    return;
  }
  if (state === 'unreadable') {
    const why = vscode.l10n.t('The profile of this dump cannot be read, so its options are not known.');
    if ((await inform(why, 'showProblems')) === 'showProblems')
      await vscode.commands.executeCommand('workbench.actions.view.problems');
    return;
  }
  const message = vscode.l10n.t('No profile explains this dump, so its options are not known.');
  if ((await inform(message, 'learn')) === 'learn') await vscode.commands.executeCommand('countersum.learn');
}
