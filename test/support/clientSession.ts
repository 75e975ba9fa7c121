import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import type { BaseLanguageClient, LanguageClientOptions } from 'vscode-languageclient';
import type { CodeAction, WorkspaceEdit as LspWorkspaceEdit, ProtocolConnection } from 'vscode-languageserver-protocol';
import { start } from '../../client/src/main.js';
import { FORMS } from '../../shared-core/src/format/index.js';
import {
  close,
  EventEmitter,
  type FakeDocument,
  type fake,
  Range,
  reset,
  Uri,
  WorkspaceEdit,
  window,
  workspace,
} from './fakeEditor.js';
import { bareConnection, FULL_CLIENT } from './serverSession.js';

/** The extension with its own server, in an editor that is played. */
export interface ClientSession {
  readonly editor: typeof fake;
  readonly connection: ProtocolConnection;
  /** Answers of the server that a test gives in its place, by request; undefined lets the server answer. */
  readonly instead: Map<string, (params: unknown) => unknown>;
  /** The parameters of each request to the server. */
  readonly asked: { readonly method: string; readonly params: unknown }[];
  /** Opens a file and puts the cursor at a place of it. */
  readonly open: (name: string, line?: number, character?: number) => Promise<void>;
  /** Runs a command by its id, and lets come in what it does not wait for. */
  readonly run: (id: string, ...given: readonly unknown[]) => Promise<void>;
  readonly text: (name: string) => string;
  /** Types at the head of a file. */
  readonly type: (name: string, text: string) => void;
  readonly close: (name: string) => void;
  /** Where the cursor stands in the active editor. */
  readonly cursor: () => { readonly line: number; readonly character: number } | undefined;
  readonly languageOf: (name: string) => string | undefined;
  /** The address under which the editor shows a file that the server names. */
  readonly shownAs: (address: string) => string;
  /** Tells the extension that the server has stopped or runs again. */
  readonly tellState: () => void;
  readonly stop: () => void;
}

const FOLDER = 'file:///cars';

export async function clientSession(files: Readonly<Record<string, string | Uint8Array>>): Promise<ClientSession> {
  const editor = reset();
  for (const [name, text] of Object.entries(files))
    editor.files.set(`${FOLDER}/${name}`, typeof text === 'string' ? new TextEncoder().encode(text) : text);
  workspace.workspaceFolders = [{ uri: Uri.parse(FOLDER), name: 'cars' }];
  const { connection, stop } = bareConnection();
  const instead: ClientSession['instead'] = new Map();
  const asked: { method: string; params: unknown }[] = [];
  const states = new EventEmitter<void>();
  let isRunning = false;
  let options: LanguageClientOptions | undefined;
  const asUri = (address: string): ReturnType<typeof Uri.parse> =>
    options?.uriConverters?.protocol2Code(address) as never;
  const send = (method: string, params: unknown, ...more: unknown[]) => {
    const answer = instead.get(method)?.(params);
    if (answer !== undefined) {
      asked.push({ method, params });
      return Promise.resolve(answer);
    }
    const next = (type: unknown, given: unknown) => {
      asked.push({ method, params: given });
      return connection.sendRequest(type as string, given, ...(more.filter((one) => one !== undefined) as []));
    };
    return options?.middleware?.sendRequest?.(method, params, undefined, next as never);
  };
  const client = {
    start: async () => {
      connection.onRequest('workspace/diagnostic/refresh', () => null);
      connection.onRequest('client/registerCapability', () => null);
      const initializationOptions = options?.initializationOptions;
      const root = { processId: null, rootUri: null, workspaceFolders: [{ uri: FOLDER, name: 'cars' }] };
      await connection.sendRequest('initialize', { ...root, capabilities: FULL_CLIENT, initializationOptions });
      await connection.sendNotification('initialized', {});
      isRunning = true;
      // As a client does: what asked too early asks again.
      states.fire();
    },
    isRunning: () => isRunning,
    onDidChangeState: states.event,
    onRequest: (method: string, answer: (params: never) => unknown) => connection.onRequest(method, answer as never),
    onNotification: (method: string, take: (params: never) => void) => connection.onNotification(method, take as never),
    sendRequest: send,
    sendNotification: (method: string, params: unknown) => connection.sendNotification(method, params),
    code2ProtocolConverter: { asRange: ({ start, end }: Range) => ({ start, end }) },
    protocol2CodeConverter: { asUri, asWorkspaceEdit: async (edit: LspWorkspaceEdit) => toEdit(edit, asUri) },
    dispose: () => undefined,
  };
  const subscriptions: { dispose: () => unknown }[] = [];
  const context = {
    subscriptions,
    extension: { id: 'countersum.countersum' },
    extensionUri: Uri.parse('file:///extension'),
    globalStorageUri: Uri.parse('file:///kept'),
    workspaceState: memento(),
  };
  followDocuments(connection, (uri) => options?.uriConverters?.code2Protocol(uri as never) ?? '');
  const started = start(context as never, (_context, _id, _name, given) => {
    options = given;
    return client as unknown as BaseLanguageClient;
  });
  while (!started.isRunning()) await settle();
  editor.commands.set('vscode.executeCodeActionProvider', async (uri, range, kind) => {
    const params = {
      textDocument: { uri: options?.uriConverters?.code2Protocol(uri as never) },
      range,
      context: { diagnostics: [], only: [kind] },
    };
    const actions = await connection.sendRequest<CodeAction[]>('textDocument/codeAction', params);
    return actions.map(({ edit, ...action }) => ({ ...action, ...(edit && { edit: toEdit(edit, asUri) }) }));
  });
  const uriOf = (name: string) => Uri.parse(`${FOLDER}/${name}`);
  const documentOf = (name: string) =>
    workspace.textDocuments.find(({ uri }) => uri.toString() === uriOf(name).toString());
  return {
    editor,
    connection,
    instead,
    asked,
    open: async (name, line = 0, character = 0) => {
      const shown = await window.showTextDocument(uriOf(name));
      const at = { line, character };
      shown.selection = Object.assign(shown.selection, { start: at, end: at });
      await settle();
    },
    run: async (id, ...given) => {
      const command = editor.commands.get(`countersum.${id}`);
      if (command === undefined) throw new Error(`There is no command ${id}.`);
      const before = editor.standing.length;
      await command(...given);
      await settle();
      const told = editor.standing.slice(before);
      if (told.length > 1) throw new Error(`One act gives one notice: ${told.join(' | ')}`);
    },
    text: (name) => documentOf(name)?.getText() ?? new TextDecoder().decode(editor.files.get(uriOf(name).toString())),
    type: (name, newText) => documentOf(name)?.change([{ range: new Range(0, 0, 0, 0), newText }]),
    cursor: () => {
      const start = window.activeTextEditor?.selection.start;
      return start && { line: start.line, character: start.character };
    },
    languageOf: (name) => documentOf(name)?.languageId,
    close: (name) => {
      const document = documentOf(name);
      if (document) close(document);
    },
    shownAs: (address) => asUri(address).toString(),
    tellState: () => states.fire(),
    stop: () => {
      for (const one of subscriptions) one.dispose();
      stop();
      mustFit(editor.buttonRows);
    },
  };
}

/** Characters of all buttons of a notice together, of which an editor shows no more. */
const MOST_IN_ROW = 52;

/** The buttons of each notice are whole, in every language. */
function mustFit(rows: readonly (readonly string[])[]): void {
  const german = JSON.parse(readFileSync('l10n/bundle.l10n.de.json', 'utf8')) as Record<string, string>;
  for (const row of rows) {
    assert.ok(row.length <= 3, `too many buttons: ${row.join(' | ')}`);
    for (const shown of [row, row.map((label) => german[label] ?? label)])
      assert.ok(shown.join('').length <= MOST_IN_ROW, `cut off: ${shown.join(' | ')}`);
  }
}

/** Lets come in what is on its way. */
export async function settle(): Promise<void> {
  for (let i = 0; i < 20; i++) await new Promise((resolve) => setImmediate(resolve));
}

/** Waits for what comes after a pause, or a long search. */
export async function until(holds: () => boolean): Promise<void> {
  while (!holds()) await new Promise((resolve) => setTimeout(resolve, 10));
}

function toEdit({ documentChanges = [] }: LspWorkspaceEdit, asUri: typeof Uri.parse): WorkspaceEdit {
  const edit = new WorkspaceEdit();
  for (const change of documentChanges) {
    if (!('edits' in change)) continue;
    for (const one of change.edits) {
      if (!('range' in one) || !('newText' in one)) continue;
      const { start, end } = one.range;
      const range = new Range(start.line, start.character, end.line, end.character);
      edit.replace(asUri(change.textDocument.uri), range, one.newText);
    }
  }
  return edit;
}

/** What an extension keeps. */
function memento() {
  const kept = new Map<string, unknown>();
  return {
    get: (key: string, fallback: unknown) => kept.get(key) ?? fallback,
    update: async (key: string, value: unknown) => void kept.set(key, value),
  };
}

/** Tells the server of documents as the editor's own client does. */
function followDocuments(
  connection: ProtocolConnection,
  addressOf: (uri: ReturnType<typeof Uri.parse>) => string,
): void {
  const isOurs = ({ uri, languageId }: FakeDocument) =>
    uri.scheme !== 'countersum' &&
    (FORMS.some(({ language }) => language === languageId) || /\.(?:dump-profile|retrofit)\.json$/.test(uri.path));
  const told = new Set<FakeDocument>();
  workspace.onDidOpenTextDocument((document) => {
    const { uri, languageId, version } = document;
    if (!isOurs(document)) return;
    told.add(document);
    const textDocument = { uri: addressOf(uri), languageId, version, text: document.getText() };
    void connection.sendNotification('textDocument/didOpen', { textDocument });
  });
  workspace.onDidCloseTextDocument((document) => {
    const textDocument = { uri: addressOf(document.uri) };
    if (told.delete(document)) void connection.sendNotification('textDocument/didClose', { textDocument });
  });
  workspace.onDidChangeTextDocument(({ document }) => {
    if (!told.has(document)) return;
    const textDocument = { uri: addressOf(document.uri), version: document.version };
    const contentChanges = [{ text: document.getText() }];
    void connection.sendNotification('textDocument/didChange', { textDocument, contentChanges });
  });
}
