import * as vscode from 'vscode';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  OPTIONS,
  type OptionItem,
  type OptionsResult,
  SET_OPTION,
  type SetOptionParams,
  type SetOptionResult,
} from '../../../shared-core/src/protocol/options.js';
import { isRefusal } from '../ask.js';
import { makeChange } from '../change.js';
import type { Command } from '../command.js';
import { tick } from '../firstSteps.js';
import { goToPlace } from '../places.js';
import { inform, tellDone, warn } from '../ui.js';
import { chooseOption } from './chooseOption.js';
import { chooseValue } from './chooseValue.js';
import { HAS_PROFILE, IN_EDITABLE_DUMP, IN_OPTIONS, WITHOUT_PROFILE } from './conditions.js';

/** *Set an Option…*: all options of the dump to search in, then their values, in words. The edit is that of the quick fix. */
export const setOption: Command = {
  id: 'setOption',
  title: 'Set an Option…',
  does: 'lists all options to search in, then their values in words; sets the one you choose and keeps the sums right, and asks first where that affects what can hurt people',
  icon: 'search',
  when: HAS_PROFILE,
  menus: [
    { menu: 'editor/context', group: '1_countersum@1', when: `${IN_EDITABLE_DUMP} && !${WITHOUT_PROFILE}` },
    { menu: 'view/title', group: 'navigation@1', when: `${IN_OPTIONS} && countersum.dump == options` },
    { menu: 'view/item/context', group: '1_option@1', when: `${IN_OPTIONS} && viewItem == option` },
  ],
  run: async (services, given?: { readonly item?: OptionItem }) => {
    const { client, ask, backupFirst, current, write } = services;
    const document = current.document();
    if (!document) {
      void inform(vscode.l10n.t('Open a dump first; its options can then be set here.'));
      return;
    }
    const uri = document.uri.toString();
    const list = await client.sendRequest<OptionsResult | null>(OPTIONS, { uri });
    const chosen = given?.item?.id;
    const option =
      chosen === undefined ? await chooseOption(document, list) : list?.options.find(({ id }) => id === chosen);
    if (option === undefined) return;
    if (option.refused !== null) {
      void warn(option.refused);
      return;
    }
    if (option.range) await goToPlace(document.uri, option.range, true);
    const paramsFor = (to: SetOptionParams['to']): SetOptionParams => ({ uri, id: option.id, to });
    const to = await chooseValue(option, async (wish) => {
      const answer = await client.sendRequest<SetOptionResult | Refusal>(SET_OPTION, paramsFor(wish));
      return isRefusal(answer)
        ? { says: answer.refused, takes: answer.asks !== undefined }
        : { says: answer.says, takes: true };
    });
    if (to === undefined) return;
    if (list?.lacksBackup === true && !(await backupFirst(document, write))) return;
    const result = await ask<SetOptionResult>(SET_OPTION, paramsFor(to));
    const files = result && (await makeChange(services, document, result));
    if (result === undefined || files === undefined) return;
    tellDone(result.says, files);
    tick('setOption');
  },
};
