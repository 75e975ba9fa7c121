import * as vscode from 'vscode';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  VEHICLE_RECORD,
  type VehicleRecordParams,
  type VehicleRecordResult,
} from '../../../shared-core/src/protocol/retrofit.js';
import { isRefusal } from '../ask.js';
import type { Command } from '../command.js';
import { isOurs } from '../forms.js';
import { fileUri, isRaw } from '../rawUri.js';
import { inform, warn } from '../ui.js';
import { DUMPS_AT_HAND, IN_DUMP } from './conditions.js';

/** *Open Vehicle Record*: the folder of the dump in the editor as one page, computed from what lies in it. */
export const vehicleRecord: Command = {
  id: 'vehicleRecord',
  title: 'Open Vehicle Record',
  does: 'the folder as one page: dumps by their time, what changed between them, cards, what is open',
  icon: 'history',
  when: DUMPS_AT_HAND,
  menus: [{ menu: 'editor/context', group: '1_countersum3@4', when: IN_DUMP }],
  run: async ({ client, showPage }) => {
    const folder = await chooseFolder();
    if (folder === undefined) return;
    const params: VehicleRecordParams = { folder: folder.toString() };
    const result = await client.sendRequest<VehicleRecordResult | Refusal>(VEHICLE_RECORD, params);
    if (isRefusal(result)) void warn(result.refused);
    else await showPage(result.title, result.page, folder);
  },
};

/** Where the file in the editor lies, if it is one of ours; else a folder of the workspace. */
async function chooseFolder(): Promise<vscode.Uri | undefined> {
  const active = vscode.window.activeTextEditor?.document.uri;
  const file = active && fileUri(active);
  if (active && file && (isRaw(active) || (!file.scheme.startsWith('countersum') && isOurs(file.path))))
    return vscode.Uri.joinPath(file, '..');
  const folders = vscode.workspace.workspaceFolders ?? [];
  if (folders.length > 1) return (await vscode.window.showWorkspaceFolderPick())?.uri;
  if (folders.length === 0) void offerFolder();
  return folders[0]?.uri;
}

async function offerFolder(): Promise<void> {
  if ((await inform(vscode.l10n.t('Open the folder of a vehicle first.'), 'openFolder')) === 'openFolder')
    await vscode.commands.executeCommand('vscode.openFolder');
}
