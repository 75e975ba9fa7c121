import * as vscode from 'vscode';
import {
  RESTORABLE_LINES,
  RESTORE,
  type RestorableLine,
  type RestoreParams,
  type RestoreResult,
} from '../../../shared-core/src/protocol/backup.js';
import { makeChange } from '../change.js';
import { type Command, onDump } from '../command.js';
import { chooseMany, inform, withFiles } from '../ui.js';
import { HAS_BACKUP, IN_EDITABLE_DUMP, WITHOUT_BACKUP } from './conditions.js';

const CAN_RESTORE = `${IN_EDITABLE_DUMP} && !${WITHOUT_BACKUP}`;

/** *Restore from Backup…*: all lines, or chosen ones, as the backup holds them, in one step. */
export const restoreFromBackup: Command = {
  id: 'restoreFromBackup',
  title: 'Restore from Backup…',
  does: 'takes all lines or chosen ones back to what the backup holds, proved byte for byte',
  icon: 'discard',
  when: HAS_BACKUP,
  menus: [{ menu: 'editor/context', group: '1_countersum2@4', when: CAN_RESTORE }],
  run: onDump(async (services, document) => {
    const { ask } = services;
    const uri = document.uri.toString();
    const lines = await ask<readonly RestorableLine[]>(RESTORABLE_LINES, { uri });
    if (lines === undefined) return;
    const items = lines.map(({ label, title, detail }) => ({
      label: title,
      description: detail,
      name: label,
      picked: true,
    }));
    const chosen = await chooseMany(items, {
      title: vscode.l10n.t('Which lines go back to what the backup holds?'),
    });
    if (chosen === undefined || chosen.length === 0) return;
    const params: RestoreParams = { uri, labels: chosen.map(({ name }) => name) };
    const result = await ask<RestoreResult>(RESTORE, params);
    const files = result && (await makeChange(services, document, result));
    if (result !== undefined && files !== undefined) void inform(withFiles(result.says, files));
  }),
};
