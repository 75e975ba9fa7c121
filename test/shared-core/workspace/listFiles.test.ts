import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { done, refuse, say } from '../../../shared-core/src/base/index.js';
import { type Host, listFiles, reasonOf } from '../../../shared-core/src/workspace/index.js';
import { type MemoryFile, memoryHost } from '../../support/memoryHost.js';

const hostOf = (files: Readonly<Record<string, MemoryFile>>) =>
  memoryHost(new Map(Object.entries(files).map(([name, file]) => [`file:///top/${name}`, file])));

/** The dumps that are found in a folder, without its address. */
async function dumps(files: Readonly<Record<string, MemoryFile>>, folder = 'w'): Promise<readonly string[]> {
  const list = await listFiles(hostOf(files), [`file:///top/${folder}`]);
  return list.dumps.map((uri) => uri.replace(`file:///top/${folder}/`, ''));
}

describe('the walk through folders', () => {
  it('finds files of ours by what they are, in rising order, at any depth', async () => {
    const files = ['b.cfgdump', 'a/c.S19', 'p.dump-profile.json', 'r.retrofit.json', 'j.job-card.md', 'notes.txt'];
    const list = await listFiles(hostOf(Object.fromEntries(files.map((name) => [`w/${name}`, '']))), [
      'file:///top/w/',
    ]);
    const at = (name: string) => `file:///top/w/${name}`;
    assert.deepEqual(list, {
      dumps: [at('a/c.S19'), at('b.cfgdump')],
      profiles: [at('p.dump-profile.json')],
      retrofits: [at('r.retrofit.json')],
      cards: [at('j.job-card.md')],
      unlisted: [],
    });
  });

  it('lists what has the name of a dump and cannot be read, such as a pipe or a link that leads nowhere', async () => {
    const files: Readonly<Record<string, MemoryFile>> = {
      'w/a.cfgdump': '',
      'w/lost.cfgdump': { special: 'device' },
      'w/pipe.hex': { special: 'pipe' },
      'w/notes.txt': { special: 'pipe' },
    };
    assert.deepEqual(await dumps(files), ['a.cfgdump', 'lost.cfgdump', 'pipe.hex']);
  });

  it('lists no link to a file or a folder, whoever knows where it leads', async () => {
    const files = { 'w/a.cfgdump': '', 'w/link.cfgdump': '', 'w/folder.cfgdump/notes.txt': '' };
    for (const knows of [true, false]) {
      const host = hostOf(files);
      const list = await listFiles(
        {
          ...host,
          kindAt: knows ? host.kindAt : async () => refuse(reasonOf('ENOENT')),
          list: async (folder) => {
            const listed = await host.list(folder);
            const isLink = (name: string) => name.startsWith('link') || (knows && name.startsWith('folder'));
            return listed.ok
              ? done(listed.value.map((one) => (isLink(one.name) ? { ...one, type: 'other' as const } : one)))
              : listed;
          },
        },
        ['file:///top/w'],
      );
      assert.deepEqual(list.dumps, ['file:///top/w/a.cfgdump']);
    }
  });

  it('leaves out dot folders and node_modules, but not where one of them is named', async () => {
    const files = { 'w/.git/a.cfgdump': '', 'w/.x/a.cfgdump': '', 'w/node_modules/a.cfgdump': '', 'w/a.cfgdump': '' };
    assert.deepEqual(await dumps(files), ['a.cfgdump']);
    assert.deepEqual(await dumps(files, 'w/.x'), ['a.cfgdump']);
  });

  it('takes raw bytes with their headers beside them for a dump, where they can be read', async () => {
    const host = hostOf({
      'w/b.bin': '',
      'w/b.bin.dump-headers': '',
      'w/c.bin': '',
      'w/x/B': '',
      'w/x/B.dump-headers': '',
    });
    const found = async (readsRawBytes?: true) =>
      (await listFiles({ ...host, ...(readsRawBytes && { readsRawBytes }) }, ['file:///top/w'])).dumps;
    assert.deepEqual(await found(true), ['file:///top/w/b.bin', 'file:///top/w/x/B']);
    assert.deepEqual(await found(), []);
  });

  it('takes a text of any name for a dump where its backup lies beside it', async () => {
    const files = {
      'w/body.txt': '',
      'w/body.txt.backup.cfgdump': '',
      'w/door.csv': '',
      'w/door.csv.backup-2.cfgdump': '',
      'w/x/body.txt': '',
      // The backup of another file, which is there.
      'w/v1.2': '',
      'w/v1.2.cfgdump': '',
      'w/v1.2.backup.cfgdump': '',
      'w/notes.txt': '',
      'w/notes.backup.cfgdump': '',
    };
    assert.deepEqual(await dumps(files), [
      'body.txt',
      'body.txt.backup.cfgdump',
      'door.csv',
      'door.csv.backup-2.cfgdump',
      'notes.backup.cfgdump',
      'v1.2.backup.cfgdump',
      'v1.2.cfgdump',
    ]);
  });

  it('stays in a folder where it is not to go deeper', async () => {
    const host = hostOf({ 'w/a.cfgdump': '', 'w/x/b.cfgdump': '' });
    const { dumps } = await listFiles(host, ['file:///top/w'], { deep: false });
    assert.deepEqual(dumps, ['file:///top/w/a.cfgdump']);
  });

  it('leaves no file open', async () => {
    const host = hostOf({ 'w/a.cfgdump': '', 'w/.gitignore': 'x', 'w/link.cfgdump': '' });
    const list: Host['list'] = async (folder) => {
      const listed = await host.list(folder);
      return listed.ok
        ? done(listed.value.map((one) => (one.name.startsWith('link') ? { ...one, type: 'other' as const } : one)))
        : listed;
    };
    await listFiles({ ...host, list, kindAt: async () => refuse(reasonOf('ENOENT')) }, ['file:///top/w']);
    assert.equal(host.left(), 0);
  });

  it('says what could not be listed', async () => {
    const { unlisted } = await listFiles(hostOf({ 'w/a.cfgdump': '' }), ['file:///top/gone']);
    assert.deepEqual(
      unlisted.map((why) => say(why)),
      ['gone cannot be listed: no such file'],
    );
  });

  it('says where there are more files than it lists, those nearest to the top being listed', async () => {
    const files = Object.fromEntries(Array.from({ length: 9 }, (_, i) => [`w/${'d/'.repeat(i)}a.cfgdump`, '']));
    const list = await listFiles(hostOf(files), ['file:///top/w'], { most: 5 });
    assert.equal(list.unlisted.length, 1);
    assert.deepEqual((await listFiles(hostOf(files), ['file:///top/w'], { most: 9 })).unlisted, []);
    assert.ok(list.dumps.includes('file:///top/w/a.cfgdump'));
    assert.ok(list.dumps.length <= 5);
  });
});

describe('a walk through more folders than anybody keeps dumps in', () => {
  it('goes no further, and says so', async () => {
    let lists = 0;
    const hostWith = (folders: number): Host => ({
      ...hostOf({}),
      list: async () =>
        done(lists++ > 0 ? [] : Array.from({ length: folders }, (_, i) => ({ name: `${i}`, type: 'folder' as const }))),
    });
    for (const [folders, listed, unlisted] of [
      [19_999, 20_000, 0],
      [20_000, 1, 1],
    ] as const) {
      lists = 0;
      const found = await listFiles(hostWith(folders), ['file:///top/w']);
      assert.deepEqual([found.unlisted.length, lists], [unlisted, listed]);
    }
  });
});

describe('what version control ignores', () => {
  const below = [
    'a.cfgdump',
    'old/a.cfgdump',
    'old/deep/b.cfgdump',
    'x/old/c.cfgdump',
    'x/a.bak.cfgdump',
    'x/y/z/d.cfgdump',
  ];
  const CASES: readonly (readonly [ignore: string, left: readonly string[]])[] = [
    ['old/', ['a.cfgdump', 'x/a.bak.cfgdump', 'x/y/z/d.cfgdump']],
    ['/old', ['a.cfgdump', 'x/a.bak.cfgdump', 'x/old/c.cfgdump', 'x/y/z/d.cfgdump']],
    ['*.bak.cfgdump', below.filter((path) => !path.includes('bak'))],
    ['a.cfgdump/', below],
    ['x/*/z', below.filter((path) => !path.includes('z/'))],
    ['x/*', below.filter((path) => !path.startsWith('x/'))],
    ['**/deep', below.filter((path) => !path.includes('deep'))],
    ['x/**/d.cfgdump', below.filter((path) => !path.includes('d.cfgdump') || path.includes('/d/'))],
    ['x/**', below.filter((path) => !path.startsWith('x/'))],
    ['?.cfgdump', ['x/a.bak.cfgdump']],
    ['*.cfgdump\n!a.cfgdump', ['a.cfgdump', 'old/a.cfgdump']],
    ['# old\n\n  \nold/deep', below.filter((path) => !path.includes('deep'))],
    ['[ao]*', below],
    ['*a*a*a*a*a*a*a*a*a*b', below],
    ['x/old  \n', below.filter((path) => !path.startsWith('x/old'))],
    ['old/deep', below.filter((path) => path !== 'old/deep/b.cfgdump')],
    ['old/c.cfgdump', below],
    ['/y', below],
    ['y/z', below],
    ['a.cfgdump*', below.filter((path) => !path.endsWith('/a.cfgdump') && path !== 'a.cfgdump')],
    ['x/y/**/**', below.filter((path) => !path.startsWith('x/y'))],
    ['/', below],
    ['!', below],
    ['!\n/\n//', below],
  ];

  it('is left out', async () => {
    for (const [ignore, left] of CASES) {
      const files = Object.fromEntries(below.map((path) => [`w/${path}`, '']));
      const shown = await dumps({ ...files, 'w/.gitignore': ignore });
      assert.deepEqual(shown, [...left].sort(), ignore);
    }
  });

  it('is nothing by a comment, nor by a pattern that is not understood, whatever files are called', async () => {
    const files = { 'w/#a.cfgdump': '', 'w/[a].cfgdump': '', 'w/a.cfgdump': '' };
    for (const ignore of ['#a.cfgdump', '[a].cfgdump', '# *\n[#a]*'])
      assert.equal((await dumps({ ...files, 'w/.gitignore': ignore })).length, 3, ignore);
  });

  it('is what can be relied on: rules that change while they are read, or are too many, ignore nothing', async () => {
    const files = { 'w/a.cfgdump': '', 'w/.gitignore': { changing: '*' } };
    assert.deepEqual(await dumps(files), ['a.cfgdump']);
    const host = hostOf({ 'w/a.cfgdump': '', 'w/.gitignore': '*' });
    const sized = (size: number): Host => ({
      ...host,
      open: async (uri) => {
        const opened = await host.open(uri);
        return opened.ok ? done({ ...opened.value, size }) : opened;
      },
    });
    for (const [size, left] of [
      [50 * 1024 * 1024, 0],
      [50 * 1024 * 1024 + 1, 1],
    ] as const)
      assert.equal((await listFiles(sized(size), ['file:///top/w'])).dumps.length, left);
  });

  it('is said by every folder for what is below it, the nearest last', async () => {
    const files = { 'w/.gitignore': 'a.cfgdump', 'w/x/.gitignore': '!a.cfgdump\n/b.cfgdump' };
    const all = { ...files, 'w/a.cfgdump': '', 'w/x/a.cfgdump': '', 'w/x/b.cfgdump': '', 'w/x/y/b.cfgdump': '' };
    assert.deepEqual(await dumps(all), ['x/a.cfgdump', 'x/y/b.cfgdump']);
  });

  it('is said by folders above up to the repository', async () => {
    const files = { '.git/HEAD': '', '.gitignore': '/w/x', 'w/.gitignore': 'b.cfgdump', 'w/x/y/a.cfgdump': '' };
    const all = { ...files, 'w/a.cfgdump': '', 'w/x/b.cfgdump': '', 'w/x/a.cfgdump': '' };
    assert.deepEqual(await dumps(all), ['a.cfgdump']);
    assert.deepEqual(await dumps(all, 'w/x'), ['a.cfgdump', 'y/a.cfgdump']);
    const { '.git/HEAD': _, ...loose } = all;
    assert.deepEqual(await dumps(loose, 'w/x'), ['a.cfgdump', 'b.cfgdump', 'y/a.cfgdump']);
  });

  it('is told to who asks for it: each file of ours, in folders that are ignored as well', async () => {
    const names = ['a.cfgdump', 'b.cfgdump', 'p.dump-profile.json', 'notes.txt', 'old/c.cfgdump', 'old/deep/d.hex'];
    const files = { ...Object.fromEntries(names.map((name) => [`w/${name}`, ''])), 'w/old/.gitignore': '!c.cfgdump' };
    const host = hostOf({ ...files, 'w/.gitignore': 'b.*\np.*\nnotes.*\nold/\n' });
    const told: string[] = [];
    const onLeftOut = (uri: string, kind: string, why: string) =>
      told.push(`${uri.replace('file:///top/w/', '')} ${kind} ${why}`);
    const list = await listFiles(host, ['file:///top/w'], { onLeftOut });
    assert.deepEqual([list.dumps, list.profiles, list.unlisted], [['file:///top/w/a.cfgdump'], [], []]);
    assert.deepEqual(told.sort(), [
      'b.cfgdump dumps ignored',
      'old/c.cfgdump dumps ignored',
      'old/deep/d.hex dumps ignored',
      'p.dump-profile.json profiles ignored',
    ]);
  });

  it('keeps no list from being whole: an ignored folder that cannot be looked through', async () => {
    const host = hostOf({ 'w/a.cfgdump': '', 'w/old/b.cfgdump': '', 'w/.gitignore': 'old' });
    const list = await listFiles(
      { ...host, list: async (uri) => (uri.endsWith('/old') ? refuse(reasonOf('EACCES')) : host.list(uri)) },
      ['file:///top/w'],
      { onLeftOut: () => {} },
    );
    assert.deepEqual([list.dumps, list.unlisted], [['file:///top/w/a.cfgdump'], []]);
  });
});
