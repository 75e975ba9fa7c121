import * as vscode from 'vscode';
import type { BaseLanguageClient, LanguageClientOptions } from 'vscode-languageclient';
import type { InitializationOptions } from '../../shared-core/src/protocol/initialization.js';
import { JOBS_CHANGED } from '../../shared-core/src/protocol/jobs.js';
import { askAgain, createAsking } from './ask.js';
import { createBackupFirst } from './backupFirst.js';
import { register } from './command.js';
import { COMMANDS } from './commands/table.js';
import { followCurrentDump } from './currentDump.js';
import { answerForFiles, type FilesForServer } from './files.js';
import { DUMP_LANGUAGES } from './forms.js';
import { offerDumps } from './offerDump.js';
import { registerLargeImage } from './pages/largeImage.js';
import { createPages } from './pages/markdownPages.js';
import { explainProblems, problemAddress } from './pages/problemPage.js';
import { registerRawFiles } from './rawFileSystem.js';
import { createRawTexts } from './rawText.js';
import { fileUri, shownUri, withFileUris } from './rawUri.js';
import { protectSealed } from './sealed.js';
import { createByteOverview } from './views/byteOverview.js';
import { createChangesView } from './views/changesView.js';
import { COMPARE_SCHEME, createComparison } from './views/comparison.js';
import { createJobView } from './views/jobView.js';
import { createOptionsView } from './views/optionsView.js';
import { createStatus } from './views/status.js';
import { intoTexts } from './writeEdit.js';

/** Makes the client of a server that runs where the editor can run it: in a process, or in a worker of the browser. */
export type CreateClient = (
  context: vscode.ExtensionContext,
  id: string,
  name: string,
  options: LanguageClientOptions,
) => BaseLanguageClient;

/** Starts the language server and everything that needs a window. */
export function start(context: vscode.ExtensionContext, create: CreateClient): BaseLanguageClient {
  let files: FilesForServer | undefined;
  const holdsRawBytes = (address: string) => files?.holdsRawBytes(address) === true;
  const client = create(context, 'countersum', 'Countersum', clientOptions(holdsRawBytes, problemAddress(context)));
  files = answerForFiles(client);
  const raw = registerRawFiles(context.workspaceState, createRawTexts(client));
  const asking = createAsking(client);
  const backupFirst = createBackupFirst(asking.ask);
  const pages = createPages();
  const changed = new vscode.EventEmitter<void>();
  const told = client.onNotification(JOBS_CHANGED, () => changed.fire());
  const current = followCurrentDump(changed.event);
  const changes = createChangesView(client, asking.ask, current);
  const comparison = createComparison(asking.ask, pages.show, changes);
  const options = createOptionsView(client, current);
  const byteOverview = createByteOverview(client, current);
  const offers = offerDumps(client, context.workspaceState);
  const job = createJobView(client, current, changed.event, offers);
  const views = { current, changes, comparison, options, byteOverview, job };
  context.subscriptions.push(
    raw,
    changed,
    told,
    client,
    files,
    asking,
    backupFirst,
    pages,
    ...Object.values(views),
    createStatus(client, current),
    protectSealed(),
    explainProblems(context, pages.show),
    registerLargeImage(client),
    offers,
    register(COMMANDS, {
      client,
      ask: asking.ask,
      write: intoTexts,
      backupFirst,
      showPage: pages.show,
      extension: context,
      ...views,
    }),
  );
  // Whoever asks the server waits for it; the editor need not. Where it does not start, the client itself says so.
  client.start().catch(() => undefined);
  return client;
}

function clientOptions(holdsRawBytes: FilesForServer['holdsRawBytes'], problems: string): LanguageClientOptions {
  const initializationOptions: InitializationOptions = {
    reads: true,
    pieces: true,
    lists: true,
    commands: true,
    tokens: true,
    jobs: true,
    problems,
    ...(vscode.l10n.bundle && { translation: vscode.l10n.bundle }),
  };
  return {
    documentSelector: [
      ...DUMP_LANGUAGES.map((language) => ({ language })),
      { pattern: '**/*.dump-profile.json' },
      { pattern: '**/*.retrofit.json' },
    ],
    initializationOptions,
    // To the server raw bytes are the file that they are in, whatever the editor shows of it.
    uriConverters: {
      code2Protocol: (uri) => fileUri(uri).toString(),
      protocol2Code: (address) => shownUri(address, holdsRawBytes),
    },
    // The other side of a comparison is no dump of its own: its problems would be marked twice.
    middleware: {
      sendRequest: (type, params, token, next) => askAgain(type, withFileUris(params), token, next),
      didOpen: (document, next) => (document.uri.scheme === COMPARE_SCHEME ? Promise.resolve() : next(document)),
    },
  };
}
