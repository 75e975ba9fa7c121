import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { createWorkspace } from '../../../shared-core/src/index.js';
import { keptList } from '../../../shared-core/src/workspace/keptList.js';
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
const OTHER = '@profile ../q.dump-profile.json\n@vin 1M8GDM9AXKP042788\n1: 00\n';

/** The dumps of the other module that are found among these files, without the folder of all cars. */
async function found(files: Readonly<Record<string, MemoryFile>>, atHand: readonly string[] = []) {
  const own = { [DUMP]: '@profile ../p.dump-profile.json\n@vin 1m8gdm9axkp042788\n1: 00\n' };
  const named = Object.entries(files).map(([name, file]) => [`file:///cars/${name}`, file] as const);
  const host = memoryHost(new Map<string, MemoryFile>([...Object.entries({ ...PROFILES, ...own }), ...named]));
  const workspace = createWorkspace(host, { atHand: async () => atHand.map((name) => `file:///cars/${name}`) });
  const loaded = await workspace.load(DUMP);
  assert.ok(loaded.ok);
  return loaded.value.modules('q.dump-profile.json').map(({ file }) => file.replace('file:///cars/', ''));
}

describe('the other modules of a vehicle', () => {
  it('are those beside a dump, and those at hand, each once', async () => {
    const files = { '2041/b.cfgdump': OTHER, '2041/old/c.cfgdump': OTHER, 'd.cfgdump': OTHER.replace('../', '') };
    assert.deepEqual(await found(files), ['2041/b.cfgdump']);
    const all = ['2041/b.cfgdump', 'd.cfgdump', '2041/a.cfgdump'];
    assert.deepEqual(await found(files, all), ['2041/b.cfgdump', 'd.cfgdump']);
  });

  it('are of the same vehicle and the profile that is asked for', async () => {
    assert.deepEqual(await found({ '2041/b.cfgdump': OTHER.replace('788', '789') }), []);
    assert.deepEqual(await found({ '2041/b.cfgdump': OTHER.replace('q.dump', 'p.dump') }), []);
    assert.deepEqual(await found({ '2041/b.cfgdump': OTHER.replace('../q', '//cars/q') }), []);
    assert.deepEqual(await found({ '2041/b.cfgdump': `@seal sha256:00\n${OTHER}` }), []);
  });

  it('are those in work, where there are any', async () => {
    const files = { '2041/b.cfgdump': OTHER, '2041/c.cfgdump': `@backup b.cfgdump\n${OTHER}` };
    assert.deepEqual(await found(files), ['2041/c.cfgdump']);
  });

  it('are none that version control ignores or that cannot be read', async () => {
    assert.deepEqual(await found({ '2041/b.cfgdump': OTHER, '2041/.gitignore': 'b.*' }), []);
    assert.deepEqual(await found({ '2041/b.cfgdump': { fails: 'EACCES' } }), []);
  });
});

describe('a list that is kept', () => {
  it('is read again once a file is heard of that is not in it, also while it is being read', async () => {
    const answers: ((files: readonly string[]) => void)[] = [];
    const list = keptList(() => new Promise((resolve) => answers.push(resolve)), true);
    const first = list.get();
    assert.equal(list.get(), first);
    list.heardOf('b');
    const second = list.get();
    answers[1]?.(['a', 'b']);
    assert.deepEqual(await second, ['a', 'b']);
    answers[0]?.(['a']);
    assert.deepEqual(await first, ['a']);
    list.heardOf('b');
    assert.equal(list.get(), second);
    list.heardOf('c');
    void list.get();
    assert.equal(answers.length, 3);
  });

  it('is read each time where nobody tells of files, and again where it could not be read', async () => {
    let count = 0;
    const list = keptList(async () => [String(count++)], false);
    assert.deepEqual([await list.get(), await list.get()], [['0'], ['1']]);
    let works = false;
    const failing = keptList(async () => (works ? [] : Promise.reject(new Error('gone'))), true);
    await assert.rejects(failing.get());
    works = true;
    assert.deepEqual(await failing.get(), []);
  });
});
