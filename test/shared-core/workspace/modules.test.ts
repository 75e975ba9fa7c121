import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { type Phrase, phrase, refuse, say } from '../../../shared-core/src/base/index.js';
import { createWorkspace, dumpOfText, type Host, reasonOf } from '../../../shared-core/src/workspace/index.js';
import { type DumpList, keptList } from '../../../shared-core/src/workspace/keptList.js';
import { type MemoryFile, memoryHost } from '../../support/memoryHost.js';

const DUMP = 'file:///cars/2041/a.cfgdump';
const PROFILES = {
  'file:///cars/p.dump-profile.json': JSON.stringify({
    format: 1,
    lines: { from: 1, to: 1, data: 1, sum: 0 },
    options: [
      {
        id: 'a',
        title: 'A',
        line: 1,
        byte: 1,
        values: { 0: 'no' },
        needs: [{ profile: 'q.dump-profile.json', option: 'b', in: [0] }],
      },
    ],
  }),
  'file:///cars/q.dump-profile.json': JSON.stringify({ format: 1, lines: { from: 1, to: 1, data: 1, sum: 0 } }),
};
const OTHER = '@profile ../q.dump-profile.json\n@vin 0DEM0T4X5TA020418\n1: 00\n';

/** The dumps of the other module that are found among these files, without the folder of all cars. */
async function found(
  files: Readonly<Record<string, MemoryFile>>,
  atHand: readonly string[] = [],
  unlisted: readonly Phrase[] = [],
) {
  const own = { [DUMP]: '@profile ../p.dump-profile.json\n@vin 0dem0t4x5ta020418\n1: 00\n' };
  const named = Object.entries(files).map(([name, file]) => [`file:///cars/${name}`, file] as const);
  const host = memoryHost(new Map<string, MemoryFile>([...Object.entries({ ...PROFILES, ...own }), ...named]));
  const dumps = atHand.map((name) => `file:///cars/${name}`);
  const workspace = createWorkspace(host, { atHand: async () => ({ dumps, unlisted }) });
  const loaded = await workspace.load(DUMP);
  assert.ok(loaded.ok);
  return loaded.value
    .modules('q.dump-profile.json')
    .map((one) => (one.dump === undefined ? say(one.why) : one.file.replace('file:///cars/', '')));
}

describe('the other modules of a vehicle', () => {
  it('are none that are only to compare with, or of none of the modules here', async () => {
    for (const use of ['comparison', 'another-module'])
      assert.deepEqual(await found({ '2041/b.cfgdump': `@use ${use}\n${OTHER}` }), []);
  });

  it('are those beside a dump, and those at hand, each once', async () => {
    const deep = OTHER.replace('../', '../../');
    const files = { '2041/b.cfgdump': OTHER, '2041/old/c.cfgdump': deep, 'd.cfgdump': OTHER.replace('../', '') };
    assert.deepEqual(await found(files), ['2041/b.cfgdump']);
    const all = ['2041/b.cfgdump', 'd.cfgdump', '2041/a.cfgdump'];
    assert.deepEqual(await found(files, all), ['2041/b.cfgdump', 'd.cfgdump']);
    const before = { ...files, '1999.cfgdump': OTHER.replace('../', '') };
    assert.deepEqual(await found(before, ['1999.cfgdump', '2041/b.cfgdump']), ['1999.cfgdump', '2041/b.cfgdump']);
  });

  it('are of the same vehicle and the profile that is asked for', async () => {
    assert.deepEqual(await found({ '2041/b.cfgdump': OTHER.replace('418', '419') }), []);
    assert.deepEqual(await found({ '2041/b.cfgdump': OTHER.replace('q.dump', 'p.dump') }), []);
    assert.deepEqual(await found({ '2041/b.cfgdump': OTHER.replace('../q', '//cars/q') }), []);
    assert.deepEqual(await found({ '2041/b.cfgdump': `@seal sha256:00\n${OTHER}` }), []);
    assert.deepEqual(
      await found({ '2041/b.cfgdump': OTHER.replace('@vin', '@profile ../p.dump-profile.json\n@vin') }),
      [],
    );
  });

  it('are those in work, where there are any', async () => {
    const work = { '2041/c.cfgdump': `@backup old.cfgdump\n${OTHER}` };
    const reading = `@taken 2026-03-02T11:02:00Z\n${OTHER}`;
    assert.deepEqual(await found({ ...work, '2041/b.cfgdump': reading }), ['2041/c.cfgdump']);
    assert.deepEqual(await found({ '2041/b.cfgdump': reading }), ['2041/b.cfgdump']);
  });

  it('are also those of which nothing says whether they are in work', async () => {
    const files = { '2041/b.cfgdump': OTHER, '2041/c.cfgdump': `@backup b.cfgdump\n${OTHER}` };
    assert.deepEqual(await found(files), ['2041/b.cfgdump', '2041/c.cfgdump']);
  });

  it('are none that version control ignores', async () => {
    assert.deepEqual(await found({ '2041/b.cfgdump': OTHER, '2041/.gitignore': 'b.*' }), []);
  });

  it('may be among files that cannot be read: each is named', async () => {
    const unread = { '2041/b.cfgdump': { fails: 'EACCES' }, '2041/c.cfgdump': OTHER };
    assert.deepEqual(await found(unread), ['2041/c.cfgdump', 'b.cfgdump cannot be read: not allowed']);
    assert.deepEqual(await found({ '2041/b.cfgdump': { changing: OTHER } }), [
      'b.cfgdump cannot be read: it was changed while it was read',
    ]);
    assert.deepEqual(await found({ 'q.dump-profile.json': { fails: 'EACCES' }, '2041/b.cfgdump': OTHER }), [
      'q.dump-profile.json cannot be read: not allowed',
    ]);
    assert.deepEqual(await found({}, [], [phrase('{0} cannot be listed: {1}', 'old', '?')]), [
      'old cannot be listed: ?',
    ]);
  });

  it('may be one that cannot be read any more when it is wanted: it is named', async () => {
    const host = memoryHost(
      new Map<string, MemoryFile>([
        ...Object.entries(PROFILES),
        [DUMP, '@profile ../p.dump-profile.json\n@vin 0dem0t4x5ta020418\n1: 00\n'],
        ['file:///cars/2041/b.cfgdump', OTHER],
      ]),
    );
    let opened = 0;
    const open: Host['open'] = async (uri, allowed) =>
      uri.endsWith('b.cfgdump') && ++opened > 1 ? refuse(reasonOf('EACCES')) : host.open(uri, allowed);
    const loaded = await createWorkspace({ ...host, open }).load(DUMP);
    assert.ok(loaded.ok);
    const [only, ...others] = loaded.value.modules('q.dump-profile.json');
    assert.equal(only?.dump === undefined && only && say(only.why), 'b.cfgdump cannot be read: not allowed');
    assert.deepEqual(others, []);
  });

  it('are never the dump itself, though its file cannot be read while it is open', async () => {
    const text = '@profile ../p.dump-profile.json\n@vin 0dem0t4x5ta020418\n1: 00\n';
    const files = new Map<string, MemoryFile>([...Object.entries(PROFILES), [DUMP, { fails: 'EACCES' }]]);
    const open = dumpOfText('a.cfgdump', text);
    const loaded = await createWorkspace(memoryHost(files)).load(DUMP, { open });
    assert.ok(loaded.ok);
    assert.deepEqual(loaded.value.modules('q.dump-profile.json'), []);
  });

  it('that are planned are all at hand, or those that cannot be read are named', async () => {
    const files = new Map<string, MemoryFile>([
      [DUMP, OTHER],
      ['file:///cars/2041/b.cfgdump', { fails: 'EACCES' }],
    ]);
    const dumps = [...files.keys()];
    const unlisted = [phrase('{0} cannot be listed: {1}', 'old', '?')];
    const workspace = createWorkspace(memoryHost(files), { atHand: async () => ({ dumps, unlisted }) });
    const unsealed = await workspace.unsealed();
    assert.deepEqual(
      [unsealed.dumps.map(({ file }) => file), unsealed.unread.map((said) => say(said))],
      [[DUMP], ['old cannot be listed: ?', 'b.cfgdump cannot be read: not allowed']],
    );
    files.set('file:///cars/2041/b.cfgdump', OTHER);
    assert.equal((await workspace.unsealed()).dumps.length, 2, 'once it can be read');
    files.set('file:///cars/2041/b.cfgdump', `@seal sha256:00\n${OTHER}`);
    await workspace.lookAgain();
    assert.equal((await workspace.unsealed()).dumps.length, 1, 'what is sealed is no plan of anybody');
  });
});

describe('modules whose conditions mention a dump', () => {
  const NEEDING = '@profile ../p.dump-profile.json\n@vin 0DEM0T4X5TA020418\n';
  /** As many dumps in work of the module that is changed, and of the one that needs something of it. */
  const vehicle = (count: number) =>
    new Map<string, MemoryFile>([
      ...Object.entries(PROFILES),
      ...Array.from({ length: count }, (_, i) => [`file:///cars/2041/a${i}.cfgdump`, `${NEEDING}1: 00\n`] as const),
      ...Array.from({ length: count }, (_, i) => [`file:///cars/2041/b${i}.cfgdump`, OTHER] as const),
    ]);

  it('are looked for once, however many dumps of the vehicle are in work', async () => {
    const lists = async (count: number) => {
      const host = memoryHost(vehicle(count));
      let listed = 0;
      const list: typeof host.list = (uri) => {
        listed++;
        return host.list(uri);
      };
      const workspace = createWorkspace({ ...host, list }, { atHand: async () => ({ dumps: [], unlisted: [] }) });
      const loaded = await workspace.load('file:///cars/2041/b0.cfgdump', { dependents: true });
      assert.ok(loaded.ok);
      assert.equal(loaded.value.dependents?.length, count);
      return listed;
    };
    assert.equal(await lists(30), await lists(3));
  });

  it('see each dump of a module but the one that looks, with what the changed one is to hold', async () => {
    const files = vehicle(2);
    files.set('file:///cars/2041/b2.cfgdump', { fails: 'EACCES' });
    const workspace = createWorkspace(memoryHost(files), { atHand: async () => ({ dumps: [], unlisted: [] }) });
    const loaded = await workspace.load('file:///cars/2041/b0.cfgdump', { dependents: true });
    assert.ok(loaded.ok);
    const own = { ...loaded.value.dump };
    const seen = loaded.value.dependents?.map(({ modulesWith }) =>
      modulesWith(own)('q.dump-profile.json').map((one) =>
        one.dump === undefined ? say(one.why) : one.dump === own ? 'the changed one' : one.name,
      ),
    );
    const all = ['the changed one', 'b1.cfgdump', 'b2.cfgdump cannot be read: not allowed'];
    assert.deepEqual(seen, [all, all]);
  });

  it('see no other dump of their own module in themselves', async () => {
    const needs = JSON.parse(PROFILES['file:///cars/p.dump-profile.json']).options;
    const own = needs.map((one: object) => ({
      ...one,
      needs: [{ profile: 'p.dump-profile.json', option: 'a', in: [0] }],
    }));
    const files = vehicle(3);
    files.set(
      'file:///cars/p.dump-profile.json',
      PROFILES['file:///cars/p.dump-profile.json'].replace(JSON.stringify(needs), JSON.stringify(own)),
    );
    const workspace = createWorkspace(memoryHost(files), { atHand: async () => ({ dumps: [], unlisted: [] }) });
    const loaded = await workspace.load('file:///cars/2041/a0.cfgdump', { dependents: true });
    assert.ok(loaded.ok);
    const seen = loaded.value.dependents?.map(({ modulesWith }) =>
      modulesWith(loaded.value.dump)('p.dump-profile.json').map((one) => ('name' in one ? one.name : say(one.why))),
    );
    assert.deepEqual(seen, [
      ['a0.cfgdump', 'a2.cfgdump'],
      ['a0.cfgdump', 'a1.cfgdump'],
    ]);
  });
});

describe('a list that is kept', () => {
  const listOf = (...dumps: readonly string[]): DumpList => ({ dumps, unlisted: [] });
  it('is read again once a file is heard of that is not in it, also while it is being read', async () => {
    const answers: ((list: DumpList) => void)[] = [];
    const list = keptList(() => new Promise((resolve) => answers.push(resolve)), true);
    const first = list.get();
    assert.equal(list.get(), first);
    list.heardOf('b');
    const second = list.get();
    answers[1]?.(listOf('a', 'b'));
    assert.deepEqual(await second, listOf('a', 'b'));
    answers[0]?.(listOf('a'));
    assert.deepEqual(await first, listOf('a'));
    list.heardOf('b');
    assert.equal(list.get(), second);
    list.heardOf('c');
    const third = list.get();
    assert.equal(answers.length, 3);
    list.heardOf('b');
    assert.notEqual(list.get(), third, 'what was in the list before may be missing in the one that is read');
    assert.equal(answers.length, 4);
  });

  it('is read each time where nobody tells of files, and again where it could not be read', async () => {
    let count = 0;
    const list = keptList(async () => listOf(String(count++)), false);
    assert.deepEqual([await list.get(), await list.get()], [listOf('0'), listOf('1')]);
    let works = false;
    const failing = keptList(async () => (works ? listOf() : Promise.reject(new Error('gone'))), true);
    await assert.rejects(failing.get());
    works = true;
    assert.deepEqual(await failing.get(), listOf());
  });
});
