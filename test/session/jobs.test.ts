import assert from 'node:assert/strict';
import { readdirSync } from 'node:fs';
import { afterEach, beforeEach, describe, it } from 'mocha';
import {
  DESCRIBE,
  type DescribeParams,
  type DescribeResult,
  JOBS,
  JOBS_CHANGED,
  type JobsResult,
} from '../../shared-core/src/protocol/jobs.js';
import { demoFile } from '../support/demo.js';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const at = (name: string) => `file:///car/${name}`;
const REAR = at('rear-body.cfgdump');

describe('jobs in a session with the server', () => {
  let session: ServerSession;
  const begin = async () => {
    session = await serverSession(
      { ...FULL_CLIENT, workspace: { ...FULL_CLIENT.workspace, workspaceFolders: true } },
      { jobs: true },
    );
    for (const name of readdirSync('examples/trailer-socket')) session.files.set(at(name), demoFile(name));
  };
  beforeEach(begin);
  afterEach(() => session.close());

  const jobs = (unsaved: readonly string[] = [], around: string | null = null) =>
    session.connection.sendRequest<JobsResult>(JOBS, { unsaved, around });
  /** The next step of the module of a dump. */
  const next = ({ vehicles }: JobsResult, uri = REAR) =>
    vehicles
      .flatMap(({ modules }) => modules)
      .find((module) => module.uri === uri)
      ?.steps.find(({ state }) => state !== 'done');

  it('are told of all vehicles and modules of the folder, with what to do next on which file', async () => {
    const { vehicles, unread } = await jobs();
    assert.deepEqual(unread, []);
    assert.deepEqual(
      vehicles.map(({ title, modules }) => [title, ...modules.map((module) => module.title)]),
      [['stock no. 2041', 'Instrument cluster (demo)', 'Rear body module (demo)']],
    );
    assert.equal(next({ vehicles, unread, compared: [], similar: [], left: 0 })?.action?.does, 'correctChecksums');
    const step = next({ vehicles, unread, compared: [], similar: [], left: 0 }, at('cluster.cfgdump'));
    assert.deepEqual([step?.id, step?.state, step?.title], ['change', 'next', 'Retrofit set']);
    assert.equal(step?.action?.does, 'planRetrofit');
    assert.equal(step?.action?.other, at('trailer-socket.retrofit.json'));
  });

  it('are those of the texts as the editor has them, also of texts that lie in no folder yet', async () => {
    session.files.delete(at('trailer-socket.retrofit.json'));
    await session.open(REAR, demoFile('rear-body.cfgdump'));
    assert.equal(next(await jobs())?.action?.does, 'correctChecksums');
    await session.change(REAR, 11, 25, 27, 'A8');
    assert.match(next(await jobs())?.says ?? '', /file sum/);
    await session.open('untitled:/car/new.cfgdump', '@vehicle other\n');
    const { vehicles } = await jobs(['untitled:/car/new.cfgdump']);
    assert.deepEqual(
      vehicles.map(({ title }) => title),
      ['stock no. 2041', 'other'],
    );
  });

  it('name each file that cannot be read, and prove nothing meanwhile', async () => {
    session.files.set(at('odd.cfgdump'), { fails: 'EACCES' });
    session.files.set(at('torn.retrofit.json'), '{');
    const found = await jobs();
    assert.deepEqual(
      found.unread.map(({ name, uri }) => [name, uri]),
      [
        ['odd.cfgdump', at('odd.cfgdump')],
        ['torn.retrofit.json', at('torn.retrofit.json')],
      ],
    );
    assert.match(found.unread[0]?.says ?? '', /^odd\.cfgdump cannot be read: not allowed/);
    const steps = found.vehicles.flatMap(({ modules }) => modules.flatMap((module) => module.steps));
    for (const id of ['card', 'verified', 'recorded'])
      assert.ok(steps.every((step) => step.id !== id || step.state !== 'done'));
  });

  it('say of files of another kind what they are, in sentences, and lead to the first', async () => {
    const picture = new Uint8Array([...Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'), 0, 0]);
    session.files.set(at('a.cfgdump'), picture);
    session.files.set(at('scan.cfgdump'), picture);
    const found = await jobs();
    const steps = found.vehicles.flatMap(({ modules }) => modules.flatMap((module) => module.steps));
    const step = steps.find(({ id }) => id === 'card');
    assert.match(step?.says ?? '', /"a\.cfgdump\.dump-headers" beside it\. scan\.cfgdump cannot be read: .*\.$/);
    assert.doesNotMatch(step?.says ?? '', /--/);
    assert.deepEqual([step?.action?.does, step?.action?.uri], ['open', at('a.cfgdump')]);
  });

  it('are told to have changed when a file comes or goes', async () => {
    const told = new Promise<void>((resolve) => {
      session.connection.onNotification(JOBS_CHANGED, () => resolve());
    });
    const changes = [{ uri: at('new.cfgdump'), type: 1 }];
    await session.connection.sendNotification('workspace/didChangeWatchedFiles', { changes });
    await told;
  });

  it('are those of the folder of one dump where there are very many', async () => {
    for (let car = 0; car < 80; car++) {
      session.files.set(`file:///c${car}/one.cfgdump`, `@vehicle ${car}\n1: 00 | 01\n`);
      session.files.set(`file:///c${car}/two.cfgdump`, `@vehicle ${car}\n1: 00 | 01\n`);
    }
    const none = await jobs();
    assert.deepEqual([none.vehicles.length, none.left], [0, 165]);
    const some = await jobs([], 'file:///c7/one.cfgdump');
    assert.deepEqual(
      some.vehicles.map(({ title }) => title),
      ['7'],
    );
    assert.equal(some.left, 163);
  });

  it('go on beside a dump that lies in none of the folders', async () => {
    await session.connection.sendNotification('workspace/didChangeWorkspaceFolders', {
      event: { added: [{ uri: 'file:///other', name: 'other' }], removed: [{ uri: 'file:///', name: '' }] },
    });
    session.files.set('file:///other/note.txt', 'no dump');
    assert.deepEqual((await jobs()).vehicles, []);
    await session.open(REAR, demoFile('rear-body.cfgdump'));
    const { vehicles } = await jobs();
    assert.deepEqual(
      vehicles.flatMap(({ modules }) => modules.map(({ title }) => title)),
      ['Instrument cluster (demo)', 'Rear body module (demo)'],
    );
    const broughtIn = (found: Awaited<ReturnType<typeof jobs>>) =>
      found.vehicles.flatMap(({ modules }) => modules.map(({ steps }) => steps[0]?.says));
    assert.deepEqual(
      broughtIn({ ...(await jobs()), vehicles }),
      ['cluster.cfgdump', 'rear-body.cfgdump'].map(
        (name) => `${name} is in no open folder: its job is here only while it or a file beside it is open.`,
      ),
    );
    assert.equal(
      next({ vehicles, unread: [], compared: [], similar: [], left: 0 }, at('cluster.cfgdump'))?.action?.does,
      'planRetrofit',
    );
    // Where no folder is open at all, there is none to be outside of.
    await session.connection.sendNotification('workspace/didChangeWorkspaceFolders', {
      event: { added: [], removed: [{ uri: 'file:///other', name: 'other' }] },
    });
    assert.deepEqual(broughtIn(await jobs()), ['cluster.cfgdump', 'rear-body.cfgdump']);
  });

  it('are none where there is no dump', async () => {
    session.files.clear();
    session.files.set(at('note.txt'), 'no dump');
    assert.deepEqual(await jobs(), { vehicles: [], unread: [], compared: [], similar: [], left: 0 });
  });

  it('are none of a text that the editor still has after its file was deleted, until somebody types in it', async () => {
    session.files.clear();
    const uri = at('cancelled.cfgdump');
    const textDocument = { uri, version: 2 };
    const count = async () => (await jobs()).vehicles.length + (await jobs()).unread.length;
    const before = await count();
    await session.open(uri, '@vehicle stock no. 9\n1: 00\n');
    assert.equal(await count(), before + 1);
    await session.connection.sendNotification('workspace/didChangeWatchedFiles', { changes: [{ uri, type: 3 }] });
    assert.equal(await count(), before);
    await session.connection.sendNotification('textDocument/didChange', {
      textDocument,
      contentChanges: [{ text: '' }],
    });
    assert.equal(await count(), before, 'emptied by the editor');
    await session.connection.sendNotification('textDocument/didChange', {
      textDocument: { uri, version: 3 },
      contentChanges: [{ text: '@vehicle stock no. 9\n1: 01\n' }],
    });
    assert.equal(await count(), before + 1);
    await session.connection.sendNotification('workspace/didChangeWatchedFiles', { changes: [{ uri, type: 3 }] });
    await session.connection.sendNotification('workspace/didChangeWatchedFiles', { changes: [{ uri, type: 1 }] });
    assert.equal(await count(), before + 1);
    await session.connection.sendNotification('textDocument/didClose', { textDocument: { uri } });
  });

  describe('a dump that is brought in', () => {
    const NEW = at('new.cfgdump');
    const describeIt = (params: Omit<DescribeParams, 'uri'>) =>
      session.connection.sendRequest<DescribeResult & { refused?: string }>(DESCRIBE, { uri: NEW, ...params });

    it('says of which vehicle it is and when it was read, and keeps what it says', async () => {
      await session.open(NEW, '@vehicle stock no. 7\n\n1: 00\n');
      assert.deepEqual(await describeIt({ vehicle: 'other', taken: '2026-03-02T09:14:00Z' }), {
        line: 0,
        column: 0,
        text: '@taken 2026-03-02T09:14:00Z\n',
        drops: [],
        isBeside: false,
        version: 1,
      });
      assert.match((await describeIt({ taken: 'today' })).refused ?? '', /"today" is no day and time/);
    });

    it('drops with what it is here for what was meant to say so', async () => {
      const other = at('unclear.cfgdump');
      await session.open(other, '@Use comparison\n@use comparision\n@user B\n1: 00\n');
      const params: DescribeParams = { uri: other, use: 'work' };
      const { drops } = await session.connection.sendRequest<DescribeResult>(DESCRIBE, params);
      assert.deepEqual(drops, [0, 1]);
    });

    it('stays what it is where it is a copy for others with invented bytes', async () => {
      const copy = at('shared.cfgdump');
      await session.open(copy, '@use masked\n1: 00\n');
      for (const use of ['work', 'comparison'] as const) {
        const params: DescribeParams = { uri: copy, use };
        const { refused } = await session.connection.sendRequest<{ refused?: string }>(DESCRIBE, params);
        assert.match(refused ?? '', /copy for others with invented bytes/);
      }
    });

    it('says in the lines for the file beside it what a text without a place for headers is of', async () => {
      await session.open(at('v.xxd'), '00000000: 1122 3344 5566 7788 99aa bbcc ddee ff00  ."3DUfw.........\n');
      const params: DescribeParams = { uri: at('v.xxd'), vehicle: 'stock no. 7', use: 'comparison' };
      assert.deepEqual(await session.connection.sendRequest<DescribeResult>(DESCRIBE, params), {
        line: 0,
        column: 0,
        text: '@vehicle stock no. 7\n@use comparison\n',
        drops: [],
        isBeside: true,
        version: 1,
      });
    });

    it('gets profile and vehicle of the dump that it was read back from, and nothing that only the module can say', async () => {
      await session.open(NEW, '');
      const { text } = await describeIt({ like: REAR, taken: '2026-03-02T11:14:00Z' });
      assert.equal(
        text,
        '@profile rear-body.dump-profile.json\n@vehicle stock no. 2041\n@taken 2026-03-02T11:14:00Z\n',
      );
    });
  });
});
