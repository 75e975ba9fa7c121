import * as vscode from 'vscode';
import type { BaseLanguageClient, LanguageClientOptions } from 'vscode-languageclient';
import type { InitializationOptions } from '../../shared-core/src/index.js';
import { askAgain, createAsking } from './ask.js';
import { register } from './command.js';
import { COMMANDS } from './commands/table.js';
import { followCurrentDump } from './currentDump.js';
import { answerForFiles } from './files.js';
import { DUMP_LANGUAGES } from './forms.js';
import { registerLargeImage } from './pages/largeImage.js';
import { createPages } from './pages/markdownPages.js';
import { protectSealed } from './sealed.js';
import { createChangesView } from './views/changesView.js';
import { COMPARE_SCHEME, createComparison } from './views/comparison.js';
import { createDumpMap } from './views/dumpMap.js';
import { createOptionsView } from './views/optionsView.js';
import { createStatus } from './views/status.js';

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
  const asking = createAsking(client);
  const pages = createPages();
  const current = followCurrentDump();
  const changes = createChangesView(client, asking.ask, current);
  const comparison = createComparison(asking.ask, pages.show, changes);
  const options = createOptionsView(client, current);
  const map = createDumpMap(client, current);
  const views = { current, changes, comparison, options, map };
  context.subscriptions.push(
    client,
    asking,
    pages,
    ...Object.values(views),
    answerForFiles(client),
    createStatus(client, current),
    protectSealed(),
    registerLargeImage(client),
    register(COMMANDS, { client, ask: asking.ask, showPage: pages.show, extension: context, ...views }),
  );
  // Whoever asks the server waits for it; the editor need not. Where it does not start, the client itself says so.
  client.start().catch(() => undefined);
  return client;
}

function clientOptions(): LanguageClientOptions {
  const initializationOptions: InitializationOptions = {
    reads: true,
    pieces: true,
    lists: true,
    commands: true,
    tokens: true,
    ...(vscode.l10n.bundle && { translation: vscode.l10n.bundle }),
  };
  return {
    documentSelector: [
      ...DUMP_LANGUAGES.map((language) => ({ language })),
      { pattern: '**/*.dump-profile.json' },
      { pattern: '**/*.retrofit.json' },
    ],
    initializationOptions,
    // The other side of a comparison is no dump of its own: its problems would be marked twice.
    middleware: {
      sendRequest: askAgain,
      didOpen: (document, next) => (document.uri.scheme === COMPARE_SCHEME ? Promise.resolve() : next(document)),
    },
  };
}
