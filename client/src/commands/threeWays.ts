import * as vscode from 'vscode';
import { THREE_WAYS, type ThreeWaysParams, type ThreeWaysResult } from '../../../shared-core/src/protocol/compare.js';
import { openPage } from '../pages/page.js';
import { rowsOf, threeWaysPage } from '../pages/threeWaysPage.js';
import { goToPlace } from '../places.js';
import type { Services } from '../services.js';
import { chooseReading } from './chooseReading.js';

/** Shows a dump as it was found, as it is planned and as it was read back, place by place. */
export async function showThreeWays({ client, ask }: Services, uri: vscode.Uri): Promise<void> {
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
      if (range) await goToPlace(uri, range);
    },
  });
}
