import assert from 'node:assert/strict';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { shortHash } from '../../server/src/cli/machine.js';
import { settleLeftPlans } from '../../server/src/leftPlans.js';
import { JOURNAL_NAME, journalText, phrase, say } from '../../shared-core/src/index.js';
import { bareConnection } from '../support/serverSession.js';

const MODULES = [
  { file: 'a.cfgdump', before: ' 1: 00\n', after: ' 1: 01\n' },
  { file: 'b.cfgdump', before: ' 1: 02\n', after: ' 1: 03\n' },
];
/** No system gives a process this number: it is beyond the largest that Linux can be set to, 2²². */
const NOBODY = 2 ** 22 + 1;

describe('a plan that the command line left half done', () => {
  let folder: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'countersum-'));
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));
  const put = (name: string, text: string) => writeFileSync(join(folder, name), text);
  const read = (name: string) => readFileSync(join(folder, name), 'utf8');
  const settled = async () => (await settleLeftPlans([pathToFileURL(folder).toString()])).map((said) => say(said));
  const leave = (a: string, b: string, pid = NOBODY) => {
    put('a.cfgdump', a);
    put('b.cfgdump', b);
    put(JOURNAL_NAME, journalText({ host: shortHash(hostname()), pid, modules: MODULES }));
  };

  it('is finished when the folder is opened, and told', async () => {
    leave(' 1: 01\n', ' 1: 02\n');
    assert.deepEqual(await settled(), [
      'A plan that was cut short has been finished: a.cfgdump, b.cfgdump are as planned.',
    ]);
    assert.deepEqual([read('a.cfgdump'), read('b.cfgdump')], [' 1: 01\n', ' 1: 03\n']);
    assert.deepEqual(readdirSync(folder).sort(), ['a.cfgdump', 'b.cfgdump']);
    assert.deepEqual(await settled(), []);
  });

  it('is left alone while the run that writes it is under way, or where a module was changed since', async () => {
    leave(' 1: 01\n', ' 1: 02\n', process.pid);
    assert.equal((await settled()).length, 1);
    assert.equal(read('b.cfgdump'), ' 1: 02\n');
    leave(' 1: 07\n', ' 1: 02\n');
    assert.equal((await settled()).length, 1);
    assert.deepEqual([read('a.cfgdump'), read('b.cfgdump')], [' 1: 07\n', ' 1: 02\n']);
    assert.ok(readdirSync(folder).includes(JOURNAL_NAME));
  });

  it('is no concern of folders that are on no disk', async () => {
    assert.deepEqual(await settleLeftPlans(['memfs:/folder']), []);
  });

  it('is looked for by a server that has started, in the folders that are open', async () => {
    const asked: (readonly string[])[] = [];
    const { connection, stop } = bareConnection(async (folders) => {
      asked.push(folders);
      return [phrase('A plan that was cut short has been undone: {0} are as they were before it.', 'a.cfgdump')];
    });
    const shown = new Promise<{ message: string }>((resolve) =>
      connection.onNotification('window/showMessage', resolve),
    );
    connection.onRequest('client/registerCapability', () => null);
    await connection.sendRequest('initialize', { processId: null, rootUri: 'file:///car', capabilities: {} });
    await connection.sendNotification('initialized', {});
    assert.match((await shown).message, /has been undone: a\.cfgdump/);
    assert.deepEqual(asked, [['file:///car']]);
    stop();
  });
});
