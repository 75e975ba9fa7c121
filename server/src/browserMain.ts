import { BrowserMessageReader, BrowserMessageWriter, createConnection } from 'vscode-languageserver/browser';
import type { Host } from './host.js';
import { startServer } from './server.js';

/** A worker has no disk: every file comes from the client, and so do the sentences of another language. */
const nowhere: Host = {
  readText: async () => undefined,
  listFiles: async () => [],
  translation: () => ({}),
};

declare const self: ConstructorParameters<typeof BrowserMessageReader>[0];
startServer(createConnection(new BrowserMessageReader(self), new BrowserMessageWriter(self)), nowhere);
