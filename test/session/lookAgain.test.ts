import assert from 'node:assert/strict';
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { createDiskHost } from '../../server/src/diskHost.js';
import { COMPARE, type CompareResult, THREE_WAYS } from '../../shared-core/src/protocol/compare.js';
import { JOBS, type JobsResult } from '../../shared-core/src/protocol/jobs.js';
import {
  JOB_CARD,
  VEHICLE_RECORD,
  VERIFY_READ_BACK,
  type VerifyReadBackResult,
} from '../../shared-core/src/protocol/retrofit.js';
import { createWorkspace } from '../../shared-core/src/workspace/index.js';
import { demoFile } from '../support/demo.js';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const at = (name: string) => `file:///car/${name}`;
const REAR = at('rear-body.cfgdump');
const BACKUP = at('rear-body.as-found.cfgdump');
const PROFILE = at('rear-body.dump-profile.json');
const READ = at('rear-body.read-back.cfgdump');
const PLANNED = demoFile('rear-body.cfgdump')
  .replace('00 FF | 88', '00 FF | A8')
  .replace('17: 10 00 FF 00  FF 5C | 75', '17: 10 00 FF 00  FF 3C | 55');
const READ_BACK = PLANNED.replace(/^@(backup|seal|taken).*\n/gm, '').replace(
  /^(@profile.*)$/m,
  '$1\n@taken 2026-03-02T11:02:00Z',
);
/** As long as it was. */
const OTHER = READ_BACK.replace('FF 3C | 55', 'FF 2C | 45');

for (const [client, workspace] of [
  ['that does not watch files', {}],
  ['whose word of a change got lost', { didChangeWatchedFiles: { dynamicRegistration: true } }],
] as const)
  describe(`files that change beside a client ${client}`, () => {
    let session: ServerSession;
    beforeEach(async () => {
      session = await serverSession(
        { ...FULL_CLIENT, workspace: { ...FULL_CLIENT.workspace, ...workspace } },
        { jobs: true },
      );
      for (const name of readdirSync('examples/trailer-socket')) session.files.set(at(name), demoFile(name));
      session.files.set(REAR, PLANNED);
      session.files.set(READ, READ_BACK);
      assert.notEqual(READ_BACK, OTHER);
    });
    afterEach(() => session.close());

    const ask = <T>(method: string, params: object) => session.connection.sendRequest<T>(method, params);
    const verify = () => ask<VerifyReadBackResult>(VERIFY_READ_BACK, { uri: REAR, read: READ });
    const stateOf = async (id: string) =>
      (await ask<JobsResult>(JOBS, { unsaved: [], around: null })).vehicles
        .flatMap(({ modules }) => modules)
        .find(({ uri }) => uri === REAR)
        ?.steps.find((step) => step.id === id)?.state;

    it('are no read-back that matches any longer', async () => {
      await session.open(REAR, PLANNED);
      assert.equal((await verify()).matches, true);
      session.files.set(READ, OTHER);
      assert.equal((await verify()).matches, false);
      session.files.set(READ, READ_BACK);
      assert.equal((await verify()).matches, true);
    });

    it('are compared as they are now', async () => {
      await session.open(REAR, PLANNED);
      const compare = () => ask<CompareResult>(COMPARE, { uri: REAR, other: READ });
      assert.deepEqual((await compare()).rows, []);
      const ways = () => ask<object>(THREE_WAYS, { uri: REAR, read: READ });
      const before = await ways();
      session.files.set(READ, OTHER);
      assert.equal((await compare()).rows.length, 1);
      assert.notDeepEqual(await ways(), before);
    });

    for (const opened of [true, false])
      it(`leave no step of a job done that is done no longer, ${opened ? 'with the dump open' : 'with all closed'}`, async () => {
        if (opened) await session.open(REAR, PLANNED);
        assert.deepEqual([await stateOf('verified'), await stateOf('backup')], ['done', 'done']);
        session.files.set(READ, OTHER);
        assert.notEqual(await stateOf('verified'), 'done');
        session.files.set(BACKUP, demoFile('rear-body.as-found.cfgdump').replace('FF 5C', 'FF 5D'));
        assert.notEqual(await stateOf('backup'), 'done');
      });

    it('and are backups or profiles count as they are now for cards and records', async () => {
      await session.open(REAR, PLANNED);
      const card = () => ask<{ refused?: string; open?: string[] }>(JOB_CARD, { uri: REAR });
      const record = () => ask<{ page: string }>(VEHICLE_RECORD, { folder: at('') });
      const [goodCard, goodRecord] = [await card(), await record()];
      session.files.set(BACKUP, demoFile('rear-body.as-found.cfgdump').replace('FF 5C', 'FF 5D'));
      assert.notDeepEqual((await card()).open, goodCard.open);
      assert.notEqual((await record()).page, goodRecord.page);
      session.files.set(BACKUP, demoFile('rear-body.as-found.cfgdump'));
      session.files.set(PROFILE, demoFile('rear-body.dump-profile.json').replace('"format"', '"x": 1, "format"'));
      const flawed = await card();
      assert.ok(flawed.refused !== undefined || String(flawed.open) !== String(goodCard.open));
    });

    if (!('didChangeWatchedFiles' in workspace))
      it('show in the problems of the dump that is open', async () => {
        await session.open(REAR, PLANNED);
        const codes = async () => (await session.diagnostics(REAR)).map(({ code }) => code);
        const before = await codes();
        session.files.set(BACKUP, demoFile('rear-body.as-found.cfgdump').replace('FF 5C', 'FF 5D'));
        assert.notDeepEqual(await codes(), before);
        session.files.set(BACKUP, demoFile('rear-body.as-found.cfgdump'));
        session.files.set(PROFILE, '{');
        assert.ok((await codes()).includes('profile-stale'));
      });
  });

describe('what a disk says of a file without reading it', () => {
  let folder: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'countersum-'));
  });
  afterEach(() => rmSync(folder, { recursive: true }));

  it('is nothing where the file was changed so lately that a next change may have the same time', async () => {
    const { stamp } = createDiskHost();
    const fresh = join(folder, 'a.cfgdump');
    writeFileSync(fresh, '1: 00\n');
    assert.equal(await stamp(pathToFileURL(fresh).href), undefined);
    const settled = pathToFileURL('LICENSE').href;
    assert.notEqual(await stamp(settled), undefined);
    assert.equal(await stamp(settled), await stamp(settled));
    assert.equal(await stamp('other-scheme:/a'), undefined);
    assert.notEqual(await stamp(pathToFileURL(join(folder, 'gone')).href), undefined);
  });

  it('does not hide a change of the same length at the same time', async () => {
    const file = join(folder, 'a.dump-profile.json');
    const uri = pathToFileURL(file).href;
    const workspace = createWorkspace(createDiskHost(), { watched: true });
    const problems = async () => {
      const read = await workspace.readProfile(uri);
      return read.ok ? read.value.problems.length : undefined;
    };
    writeFileSync(file, '{"format": 1}');
    const before = await problems();
    writeFileSync(file, '{"formax": 1}');
    await workspace.lookAgain();
    assert.notEqual(await problems(), before);
  });
});
