import * as vscode from 'vscode';
import { type JobAction, OFFER_PLANS } from '../../../shared-core/src/protocol/jobs.js';
import type { Command } from '../command.js';
import { openToPrint, showKept } from '../pages/keepPage.js';
import { fileUri } from '../rawUri.js';
import { saveNew } from '../saveNew.js';
import type { Services } from '../services.js';
import { intoFiles } from '../writeEdit.js';
import { bringBack, bringIn, describe } from './bringIn.js';
import { compareWithBackup } from './compareWithBackup.js';
import { confirmSums } from './confirmSums.js';
import { correctChecksums } from './correctChecksums.js';
import { findOption } from './findOption.js';
import { keepCard } from './jobCard.js';
import { learn } from './learn.js';
import { makeBackup } from './makeBackup.js';
import { newOption } from './newOption.js';
import { openProfile } from './openProfile.js';
import { planRetrofit, setAsPlanned } from './planRetrofit.js';
import { restoreFromBackup } from './restoreFromBackup.js';
import { saveToLoad } from './saveToLoad.js';
import { setOption } from './setOption.js';
import { useSimilar } from './similarDumps.js';
import { askUse } from './useOfDump.js';
import { vehicleRecord } from './vehicleRecord.js';
import { noteTried, verify } from './verifyReadBack.js';

/** What an entry of the *Job* view does: a command of the extension, on the dump of the step, which is opened first; or several. */
export const jobStep: Command = {
  id: '_jobStep',
  run: async (services, ...actions: readonly JobAction[]) => {
    for (const action of actions) await doIt({ ...services, write: intoFiles }, action);
  },
};

async function doIt(services: Services, { does, uri, other }: JobAction): Promise<unknown> {
  // Raw bytes are opened as the text of them.
  const file = services.client.protocol2CodeConverter.asUri(uri);
  if (does === 'open') return openFile(file);
  if (does === 'bringIn') return bringIn.run(services);
  if (does === 'bringBack') return bringBack(services, fileUri(file));
  if (does === 'planRetrofit' && other !== null) return planRetrofit.run(services, vscode.Uri.parse(other), uri);
  if (does === 'setAsPlanned') return other !== null && setAsPlanned(services, vscode.Uri.parse(other), uri);
  if (does === 'settlePlan') return services.client.sendNotification(OFFER_PLANS);
  if (does === 'confirmSums') return other !== null && confirmSums(services, vscode.Uri.parse(other));
  const document = await show(file);
  switch (does) {
    case 'save':
      // A text that is not in a file yet may have to be given its name.
      return document.isUntitled ? saveNew(document) : document.save();
    case 'describe':
      return describe(services, document);
    case 'sayUse':
      return askUse(services, document, other === null ? undefined : vscode.Uri.parse(other));
    case 'openProfile':
      return openProfile.run(services, uri, other, 0);
    case 'showProblems':
      return vscode.commands.executeCommand('workbench.actions.view.problems');
    case 'verifyReadBack':
      return other !== null && verify(services, document, vscode.Uri.parse(other));
    case 'noteSeen':
      return other !== null && noteTried(services, document, vscode.Uri.parse(other));
    case 'jobCard':
      return keepCard(services, document.uri);
    case 'learn':
    case 'nameProfile':
      return learn.run(services, uri);
    case 'similar':
      return useSimilar.run(services);
    default:
      return COMMANDS[does].run(services);
  }
}

const COMMANDS = {
  makeBackup,
  setOption,
  findOption,
  newOption,
  restore: restoreFromBackup,
  planRetrofit,
  correctChecksums,
  compareWithBackup,
  vehicleRecord,
  saveToLoad,
} as const;

/** Shows a dump as a text in front: commands are about that one. */
async function show(uri: vscode.Uri): Promise<vscode.TextDocument> {
  const document = await vscode.workspace.openTextDocument(uri);
  const there = vscode.window.visibleTextEditors.find((editor) => editor.document === document)?.viewColumn;
  await vscode.window.showTextDocument(document, { preview: false, viewColumn: there ?? vscode.ViewColumn.One });
  return document;
}

/** A file as people read it: cards as pages, all else as text. */
async function openFile(uri: vscode.Uri): Promise<unknown> {
  if (uri.path.endsWith('.md')) return showKept(uri);
  if (uri.path.endsWith('.html')) return openToPrint(uri);
  try {
    return await show(uri);
  } catch {
    // What is no text the editor shows in its own way, or says why not.
    return vscode.commands.executeCommand('vscode.open', uri);
  }
}
