// What was read is kept until somebody tells that it changed, or until one looks again; and what files are by their names.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { phrase, say } from '../../../shared-core/src/base/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { OUR_FILES } from '../../../shared-core/src/workspace/fileKind.js';
import {
  canonicalUri,
  cardName,
  createWorkspace,
  kindOf,
  reasonOf,
  relativePath,
} from '../../../shared-core/src/workspace/index.js';
import {
  evidenceProblems,
  profileProblems,
  retrofitProblems,
  unreadConditions,
} from '../../../shared-core/src/workspace/jsonProblems.js';
import { bothLists } from '../../../shared-core/src/workspace/listFiles.js';
import { isMissing, tooLarge } from '../../../shared-core/src/workspace/reasons.js';
import { isOfAnotherTime, isUnsaved, parentUri, pathParts } from '../../../shared-core/src/workspace/uri.js';
import type { WorkspaceSetup } from '../../../shared-core/src/workspace/workspace.js';
import { type MemoryFile, memoryHost } from '../../support/memoryHost.js';

const at = (name: string) => `file:///cars/2041/${name}`;
const VIN = '1M8GDM9AXKP042788';
const LINES = { format: 1, lines: { from: 1, to: 1, data: 1, sum: 0 } };
const NEEDS = [{ profile: 'q.dump-profile.json', option: 'b', in: [0] }];
const OPTION = { id: 'a', title: 'A', line: 1, byte: 1, values: { 0: 'no' } };
const profile = (title: string) => JSON.stringify({ ...LINES, title, options: [{ ...OPTION, needs: NEEDS }] });
const other = (byte: string, vin = VIN) => `@profile q.dump-profile.json\n@vin ${vin}\n1: ${byte}\n`;

function world(setup: WorkspaceSetup = { watched: true }) {
  const files = new Map<string, MemoryFile>([
    [at('a.cfgdump'), `@profile p.dump-profile.json\n@vin ${VIN}\n1: 00\n`],
    [at('p.dump-profile.json'), profile('old')],
    [at('q.dump-profile.json'), JSON.stringify(LINES)],
    [at('b.cfgdump'), other('01')],
  ]);
  const host = memoryHost(files);
  const workspace = createWorkspace(host, setup);
  /** The title of the profile, and of each other module its name and its byte. */
  const seen = async () => {
    const loaded = await workspace.load(at('a.cfgdump'));
    assert.ok(loaded.ok);
    const { dump, modules } = loaded.value;
    const found = modules('q.dump-profile.json').map((one) =>
      one.dump === undefined ? say(one.why) : `${one.name} ${one.dump.rows[2]?.text.trim()}`,
    );
    return [dump.profile.title, ...found].join(', ');
  };
  return { files, host, workspace, seen };
}

const OLD = 'old, b.cfgdump 1: 01';
const CHANGES: readonly (readonly [name: string, file: MemoryFile | undefined, now: string])[] = [
  ['p.dump-profile.json', profile('new'), 'new, b.cfgdump 1: 01'],
  ['b.cfgdump', other('02'), 'old, b.cfgdump 1: 02'],
  ['b.cfgdump', other('01', 'OTHER'), 'old'],
  ['b.cfgdump', undefined, 'old, b.cfgdump cannot be read: no such file'],
];

describe('what was read', () => {
  for (const [name, file, now] of CHANGES) {
    const change = async (made: ReturnType<typeof world>) => {
      assert.equal(await made.seen(), OLD);
      if (file === undefined) made.files.delete(at(name));
      else made.files.set(at(name), file);
    };

    it(`is kept until it is told that ${name} is another one (${now})`, async () => {
      for (const tell of ['forget', 'forgetAll', 'lookAgain'] as const) {
        const made = world();
        await change(made);
        assert.equal(await made.seen(), OLD, 'nobody has told of it');
        await made.workspace[tell](at(name));
        const isGone = file === undefined && tell !== 'forget';
        assert.equal(await made.seen(), isGone ? 'old' : now, tell);
      }
    });

    it(`is looked at again with each question where nobody tells of changes (${now})`, async () => {
      const made = world({ watched: true, looksAgain: true });
      await change(made);
      assert.equal(await made.seen(), file === undefined ? 'old' : now);
    });
  }

  it('is read once, and only what changed is read again', async () => {
    const { host, workspace, seen, files } = world();
    await seen();
    const reads = async () => {
      host.opened.length = 0;
      await seen();
      return host.opened.map((uri) => uri.split('/').at(-1)).sort();
    };
    assert.deepEqual(await reads(), ['a.cfgdump']);
    await workspace.lookAgain();
    assert.deepEqual(await reads(), ['a.cfgdump']);
    files.set(at('b.cfgdump'), other('03'));
    await workspace.lookAgain();
    assert.deepEqual([...new Set(await reads())], ['a.cfgdump', 'b.cfgdump']);
    workspace.forget(at('p.dump-profile.json'));
    assert.deepEqual(await reads(), ['a.cfgdump', 'p.dump-profile.json']);
    workspace.forgetAll();
    assert.deepEqual(
      [...new Set(await reads())],
      ['a.cfgdump', 'b.cfgdump', 'p.dump-profile.json', 'q.dump-profile.json'],
    );
  });

  it('takes in a file that is new once it is told of, or looked for', async () => {
    for (const tell of ['forget', 'forgetAll', 'lookAgain', 'forgetLists'] as const) {
      const { files, workspace, seen } = world();
      await seen();
      files.set(at('c.cfgdump'), other('05'));
      assert.equal(await seen(), OLD);
      await workspace[tell](at('c.cfgdump'));
      assert.equal(await seen(), `${OLD}, c.cfgdump 1: 05`, tell);
    }
    const { files, seen } = world({});
    await seen();
    files.set(at('c.cfgdump'), other('05'));
    assert.equal(await seen(), `${OLD}, c.cfgdump 1: 05`, 'where nobody watches');
  });

  it('is known to have been read for another one, in any form of its address', async () => {
    const { workspace, seen } = world();
    await seen();
    const used = ['a.cfgdump', 'b.cfgdump', 'p.dump-profile.json', 'q.dump-profile.json'].map((name) =>
      workspace.isUsed(at(name).replace('2041', '%32041')),
    );
    assert.deepEqual(used, [false, true, true, true]);
  });
});

describe('a file by its name', () => {
  it('is a dump, a profile, a retrofit or a card, or none of ours', () => {
    const kinds = ['a.cfgdump', 'a.hex', 'p.dump-profile.json', 'r.retrofit.json', 'x.job-card.md', 'x.job-card.html'];
    assert.deepEqual(kinds.map(kindOf), ['dumps', 'dumps', 'profiles', 'retrofits', 'cards', 'cards']);
    for (const name of ['a.json', 'retrofit.json', 'a.md', 'a.html', 'a.cfgdump.bak', ''])
      assert.equal(kindOf(name), undefined, name);
    const endings = /\{(.*)\}/.exec(OUR_FILES)?.[1]?.split(',') ?? [];
    for (const name of kinds)
      assert.ok(
        endings.some((ending) => name.endsWith(`.${ending}`)),
        name,
      );
  });

  it('is a card of a vehicle and a day, of no more signs than a disk takes', () => {
    assert.equal(cardName('', '2026-03-02T10:05:00Z'), 'vehicle.2026-03-02-10-05-UTC.job-card.md');
    assert.equal(cardName('-a--b-', '2026-03-02T10:05:00Z'), 'a-b.2026-03-02-10-05-UTC.job-card.md');
    assert.equal(cardName('x'.repeat(99), '2026-03-02'), `${'x'.repeat(60)}.2026-03-02.job-card.md`);
    assert.equal(cardName('u\u0308', '2026-03-02'), 'ü.2026-03-02.job-card.md');
  });
});

describe('an address', () => {
  it('is of a document that was never saved, or of a file as it was at another time', () => {
    assert.deepEqual(['untitled:a', 'file:///untitled:', 'x:untitled:'].map(isUnsaved), [true, false, false]);
    assert.deepEqual(['git:/a?x', 'git:/a', 'file:///a?stdin', 'x:/file:?y'].map(isOfAnotherTime), [
      true,
      false,
      false,
      true,
    ]);
  });

  it('leads to another one by a path where both are in one file system', () => {
    for (const [from, to, path] of [
      ['file:///a/b', 'file:///a/c', 'c'],
      ['file:///a/b', 'file:///c', '../c'],
      ['file:///a', 'file:///a/b', 'a/b'],
      ['file:///a/b/c', 'file:///a/b', '../b'],
      ['file:///a/b/c', 'file:///d/b/e', '../../d/b/e'],
      ['file:///a/x', 'file:///a/x', 'x'],
      ['file:///a/x/y', 'file:///a/x/y/z', 'y/z'],
      ['x:///a', 'file:///a', undefined],
      ['file://h/a', 'file:///a', undefined],
    ] as const)
      assert.equal(relativePath(from, to), path, `${from} ${to}`);
  });

  it('has parts and a folder', () => {
    assert.deepEqual(pathParts('file:///a//b/c%20d/'), ['a', 'b', 'c d']);
    assert.equal(parentUri('file:///a'), 'file:///');
    assert.equal(parentUri('untitled:a'), canonicalUri('untitled:/'));
  });
});

describe('why a file cannot be read', () => {
  it('is said by what systems and editors call it, and by its code where nobody knows that', () => {
    for (const [words, ...codes] of [
      ['no such file', 'ENOENT', 'ENOTDIR', 'FileNotFound', 'EntryNotFound'],
      ['not allowed', 'EACCES', 'EPERM', 'NoPermissions'],
      ['it is a folder', 'EISDIR', 'FileIsADirectory'],
      ['it is no folder', 'FileNotADirectory'],
      ['its links lead in a circle', 'ELOOP'],
      ['its name is too long', 'ENAMETOOLONG'],
      ['too many files are open', 'EMFILE', 'ENFILE'],
      ['no space is left', 'ENOSPC', 'EDQUOT'],
      ['the disk reports an error', 'EIO'],
      ['it is in use', 'EBUSY', 'ETXTBSY'],
      ['read-only disk', 'EROFS'],
      ['EODD', 'EODD'],
    ] as const)
      for (const code of codes) {
        assert.equal(say(reasonOf(code)), words);
        assert.equal(isMissing(reasonOf(code)), words === 'no such file');
      }
    assert.equal(say(tooLarge(50 * 1024 * 1024)), 'it is larger than 50 MB');
  });
});

describe('two lists of files', () => {
  it('are one, in order and each file once', () => {
    const list = (...names: readonly string[]) => ({
      dumps: names,
      profiles: names.map((name) => `${name}p`),
      retrofits: names.map((name) => `${name}r`),
      cards: names.map((name) => `${name}c`),
      unlisted: names.map((name) => phrase('{0}', name)),
    });
    const { unlisted, ...files } = bothLists(list('b', 'c'), list('a', 'b'));
    assert.deepEqual(files, {
      dumps: ['a', 'b', 'c'],
      profiles: ['ap', 'bp', 'cp'],
      retrofits: ['ar', 'br', 'cr'],
      cards: ['ac', 'bc', 'cc'],
    });
    assert.deepEqual(
      unlisted.map((said) => say(said)),
      ['b', 'c', 'a', 'b'],
    );
  });
});

describe('what is wrong with a profile or a retrofit', () => {
  const problems = async (text: string, files: Readonly<Record<string, string>>) => {
    const host = memoryHost(
      new Map(Object.entries({ 'p.dump-profile.json': text, ...files }).map(([name, file]) => [at(name), file])),
    );
    const workspace = createWorkspace(host);
    const read = await workspace.readProfile(at('p.dump-profile.json'));
    assert.ok(read.ok);
    return (await profileProblems(at('p.dump-profile.json'), read.value, workspace.readProfile)).map(({ message }) =>
      say(message),
    );
  };

  it('is what it says itself, and what it asks of the profiles of other modules, once these are sound', async () => {
    const q = (more: object) => ({ 'q.dump-profile.json': JSON.stringify({ ...LINES, ...more }) });
    const option = { options: [{ ...OPTION, id: 'b' }] };
    assert.deepEqual(await problems(profile('x'), q(option)), []);
    const unknown = await problems(profile('x'), q({}));
    assert.equal(unknown.length, 1);
    assert.match(unknown.join(), /"b"/);
    assert.deepEqual(
      await problems(profile('x'), q({ lockd: [] })),
      [],
      'half a profile may lack what is written down',
    );
    assert.deepEqual(await problems(profile('x'), {}), []);
    const both = await problems(profile('x').replace('"title"', '"titel"'), q({}));
    assert.equal(both.length, 2);
    assert.match(both.join(), /titel/);
  });

  it('is of a retrofit what it says itself and what the profiles that it names do not know', async () => {
    const of = async (text: string) => {
      const host = memoryHost(
        new Map([
          [at('p.dump-profile.json'), profile('x')],
          [at('q.dump-profile.json'), JSON.stringify(LINES)],
        ]),
      );
      const { readProfile } = createWorkspace(host);
      return (await retrofitProblems(at('r.retrofit.json'), text, readProfile)).map(
        ({ code, message }) => `${code} ${say(message)}`,
      );
    };
    const text = (set: object, more: object = {}) =>
      JSON.stringify({ format: 1, ...more, changes: [{ profile: 'p.dump-profile.json', set }] });
    assert.deepEqual(await of(text({ a: 'no' })), []);
    assert.match((await of(text({ b: 'no' }))).join(), /^retrofit-invalid .*"b"/);
    assert.equal((await of(text({ b: 'no' }, { titel: 'x' }))).length, 2);
    assert.equal((await of('{')).length, 1);
  });

  it('is how sure an option is said to be against what it was seen on, with both', () => {
    const said = (confidence: string, more: object = {}) => {
      const seen = [{ part: 'A-1', date: '2026-01-02', how: 'found-by-search' }];
      const { profile: own } = readProfile(
        JSON.stringify({ ...LINES, options: [{ ...OPTION, confidence, seen, ...more }] }),
      );
      return evidenceProblems(own).map(({ message }) => say(message));
    };
    const [confirmed, ...others] = said('confirmed');
    assert.deepEqual(others, []);
    assert.match(
      confirmed ?? '',
      /^[^:]+: "confidence" says "confirmed", and what "seen" lists makes it "guess"\. Leave "confidence" out, or say in "evidence" why\.$/,
    );
    assert.deepEqual(said('guess'), []);
  });

  it('is a condition on a profile that cannot be read, with its path and the reason, where all of a library is proved', async () => {
    const unread = async (files: Readonly<Record<string, string>>) => {
      const host = memoryHost(
        new Map(
          Object.entries({ 'p.dump-profile.json': profile('x'), ...files }).map(([name, text]) => [at(name), text]),
        ),
      );
      const { readProfile: read } = createWorkspace(host);
      const reading = await read(at('p.dump-profile.json'));
      assert.ok(reading.ok);
      return (await unreadConditions(at('p.dump-profile.json'), reading.value, read)).map(({ message }) =>
        say(message),
      );
    };
    const [none, ...others] = await unread({});
    assert.deepEqual(others, []);
    assert.match(
      none ?? '',
      /^The profile "q\.dump-profile\.json" cannot be read: .+\. Correct its path, or put it there\.$/,
    );
    assert.deepEqual(await unread({ 'q.dump-profile.json': JSON.stringify(LINES) }), []);
  });
});
