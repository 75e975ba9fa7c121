import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { nextSnapshot, openSnapshot } from '../../server/src/documents.js';
import { answer } from '../../server/src/feature.js';
import { createSession, type Session } from '../../server/src/session.js';
import { type Result, say } from '../../shared-core/src/base/index.js';
import { checkDump } from '../../shared-core/src/checks/index.js';
import { whyNotWritable } from '../../shared-core/src/model/index.js';
import type { OpenFile } from '../../shared-core/src/workspace/index.js';
import { demoFile } from '../support/demo.js';
import { type MemoryFile, type MemoryHost, memoryHost } from '../support/memoryHost.js';

const FOLDER = 'file:///demo';
const DUMP = `${FOLDER}/rear-body.cfgdump`;
const PROFILE = `${FOLDER}/rear-body.dump-profile.json`;

const NAMES = [
  'rear-body.as-found.cfgdump',
  'rear-body.dump-profile.json',
  'cluster.cfgdump',
  'cluster.dump-profile.json',
];

function sessionOver(host: MemoryHost, watched = true): Session {
  const workspace = { didChangeWatchedFiles: { dynamicRegistration: watched } };
  return createSession(
    { processId: null, rootUri: FOLDER, workspaceFolders: null, capabilities: { workspace } },
    host,
    {},
  );
}

const demo = () => new Map<string, MemoryFile>(NAMES.map((name) => [`${FOLDER}/${name}`, demoFile(name)]));

function open(session: Session, uri: string, text: string): void {
  const snapshot = openSnapshot(uri, uri.endsWith('json') ? 'json' : 'cfgdump', 1, text);
  assert.ok(snapshot);
  session.documents.set(uri, snapshot);
  session.files.forget(uri);
}

/** Types a character in place of the first one of a row, as the editor tells it. */
function type(session: Session, uri: string, row: number, text: string): void {
  const before = session.documents.get(uri);
  assert.ok(before);
  const range = { start: { line: row, character: 0 }, end: { line: row, character: 1 } };
  session.documents.set(uri, nextSnapshot(before, before.version + 1, [{ range, text }]));
  session.files.forget(uri);
}

const problems = (session: Session) => answer(session, DUMP, (analysis) => checkDump(analysis), []);

describe('the files of a session', () => {
  it('are not read again for an edit, those of other modules included', async () => {
    const files = demo().set(DUMP, demoFile('rear-body.cfgdump'));
    for (const [uri, row] of [
      [DUMP, 8],
      [`${FOLDER}/cluster.cfgdump`, 8],
    ] as const) {
      const host = memoryHost(files);
      const session = sessionOver(host);
      open(session, uri, String(files.get(uri)));
      const look = () => answer(session, uri, (analysis) => checkDump(analysis), []);
      await look();
      assert.ok(host.opened.length >= 2, host.opened.join());
      host.opened.length = 0;
      type(session, uri, row, ' ');
      await look();
      assert.deepEqual(host.opened, []);
    }
  });

  it('are read again when they have changed', async () => {
    const files = demo();
    const session = sessionOver(memoryHost(files));
    open(session, DUMP, demoFile('rear-body.cfgdump'));
    const before = (await problems(session)).length;
    files.delete(PROFILE);
    session.files.forget(PROFILE);
    assert.ok((await problems(session)).some(({ code }) => code === 'profile-unreadable'));
    files.set(PROFILE, demoFile('rear-body.dump-profile.json'));
    session.files.forget(PROFILE);
    assert.equal((await problems(session)).length, before);
  });

  it('that change while they are read do not stay as they were', async () => {
    const files = demo();
    const host = memoryHost(files);
    let goOn: () => void = () => {};
    const held = new Promise<void>((resolve) => {
      goOn = resolve;
    });
    const slow: MemoryHost = {
      ...host,
      open: async (uri, allowed): Promise<Result<OpenFile>> => {
        const opened = await host.open(uri, allowed);
        if (uri === PROFILE) await held;
        return opened;
      },
    };
    const session = sessionOver(slow);
    open(session, DUMP, demoFile('rear-body.cfgdump'));
    const first = problems(session);
    files.set(PROFILE, '{');
    session.files.forget(PROFILE);
    goOn();
    await first;
    assert.ok((await problems(session)).some(({ code }) => code === 'profile-unreadable'));
  });

  it('are found where they appear later', async () => {
    const files = demo();
    const session = sessionOver(memoryHost(files));
    assert.deepEqual(
      (await session.files.unsealed()).dumps.map(({ file }) => file),
      [`${FOLDER}/cluster.cfgdump`],
    );
    files.set(DUMP, demoFile('rear-body.cfgdump'));
    session.files.forget(DUMP);
    assert.equal((await session.files.unsealed()).dumps.length, 2);
  });

  it('keep marks of the last profile that could be read while another one is typed, and nothing is written', async () => {
    const session = sessionOver(memoryHost(demo()));
    open(session, DUMP, demoFile('rear-body.cfgdump'));
    open(session, PROFILE, demoFile('rear-body.dump-profile.json'));
    const before = await problems(session);
    type(session, PROFILE, 0, '{{');
    const found = await answer(session, DUMP, (analysis) => analysis, undefined);
    assert.ok(found);
    const said = checkDump(found);
    assert.deepEqual(
      said.filter(({ code }) => code !== 'profile-stale').map(({ code, row }) => [code, row]),
      before.map(({ code, row }) => [code, row]),
    );
    assert.equal(said.length, before.length + 1);
    assert.match(say(whyNotWritable(found.dump)?.why ?? assert.fail()), /nothing is written/);
  });
});

describe('an answer', () => {
  it('is given for no old version, not even where other files were read for it', async () => {
    const session = sessionOver(memoryHost(demo()));
    open(session, DUMP, demoFile('rear-body.cfgdump'));
    const late = answer(
      session,
      DUMP,
      async ({ version }) => {
        type(session, DUMP, 8, ' ');
        return version;
      },
      0,
    );
    await assert.rejects(late, /changed since/);
    const moved = answer(session, DUMP, ({ version }) => version, 0);
    type(session, DUMP, 8, '4');
    await assert.rejects(moved, /changed since/);
    assert.equal(await answer(session, DUMP, ({ version }) => version, 0), 3);
  });
});
