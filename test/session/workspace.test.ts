import assert from 'node:assert/strict';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { describe, it } from 'mocha';
import { createDiskHost } from '../../server/src/diskHost.js';
import { openSnapshot } from '../../server/src/documents.js';
import { createSession } from '../../server/src/session.js';
import { say, valueIn } from '../../shared-core/src/base/index.js';
import { demoFile } from '../support/demo.js';
import { FULL_CLIENT, serverSession } from '../support/serverSession.js';

describe('the files of the workspace', () => {
  it('are dumps, profiles, retrofits and job cards at any depth, but not in folders that programs keep', async () => {
    await inFolder(async (folder, session) => {
      put(folder, 'a.cfgdump');
      put(folder, 'deep/er/b.HEX');
      put(folder, 'deep/p.dump-profile.json');
      put(folder, 'hitch.retrofit.json');
      put(folder, 'hitch.2026-03-02.job-card.md');
      put(folder, 'notes.md');
      put(folder, 'notes.txt');
      put(folder, 'node_modules/c.cfgdump');
      put(folder, '.git/d.cfgdump');
      const address = (name: string) => pathToFileURL(join(folder, name)).toString();
      assert.deepEqual(await session.list(), {
        dumps: [address('a.cfgdump'), address('deep/er/b.HEX')],
        profiles: [address('deep/p.dump-profile.json')],
        retrofits: [address('hitch.retrofit.json')],
        cards: [address('hitch.2026-03-02.job-card.md')],
        unlisted: [],
      });
    });
  });

  it('include what is open and not saved yet', async () => {
    await inFolder(async (_, session) => {
      openIn(session, 'untitled:new.cfgdump', 1, '1: 00');
      assert.deepEqual((await session.list()).dumps, ['untitled:new.cfgdump']);
    });
  });

  it('are explained with their profile and backup without being open; what is open is explained as it stands there', async () => {
    await inFolder(async (folder, session) => {
      put(
        folder,
        'p.dump-profile.json',
        '{"format":1,"lines":{"from":1,"to":1,"data":1,"sum":1},"lineSum":{"method":"add","over":["data"]}}',
      );
      put(folder, 'old.cfgdump', '1: 02 02\n');
      put(folder, 'a.cfgdump', '@profile p.dump-profile.json\n@backup old.cfgdump\n1: 01 02\n');
      const uri = pathToFileURL(join(folder, 'a.cfgdump')).toString();
      const closed = valueIn(await session.analyzeFile(uri));
      assert.equal(closed?.version, null);
      assert.deepEqual(closed?.dump.wrongSums, [2]);
      assert.equal(closed?.backup.kind, 'read');
      openIn(session, uri, 7, '@profile p.dump-profile.json\n1: 02 02\n');
      const open = valueIn(await session.analyzeFile(uri));
      assert.equal(open?.version, 7);
      assert.deepEqual(open?.dump.wrongSums, []);
      const gone = await session.analyzeFile(`${uri}.gone.cfgdump`);
      assert.match(gone.ok ? '' : say(gone.why), /gone\.cfgdump cannot be read: no such file/);
    });
  });
});

function openIn({ documents }: ReturnType<typeof createSession>, uri: string, version: number, text: string): void {
  const snapshot = openSnapshot(uri, 'cfgdump', version, text);
  assert.ok(snapshot);
  documents.set(uri, snapshot);
}

async function inFolder(run: (folder: string, session: ReturnType<typeof createSession>) => Promise<void>) {
  const folder = mkdtempSync(join(tmpdir(), 'countersum-'));
  try {
    const client = {
      processId: null,
      rootUri: pathToFileURL(folder).toString(),
      capabilities: {},
      workspaceFolders: null,
    };
    await run(folder, createSession(client, createDiskHost(), {}));
  } finally {
    rmSync(folder, { recursive: true });
  }
}

function put(folder: string, name: string, text = ''): void {
  mkdirSync(join(folder, name, '..'), { recursive: true });
  writeFileSync(join(folder, name), text);
}

describe('dumps that name a profile', () => {
  it('are found by headers anywhere, as those of images stand behind their end', async () => {
    await inFolder(async (folder, session) => {
      const image = `${':0410000001020304E2\n'.repeat(100)}:00000001FF\n; @profile p.dump-profile.json\n`;
      put(folder, 'a.hex', image);
      put(folder, 'sealed.hex', `${image}; @seal sha256:00\n`);
      put(folder, 'b.hex', ':00000001FF\n');
      const found = await session.files.unsealed();
      assert.deepEqual(
        found.dumps.map(({ file, profileFile }) => [file, profileFile]),
        [
          [
            pathToFileURL(join(folder, 'a.hex')).toString(),
            pathToFileURL(join(folder, 'p.dump-profile.json')).toString(),
          ],
        ],
      );
    });
  });
});

describe('folders of the workspace', () => {
  it('can be taken out and added', async () => {
    await inFolder(async (folder, session) => {
      put(folder, 'one/a.cfgdump');
      put(folder, 'two/b.cfgdump');
      session.setFolders([pathToFileURL(join(folder, 'two')).toString()]);
      assert.deepEqual((await session.list()).dumps, [pathToFileURL(join(folder, 'two/b.cfgdump')).toString()]);
    });
  });
});

describe('what is read of files', () => {
  const DUMP = 'file:///demo/rear-body.cfgdump';
  const PROFILE = 'file:///demo/rear-body.dump-profile.json';
  const profile = demoFile('rear-body.dump-profile.json');

  it('is asked of a client that can watch them, and of folders that come and go', async () => {
    const asked: string[] = [];
    const session = await serverSession(
      {
        ...FULL_CLIENT,
        workspace: {
          ...FULL_CLIENT.workspace,
          workspaceFolders: true,
          didChangeWatchedFiles: { dynamicRegistration: true },
        },
      },
      {},
      undefined,
      ({ registrations }) => asked.push(...registrations.map(({ method }) => method)),
    );
    await session.diagnostics(DUMP);
    assert.deepEqual(asked, ['workspace/didChangeWatchedFiles']);
    assert.deepEqual(session.initialized.capabilities.workspace?.workspaceFolders, {
      supported: true,
      changeNotifications: true,
    });
    session.close();
  });

  it('is read anew when a text is saved, where the client watches nothing', async () => {
    const session = await serverSession();
    session.files.set(PROFILE, profile);
    await session.open(DUMP, demoFile('rear-body.cfgdump'));
    const before = await session.diagnostics(DUMP);
    session.files.set(PROFILE, profile.replace('"0xFA"', '"0xFB"'));
    await session.connection.sendNotification('textDocument/didSave', { textDocument: { uri: DUMP } });
    assert.ok((await session.diagnostics(DUMP)).length > before.length);
    session.close();
  });
});
