import * as vscode from 'vscode';
import type { OptionItem, OptionsResult } from '../../../shared-core/src/index.js';
import { toRange } from '../places.js';
import { chooseOne, inform } from '../ui.js';
import { remarksOn, valueInWords } from '../views/optionInWords.js';

/** The options of a dump by group, to search in; the list begins at the one under the cursor. */
export async function chooseOption(
  document: vscode.TextDocument,
  list: OptionsResult | null,
): Promise<OptionItem | undefined> {
  if (list === null || list.options.length === 0) {
    void inform(
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
  const chosen = await chooseOne(items, {
    title: vscode.l10n.t('Which option is to be set?'),
    placeHolder: vscode.l10n.t('Search by name, value, line or caution'),
    active: items.find(
      (item) => here && 'option' in item && item.option.range && toRange(item.option.range).contains(here),
    ),
  });
  return chosen && 'option' in chosen ? chosen.option : undefined;
}
