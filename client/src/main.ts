import * as vscode from 'vscode';
import type { BaseLanguageClient, LanguageClientOptions } from 'vscode-languageclient';
import type { InitializationOptions } from '../../shared-core/src/index.js';
import { registerBackup } from './backup.js';
import { registerChanges } from './changesView.js';
import { COMPARE_SCHEME, registerCompare } from './compare.js';
import { registerCompareThree } from './compareThree.js';
import { registerConvert } from './convert.js';
import { followCurrentDump } from './currentDump.js';
import { registerDemo } from './demo.js';
import { answerForFiles } from './files.js';
import { registerFindOption } from './findOption.js';
import { registerJobCard } from './jobCard.js';
import { registerLargeImage } from './largeImage.js';
import { registerLearn } from './learn.js';
import { registerMap } from './map.js';
import { registerOptionsView } from './optionsView.js';
import { createPages } from './pages.js';
import { registerPlanRetrofit } from './planRetrofit.js';
import { registerReadAs } from './readAs.js';
import { registerReadBack } from './readBack.js';
import { registerRebalance } from './rebalance.js';
import { registerRepair } from './repair.js';
import { registerRestore } from './restore.js';
import { protectSealed } from './sealed.js';
import { registerSetOption } from './setOption.js';
import { registerStatus } from './status.js';
import { registerVehicleRecord } from './vehicleRecord.js';

const LANGUAGE = 'cfgdump';

/** Makes the client of a server that runs where the editor can run it: in a process, or in a worker of the browser. */
export type CreateClient = (
  context: vscode.ExtensionContext,
  id: string,
  name: string,
  options: LanguageClientOptions,
) => BaseLanguageClient;

/** Starts the language server and everything that needs a window. */
export function start(context: vscode.ExtensionContext, create: CreateClient): BaseLanguageClient {
  const client = create(context, 'countersum', 'Countersum', clientOptions());
  const pages = createPages();
  const current = followCurrentDump();
  const changes = registerChanges(client, current);
  context.subscriptions.push(
    client,
    pages,
    current,
    answerForFiles(client),
    changes,
    registerCompare(client, changes),
    registerCompareThree(client),
    registerBackup(client),
    registerConvert(client, pages.show),
    registerDemo(context),
    registerJobCard(client, pages.show),
    registerReadBack(client, pages.show),
    registerRebalance(client),
    registerPlanRetrofit(client, pages.show),
    registerLearn(client),
    registerFindOption(client, pages.show),
    registerLargeImage(),
    registerReadAs(),
    registerRepair(),
    registerStatus(client, current),
    registerVehicleRecord(client, pages.show),
    registerRestore(client),
    protectSealed(),
    registerSetOption(client, current),
    registerOptionsView(client, current),
    registerMap(client, current),
  );
  // Whoever asks the server waits for it; the editor need not. Where it does not start, the client itself says so.
  client.start().catch(() => undefined);
  return client;
}

function clientOptions(): LanguageClientOptions {
  const initializationOptions: InitializationOptions = {
    reads: true,
    lists: true,
    commands: true,
    tokens: true,
    ...(vscode.l10n.bundle && { translation: vscode.l10n.bundle }),
  };
  return {
    documentSelector: [
      { language: LANGUAGE },
      { language: 'intel-hex' },
      { language: 's-record' },
      { pattern: '**/*.dump-profile.json' },
      { pattern: '**/*.retrofit.json' },
    ],
    initializationOptions,
    // The other side of a comparison is no dump of its own: its problems would be marked twice.
    middleware: {
      didOpen: (document, next) => (document.uri.scheme === COMPARE_SCHEME ? Promise.resolve() : next(document)),
    },
  };
}
