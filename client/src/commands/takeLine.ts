import * as vscode from 'vscode';
import {
  type ChangedLine,
  TAKE_LINE,
  type TakeLineParams,
  type TakeLineResult,
} from '../../../shared-core/src/protocol/compare.js';
import { makeChange } from '../change.js';
import type { Command } from '../command.js';
import { tellDone } from '../ui.js';
import { HAS_DUMP, IN_CHANGES, IN_EDITABLE_DUMP, WITHOUT_BACKUP } from './conditions.js';
import { tellNoDump } from './stepThroughChanges.js';

/** *Take This Line from the Backup*: the line of the cursor, or of the *Changes* view, as the other dump holds it. */
export const takeLine: Command = {
  id: 'takeLine',
  title: 'Take This Line from the Backup',
  does: 'gives the line of the cursor, or of the *Changes* view, the bytes of the dump it is compared with',
  icon: 'discard',
  when: HAS_DUMP,
  menus: [
    { menu: 'editor/context', group: '1_countersum2@3', when: `${IN_EDITABLE_DUMP} && !${WITHOUT_BACKUP}` },
    { menu: 'view/item/context', group: 'inline', when: `${IN_CHANGES} && viewItem == line` },
  ],
  run: async (services, given?: { readonly line?: ChangedLine }) => {
    const { ask, current, changes } = services;
    const document = current.document();
    if (!document) return tellNoDump();
    const editor = vscode.window.visibleTextEditors.find((shown) => shown.document === document);
    const line = given?.line ? { label: given.line.label } : { row: editor?.selection.active.line ?? 0 };
    const params: TakeLineParams = { ...changes.pairOf(document), line };
    const taken = await ask<TakeLineResult>(TAKE_LINE, params);
    const files = taken && (await makeChange(services, document, taken));
    if (taken !== undefined && files !== undefined) tellDone(taken.says, files);
  },
};
