import { type ExtensionContext, Uri } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { LanguageClient } from 'vscode-languageclient/browser';
import { start } from './main.js';

/** In a browser the server is a worker. */
export function activate(context: ExtensionContext): BaseLanguageClient {
  return start(context, ({ extensionUri }, id, name, options) => {
    const worker = new Worker(Uri.joinPath(extensionUri, 'dist/browser/server.js').toString(true));
    return new LanguageClient(id, name, worker, options);
  });
}
