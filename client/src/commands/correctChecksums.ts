import * as vscode from 'vscode';
import { CORRECT_CHECKSUMS, type CorrectChecksumsResult } from '../../../shared-core/src/protocol/balance.js';
import { makeChange } from '../change.js';
import { type Command, onDump } from '../command.js';
import { tick } from '../firstSteps.js';
import { inform, tellDone } from '../ui.js';
import { HAS_DUMP, IN_EDITABLE_DUMP } from './conditions.js';

/** *Correct All Checksums*: the quick fix of the same name, for those who look in the command palette. */
export const correctChecksums: Command = {
  id: 'correctChecksums',
  title: 'Correct All Checksums',
  does: 'corrects line sums, rewrites or rebalances file sums, in one step',
  icon: 'check-all',
  when: HAS_DUMP,
  menus: [{ menu: 'editor/context', group: '1_countersum@2', when: IN_EDITABLE_DUMP }],
  run: onDump(async (services, document) => {
    const result = await services.ask<CorrectChecksumsResult>(CORRECT_CHECKSUMS, { uri: document.uri.toString() });
    if (result === undefined) return;
    const files = result === null ? '' : await makeChange(services, document, result);
    if (files === undefined) return;
    if (result === null) void inform(vscode.l10n.t('All sums of this dump are right.'));
    else tellDone(result.says, files);
    tick('correctChecksums');
  }),
};
