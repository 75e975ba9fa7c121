import type { ExtensionContext } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { LanguageClient, TransportKind } from 'vscode-languageclient/node';
import { start } from './main.js';

/** Where the editor has Node.js, the server is a process of its own. */
export function activate(context: ExtensionContext): BaseLanguageClient {
  return start(context, ({ asAbsolutePath }, id, name, options) => {
    const run = { module: asAbsolutePath('dist/server.js'), transport: TransportKind.ipc };
    return new LanguageClient(id, name, { run, debug: run }, options);
  });
}
