import { type ChildProcess, spawn } from 'node:child_process';
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import {
  createProtocolConnection,
  type Diagnostic,
  FileChangeType,
  type ProtocolConnection,
  StreamMessageReader,
  StreamMessageWriter,
} from 'vscode-languageserver-protocol/node';
import { type Dice, diceOf } from '../../support/dice.js';
import { FAMILY } from '../../support/family.js';
import { makeFolder } from '../../support/folder.js';
import { FULL_CLIENT } from '../../support/serverSession.js';
import { type Area, failureOf } from '../area.js';

const DOCUMENTS = 500;
const EDITS = 400;
/** Of the server's own objects, for all documents together: what grows with each edit does not fit for long. */
const MEMORY_MB = 96;
const { profileFile, profile, work } = FAMILY.body;

/** One server for all cases: days of typing in many documents, whose profile changes, in little memory. */
export const soak: Area = {
  name: 'soak',
  share: 15,
  open: () => {
    const folder = makeFolder();
    folder.write(new Map([[profileFile, JSON.stringify(profile)]]));
    const uriOf = (name: string) => pathToFileURL(folder.of(name)).href;
    const long = start([`--max-old-space-size=${MEMORY_MB}`], uriOf(''));
    const texts = new Map<string, Written>();
    const saveProfile = async (connection: ProtocolConnection, saved: object) => {
      folder.write(new Map([[profileFile, JSON.stringify(saved)]]));
      await connection.sendNotification('workspace/didChangeWatchedFiles', {
        changes: [{ uri: uriOf(profileFile), type: FileChangeType.Changed }],
      });
    };
    return {
      run: async (seed) => {
        const dice = diceOf(seed);
        const { connection } = await long.ready;
        for (let edit = 0; edit < EDITS; edit++) {
          const uri = uriOf(`car${dice.int(1, DOCUMENTS)}.cfgdump`);
          await step(dice, connection, uri, texts);
          if (!dice.once(200)) continue;
          const changed = { ...profile, locked: [{ line: dice.int(1, 16), byte: dice.int(1, 8) }] };
          await saveProfile(connection, dice.once(4) ? { ...changed, lines: 0 } : changed);
        }
        // Of a profile that cannot be read the last good text holds, which a fresh server does not know.
        await saveProfile(connection, profile);
        if (long.process.exitCode !== null || long.process.signalCode !== null)
          return `the server needed more than ${MEMORY_MB} MB, or died`;
        const [uri, { text }] = dice.pick([...texts]);
        const fresh = start([], uriOf(''));
        const { connection: other } = await fresh.ready;
        await open(other, uri, text);
        const [after, before] = [await marks(other, uri), await marks(connection, uri)];
        fresh.process.kill();
        return failureOf(after === before ? [] : [`${uri} is marked as ${before}, by a fresh server as ${after}`]);
      },
      close: () => {
        long.process.kill();
        folder.remove();
      },
    };
  },
};

interface Written {
  readonly version: number;
  readonly text: string;
}

/** Types a digit into a document, which is opened where it is not; now and then asks about it, or closes it. */
async function step(dice: Dice, connection: ProtocolConnection, uri: string, texts: Map<string, Written>) {
  const before = texts.get(uri);
  if (before === undefined) {
    texts.set(uri, { version: 1, text: work });
    return open(connection, uri, work);
  }
  const textDocument = { uri, version: before.version + 1 };
  const rows = before.text.split('\n');
  const line = dice.int(0, rows.length - 1);
  const row = rows[line] ?? '';
  const at = dice.int(0, row.length);
  const typed = dice.pick([...'0123456789ABCDEF G']);
  const end = Math.min(row.length, at + 1);
  rows[line] = row.slice(0, at) + typed + row.slice(end);
  texts.set(uri, { version: textDocument.version, text: rows.join('\n') });
  const range = { start: { line, character: at }, end: { line, character: end } };
  await connection.sendNotification('textDocument/didChange', {
    textDocument,
    contentChanges: [{ range, text: typed }],
  });
  if (dice.once(2)) await marks(connection, uri);
  const position = { line, character: at };
  const context = { diagnostics: [] };
  if (dice.once(10)) await connection.sendRequest('textDocument/hover', { textDocument, position });
  if (dice.once(40))
    await connection.sendRequest('textDocument/codeAction', {
      textDocument,
      range: { start: position, end: position },
      context,
    });
  if (!dice.once(60)) return;
  texts.delete(uri);
  await connection.sendNotification('textDocument/didClose', { textDocument: { uri } });
}

const open = (connection: ProtocolConnection, uri: string, text: string) =>
  connection.sendNotification('textDocument/didOpen', {
    textDocument: { uri, languageId: 'cfgdump', version: 1, text },
  });

async function marks(connection: ProtocolConnection, uri: string): Promise<string> {
  const { items } = await connection.sendRequest<{ items: readonly Diagnostic[] }>('textDocument/diagnostic', {
    textDocument: { uri },
  });
  return JSON.stringify(items.map(({ code, range, message }) => ({ code, range, message })));
}

interface Server {
  readonly process: ChildProcess;
  readonly ready: Promise<{ readonly connection: ProtocolConnection }>;
}

function start(options: readonly string[], rootUri: string): Server {
  const server = spawn(process.execPath, [...options, resolve('dist/server.js'), '--stdio'], {
    stdio: ['pipe', 'pipe', 'ignore'],
  });
  const begin = async () => {
    const connection = createProtocolConnection(
      new StreamMessageReader(server.stdout),
      new StreamMessageWriter(server.stdin),
    );
    connection.onRequest('workspace/diagnostic/refresh', () => null);
    connection.onRequest('client/registerCapability', () => null);
    connection.listen();
    await connection.sendRequest('initialize', { processId: null, rootUri, capabilities: FULL_CLIENT });
    await connection.sendNotification('initialized', {});
    return { connection };
  };
  return { process: server, ready: begin() };
}
