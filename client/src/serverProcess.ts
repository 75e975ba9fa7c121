import { LanguageClient, TransportKind } from 'vscode-languageclient/node';
import type { CreateClient } from './main.js';

/** Most of what the server makes it keeps: with little room (MB) for what is young, V8 copies it less often. */
const YOUNG = ['--max-semi-space-size=2'];

/** Where the editor has Node.js, the server is a process of its own. */
export const createClient: CreateClient = ({ asAbsolutePath }, id, name, options) => {
  const run = { module: asAbsolutePath('dist/server.js'), transport: TransportKind.ipc, options: { execArgv: YOUNG } };
  return new LanguageClient(id, name, { run, debug: run }, options);
};
