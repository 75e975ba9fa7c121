import assert from 'node:assert/strict';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { LIST_PROFILES, type ListProfilesResult, TEST_SAMPLES } from '../../shared-core/src/protocol/profiles.js';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';
import { LINES, LINES_TEXT } from '../support/smallDumps.js';

const DUMP = 'file:///cars/one/seat.cfgdump';

describe('The profiles at hand', () => {
  let session: ServerSession;
  beforeEach(async () => {
    const capabilities = { ...FULL_CLIENT, workspace: { ...FULL_CLIENT.workspace, configuration: true } };
    session = await serverSession(capabilities);
    session.connection.onRequest('workspace/configuration', () => [{ profileFolders: ['/kept/library'] }]);
  });
  afterEach(() => session.close());

  const put = (path: string, more: object = {}) => {
    session.files.set(`file://${path}`, JSON.stringify({ format: 1, ...LINES, ...more }));
  };
  const listed = (around: string | null): Promise<ListProfilesResult> =>
    session.connection.sendRequest(LIST_PROFILES, { around });

  it('are those of the settings and of "profiles" beside or above the dump, by their titles', async () => {
    put('/kept/library/below/a.dump-profile.json', { title: 'Seat' });
    put('/cars/one/profiles/b.dump-profile.json', { title: 'Lamps', appliesTo: { part: ['LA-*'], software: ['1.*'] } });
    put('/cars/profiles/c.dump-profile.json', { title: 'Door' });
    const { profiles, unlisted } = await listed(DUMP);
    assert.deepEqual(
      profiles.map(({ title }) => title),
      ['Door', 'Lamps', 'Seat'],
    );
    assert.deepEqual([profiles[1]?.part, profiles[1]?.software, unlisted], [['LA-*'], ['1.*'], []]);
  });

  it('are those of "profiles" at the very top of a file system too, whatever its scheme', async () => {
    session.files.set('memory:/profiles/a.dump-profile.json', JSON.stringify({ format: 1, ...LINES, title: 'Top' }));
    const { profiles } = await listed('memory:/one/seat.cfgdump');
    assert.deepEqual(
      profiles.map(({ title }) => title),
      ['Top'],
    );
  });

  it('tell options with their words, and each leads to its place in its own file', async () => {
    put('/cars/profiles/base.dump-profile.json', { title: 'A' });
    const text = JSON.stringify({ format: 1, extends: 'base.dump-profile.json', title: 'B' });
    session.files.set('file:///cars/profiles/variant.dump-profile.json', text);
    const [, variant] = (await listed(DUMP)).profiles;
    const [fog] = variant?.options ?? [];
    assert.deepEqual(variant?.bases, ['base.dump-profile.json']);
    assert.match(fog?.words ?? '', /fog.*no yes/);
    const base = session.files.get(fog?.at.uri ?? '') ?? '';
    assert.ok(String(base).slice(fog?.at.start).startsWith('{"id":"fog"'), String(base).slice(fog?.at.start));
  });

  it('a folder of the settings that cannot be listed is told', async () => {
    session.connection.onRequest('workspace/configuration', () => [{ profileFolders: ['/closed/library'] }]);
    const { profiles, unlisted } = await listed(DUMP);
    assert.deepEqual(profiles, []);
    assert.match(unlisted.join(), /library cannot be listed/);
  });

  it('one that is torn says what is wrong, and where', async () => {
    session.files.set('file:///cars/profiles/torn.dump-profile.json', '{ "format": 1, "lines"');
    const [torn] = (await listed(DUMP)).profiles;
    assert.equal(torn?.options.length, 0);
    assert.equal(torn?.problems.length, 1);
    assert.equal(torn?.problems[0]?.at.uri, 'file:///cars/profiles/torn.dump-profile.json');
  });

  it('samples are tested one by one, and a profile with a problem is not', async () => {
    const samples = [{ dump: 'a.cfgdump', expect: { fog: 'yes' } }, { dump: 'gone.cfgdump' }];
    put('/cars/profiles/a.dump-profile.json', { samples });
    session.files.set('file:///cars/profiles/a.cfgdump', LINES_TEXT);
    const uri = 'file:///cars/profiles/a.dump-profile.json';
    const { says }: { says: string[] } = await session.connection.sendRequest(TEST_SAMPLES, { uri });
    assert.match(says[0] ?? '', /a\.cfgdump fits; set and set back: 1 options, 1 values/);
    assert.match(says[1] ?? '', /gone\.cfgdump cannot be read/);
    // What is only worth knowing of it stops nothing.
    const seen = [{ how: 'set-and-tried', date: '2999-01-01' }];
    put('/cars/profiles/a.dump-profile.json', { samples, options: [{ ...LINES.options[0], seen }] });
    const tested: { says?: readonly string[] } = await session.connection.sendRequest(TEST_SAMPLES, { uri });
    assert.match(tested.says?.[0] ?? '', /a\.cfgdump fits/);
    put('/cars/profiles/b.dump-profile.json', { samples, colour: 'red' });
    const { refused }: { refused: string } = await session.connection.sendRequest(TEST_SAMPLES, {
      uri: 'file:///cars/profiles/b.dump-profile.json',
    });
    assert.match(refused, /b\.dump-profile\.json has problems; correct them first/);
  });
});
