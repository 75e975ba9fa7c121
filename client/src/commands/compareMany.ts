import * as vscode from 'vscode';
import {
  COMPARE_MANY,
  type CompareManyParams,
  type CompareManyResult,
} from '../../../shared-core/src/protocol/compare.js';
import type { Command } from '../command.js';
import { fileItem } from '../fileItem.js';
import { listFiles, missingOf } from '../files.js';
import { readMessage, shownRows } from '../pages/liveTable.js';
import { manyPage, manyTable } from '../pages/manyPage.js';
import { openPage } from '../pages/page.js';
import { goToPlace } from '../places.js';
import { fileUri } from '../rawUri.js';
import type { Services } from '../services.js';
import { chooseMany, inform } from '../ui.js';
import { DUMP_FILES, DUMPS_AT_HAND } from './conditions.js';

/** *Compare Many Dumps…*: the files that are selected in the explorer, or chosen from a list, as one table. */
export const compareMany: Command = {
  id: 'compareMany',
  title: 'Compare Many Dumps…',
  does: 'what differs between any number of dumps of one kind of module as one table: options in words and bytes, to be sorted and filtered; a value leads into its dump',
  when: DUMPS_AT_HAND,
  menus: [{ menu: 'explorer/context', group: '3_compare@40', when: DUMP_FILES }],
  run: async (services, _clicked, selected) => {
    const given = Array.isArray(selected) ? selected.map((one) => vscode.Uri.parse(String(one))) : [];
    const uris = given.length > 1 ? given : await chooseDumps(services);
    if (uris !== undefined) await showMany(services, uris);
  },
};

async function chooseDumps({ client, current }: Services): Promise<readonly vscode.Uri[] | undefined> {
  const own = current.document()?.uri;
  const list = await listFiles(client);
  const items = list.dumps.map(({ uri, ...words }) => ({
    ...fileItem(vscode.Uri.parse(uri), words),
    picked: own !== undefined && fileUri(own).toString() === vscode.Uri.parse(uri).toString(),
  }));
  const chosen = await chooseMany(items, { title: vscode.l10n.t('Compare which dumps?'), ...missingOf(list) });
  return chosen?.map(({ uri }) => uri);
}

async function showMany({ ask, client }: Services, [first, ...others]: readonly vscode.Uri[]): Promise<void> {
  if (first === undefined || others.length === 0) {
    void inform(vscode.l10n.t('Choose two dumps or more: they are compared with each other.'));
    return;
  }
  const params: CompareManyParams = { uri: first.toString(), others: others.map(String) };
  const result = await ask<CompareManyResult>(COMPARE_MANY, params);
  if (result === undefined) return;
  const table = manyTable(result);
  const panel: vscode.WebviewPanel = openPage(manyPage, result, {
    answer: async (message) => {
      const told = readMessage(message);
      if (told === undefined) return;
      if ('look' in told) {
        await panel.webview.postMessage(shownRows(table, told.look));
        return;
      }
      const [row, column] = told.press.split('.').map(Number);
      const left = told.press.startsWith('file.') ? result.files[column ?? -1] : undefined;
      if (left !== undefined) {
        await vscode.commands.executeCommand('vscode.open', client.protocol2CodeConverter.asUri(left.uri));
        return;
      }
      const range = result.rows[row ?? -1]?.cells[column ?? -1]?.range;
      const file = result.files[result.columns[column ?? -1] ?? -1];
      if (file && range) await goToPlace(client.protocol2CodeConverter.asUri(file.uri), range);
    },
  });
}
