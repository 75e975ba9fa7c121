import * as vscode from 'vscode';
import { OPTION_GROUPS, type OptionGroupsResult } from '../../../shared-core/src/protocol/learning.js';
import type { OptionItem } from '../../../shared-core/src/protocol/options.js';
import type { Command } from '../command.js';
import { removeFrom } from '../wrongOption.js';
import { IN_OPTIONS } from './conditions.js';

/** *Remove Option from the Profile…*: of the *Options* view, for one that is wrong. */
export const removeOption: Command = {
  id: 'removeOption',
  title: 'Remove Option from the Profile…',
  does: 'of the *Options* view: takes a wrong option out of the profile, after one question; refused where the profile has another problem',
  onlyInMenus: true,
  menus: [{ menu: 'view/item/context', group: '2_profile@1', when: `${IN_OPTIONS} && viewItem =~ /^option/` }],
  run: async ({ client, ask, current, options }, given?: { readonly item: OptionItem }) => {
    const document = current.document();
    const item = given?.item ?? options.selected();
    if (document === undefined || item === undefined) return;
    const groups = await ask<OptionGroupsResult>(OPTION_GROUPS, { uri: document.uri.toString() });
    if (groups === undefined || groups.profile === null) return;
    await removeFrom(client, vscode.Uri.parse(groups.profile), item);
  },
};

/** The quick fix at an option of a profile. */
export const removeOptionHere: Command = {
  id: '_removeOption',
  run: ({ client }, profile: string, id: string, title: string) =>
    removeFrom(client, vscode.Uri.parse(profile), { id, title }),
};
