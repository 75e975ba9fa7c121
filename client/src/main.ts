import * as vscode from 'vscode';
import type { BaseLanguageClient, LanguageClientOptions } from 'vscode-languageclient';
import {
  DUMP_ENDINGS,
  type InitializationOptions,
  LARGEST_FILE,
  LIST_FILES,
  type ListFilesResult,
  MOST_FILES,
  READ_FILE,
  type ReadFileParams,
  type ReadFileResult,
} from '../../shared-core/src/index.js';
import { registerBackup } from './backup.js';
import { COMPARE_SCHEME, registerCompare } from './compare.js';
import { registerRebalance } from './rebalance.js';
import { registerRepair } from './repair.js';
import { protectSealed } from './sealed.js';
import { registerStatus } from './status.js';

const LANGUAGE = 'cfgdump';

/** Dumps, profiles and retrofits, as a pattern of file names. */
const OUR_FILES = `**/*.{${[...DUMP_ENDINGS, 'dump-profile.json', 'retrofit.json'].join(',')}}`;

/** Makes the client of a server that runs where the editor can run it: in a process, or in a worker of the browser. */
export type CreateClient = (
  context: vscode.ExtensionContext,
  id: string,
  name: string,
  options: LanguageClientOptions,
) => BaseLanguageClient;

/** Starts the language server and everything that needs a window. */
export async function start(context: vscode.ExtensionContext, create: CreateClient): Promise<BaseLanguageClient> {
  const client = create(context, 'countersum', 'Countersum', clientOptions());
  context.subscriptions.push(
    client,
    client.onRequest(READ_FILE, readFile),
    client.onRequest(LIST_FILES, listFiles),
    registerCompare(client),
    registerBackup(client),
    registerRebalance(client),
    registerRepair(),
    registerStatus(client),
    protectSealed(),
  );
  await client.start();
  return client;
}

function clientOptions(): LanguageClientOptions {
  const initializationOptions: InitializationOptions = {
    reads: true,
    lists: true,
    commands: true,
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
    synchronize: {
      fileEvents: vscode.workspace.createFileSystemWatcher(OUR_FILES),
    },
  };
}

/** The server reads profiles and backups through the editor, which also reaches files that lie on no disk. */
async function readFile({ uri }: ReadFileParams): Promise<ReadFileResult> {
  const target = vscode.Uri.parse(uri);
  const open = vscode.workspace.textDocuments.find((document) => document.uri.toString() === target.toString());
  if (open) return open.getText();
  try {
    if ((await vscode.workspace.fs.stat(target)).size > LARGEST_FILE) return null;
    return new TextDecoder().decode(await vscode.workspace.fs.readFile(target));
  } catch {
    return null;
  }
}

async function listFiles(): Promise<ListFilesResult> {
  const found = await vscode.workspace.findFiles(OUR_FILES, '**/node_modules/**', MOST_FILES);
  return found.map((uri) => uri.toString());
}
