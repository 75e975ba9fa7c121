import { Uri } from 'vscode';
import { LanguageClient } from 'vscode-languageclient/browser';
import type { CreateClient } from './main.js';

/** In a browser the server is a worker. */
export const createClient: CreateClient = ({ extensionUri }, id, name, options) => {
  const worker = new Worker(Uri.joinPath(extensionUri, 'dist/server.code.js').toString(true));
  return new LanguageClient(id, name, worker, options);
};
