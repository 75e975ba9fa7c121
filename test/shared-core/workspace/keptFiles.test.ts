// How large a file may be, what is read of it, and when what was read of it counts no longer.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { done, say } from '../../../shared-core/src/base/index.js';
import { rawBytesOf } from '../../../shared-core/src/workspace/binary.js';
import { PLAIN_VIEW } from '../../../shared-core/src/workspace/codedFiles.js';
import { createWorkspace, dumpOfText, type Host } from '../../../shared-core/src/workspace/index.js';
import { readGivenText, readNamedText } from '../../../shared-core/src/workspace/readFile.js';
import { forgetChanged } from '../../../shared-core/src/workspace/stamped.js';
import { createUriMap } from '../../../shared-core/src/workspace/uriMap.js';
import { fileOfBytes, fileOfRaw } from '../../../shared-core/src/workspace/wholeFile.js';
import { type MemoryFile, memoryHost, utf8 } from '../../support/memoryHost.js';

const at = (name: string) => `file:///car/${name}`;
const MB = 1024 * 1024;

describe('the text of a file', () => {
  const sized = (size: number): Host => {
    const host = memoryHost(new Map([[at('a'), 'text']]));
    return {
      ...host,
      open: async (uri) => {
        const opened = await host.open(uri);
        return opened.ok ? done({ ...opened.value, size }) : opened;
      },
    };
  };

  it('is read up to the size that editors take where a file names it, and up to that of one text where a person does', async () => {
    for (const [read, size, words] of [
      [readNamedText, 50 * MB, 'text'],
      [readNamedText, 50 * MB + 1, 'it is larger than 50 MB'],
      [readGivenText, 500 * MB, 'text'],
      [readGivenText, 500 * MB + 1, 'it is larger than 500 MB'],
    ] as const) {
      const found = await read(sized(size), at('a'));
      assert.equal(found.ok ? found.value : say(found.why), words);
    }
  });

  it('comes from a pipe only where a person names it', async () => {
    const host = memoryHost(new Map<string, MemoryFile>([[at('a'), { special: 'pipe' }]]));
    assert.equal((await readGivenText(host, at('a'))).ok, true);
    assert.equal((await readNamedText(host, at('a'))).ok, false);
  });
});

describe('the pieces of a file', () => {
  it('are all of its bytes, as often as they are asked for', () => {
    const bytes = Uint8Array.from({ length: 600_000 }, (_, i) => i % 253);
    const file = fileOfBytes(bytes, utf8);
    for (const _ of [1, 2]) assert.deepEqual(Buffer.concat([...file.chunks()]), Buffer.from(bytes));
    const raw = rawBytesOf(Uint8Array.of(1, 2), '@part A\n', PLAIN_VIEW);
    assert.ok(raw.ok);
    const { chunks, text, size } = fileOfRaw(raw.value, utf8);
    assert.equal(Buffer.concat([...chunks()]).toString(), text());
    assert.equal(size, text().length);
  });
});

describe('what was read of a file', () => {
  it('is forgotten where nobody can tell whether the file is as it was', async () => {
    const kept = createUriMap<{ readonly stamp: Promise<string | undefined>; readonly value: string }>();
    const stamps: Readonly<Record<string, readonly [string | undefined, string | undefined]>> = {
      same: ['1', '1'],
      other: ['1', '2'],
      unknown: [undefined, undefined],
      lost: ['1', undefined],
      found: [undefined, '1'],
    };
    for (const [name, [then]] of Object.entries(stamps))
      kept.set(at(name), { stamp: Promise.resolve(then), value: name });
    const stamp = async (uri: string) => stamps[uri.split('/').at(-1) ?? '']?.[1];
    await forgetChanged({ stamp }, kept, kept.delete);
    assert.deepEqual(
      [...kept.values()].map(({ value }) => value),
      ['same'],
    );
  });

  it('is not forgotten where it was read anew meanwhile', async () => {
    const kept = createUriMap<{ readonly stamp: Promise<string | undefined>; readonly value: string }>();
    kept.set(at('a'), { stamp: Promise.resolve('1'), value: 'old' });
    const stamp = async () => {
      kept.set(at('a'), { stamp: Promise.resolve('2'), value: 'new' });
      return '2';
    };
    await forgetChanged({ stamp }, kept, kept.delete);
    assert.equal(kept.get(at('a'))?.value, 'new');
  });
});

describe('a dump that is loaded again', () => {
  const LINES = JSON.stringify({ format: 1, lines: { from: 1, to: 1, data: 1, sum: 0 } });
  const dump = (byte: string, more = '') => `@profile p.dump-profile.json\n${more}1: ${byte}\n`;
  const world = (files: Readonly<Record<string, MemoryFile>> = {}, same: string[][] = []) => {
    const all = new Map<string, MemoryFile>(
      Object.entries({
        'p.dump-profile.json': LINES,
        'a.cfgdump': dump('00', '@backup old.cfgdump\n'),
        'old.cfgdump': dump('01'),
        ...files,
      }).map(([name, file]) => [at(name), file]),
    );
    const host = memoryHost(all, same);
    return { files: all, host, workspace: createWorkspace(host, { watched: true }) };
  };
  const backupOf = async (workspace: ReturnType<typeof createWorkspace>, file = 'a.cfgdump') => {
    const loaded = await workspace.load(at(file));
    if (!loaded.ok) return say(loaded.why);
    const { backup } = loaded.value;
    return backup.kind === 'read' ? backup.dump.rows.find(({ kind }) => kind === 'record')?.text.trim() : backup.kind;
  };

  it('has the backup that lies there now: of closed dumps none is kept, and it is used by none that is open', async () => {
    const { files, workspace } = world();
    assert.equal(await backupOf(workspace), '1: 01');
    files.set(at('old.cfgdump'), dump('02'));
    assert.equal(await backupOf(workspace), '1: 02');
    assert.equal(workspace.isUsed(at('old.cfgdump')), false);
    const open = dumpOfText('a.cfgdump', dump('00', '@backup old.cfgdump\n'));
    assert.ok((await workspace.load(at('a.cfgdump'), { open })).ok);
    assert.equal(workspace.isUsed(at('old.cfgdump')), true, 'of one that is open it is used');
  });

  it('is told from its backup by what the host knows: of two that it cannot tell apart neither is the other', async () => {
    const { host } = world();
    const workspace = createWorkspace({ ...host, identity: async () => undefined });
    assert.equal(await backupOf(workspace), '1: 01');
    const { host: own } = world({ 'a.cfgdump': dump('00', '@backup ./a.cfgdump\n') });
    assert.equal(await backupOf(createWorkspace({ ...own, identity: async () => undefined })), 'itself');
  });

  it('finds out that its backup leads to itself now, once it is told or looks again', async () => {
    for (const tell of ['forget', 'lookAgain', 'forgetAll'] as const) {
      const same: string[][] = [];
      const { workspace } = world({}, same);
      assert.equal(await backupOf(workspace), '1: 01');
      same.push([at('a.cfgdump'), at('old.cfgdump')]);
      await workspace[tell](at('old.cfgdump'));
      await workspace[tell](at('a.cfgdump'));
      assert.equal(await backupOf(workspace), 'itself', tell);
    }
  });

  it('that is compared with another one by its profile is kept until it is told of', async () => {
    const { files, host, workspace } = world();
    const read = await workspace.readProfile(at('p.dump-profile.json'));
    assert.ok(read.ok);
    const other = async () => {
      const found = await workspace.readDump(at('old.cfgdump'), read.value.profile);
      return found.ok ? found.value.rows[1]?.text.trim() : say(found.why);
    };
    assert.equal(await other(), '1: 01');
    assert.equal(workspace.isUsed(at('old.cfgdump')), true);
    host.opened.length = 0;
    assert.equal(await other(), '1: 01');
    assert.deepEqual(host.opened, [], 'it is read once');
    files.set(at('old.cfgdump'), dump('07'));
    workspace.forget(at('old.cfgdump.dump-headers'));
    assert.equal(await other(), '1: 07', 'with other headers beside it, it is another dump');
  });

  it('is read once for all who ask while dumps of one vehicle are looked at, until others are or a file is forgotten', async () => {
    const { files, host, workspace } = world({ 'b.cfgdump': dump('03', '@backup old.cfgdump\n') });
    const all = ['a.cfgdump', 'b.cfgdump', 'old.cfgdump'];
    const load = async () => [await backupOf(workspace), await backupOf(workspace, 'b.cfgdump')];
    const again: Readonly<Record<string, () => unknown>> = {
      lookAmong: () => workspace.lookAmong(all.map(at)),
      forget: () => workspace.forget(at('old.cfgdump')),
      lookAgain: workspace.lookAgain,
      forgetAll: workspace.forgetAll,
    };
    let byte = 1;
    for (const [name, look] of Object.entries(again)) {
      files.set(at('old.cfgdump'), dump(`0${++byte}`));
      await look();
      host.opened.length = 0;
      assert.deepEqual(await load(), [`1: 0${byte}`, `1: 0${byte}`], name);
      assert.ok((await workspace.load(at('old.cfgdump'))).ok);
      assert.deepEqual(host.opened.filter((uri) => uri.endsWith('.cfgdump')).sort(), all.map(at), name);
    }
    assert.equal(host.left(), 0);
  });

  it('is refused in the same words then, and is not of another size than else', async () => {
    const { host } = world({ 'a.cfgdump': { changing: dump('00') }, 'b.cfgdump': { fails: 'EACCES' } });
    const large: Host = {
      ...host,
      open: async (uri) => {
        const opened = await host.open(uri);
        return opened.ok && uri === at('old.cfgdump') ? done({ ...opened.value, size: 50 * MB + 1 }) : opened;
      },
    };
    const found = async (isAmong: boolean) => {
      const workspace = createWorkspace(large);
      if (isAmong) workspace.lookAmong([]);
      const profile = await workspace.readProfile(at('p.dump-profile.json'));
      assert.ok(profile.ok);
      const results = [
        ...(await Promise.all(['a', 'b', 'old', 'none'].map((name) => workspace.load(at(`${name}.cfgdump`))))),
        await workspace.readDump(at('old.cfgdump'), profile.value.profile),
      ];
      return results.map((result) => (result.ok ? 'read' : say(result.why)));
    };
    const alone = await found(false);
    assert.equal(alone.filter((one) => one === 'read').length, 1);
    assert.deepEqual(await found(true), alone);
  });

  it('takes in dumps that are at hand only now, once that is told', async () => {
    const needs = [{ profile: 'q.dump-profile.json', option: 'b', in: [0] }];
    const asking = JSON.stringify({
      ...JSON.parse(LINES),
      options: [{ id: 'a', title: 'A', line: 1, byte: 1, values: { 0: 'no' }, needs }],
    });
    const atHand: string[] = [];
    const files = new Map<string, MemoryFile>([
      [at('p.dump-profile.json'), asking],
      [at('q.dump-profile.json'), LINES],
      [at('a.cfgdump'), dump('00', '@vehicle one\n')],
      ['file:///far/b.bin', '@profile /car/q.dump-profile.json\n@vehicle one\n1: 05\n'],
    ]);
    for (const tell of ['forget', 'forgetLists', 'lookAgain', 'forgetAll'] as const) {
      atHand.length = 0;
      const workspace = createWorkspace(memoryHost(files), {
        watched: true,
        atHand: async () => ({ dumps: [...atHand], unlisted: [] }),
      });
      const seen = async () => {
        const loaded = await workspace.load(at('a.cfgdump'));
        return loaded.ok ? loaded.value.modules('q.dump-profile.json').length : say(loaded.why);
      };
      assert.equal(await seen(), 0);
      atHand.push('file:///far/b.bin');
      assert.equal(await seen(), 0, 'nobody has told of it');
      await workspace[tell]('file:///far/b.bin');
      assert.equal(await seen(), 1, tell);
    }
    // A profile that comes or goes is no dump.
    atHand.length = 0;
    let lists = 0;
    const workspace = createWorkspace(memoryHost(files), {
      watched: true,
      atHand: async () => {
        lists++;
        return { dumps: [], unlisted: [] };
      },
    });
    await workspace.load(at('a.cfgdump'));
    workspace.forget(at('new.dump-profile.json'));
    await workspace.load(at('a.cfgdump'));
    assert.equal(lists, 1);
  });

  it('looks for other modules in no folder while it was never saved', async () => {
    const needs = [{ profile: 'q.dump-profile.json', option: 'b', in: [0] }];
    const options = [{ id: 'a', title: 'A', line: 1, byte: 1, values: { 0: 'no' }, needs }];
    const files = new Map<string, MemoryFile>([
      ['untitled:Untitled-1', '@vehicle one\n1: 00\n'],
      [at('p.dump-profile.json'), JSON.stringify({ ...JSON.parse(LINES), options })],
      [at('q.dump-profile.json'), LINES],
    ]);
    const loaded = await createWorkspace(memoryHost(files)).load('untitled:Untitled-1', {
      profile: at('p.dump-profile.json'),
    });
    assert.ok(loaded.ok);
    assert.deepEqual(loaded.value.modules('q.dump-profile.json'), []);
  });
});

describe('a retrofit', () => {
  it('whose profiles do not know what it asks for is faulty, and the first of it is told', async () => {
    const text = (...options: readonly string[]) =>
      JSON.stringify({
        format: 1,
        title: 'R',
        changes: [{ profile: 'p.dump-profile.json', set: Object.fromEntries(options.map((one) => [one, 'yes'])) }],
      });
    const files = new Map<string, MemoryFile>([
      [at('p.dump-profile.json'), JSON.stringify({ format: 1, lines: { from: 1, to: 1, data: 1, sum: 0 } })],
      [at('r.retrofit.json'), text('one', 'two')],
    ]);
    const workspace = createWorkspace(memoryHost(files));
    assert.equal((await workspace.readRetrofit(at('r.retrofit.json'))).kind, 'sound');
    const read = await workspace.readFittingRetrofit(at('r.retrofit.json'));
    assert.match(read.kind === 'faulty' ? say(read.why) : read.kind, /r\.retrofit\.json has problems.*"one"/);
  });
});
