import * as vscode from 'vscode';
import {
  NEW_OPTION,
  type NewOptionParams,
  type NewOptionResult,
  type OptionField,
} from '../../../shared-core/src/index.js';
import { askOption, type ToName } from '../askOption.js';
import { type Command, onDump } from '../command.js';
import { writeOption } from '../optionInProfile.js';
import { chooseOne } from '../ui.js';
import { IN_DUMP } from './conditions.js';
import { offerToLearn } from './offerToLearn.js';

/** *New Option from Selected Digits…*: what somebody found out about some digits goes into the profile, without JSON to write. */
export const newOption: Command = {
  id: 'newOption',
  title: 'New Option from Selected Digits…',
  does: 'asks what the selected digits are called and what their values mean, and writes that into the profile as an option; refuses sums, locked digits and bits of another option',
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
    const field = await chooseField(found.fields);
    if (field === undefined) return;
    const option = await askOption(field.option, { title: '', ...valuesOf(field), hazards: found.hazards });
    if (option !== undefined) await writeOption(client, client.protocol2CodeConverter.asUri(found.profile), option);
  }),
};

/** All of the digits, or single bits of them. */
async function chooseField(fields: readonly OptionField[]): Promise<OptionField | undefined> {
  const [only, ...more] = fields;
  if (more.length === 0) return only;
  const items = fields.map((field) => ({
    label: field.words,
    description: vscode.l10n.t('now {0}', field.now.toString(16).toUpperCase()),
    field,
  }));
  return (await chooseOne(items, { title: vscode.l10n.t('Which bits are the option?') }))?.field;
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
