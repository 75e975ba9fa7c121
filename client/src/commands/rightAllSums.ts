import * as vscode from 'vscode';
import { ALL_SUMS } from '../../../shared-core/src/index.js';
import { type Command, onDump } from '../command.js';
import { inform, warn } from '../ui.js';
import { IN_DUMP } from './conditions.js';

/** *Make All Sums Right*: the quick fix of the same name, for those who look in the command palette. */
export const rightAllSums: Command = {
  id: 'rightAllSums',
  icon: 'check-all',
  when: IN_DUMP,
  menus: [{ menu: 'editor/context', group: '1_countersum@2', when: IN_DUMP }],
  run: onDump(async (_, { uri, lineCount }) => {
    const whole = new vscode.Range(0, 0, lineCount, 0);
    const [action] = await vscode.commands.executeCommand<vscode.CodeAction[]>(
      'vscode.executeCodeActionProvider',
      uri,
      whole,
      ALL_SUMS,
    );
    if (action?.disabled) void warn(action.disabled.reason);
    else if (action?.edit) await vscode.workspace.applyEdit(action.edit);
    else void inform(vscode.l10n.t('All sums of this dump are right.'));
  }),
};
