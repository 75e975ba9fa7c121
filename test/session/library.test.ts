import assert from 'node:assert/strict';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { DEFAULTS, settingsOf } from '../../server/src/settings.js';
import { STATUS, type StatusResult } from '../../shared-core/src/protocol/status.js';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const LINES = '1: 01 02 03 | 07\n2: 10 21 00 | 33\n';
const URI = 'file:///cars/one/seat.cfgdump';
const PROFILE = {
  format: 1,
  lines: { from: 1, to: 2, data: 3, sum: 1 },
  lineSum: { method: 'add', over: ['label', 'data'] },
  appliesTo: { part: ['SE-*'] },
};

describe('At the top of a dump that names no profile', () => {
  let session: ServerSession;
  beforeEach(async () => {
    const capabilities = { ...FULL_CLIENT, workspace: { ...FULL_CLIENT.workspace, configuration: true } };
    session = await serverSession(capabilities);
    session.connection.onRequest('workspace/configuration', () => [{ profileFolders: ['/kept/library'] }]);
  });
  afterEach(() => session.close());

  const put = (path: string, more: object) => {
    session.files.set(`file://${path}`, JSON.stringify({ ...PROFILE, ...more }));
  };
  const offered = async (text: string) => {
    await session.open(URI, text);
    const all = await session.actions(URI, 0, 0);
    return all.filter(({ title }) => title.startsWith('Name the Profile'));
  };

  for (const [where, path, name] of [
    ['a folder that the settings name', '/kept/library/below/seat.dump-profile.json', '../../kept/library/below/'],
    ['the folder "profiles" beside it', '/cars/one/profiles/seat.dump-profile.json', 'profiles/'],
    ['the folder "profiles" above it', '/cars/profiles/seat.dump-profile.json', '../profiles/'],
  ] as const)
    it(`the one profile of ${where} that fits is offered, and named once it is chosen`, async () => {
      put(path, {});
      const text = `@part SE-1\n${LINES}`;
      const [only, ...others] = await offered(text);
      assert.equal(only?.title, `Name the Profile ${name}seat.dump-profile.json`);
      assert.deepEqual(others, []);
      assert.equal(session.after(URI, only), `@profile ${name}seat.dump-profile.json\n${text}`);
    });

  it('those that fit are in the status', async () => {
    const fitting = async () => {
      const { fitting: names } = await session.connection.sendRequest<StatusResult>(STATUS, { uri: URI });
      return names;
    };
    put('/cars/profiles/a.dump-profile.json', {});
    put('/cars/profiles/c.dump-profile.json', { appliesTo: { part: ['DO-1'] } });
    await session.open(URI, `@part SE-1\n${LINES}`);
    assert.deepEqual(await fitting(), ['../profiles/a.dump-profile.json']);
    await session.change(URI, 0, 6, 10, 'DO-1');
    assert.deepEqual(await fitting(), ['../profiles/c.dump-profile.json']);
    await session.change(URI, 0, 0, 10, '@note DO-1');
    assert.deepEqual(await fitting(), []);
    await session.change(URI, 0, 0, 10, '@part SE-1\n@profile x.dump-profile.json');
    assert.deepEqual(await fitting(), []);
  });

  it('several are offered with what tells them apart, and none that is for another module or by which a sum is wrong', async () => {
    put('/cars/profiles/a.dump-profile.json', {});
    put('/cars/profiles/b.dump-profile.json', { appliesTo: { part: ['SE-1'], software: ['1.?'] } });
    put('/cars/profiles/c.dump-profile.json', { appliesTo: { part: ['DO-1'] } });
    put('/cars/profiles/d.dump-profile.json', { lineSum: { method: 'xor', over: ['data'] } });
    const titles = (await offered(`@part SE-1\n@software 1.0\n${LINES}`)).map(({ title }) => title);
    assert.deepEqual(titles, [
      'Name the Profile ../profiles/a.dump-profile.json (any software level · options: 0, of these confirmed: 0 · proofs: 0)',
      'Name the Profile ../profiles/b.dump-profile.json (software 1.? · options: 0, of these confirmed: 0 · proofs: 0)',
    ]);
  });

  it('nothing is offered without a part, for a sealed dump, and where it names one', async () => {
    put('/cars/profiles/a.dump-profile.json', {});
    for (const text of [
      LINES,
      `@part SE-1\n@seal sha256:00\n${LINES}`,
      `@profile x.dump-profile.json\n@part SE-1\n${LINES}`,
    ])
      assert.deepEqual(await offered(text), [], text);
  });
});

describe('At the top of a hex view, whose headers are in a file beside it', () => {
  const VIEW = 'file:///cars/one/ee.xxd';
  const BYTES = [
    ...Array.from({ length: 15 }, (_, i) => 0x41 + i),
    Array.from({ length: 15 }, (_, i) => 0x41 + i).reduce((a, b) => a ^ b),
  ];
  const hex = BYTES.map((byte) => byte.toString(16).padStart(2, '0'))
    .join('')
    .replace(/.{4}/g, '$& ');
  const TEXT = `00000000: ${hex} ${String.fromCharCode(...BYTES)}\n`;
  const IMAGE = {
    format: 1,
    addresses: { from: 0, to: 15 },
    totals: [{ name: 'xor', address: 15, method: 'xor', bits: 8, over: [{ from: 0, to: 14 }] }],
    appliesTo: { part: ['SE-*'] },
  };
  const offered = async (commands: boolean, headers: string | undefined) => {
    const session = await serverSession(FULL_CLIENT, { commands });
    try {
      session.files.set('file:///cars/profiles/ee.dump-profile.json', JSON.stringify(IMAGE));
      if (headers !== undefined) session.files.set(`${VIEW}.dump-headers`, headers);
      await session.open(VIEW, TEXT);
      return (await session.actions(VIEW, 0, 0)).filter(({ title }) => title.startsWith('Name the Profile'));
    } finally {
      session.close();
    }
  };

  it('the profile that fits is offered where the client can write that file', async () => {
    const [only, ...others] = await offered(true, '@part SE-1\n');
    assert.equal(only?.title, 'Name the Profile ../profiles/ee.dump-profile.json');
    assert.deepEqual(only?.command?.arguments, [VIEW, '../profiles/ee.dump-profile.json']);
    assert.equal(only?.command?.command, 'countersum._nameProfile');
    assert.deepEqual([only?.edit, others], [undefined, []]);
  });

  it('nothing is offered where it cannot, without a part, for a sealed one, and where one is named', async () => {
    assert.deepEqual(await offered(false, '@part SE-1\n'), []);
    for (const headers of [undefined, '@part SE-1\n@seal sha256:00\n', '@part SE-1\n@profile x.dump-profile.json\n'])
      assert.deepEqual(await offered(true, headers), [], headers);
  });
});

it('Folders of profiles in the settings are texts', () => {
  assert.deepEqual(settingsOf({ profileFolders: ['a', 7, ''] }).profileFolders, ['a']);
  assert.deepEqual(settingsOf({ profileFolders: 'a' }), DEFAULTS);
});
