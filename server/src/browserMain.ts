import { BrowserMessageReader, BrowserMessageWriter, createConnection } from 'vscode-languageserver/browser';
import { phrase, refuse } from '../../shared-core/src/base/index.js';
import type { Host } from '../../shared-core/src/workspace/index.js';
import { soundMessages } from './messages.js';
import { startServer } from './server.js';

/** A worker has no disk: every file comes from the client, and so do the sentences of another language. */
const whyNot = phrase('the editor does not say what is there');
const nowhere: Host = {
  kindAt: async () => refuse(whyNot),
  identity: async () => undefined,
  stamp: async () => undefined,
  open: async () => refuse(whyNot),
  list: async () => refuse(whyNot),
};

declare const self: ConstructorParameters<typeof BrowserMessageReader>[0];
const [reader, writer] = [new BrowserMessageReader(self), new BrowserMessageWriter(self)];
startServer(createConnection(reader, writer, { messageStrategy: soundMessages() }), nowhere, () => ({}));
