import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import {
  CancellationTokenSource,
  type DocumentDiagnosticReport,
  FileChangeType,
  ProgressType,
  type WorkspaceDiagnosticReport,
  type WorkspaceDocumentDiagnosticReport,
} from 'vscode-languageserver-protocol';
import { demoFile } from '../support/demo.js';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const FOLDER = 'file:///demo/';
const REAR = `${FOLDER}rear-body.cfgdump`;
const FOUND = `${FOLDER}rear-body.as-found.cfgdump`;
const PROFILE = `${FOLDER}rear-body.dump-profile.json`;

async function inDemo(run: (session: ServerSession) => Promise<void>, settings?: object): Promise<void> {
  const workspace = { ...FULL_CLIENT.workspace, ...(settings && { configuration: true }) };
  const session = await serverSession({ ...FULL_CLIENT, workspace });
  session.connection.onRequest('workspace/configuration', () => [settings]);
  for (const uri of [REAR, FOUND, PROFILE]) session.files.set(uri, demoFile(uri.slice(FOLDER.length)));
  try {
    await run(session);
  } finally {
    session.close();
  }
}

const pull = ({ connection }: ServerSession, previousResultIds: { uri: string; value: string }[] = []) =>
  connection.sendRequest<WorkspaceDiagnosticReport>('workspace/diagnostic', { previousResultIds });

const said = (reports: readonly WorkspaceDocumentDiagnosticReport[]) =>
  reports.map((report) => {
    const codes = report.kind === 'full' ? report.items.map(({ code }) => code) : [report.kind];
    return `${report.uri.slice(FOLDER.length)}: ${codes.join(' ')}`;
  });

const idsOf = ({ items }: WorkspaceDiagnosticReport) =>
  items.map(({ uri, resultId }) => ({ uri, value: resultId ?? '' }));

const ALL = ['rear-body.as-found.cfgdump: ', 'rear-body.cfgdump: line-sum total-sum', 'rear-body.dump-profile.json: '];

describe('the problems of the workspace', () => {
  it('are those of all files, without opening them', async () => {
    await inDemo(async (session) => {
      assert.equal(session.initialized.capabilities.diagnosticProvider?.workspaceDiagnostics, true);
      const report = await pull(session);
      assert.deepEqual(said(report.items), ALL);
      assert.ok(report.items.every(({ version }) => version === null));
    });
  });

  it('are said to be unchanged where they are, and gone where the file is', async () => {
    await inDemo(async (session) => {
      const before = idsOf(await pull(session));
      session.files.delete(FOUND);
      session.files.set(REAR, demoFile('rear-body.cfgdump').replace('@backup', '# @backup'));
      assert.deepEqual(said((await pull(session, before)).items), [
        'rear-body.cfgdump: unchanged',
        'rear-body.dump-profile.json: unchanged',
        'rear-body.as-found.cfgdump: ',
      ]);
    });
  });

  it('are as in the editor where a file is open, and the same by either request', async () => {
    await inDemo(async (session) => {
      await session.open(REAR, demoFile('rear-body.cfgdump').replace('| 88', '| A8'));
      const { items } = await pull(session);
      const found = items.find(({ uri }) => uri === REAR);
      assert.equal(found?.version, 1);
      assert.deepEqual(said(found ? [found] : []), ['rear-body.cfgdump: total-sum']);
      const report = await session.connection.sendRequest<DocumentDiagnosticReport>('textDocument/diagnostic', {
        textDocument: { uri: REAR },
        previousResultId: found?.resultId,
      });
      assert.deepEqual(report, { kind: 'unchanged', resultId: found?.resultId });
    });
  });

  it('stay when a file of the workspace is closed, and not of others', async () => {
    await inDemo(async (session) => {
      assert.equal((await session.diagnostics(REAR)).length, 2);
      assert.deepEqual(await session.diagnostics('file:///elsewhere/a.cfgdump'), []);
    });
  });

  it('are gone with a file that was deleted, though the editor still holds its text', async () => {
    await inDemo(async (session) => {
      await session.open(REAR, demoFile('rear-body.cfgdump'));
      assert.equal((await session.diagnostics(REAR)).length, 2);
      session.files.delete(REAR);
      const changes = [{ uri: REAR, type: FileChangeType.Deleted }];
      await session.connection.sendNotification('workspace/didChangeWatchedFiles', { changes });
      assert.deepEqual(said((await pull(session)).items), [
        'rear-body.as-found.cfgdump: ',
        'rear-body.dump-profile.json: ',
        'rear-body.cfgdump: ',
      ]);
    });
  });

  it('are none where the person does not want them', async () => {
    await inDemo(
      async (session) => {
        assert.deepEqual((await pull(session)).items, []);
      },
      { workspaceDiagnostics: false },
    );
  });

  it('come one by one, then again for what changes, until the client has enough', async () => {
    await inDemo(async (session) => {
      const reports: WorkspaceDocumentDiagnosticReport[] = [];
      let arrived = () => {};
      const until = async (count: number) => {
        while (reports.length < count)
          await new Promise<void>((resolve) => {
            arrived = resolve;
          });
      };
      session.connection.onProgress(new ProgressType<WorkspaceDiagnosticReport>(), 'all', ({ items }) => {
        reports.push(...items);
        arrived();
      });
      const stop = new CancellationTokenSource();
      const held = session.connection.sendRequest(
        'workspace/diagnostic',
        { previousResultIds: [], partialResultToken: 'all' },
        stop.token,
      );
      const ended = assert.rejects(held, /Cancelled/);
      await until(3);
      assert.deepEqual(said(reports), ALL);
      session.files.set(PROFILE, demoFile('rear-body.dump-profile.json').replace('"0xFA"', '"0xFB"'));
      await session.connection.sendNotification('workspace/didChangeWatchedFiles', {
        changes: [{ uri: PROFILE, type: 2 }],
      });
      await until(5);
      assert.deepEqual(
        reports.slice(3).map(({ uri }) => uri),
        [FOUND, REAR],
      );
      stop.cancel();
      await ended;
    });
  });

  it('are not on offer to a client that asks for none', async () => {
    const session = await serverSession({});
    assert.equal(session.initialized.capabilities.diagnosticProvider, undefined);
    session.close();
  });
});
