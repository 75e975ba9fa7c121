import assert from 'node:assert/strict';
import { readdirSync } from 'node:fs';
import { afterEach, beforeEach, describe, it } from 'mocha';
import {
  JOB_CARD,
  type JobCardParams,
  VEHICLE_RECORD,
  VERIFY_READ_BACK,
  type VerifyReadBackResult,
} from '../../shared-core/src/protocol/retrofit.js';
import { demoFile } from '../support/demo.js';
import { assertExpected } from '../support/expected.js';
import { type ServerSession, serverSession } from '../support/serverSession.js';

const at = (name: string) => `file:///car/${name}`;
const REAR = at('rear-body.cfgdump');
const RETROFIT = at('trailer-socket.retrofit.json');
const REAR_PLANNED = demoFile('rear-body.cfgdump')
  .replace('00 FF | 88', '00 FF | A8')
  .replace('17: 10 00 FF 00  FF 5C | 75', '17: 10 00 FF 00  FF 3C | 55');
const CLUSTER_PLANNED = demoFile('cluster.cfgdump')
  .replace('0007 20F7 0010 7F10 | 36', '0001 20F7 0010 7F10 | 3C')
  .replace('0210 3800 | 60', '1210 3800 | 50')
  .replace('total: 0A BB', 'total: FA BA');

interface Answer {
  readonly title?: string;
  readonly page?: string;
  readonly fileName?: string;
  readonly open?: readonly string[];
  readonly refused?: string;
  readonly retrofits?: readonly { uri: string; title: string }[];
}

describe('the job in a session with the server', () => {
  let session: ServerSession;
  beforeEach(async () => {
    session = await serverSession();
    for (const name of readdirSync('examples/trailer-socket')) session.files.set(at(name), demoFile(name));
    session.files.set(at('cluster.cfgdump'), CLUSTER_PLANNED);
  });
  afterEach(() => session.close());

  const card = (params: JobCardParams) => session.connection.sendRequest<Answer>(JOB_CARD, params);

  describe('a job card', () => {
    it('holds all changed modules of the vehicle, in the order of the retrofit that fits them', async () => {
      await session.open(REAR, REAR_PLANNED);
      const { title, page = '', fileName, open } = await card({ uri: REAR });
      assert.equal(title, 'Job card: stock no. 2041');
      assert.match(fileName ?? '', /^stock-no-2041\.\d{4}(?:-\d\d){4}-UTC\.job-card\.md$/);
      assert.deepEqual(open, []);
      assert.match(page, /^# Job card: 13-pin trailer socket/);
      assert.ok(page.indexOf('Rear body module') < page.indexOf('Instrument cluster'));
      assertExpected('card/session.md', page.replace(/\d{4}-\d\d-\d\d \d\d:\d\d UTC(?= \| &nbsp;)/, 'TIME'));
    });

    it('says in the name of its file of which module it is, where the vehicle has others', async () => {
      await session.open(REAR, REAR_PLANNED);
      const unchanged = demoFile('cluster.as-found.cfgdump')
        .replace(/^@(?:seal|absent).*\n/gm, '')
        .replace(/^@taken.*/m, '@backup cluster.as-found.cfgdump');
      session.files.set(at('cluster.cfgdump'), unchanged);
      const { fileName } = await card({ uri: REAR, retrofit: null });
      assert.match(fileName ?? '', /^stock-no-2041\.Rear-body-module-demo\.\d{4}(?:-\d\d){4}-UTC\.job-card\.md$/);
    });

    it('leads a module back that still holds what its dump held before', async () => {
      session.files.delete(at('cluster.cfgdump'));
      session.files.set(
        at('rear-body.read-back.cfgdump'),
        REAR_PLANNED.replace(/^@backup.*/m, '@taken 2026-03-02T11:02:00Z'),
      );
      const back = demoFile('rear-body.as-found.cfgdump')
        .replace(/^@(?:seal|absent).*\n/gm, '')
        .replace(/^@taken.*/m, '@backup rear-body.as-found.cfgdump');
      await session.open(REAR, back);
      // A retrofit of the folder is what it goes back from.
      const { page = '', fileName = '', open } = await card({ uri: REAR });
      assert.deepEqual(open, []);
      session.files.delete(RETROFIT);
      assert.equal((await card({ uri: REAR })).page?.replace(/\d\d:\d\d UTC/g, ''), page.replace(/\d\d:\d\d UTC/g, ''));
      assert.match(page, /^# Job card: back to the backup/);
      assert.match(fileName, /\.going-back\.\d{4}(?:-\d\d){4}-UTC\.job-card\.md$/);
      assert.match(page, /\| \*\*4\*\* \|/);
      session.files.delete(at('rear-body.read-back.cfgdump'));
      assert.match((await card({ uri: REAR })).open?.join() ?? '', /nothing is changed/);
    });

    it('leads one module of a retrofit back alone, while another keeps what was set', async () => {
      session.files.set(
        at('rear-body.read-back.cfgdump'),
        REAR_PLANNED.replace(/^@backup.*/m, '@taken 2026-03-02T11:02:00Z'),
      );
      const back = demoFile('rear-body.as-found.cfgdump')
        .replace(/^@(?:seal|absent).*\n/gm, '')
        .replace(/^@taken.*/m, '@backup rear-body.as-found.cfgdump');
      await session.open(REAR, back);
      const { page = '', fileName = '', open } = await card({ uri: REAR });
      assert.deepEqual(open, []);
      assert.match(page, /^# Job card: back to the backup/);
      assert.doesNotMatch(page, /Instrument cluster/);
      assert.match(page, /☐ The car was tried: it works as before the work, without fault messages\./);
      assert.match(fileName, /\.Rear-body-module-demo\.going-back\./);
    });

    it('is the same whichever of the modules is open', async () => {
      session.files.set(REAR, REAR_PLANNED);
      await session.open(at('cluster.cfgdump'), CLUSTER_PLANNED);
      const { page = '' } = await card({ uri: at('cluster.cfgdump') });
      assert.ok(page.indexOf('Rear body module') < page.indexOf('Instrument cluster'));
    });

    it('follows what is typed and not yet saved, and says what is wrong with it', async () => {
      await session.open(REAR, REAR_PLANNED);
      await session.change(REAR, 11, 25, 26, '9');
      const { page = '', open } = await card({ uri: REAR });
      assert.match(page, /## Do not write yet/);
      assert.ok(open?.some((one) => one.startsWith('rear-body.cfgdump: Line 4: its sum is 98')));
    });

    it('is not to be written by while a file of any of its modules holds something else', async () => {
      await session.open(REAR, REAR_PLANNED);
      const cluster = at('cluster.cfgdump');
      for (const [unsaved, name] of [
        [[REAR], 'rear-body.cfgdump'],
        [[cluster], 'cluster.cfgdump'],
      ] as const) {
        const { page = '', open } = await card({ uri: REAR, unsaved });
        assert.match(page, /## Do not write yet/);
        assert.ok(
          open?.some((one) => one.startsWith(`${name}: It is not saved`)),
          open?.join(),
        );
      }
      assert.deepEqual((await card({ uri: REAR, unsaved: [at('other.cfgdump')] })).open, []);
    });

    it('asks which retrofit where several fit, and takes none if told so', async () => {
      session.files.set(at('other.retrofit.json'), demoFile('trailer-socket.retrofit.json').replace('13-pin', '7-pin'));
      await session.open(REAR, REAR_PLANNED);
      const { retrofits } = await card({ uri: REAR });
      assert.deepEqual(retrofits, [
        { uri: at('other.retrofit.json'), title: '7-pin trailer socket (demo)' },
        { uri: RETROFIT, title: '13-pin trailer socket (demo)' },
      ]);
      assert.match((await card({ uri: REAR, retrofit: RETROFIT })).page ?? '', /^# Job card: 13-pin/);
      assert.match((await card({ uri: REAR, retrofit: null })).page ?? '', /^# Job card: change of configuration/);
    });

    it('is refused by name for a retrofit that has a problem, unless another or none is chosen', async () => {
      await session.open(REAR, REAR_PLANNED);
      for (const [text, why] of [
        ['{ "title": ', /^odd\.retrofit\.json cannot be read: /],
        [
          demoFile('trailer-socket.retrofit.json').replace('"format": 1', '"format": 2'),
          /^odd\.retrofit\.json has problems/,
        ],
      ] as const) {
        session.files.set(at('odd.retrofit.json'), text);
        assert.match((await card({ uri: REAR })).refused ?? '', why);
        assert.match((await card({ uri: REAR, retrofit: at('odd.retrofit.json') })).refused ?? '', why);
        assert.match((await card({ uri: REAR, retrofit: RETROFIT })).page ?? '', /^# Job card: 13-pin/);
        assert.match((await card({ uri: REAR, retrofit: null })).page ?? '', /^# Job card: change of configuration/);
      }
      const other = demoFile('trailer-socket.retrofit.json').replaceAll('.dump-profile.json', '-2.dump-profile.json');
      session.files.set(at('odd.retrofit.json'), other);
      assert.match(
        (await card({ uri: REAR, retrofit: at('odd.retrofit.json') })).refused ?? '',
        /^odd\.retrofit\.json changes none of these modules/,
      );
    });

    it('is refused by name for another module whose backup, or that itself, cannot be read', async () => {
      await session.open(REAR, REAR_PLANNED);
      session.files.set(at('cluster.as-found.cfgdump'), { fails: 'EACCES' });
      assert.match(
        (await card({ uri: REAR })).refused ?? '',
        /cluster\.as-found\.cfgdump.*cannot be read: not allowed/,
      );
      session.files.set(at('cluster.as-found.cfgdump'), demoFile('cluster.as-found.cfgdump'));
      session.files.set(at('cluster.cfgdump'), { fails: 'EACCES' });
      assert.match((await card({ uri: REAR })).refused ?? '', /^cluster\.cfgdump cannot be read: not allowed\.$/);
    });

    it('is refused without a way back, of a sealed backup, and where two dumps claim one module', async () => {
      await session.open(REAR, REAR_PLANNED.replace(/^@backup.*\n/m, ''));
      assert.match((await card({ uri: REAR })).refused ?? '', /names no backup/);
      await session.open(at('rear-body.as-found.cfgdump'), demoFile('rear-body.as-found.cfgdump'));
      assert.match((await card({ uri: at('rear-body.as-found.cfgdump') })).refused ?? '', /is a sealed backup itself/);
      await session.open(REAR, REAR_PLANNED);
      session.files.set(at('copy.cfgdump'), CLUSTER_PLANNED);
      assert.match((await card({ uri: REAR })).refused ?? '', /Several changed dumps .* "Instrument cluster \(demo\)"/);
    });

    it('leaves modules of other vehicles out', async () => {
      session.files.set(at('cluster.cfgdump'), CLUSTER_PLANNED.replace('TA020418', 'TA020419'));
      await session.open(REAR, REAR_PLANNED);
      const { page = '', open } = await card({ uri: REAR });
      assert.doesNotMatch(page, /Instrument cluster/);
      assert.deepEqual(open, [
        'The retrofit also changes the module of cluster.dump-profile.json, but no dumps of it were given.',
      ]);
    });
  });

  describe('a read-back', () => {
    const verify = (read: string) =>
      session.connection.sendRequest<VerifyReadBackResult & Answer>(VERIFY_READ_BACK, { uri: REAR, read: at(read) });
    beforeEach(() => session.open(REAR, REAR_PLANNED));

    it('is held against the plan as it is in the editor', async () => {
      session.files.delete(at('rear-body.read-back.cfgdump'));
      session.files.set(at('read.cfgdump'), REAR_PLANNED.replace(/^@.*\n/gm, ''));
      const { matches, verdict, title } = await verify('read.cfgdump');
      assert.deepEqual(
        [matches, verdict, title],
        [true, 'What was read is what was planned, byte for byte.', 'Read-back: read.cfgdump'],
      );
      await session.change(REAR, 11, 25, 26, '9');
      assert.equal((await verify('read.cfgdump')).matches, false);
    });

    it('shows each line that was not written', async () => {
      session.files.set(at('read.cfgdump'), demoFile('rear-body.as-found.cfgdump').replace(/^@seal.*\n/m, ''));
      const { matches, page } = await verify('read.cfgdump');
      assert.equal(matches, false);
      assert.equal(page.match(/Not written: it still holds what it held before/g)?.length, 2);
    });

    it('is never the sealed backup, though the dump is as that again', async () => {
      const uri = at('again.cfgdump');
      await session.open(uri, demoFile('rear-body.as-found.cfgdump').replace(/^@seal.*\n/m, ''));
      const read = at('rear-body.as-found.cfgdump');
      const answer = await session.connection.sendRequest<VerifyReadBackResult & Answer>(VERIFY_READ_BACK, {
        uri,
        read,
      });
      assert.equal(answer.matches, undefined);
      assert.match(answer.refused ?? '', /^rear-body\.as-found\.cfgdump is a sealed backup: .*Read the module again/);
    });

    it('that is none is refused', async () => {
      session.files.set(at('notes.cfgdump'), 'This is a letter.\n');
      assert.match((await verify('notes.cfgdump')).refused ?? '', /notes\.cfgdump is no dump/);
      assert.match((await verify('nowhere.cfgdump')).refused ?? '', /nowhere\.cfgdump cannot be read: no such file/);
    });
  });

  describe('the record of a vehicle', () => {
    it('holds what lies in the folder, open or not', async () => {
      session.files.set(at('stock-no-2041.2026-03-02.job-card.md'), '# Job card');
      session.files.set(
        at('later/rear body.cfgdump'),
        REAR_PLANNED.replace(/^@backup.*/m, '@taken 2026-03-04').replace('@profile ', '@profile ../'),
      );
      session.files.set('file:///other/car.cfgdump', REAR_PLANNED);
      await session.open(REAR, REAR_PLANNED);
      const { title, page = '' } = await session.connection.sendRequest<Answer>(VEHICLE_RECORD, {
        folder: 'file:///car',
      });
      assert.equal(title, 'Vehicle record: stock no. 2041');
      assertExpected('record/session.md', page);
    });

    it('of a folder without dumps is a page too; of one that is gone it says so', async () => {
      session.files.set('file:///empty/notes.txt', '');
      const { page } = await session.connection.sendRequest<Answer>(VEHICLE_RECORD, { folder: 'file:///empty/' });
      assert.match(page ?? '', /no dump in this folder yet/);
      const { refused } = await session.connection.sendRequest<Answer>(VEHICLE_RECORD, { folder: 'file:///gone/' });
      assert.equal(refused, 'gone cannot be listed: no such file');
    });
  });
});
