import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { demoFile } from '../support/demo.js';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const DUMP = 'file:///demo/rear-body.cfgdump';
const PROFILE = 'file:///demo/rear-body.dump-profile.json';
const ALL = ['workspace/codeLens/refresh', 'workspace/inlayHint/refresh', 'workspace/semanticTokens/refresh'];
const SUPPORT = { refreshSupport: true };

describe('what is shown beside and above the lines', () => {
  it('is asked for again when a setting has changed', async () => {
    const { session, asked } = await watched({ inlayHint: SUPPORT, codeLens: SUPPORT, semanticTokens: SUPPORT });
    await session.connection.sendNotification('workspace/didChangeConfiguration', { settings: null });
    await session.diagnostics(DUMP);
    assert.deepEqual(asked.sort(), ALL);
    session.close();
  });

  it('is asked for again when the profile of an open dump has changed, in the editor or on the disk', async () => {
    const { session, asked } = await watched({ inlayHint: SUPPORT, codeLens: SUPPORT, semanticTokens: SUPPORT });
    await session.open(PROFILE, demoFile('rear-body.dump-profile.json'));
    await session.diagnostics(DUMP);
    assert.deepEqual(asked.splice(0).sort(), ALL);
    await session.connection.sendNotification('workspace/didChangeWatchedFiles', {
      changes: [{ uri: PROFILE, type: 2 }],
    });
    await session.diagnostics(DUMP);
    assert.deepEqual(asked.sort(), ALL);
    session.close();
  });

  it('is not asked for again by a client that cannot be told so', async () => {
    const { session, asked } = await watched({});
    await session.connection.sendNotification('workspace/didChangeConfiguration', { settings: null });
    await session.diagnostics(DUMP);
    assert.deepEqual(asked, []);
    session.close();
  });
});

/** A session with an open dump, and the requests to refresh that have come since. */
async function watched(workspace: object): Promise<{ session: ServerSession; asked: string[] }> {
  const asked: string[] = [];
  const session = await serverSession({ ...FULL_CLIENT, workspace: { ...FULL_CLIENT.workspace, ...workspace } });
  for (const method of ALL)
    session.connection.onRequest(method, () => {
      asked.push(method);
      return null;
    });
  session.files.set(PROFILE, demoFile('rear-body.dump-profile.json'));
  await session.open(DUMP, demoFile('rear-body.cfgdump'));
  await session.diagnostics(DUMP);
  return { session, asked };
}
