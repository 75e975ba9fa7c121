import { LanguageClient, TransportKind } from 'vscode-languageclient/node';
import type { CreateClient } from './main.js';

/** Where the editor has Node.js, the server is a process of its own. */
export const createClient: CreateClient = ({ asAbsolutePath }, id, name, options) => {
  const run = { module: asAbsolutePath('dist/server.js'), transport: TransportKind.ipc };
  return new LanguageClient(id, name, { run, debug: run }, options);
};
