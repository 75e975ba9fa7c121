import { PassThrough } from 'node:stream';
import { createConnection } from 'vscode-languageserver/node';
import {
  type ClientCapabilities,
  type CodeAction,
  createProtocolConnection,
  type Diagnostic,
  type Hover,
  type InitializeResult,
  type ProtocolConnection,
  type RegistrationParams,
  StreamMessageReader,
  StreamMessageWriter,
  type TextDocumentEdit,
  type TextEdit,
} from 'vscode-languageserver-protocol/node';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { soundMessages } from '../../server/src/messages.js';
import { startServer } from '../../server/src/server.js';
import { translationFor } from '../../server/src/translation.js';
import { type MemoryFile, memoryHost } from './memoryHost.js';

/** A server with a client at the other end of two streams in memory, and files that exist only here. */
export interface ServerSession {
  readonly connection: ProtocolConnection;
  readonly initialized: InitializeResult;
  readonly files: Map<string, MemoryFile>;
  readonly open: (uri: string, text: string) => Promise<void>;
  readonly change: (uri: string, line: number, start: number, end: number, text: string) => Promise<void>;
  /** Gives a document another text. */
  readonly replace: (uri: string, text: string) => Promise<void>;
  readonly diagnostics: (uri: string) => Promise<Diagnostic[]>;
  readonly actions: (uri: string, line: number, column: number, only?: string[]) => Promise<CodeAction[]>;
  readonly hover: (uri: string, line: number, column: number) => Promise<Hover | null>;
  /** The text of a document after an action's edit. */
  readonly after: (uri: string, action: CodeAction | undefined) => string;
  readonly close: () => void;
}

export const FULL_CLIENT: ClientCapabilities = {
  textDocument: {
    diagnostic: {},
    codeAction: { disabledSupport: true, codeActionLiteralSupport: { codeActionKind: { valueSet: [] } } },
    hover: { contentFormat: ['markdown'] },
  },
  workspace: { diagnostics: { refreshSupport: true }, workspaceEdit: { documentChanges: true } },
};

/** A client that asks for edits once an action is chosen, and shows the cautions of edits. */
export const RESOLVING_CLIENT: ClientCapabilities = {
  ...FULL_CLIENT,
  textDocument: {
    ...FULL_CLIENT.textDocument,
    codeAction: {
      ...FULL_CLIENT.textDocument?.codeAction,
      dataSupport: true,
      resolveSupport: { properties: ['edit'] },
    },
  },
  workspace: { ...FULL_CLIENT.workspace, workspaceEdit: { documentChanges: true, changeAnnotationSupport: {} } },
};

/** A server and the connection to it, before anything was said. */
export function bareConnection(
  settle?: Parameters<typeof startServer>[3],
): Pick<ServerSession, 'connection' | 'files'> & { readonly stop: () => void } {
  const up = new PassThrough();
  const down = new PassThrough();
  const files = new Map<string, MemoryFile>();
  startServer(
    createConnection(new StreamMessageReader(up), new StreamMessageWriter(down), {
      messageStrategy: soundMessages(),
    }),
    memoryHost(files),
    (locale) => translationFor(locale, 'l10n'),
    settle,
  );
  const connection = createProtocolConnection(new StreamMessageReader(down), new StreamMessageWriter(up));
  connection.listen();
  const stop = () => {
    connection.dispose();
    up.end();
    down.end();
  };
  return { connection, files, stop };
}

export async function serverSession(
  capabilities: ClientCapabilities = FULL_CLIENT,
  initializationOptions: object = {},
  locale?: string,
  registered: (params: RegistrationParams) => void = () => {},
): Promise<ServerSession> {
  const { connection, files, stop } = bareConnection();
  connection.onRequest('workspace/diagnostic/refresh', () => null);
  connection.onRequest('client/registerCapability', registered);
  const initialized = await connection.sendRequest<InitializeResult>('initialize', {
    processId: null,
    // All files of the memory are in the workspace.
    rootUri: 'file:///',
    capabilities,
    initializationOptions,
    ...(locale !== undefined && { locale }),
  });
  await connection.sendNotification('initialized', {});
  const texts = new Map<string, TextDocument>();
  return {
    connection,
    initialized,
    files,
    open: async (uri, text) => {
      texts.set(uri, TextDocument.create(uri, 'cfgdump', 1, text));
      await connection.sendNotification('textDocument/didOpen', {
        textDocument: { uri, languageId: 'cfgdump', version: 1, text },
      });
    },
    change: async (uri, line, start, end, text) => {
      const document = texts.get(uri) as TextDocument;
      const range = { start: { line, character: start }, end: { line, character: end } };
      const contentChanges = [{ range, text }];
      const version = document.version + 1;
      TextDocument.update(document, contentChanges, version);
      await connection.sendNotification('textDocument/didChange', { textDocument: { uri, version }, contentChanges });
    },
    replace: async (uri, text) => {
      const document = texts.get(uri) as TextDocument;
      const version = document.version + 1;
      TextDocument.update(document, [{ text }], version);
      await connection.sendNotification('textDocument/didChange', {
        textDocument: { uri, version },
        contentChanges: [{ text }],
      });
    },
    diagnostics: async (uri) => {
      const report = await connection.sendRequest<{ items: Diagnostic[] }>('textDocument/diagnostic', {
        textDocument: { uri },
      });
      return report.items;
    },
    actions: (uri, line, character, only) =>
      connection.sendRequest<CodeAction[]>('textDocument/codeAction', {
        textDocument: { uri },
        range: { start: { line, character }, end: { line, character } },
        context: { diagnostics: [], ...(only && { only }) },
      }),
    hover: (uri, line, character) =>
      connection.sendRequest<Hover | null>('textDocument/hover', {
        textDocument: { uri },
        position: { line, character },
      }),
    after: (uri, action) => {
      const edits = (action?.edit?.documentChanges as TextDocumentEdit[] | undefined)?.[0]?.edits as TextEdit[];
      return TextDocument.applyEdits(texts.get(uri) as TextDocument, edits);
    },
    close: stop,
  };
}
