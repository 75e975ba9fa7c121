import * as vscode from 'vscode';
import {
  NEW_OPTION,
  type NewOptionParams,
  type NewOptionResult,
  type OptionField,
  type TakenOption,
} from '../../../shared-core/src/protocol/learning.js';
import { askOption, type ToName } from '../askOption.js';
import { type Command, onDump } from '../command.js';
import { writeOption } from '../optionInProfile.js';
import { chooseOne } from '../ui.js';
import { removeFrom, widenIn } from '../wrongOption.js';
import { IN_DUMP } from './conditions.js';
import { offerToLearn } from './offerToLearn.js';

/** *Name Selected Digits…*: what somebody found out about some digits goes into the profile, without JSON to write. */
export const newOption: Command = {
  id: 'newOption',
  title: 'Name Selected Digits…',
  does: 'asks what the selected digits are called and what their values mean, and writes that into the profile as an option; says which option has bits of them already, to be widened or removed; refuses sums and locked digits',
  when: IN_DUMP,
  menus: [{ menu: 'editor/context', group: '1_countersum@5', when: `${IN_DUMP} && editorHasSelection` }],
  run: onDump(async ({ client, ask }, document) => {
    const editor = vscode.window.visibleTextEditors.find((one) => one.document === document);
    if (editor === undefined) return;
    const selection = client.code2ProtocolConverter.asRange(editor.selection);
    const params: NewOptionParams = { uri: document.uri.toString(), selection };
    const found = await ask<NewOptionResult>(NEW_OPTION, params);
    if (found === undefined) return;
    if (found.profile === null) {
      const says = vscode.l10n.t(
        'This dump names no profile into which the option could go. Work out its checksum rule first.',
      );
      return offerToLearn(document.uri, says);
    }
    const profile = client.protocol2CodeConverter.asUri(found.profile);
    const chosen = await chooseField(found.fields, found.taken);
    if (chosen === undefined) return;
    if (chosen.kind === 'other') return chosen.does(client, profile, chosen.option);
    const { field } = chosen;
    const option = await askOption(field.option, { title: '', ...valuesOf(field), hazards: found.hazards });
    if (option !== undefined) await writeOption(client, profile, option);
  }),
};

type Chosen =
  | { readonly kind: 'new'; readonly field: OptionField }
  | { readonly kind: 'other'; readonly does: typeof widenIn | typeof removeFrom; readonly option: TakenOption };

/** All of the digits, or single bits of them; or what to do with an option that has some of them already. */
async function chooseField(fields: readonly OptionField[], taken: readonly TakenOption[]): Promise<Chosen | undefined> {
  const [only, ...more] = fields;
  if (only !== undefined && more.length === 0 && taken.length === 0) return { kind: 'new', field: only };
  const others = taken.flatMap((option): readonly Item[] => [
    heading(option.says),
    ...(option.widen === null
      ? []
      : [
          {
            label: vscode.l10n.t('Widen "{0}" to These Digits', option.title),
            detail: option.widen.asks.join(' '),
            chosen: { kind: 'other', does: widenIn, option } as const,
          },
        ]),
    {
      label: vscode.l10n.t('Remove "{0}"', option.title),
      detail: vscode.l10n.t('It is taken out of the profile, and its digits are free again. Dumps stay as they are.'),
      chosen: { kind: 'other', does: removeFrom, option } as const,
    },
  ]);
  const free = fields.map(
    (field, at): Item => ({
      label: field.words,
      description: vscode.l10n.t('now {0}', field.now.toString(16).toUpperCase()),
      ...(at === 0 &&
        fields.every(({ width }) => width <= field.width) && { detail: vscode.l10n.t('All that is selected') }),
      chosen: { kind: 'new', field },
    }),
  );
  if (taken.length === 0)
    return (
      await chooseOne(free, {
        title: vscode.l10n.t('Which bits are the option?'),
        placeHolder: vscode.l10n.t('Press Enter for all that is selected; its name is asked next'),
      })
    )?.chosen;
  // What an option has already explains why these digits are not among the free ones.
  const rest = free.length === 0 ? [] : [heading(vscode.l10n.t('A new option of the bits that are free')), ...free];
  const title = vscode.l10n.t('An option has some of these digits already. What is to be done?');
  return (await chooseOne([...others, ...rest], { title }))?.chosen;
}

type Item = vscode.QuickPickItem & { readonly chosen?: Chosen };

function heading(label: string): Item {
  return { label, kind: vscode.QuickPickItemKind.Separator };
}

/** What the dump holds; of a single bit the other value too. */
function valuesOf({ now, width }: OptionField): { readonly values: readonly ToName[]; readonly moreOf?: number } {
  const held: ToName = { numbers: [now], prompt: vscode.l10n.t('The dump holds this value now.'), words: '' };
  if (width > 1) return { values: [held], moreOf: width };
  const other: ToName = {
    numbers: [1 - now],
    prompt: vscode.l10n.t('The other value of this bit. Leave it empty where nobody knows.'),
    words: '',
    isOptional: true,
  };
  return { values: [held, other] };
}
