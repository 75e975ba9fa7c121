// A plan that the command line was cut short in, as the editor's card, record, job and text to load know it.
import assert from 'node:assert/strict';
import { mkdtempSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { shortHash } from '../../server/src/files/machine.js';
import { plansOnDisk } from '../../server/src/leftPlans.js';
import { JOURNAL_NAME, journalText } from '../../shared-core/src/jobs/index.js';
import { TEXT_TO_LOAD } from '../../shared-core/src/protocol/convert.js';
import { JOBS, type JobsResult, OFFER_PLANS } from '../../shared-core/src/protocol/jobs.js';
import {
  JOB_CARD,
  type JobCardResult,
  VEHICLE_RECORD,
  type VehicleRecordResult,
} from '../../shared-core/src/protocol/retrofit.js';
import { STATUS, type StatusResult } from '../../shared-core/src/protocol/status.js';
import { canonicalUri } from '../../shared-core/src/workspace/index.js';
import { bareConnection, FULL_CLIENT } from '../support/serverSession.js';

const PROFILE = JSON.stringify({
  format: 1,
  lines: { from: 1, to: 1, data: 1, sum: 1 },
  lineSum: { method: 'add', bits: 8, over: ['data'] },
  options: [{ id: 'lamp', title: 'Lamp', line: 1, byte: 1, bits: '0', values: { '0': 'none', '1': 'fitted' } }],
});
const head = (module: string) =>
  `@vehicle stock no. 7\n@taken 2026-03-02\n@part ${module}\n@profile ${module}.dump-profile.json\n`;
const dump = (module: string, value: string) =>
  `${head(module)}@backup ${module}.found.cfgdump\n1: ${value} | ${value}\n`;
/** No system gives a process this number: it is beyond the largest that Linux can be set to, 2²². */
const NOBODY = 2 ** 22 + 1;
const SAYS = /A plan was cut short in .*: of a\.cfgdump, b\.cfgdump, some are as planned and some are not/;

describe('a plan that was cut short, in the editor', () => {
  let folder: string;
  /** Where nothing is asked when the folder is opened. */
  let isOffered = false;
  let session: ReturnType<typeof bareConnection>;
  const at = (name: string) => canonicalUri(pathToFileURL(join(folder, name)).toString());
  const put = (name: string, text: string) => {
    writeFileSync(join(folder, name), text);
    session.files.set(at(name), text);
  };
  /** The first of both modules was written, and the second was not. */
  const leave = () => {
    put('a.cfgdump', dump('a', '01'));
    const modules = ['a', 'b'].map((module) => ({
      file: `${module}.cfgdump`,
      before: dump(module, '00'),
      after: dump(module, '01'),
    }));
    writeFileSync(join(folder, JOURNAL_NAME), journalText({ host: shortHash(hostname()), pid: NOBODY, modules }));
  };
  beforeEach(async () => {
    isOffered = false;
    folder = realpathSync(mkdtempSync(join(tmpdir(), 'countersum-')));
    session = bareConnection({
      ...plansOnDisk(),
      within: (folders) => (isOffered ? plansOnDisk().within(folders) : Promise.resolve([])),
    });
    for (const module of ['a', 'b']) {
      put(`${module}.dump-profile.json`, PROFILE);
      put(`${module}.found.cfgdump`, `${head(module)}1: 00 | 00\n`);
      put(`${module}.cfgdump`, dump(module, '00'));
    }
    const rootUri = pathToFileURL(folder).toString();
    session.connection.onRequest('client/registerCapability', () => null);
    session.connection.onRequest('workspace/diagnostic/refresh', () => null);
    await session.connection.sendRequest('initialize', { processId: null, rootUri, capabilities: FULL_CLIENT });
    await session.connection.sendNotification('initialized', {});
  });
  afterEach(() => {
    session.stop();
    rmSync(folder, { recursive: true, force: true });
  });
  const open = (name: string) =>
    session.connection.sendNotification('textDocument/didOpen', {
      textDocument: { uri: at(name), languageId: 'cfgdump', version: 1, text: session.files.get(at(name)) as string },
    });
  const card = async (name: string) => {
    await open(name);
    return session.connection.sendRequest<JobCardResult>(JOB_CARD, { uri: at(name) });
  };

  it('keeps the card of each of its modules open, whichever it is made from', async () => {
    leave();
    for (const name of ['a.cfgdump', 'b.cfgdump']) {
      const made = await card(name);
      assert.match(made.open?.join('\n') ?? JSON.stringify(made), SAYS, name);
      assert.match(made.page.split('## Do not write yet')[1] ?? '', /was cut short/);
    }
  });

  it('does not trouble the card where none was', async () => {
    put('a.cfgdump', dump('a', '01'));
    assert.deepEqual((await card('a.cfgdump')).open, []);
  });

  it('is open in the record of their folder', async () => {
    const record = async () =>
      (await session.connection.sendRequest<VehicleRecordResult>(VEHICLE_RECORD, { folder: at('') })).page;
    put('a.cfgdump', dump('a', '01'));
    assert.doesNotMatch(await record(), /cut short/);
    leave();
    assert.match(await record(), SAYS);
  });

  it('leaves the step of the job open that wants all to be right, until it is settled', async () => {
    const right = async () => {
      const { vehicles } = await session.connection.sendRequest<JobsResult>(JOBS, { unsaved: [], around: null });
      const module = vehicles.flatMap(({ modules }) => modules).find(({ uri }) => uri === at('a.cfgdump'));
      const step = module?.steps.find(({ id }) => id === 'right');
      return `${step?.state}: ${step?.says}`;
    };
    leave();
    assert.match(await right(), /^(?!done).*A plan was cut short/);
    rmSync(join(folder, JOURNAL_NAME));
    assert.match(await right(), /^done/);
  });

  it('is the next thing to settle in the job of each of its modules, by a button that asks anew', async () => {
    leave();
    const { vehicles } = await session.connection.sendRequest<JobsResult>(JOBS, { unsaved: [], around: null });
    const next = vehicles
      .flatMap(({ modules }) => modules)
      .map(({ steps }) => steps.find(({ state }) => state === 'next'));
    assert.deepEqual(
      next.map((step) => [step?.id, step?.action?.does]),
      [
        ['broughtIn', 'settlePlan'],
        ['broughtIn', 'settlePlan'],
      ],
    );
    for (const step of next) assert.match(step?.says ?? '', SAYS);
    const asked = new Promise<readonly string[]>((resolve) => {
      session.connection.onRequest('window/showMessageRequest', ({ actions }: { actions: { title: string }[] }) => {
        resolve(actions.map(({ title }) => title));
        return null;
      });
    });
    isOffered = true;
    await session.connection.sendNotification(OFFER_PLANS);
    assert.deepEqual(await asked, ['Finish the Plan', 'Undo the Plan']);
  });

  it('keeps the dump from being called good, and from being saved for the program that loads it', async () => {
    const status = () => session.connection.sendRequest<StatusResult>(STATUS, { uri: at('a.cfgdump') });
    const toLoad = () => session.connection.sendRequest<object>(TEXT_TO_LOAD, { uri: at('a.cfgdump') });
    leave();
    await open('a.cfgdump');
    assert.equal((await status()).good, false);
    assert.match(JSON.stringify(await toLoad()), /is not to be loaded yet: A plan was cut short/);
    rmSync(join(folder, JOURNAL_NAME));
    assert.equal((await status()).good, true);
    assert.match(JSON.stringify(await toLoad()), /"base64":"/);
  });
});
