import * as vscode from 'vscode';
import { type Command, onDump } from '../command.js';
import { chooseOne } from '../ui.js';
import { browseForDump, otherDumps } from './chooseReading.js';
import { HAS_DUMP, IN_CHANGES, IN_DUMP } from './conditions.js';
import { showThreeWays } from './threeWays.js';

/** *Compare with Another Dump…*: any dump of the same module, or what was read back beside what was found and planned. */
export const compareWith: Command = {
  id: 'compareWith',
  title: 'Compare with Another Dump…',
  does: 'the same with any dump of the same module; or three ways, what was found, planned and read back as one table',
  when: HAS_DUMP,
  menus: [
    { menu: 'editor/context', group: '1_countersum2@2', when: IN_DUMP },
    { menu: 'view/title', group: '1_compare@1', when: IN_CHANGES },
  ],
  run: onDump(async (services, document) => {
    const file = { label: vscode.l10n.t('Another file…'), alwaysShow: true };
    const threeWays = {
      label: vscode.l10n.t('Three ways…'),
      description: vscode.l10n.t('what was found, planned and read back'),
      alwaysShow: true,
    };
    const { items, missing } = await otherDumps(services.client, document.uri);
    const title = vscode.l10n.t('Compare with which dump?');
    const chosen = await chooseOne<vscode.QuickPickItem & { readonly uri?: vscode.Uri }>([...items, file, threeWays], {
      title,
      ...missing,
    });
    if (chosen === threeWays) return showThreeWays(services, document.uri);
    const other = chosen === file ? await browseForDump() : chosen?.uri;
    if (other) await services.comparison.show(document, other);
  }),
};
