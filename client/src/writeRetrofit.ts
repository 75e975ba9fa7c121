import * as vscode from 'vscode';
import { OPTION_GROUPS, OPTIONS, type OptionGroupsResult, type OptionsResult } from '../../shared-core/src/index.js';
import { firstFree, numbered, writeText } from './newFile.js';
import { nameOf } from './places.js';
import type { Services } from './services.js';
import { askText, warn } from './ui.js';

/**
 * Writes a retrofit of what is set in the current dump otherwise than in its backup, beside the profile, so that nobody has to
 * write JSON. Undefined where it is not written, which the person is told.
 */
export async function writeRetrofit({
  ask,
  current,
}: Pick<Services, 'ask' | 'current'>): Promise<vscode.Uri | undefined> {
  const dump = current.document()?.uri;
  const uri = dump?.toString();
  const list = uri === undefined ? undefined : await ask<OptionsResult>(OPTIONS, { uri });
  const groups = uri === undefined ? undefined : await ask<OptionGroupsResult>(OPTION_GROUPS, { uri });
  const set = (list?.options ?? []).filter(({ before }) => before !== null);
  const named = set.flatMap(({ id, form, choices }) => {
    const words = choices.find(({ current: isSet }) => isSet)?.words ?? '';
    return form === 'values' && words !== '' ? [[id, words] as const] : [];
  });
  if (named.length === 0 || !groups?.profile) {
    void warn(
      vscode.l10n.t(
        'A retrofit is written of the options that are set otherwise than in the backup. Open a dump with a backup, set them there, then try again.',
      ),
    );
    return undefined;
  }
  const profile = vscode.Uri.parse(groups.profile);
  const titles = set.map(({ title }) => title).join(', ');
  const file = await firstFree(profile, retrofitNames(profile));
  if (file === undefined) return undefined;
  const prompt = vscode.l10n.t('It is written beside the profile: {0}', nameOf(file));
  const title = await askText({ title: vscode.l10n.t('What is the retrofit called?'), prompt, value: titles });
  if (!title) return undefined;
  const changes = [{ profile: nameOf(profile), set: Object.fromEntries(named) }];
  await writeText(file, `${JSON.stringify({ format: 1, title, changes }, null, 2)}\n`);
  const left = set.filter(({ id }) => !named.some(([one]) => one === id)).map((one) => one.title);
  if (left.length > 0)
    void warn(vscode.l10n.t('Not in {0}, as their values have no names: {1}', nameOf(file), left.join(', ')));
  return file;
}

function retrofitNames(profile: vscode.Uri): readonly string[] {
  const stem = nameOf(profile).replace(/(?:\.dump-profile)?\.json$/, '');
  return numbered((number) => `${stem}${number === 1 ? '' : `-${number}`}.retrofit.json`);
}
