import * as vscode from 'vscode';
import { THREE_WAYS, type ThreeWaysParams, type ThreeWaysResult } from '../../../shared-core/src/index.js';
import { type Command, onDump } from '../command.js';
import { openPage } from '../pages/page.js';
import { rowsOf, threeWaysPage } from '../pages/threeWaysPage.js';
import { goTo } from '../places.js';
import { chooseReading } from './chooseReading.js';
import { HAS_DUMP, IN_CHANGES } from './conditions.js';

/** *Compare Three Ways…*: the dump as it was found, as it is planned and as it was read back, place by place. */
export const compareThree: Command = {
  id: 'compareThree',
  title: 'Compare Three Ways…',
  does: 'as found, planned and read back as one table: what became of each change',
  when: HAS_DUMP,
  menus: [{ menu: 'view/title', group: '1_compare@2', when: IN_CHANGES }],
  run: onDump(async ({ client, ask }, { uri }) => {
    const read = await chooseReading(client, uri);
    if (read === undefined) return;
    const params: ThreeWaysParams = { uri: uri.toString(), read: read.toString() };
    const result = await ask<ThreeWaysResult>(THREE_WAYS, params);
    if (result === undefined) return;
    const shown = { found: vscode.Uri.parse(result.foundUri), planned: uri, read, result };
    openPage(threeWaysPage, shown, {
      column: vscode.ViewColumn.Beside,
      answer: async (message) => {
        const range = rowsOf(result)[Number(message)]?.range;
        if (range) await goTo(uri, range);
      },
    });
  }),
};
