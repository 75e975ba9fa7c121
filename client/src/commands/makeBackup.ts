import * as vscode from 'vscode';
import { activeDump } from '../activeDump.js';
import type { Command } from '../command.js';
import { backupOf } from '../newBackup.js';
import { HAS_DUMP, IN_EDITABLE_DUMP, WITHOUT_BACKUP } from './conditions.js';

/** *Make a Backup*: a sealed copy beside the dump, which from then on names it. No file is ever overwritten. */
export const makeBackup: Command = {
  id: 'makeBackup',
  title: 'Make a Backup',
  does: 'writes a sealed copy beside the dump and names it there',
  icon: 'save-as',
  when: HAS_DUMP,
  menus: [{ menu: 'editor/context', group: '1_countersum2@5', when: `${IN_EDITABLE_DUMP} && ${WITHOUT_BACKUP}` }],
  run: async (services, given?: unknown) => {
    const document =
      typeof given === 'string'
        ? await vscode.workspace.openTextDocument(vscode.Uri.parse(given))
        : activeDump(services.current);
    if (document) await backupOf(services, document);
  },
};
