// Lists of files: each line has the name of the file, what is known of it in words, and its folder.
import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { afterEach, describe, it } from 'mocha';
import { localTime } from '../../shared-core/src/base/index.js';
import { type ClientSession, clientSession, settle } from '../support/clientSession.js';
import type { PickAsked } from '../support/fakeEditor.js';

const CAR = Object.fromEntries(
  readdirSync('examples/trailer-socket').map((name) => [
    `car/${name}`,
    readFileSync(`examples/trailer-socket/${name}`, 'utf8'),
  ]),
);

describe('a list of files', () => {
  let session: ClientSession;
  afterEach(() => session.stop());

  /** What a command asks first, of a dump that is open. */
  const listOf = async (command: string): Promise<PickAsked['items']> => {
    const asked: PickAsked[] = [];
    session.editor.person.pick = (one) => {
      asked.push(one);
      return undefined;
    };
    await session.run(command);
    await settle();
    return asked[0]?.items ?? [];
  };

  it('tells dumps by module, vehicle and time, and names the folder below', async () => {
    session = await clientSession({
      ...CAR,
      'plain.cfgdump': '1: 00 01 | 01\n',
      'day.cfgdump': '@vehicle stock no. 9\n@taken 2026-03-02\n1: 00 01 | 01\n',
    });
    await session.open('car/rear-body.cfgdump');
    const wanted = [
      {
        label: 'rear-body.as-found.cfgdump',
        description: `stock no. 2041 · ${localTime(new Date('2026-03-02T09:14:00Z'))} · Rear body module (demo)`,
        detail: 'car',
      },
      { label: 'plain.cfgdump', description: '' },
      { label: 'day.cfgdump', description: 'stock no. 9 · 2026-03-02' },
    ];
    for (const command of ['compareWith', 'verifyReadBack']) {
      const items = await listOf(command);
      // Those of the same module and vehicle come first.
      assert.match(items[0]?.label ?? '', /^rear-body\./);
      for (const { label, ...says } of wanted) {
        const { description, detail } = items.find((one) => one.label === label) ?? {};
        assert.deepEqual({ description, ...(detail && { detail }) }, says, label);
      }
    }
  });

  it('tells retrofits by their titles', async () => {
    session = await clientSession({ ...CAR, 'torn.retrofit.json': '{' });
    const items = await listOf('planRetrofit');
    assert.deepEqual(items.map(({ label, description, detail = '' }) => [label, description, detail]).sort(), [
      ['torn.retrofit.json', '', ''],
      ['trailer-socket.retrofit.json', '13-pin trailer socket (demo)', 'car'],
    ]);
  });

  it('tells dumps to learn from by what their heads say, and profiles by their titles', async () => {
    const text = (first: string) =>
      ['01', '02', '03']
        .map((n) => `${Number(n)}: ${n} 00 | ${n}`)
        .join('\n')
        .replace('', first);
    session = await clientSession({
      'a.cfgdump': text(''),
      'b.cfgdump': text('@vehicle stock no. 4\n'),
    });
    await session.open('a.cfgdump');
    const [other] = await listOf('learn');
    assert.deepEqual([other?.label, other?.description], ['b.cfgdump', 'stock no. 4']);
  });
});
