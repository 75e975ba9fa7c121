import assert from 'node:assert/strict';
import { mkdtempSync, readdirSync, readFileSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { shortHash } from '../../server/src/files/machine.js';
import { plansOnDisk } from '../../server/src/leftPlans.js';
import { JOURNAL_NAME, journalText } from '../../shared-core/src/jobs/index.js';
import { bareConnection } from '../support/serverSession.js';

const PROFILE = JSON.stringify({
  format: 1,
  lines: { from: 1, to: 1, data: 1, sum: 0 },
  locked: [{ line: 1, byte: 1, why: 'serial number' }],
});
const OPEN = JSON.stringify({ format: 1, lines: { from: 1, to: 1, data: 1, sum: 0 } });
const dump = (value: string) => `@profile own.dump-profile.json\n 1: ${value}\n`;
const MODULES = [
  { file: 'a.cfgdump', before: dump('00'), after: dump('01') },
  { file: 'b.cfgdump', before: dump('02'), after: dump('03') },
];
/** No system gives a process this number: it is beyond the largest that Linux can be set to, 2²². */
const NOBODY = 2 ** 22 + 1;

interface Message {
  readonly message: string;
  readonly actions?: readonly { readonly title: string }[];
}

describe('a plan that the command line left half done', () => {
  let folder: string;
  beforeEach(() => {
    folder = realpathSync(mkdtempSync(join(tmpdir(), 'countersum-')));
    put('own.dump-profile.json', OPEN);
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));
  const put = (name: string, text: string) => writeFileSync(join(folder, name), text);
  const values = () =>
    MODULES.map(({ file }) => readFileSync(join(folder, file), 'utf8').match(/1: (\w\w)/)?.[1]).join(' ');
  const isLeft = () => readdirSync(folder).includes(JOURNAL_NAME);
  const leave = (a: string, b: string, { pid = NOBODY, host = shortHash(hostname()) } = {}) => {
    put('a.cfgdump', dump(a));
    put('b.cfgdump', dump(b));
    put(JOURNAL_NAME, journalText({ host, pid, modules: MODULES }));
  };

  /** Opens the folder in an editor in which a person presses a button, or none; gives what the editor showed. */
  async function opened(press?: string): Promise<readonly Message[]> {
    const { connection, stop } = bareConnection(plansOnDisk());
    const shown: Message[] = [];
    const told = new Promise<void>((resolve) => {
      connection.onNotification('window/showMessage', (message: Message) => {
        shown.push(message);
        resolve();
      });
      connection.onRequest('window/showMessageRequest', (message: Message) => {
        shown.push(message);
        const action = message.actions?.find(({ title }) => title === press) ?? null;
        if (action === null) resolve();
        return action;
      });
    });
    connection.onRequest('client/registerCapability', () => null);
    const rootUri = pathToFileURL(folder).toString();
    await connection.sendRequest('initialize', { processId: null, rootUri, capabilities: {} });
    await connection.sendNotification('initialized', {});
    await told;
    stop();
    return shown;
  }

  it('is offered when the folder is opened, and nothing is written unless a button is pressed', async () => {
    leave('01', '02');
    const [asked, ...more] = await opened();
    assert.deepEqual(more, []);
    assert.match(asked?.message ?? '', /of a\.cfgdump, b\.cfgdump, some are as planned and some are not/);
    assert.deepEqual(
      asked?.actions?.map(({ title }) => title),
      ['Finish the Plan', 'Undo the Plan'],
    );
    assert.deepEqual([values(), isLeft()], ['01 02', true]);
  });

  for (const [button, after, words] of [
    ['Finish the Plan', '01 03', /has been finished: a\.cfgdump, b\.cfgdump are as planned/],
    ['Undo the Plan', '00 02', /has been undone: a\.cfgdump, b\.cfgdump are as they were/],
  ] as const)
    it(`"${button}" does so, and tells`, async () => {
      leave('01', '02');
      const [, told] = await opened(button);
      assert.match(told?.message ?? '', words);
      assert.deepEqual([values(), isLeft()], [after, false]);
    });

  it('is not offered where it would change what is locked, or where a module was changed since: that is told', async () => {
    put('own.dump-profile.json', PROFILE);
    leave('01', '02');
    const [locked] = await opened('Finish the Plan');
    assert.match(locked?.message ?? '', /may not be made.*serial number/);
    assert.equal(locked?.actions, undefined);
    put('own.dump-profile.json', OPEN);
    leave('07', '02');
    assert.match((await opened('Finish the Plan'))[0]?.message ?? '', /a\.cfgdump was changed since/);
    assert.deepEqual([values(), isLeft()], ['07 02', true]);
  });

  it('of a run that may be under way, only the person can say that it is over', async () => {
    for (const run of [{ pid: process.pid }, { host: '01234567' }]) {
      leave('01', '02', run);
      assert.match((await opened())[0]?.message ?? '', /Another run is writing the modules/);
      assert.deepEqual([values(), isLeft()], ['01 02', true]);
      await opened('Finish the Plan');
      assert.deepEqual([values(), isLeft()], ['01 03', false]);
    }
  });

  it('that was done, or had not begun, is cleared away and told', async () => {
    leave('01', '03');
    assert.match((await opened())[0]?.message ?? '', /has been finished/);
    assert.deepEqual([values(), isLeft()], ['01 03', false]);
    leave('00', '02');
    assert.match((await opened())[0]?.message ?? '', /before it changed anything/);
    assert.deepEqual([values(), isLeft()], ['00 02', false]);
  });

  it('is no concern of folders that are on no disk', async () => {
    assert.deepEqual(await plansOnDisk().within(['memfs:/folder']), []);
  });
});
