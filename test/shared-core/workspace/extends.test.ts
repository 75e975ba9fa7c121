// Which files a profile builds on, and that nothing is good or written where one of them is not to be had.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { whyNotWritable } from '../../../shared-core/src/model/index.js';
import { byModule, createWorkspace } from '../../../shared-core/src/workspace/index.js';
import { type MemoryFile, memoryHost } from '../../support/memoryHost.js';

const DUMP = 'file:///car/a.cfgdump';
const OWN = 'file:///car/p.dump-profile.json';
const BASE = 'file:///lib/b.dump-profile.json';
const base = (title: string, more: object = {}) =>
  JSON.stringify({ format: 1, title, lines: { from: 1, to: 1, data: 1, sum: 0 }, ...more });
const own = (path: unknown, more: object = {}) => JSON.stringify({ format: 1, extends: path, ...more });
const PATH = '../lib/b.dump-profile.json';

function workspaceOf(files: Readonly<Record<string, MemoryFile>>, same: readonly string[][] = []) {
  const all = new Map<string, MemoryFile>([[DUMP, '@profile p.dump-profile.json\n1: 00\n'], ...Object.entries(files)]);
  const workspace = createWorkspace(memoryHost(all, same));
  const load = async () => {
    const loaded = await workspace.load(DUMP);
    assert.ok(loaded.ok);
    return loaded.value;
  };
  const shown = async () => {
    const { profile, dump } = await load();
    const status = profile.kind === 'unreadable' ? (profile.isStale ? 'stale' : 'torn') : profile.kind;
    return `${dump.profile.title} ${status} ${whyNotWritable(dump) === undefined ? 'written' : 'kept'}`;
  };
  const problems = async () => {
    const reading = await workspace.readProfile(OWN);
    assert.ok(reading.ok);
    return reading.value.problems;
  };
  return { all, workspace, load, shown, problems };
}

/** The one problem of a profile that extends others by a path. */
async function problem(path: unknown, files: Readonly<Record<string, MemoryFile>>, same?: readonly string[][]) {
  const text = own(path);
  const { problems, shown } = workspaceOf({ [OWN]: text, ...files }, same);
  const [first, ...others] = await problems();
  assert.ok(first);
  assert.deepEqual(others, []);
  assert.equal(await shown(), 'undefined torn kept');
  return { words: say(first.message), at: text.slice(first.span.start, first.span.end) };
}

describe('the profiles that a profile extends', () => {
  it('are found by their paths', async () => {
    const { shown } = workspaceOf({ [OWN]: own(PATH), [BASE]: base('one') });
    assert.equal(await shown(), 'one read written');
  });

  it('are a problem at the path that leads to one that is missing, torn, no regular file, or of another form', async () => {
    assert.match((await problem(PATH, {})).words, /^The profile "\.\.\/lib\/b\.dump-profile\.json" cannot be read: /);
    assert.match(
      (await problem(PATH, { [BASE]: '{ "format": 1, ' })).words,
      /"b\.dump-profile\.json" cannot be extended: This is no JSON/,
    );
    assert.match((await problem(PATH, { [BASE]: { special: 'pipe' } })).words, /cannot be read/);
    assert.match((await problem('//host/share/b.json', {})).words, /another computer/);
    assert.match(
      (await problem(PATH, { [BASE]: base('a').replace('"format":1', '"format":2') })).words,
      /"format" is not 1/,
    );
    assert.match((await problem(PATH, { [BASE]: base('a').replace('"format":1,', '') })).words, /"format" is not 1/);
    assert.match((await problem(PATH, { [BASE]: own(5) })).words, /cannot be extended: A text in quotes/);
    const { at, words } = await problem([PATH, 'x.json'], { [BASE]: base('a') });
    assert.equal(at, '"x.json"');
    assert.match(words, /"x\.json" cannot be read/);
    const nested = await problem([PATH], { [BASE]: own('c.json') });
    assert.match(nested.words, /^b\.dump-profile\.json extends the profile "c\.json", which cannot be read/);
    assert.equal(nested.at, `"${PATH}"`);
  });

  it('are a problem where they lead in a circle, by any name', async () => {
    assert.match(
      (await problem('p.dump-profile.json', {})).words,
      /in a circle: p\.dump-profile\.json → p\.dump-profile\.json\./,
    );
    assert.match(
      (await problem(PATH, { [BASE]: own('../car/p.dump-profile.json') })).words,
      /in a circle: p\.dump-profile\.json → b\.dump-profile\.json → p\.dump-profile\.json\./,
    );
    const circle = { [BASE]: own('c.json'), 'file:///lib/c.json': own('b.dump-profile.json') };
    assert.match(
      (await problem(PATH, circle)).words,
      /circle: b\.dump-profile\.json → c\.json → b\.dump-profile\.json\./,
    );
    const link = 'file:///lib/link.json';
    assert.match(
      (await problem(PATH, { [BASE]: own('link.json'), [link]: own('x') }, [[OWN, link]])).words,
      /in a circle/,
    );
  });

  it('are a problem where they are too many', async () => {
    const chain = Object.fromEntries(
      Array.from({ length: 20 }, (_, i) => [`file:///car/${i}.json`, i === 19 ? base('end') : own(`${i + 1}.json`)]),
    );
    assert.match((await problem('0.json', chain)).words, /more than 16 others/);
    const { shown } = workspaceOf({ ...chain, [OWN]: own('4.json') });
    assert.equal(await shown(), 'end read written');
  });

  it('count once where several extend them', async () => {
    const { shown, load } = workspaceOf({
      [OWN]: own(['l.json', 'r.json']),
      'file:///car/l.json': own('b.json', { title: 'left' }),
      'file:///car/r.json': own('b.json', { module: 3 }),
      'file:///car/b.json': base('under', { module: 1 }),
    });
    assert.equal(await shown(), 'left read written');
    assert.equal((await load()).dump.profile.module, 3);
  });

  it('are found by a key that is written with escapes', async () => {
    const { shown } = workspaceOf({ [OWN]: own(PATH).replace('extends', 'ext\\u0065nds'), [BASE]: base('one') });
    assert.equal(await shown(), 'one read written');
  });

  it('tell what they say twice at its place there', async () => {
    const doubled = base('one').replace('"title"', '"module":1,"module":2,"title"');
    for (const [text, more] of [
      [doubled, {}],
      [doubled.replace('"title"', '"extends":"c.json","title"'), { 'file:///lib/c.json': base('under') }],
    ] as const) {
      const { problems } = workspaceOf({ [OWN]: own(PATH), [BASE]: text, ...more });
      const said = (await problems()).map(({ message, there }) => `${say(message)} ${there?.file}`);
      assert.deepEqual(said, [
        `b.dump-profile.json, line 1: "module" is given twice here: remove one of them. ${BASE}`,
      ]);
    }
  });

  it('are read anew where one of them changes, comes or goes, and the last good version is shown meanwhile', async () => {
    const { all, workspace, shown } = workspaceOf({ [OWN]: own(PATH), [BASE]: base('one') });
    const seen = [await shown()];
    for (const text of [base('two'), '{ "format": 1, ', undefined, base('three', { lockd: [] }), base('four')]) {
      if (text === undefined) all.delete(BASE);
      else all.set(BASE, text);
      workspace.forget(BASE);
      seen.push(await shown());
    }
    assert.deepEqual(seen, [
      'one read written',
      'two read written',
      'two stale kept',
      'two stale kept',
      'two stale kept',
      'four read written',
    ]);
    assert.equal(workspace.isUsed(BASE), true);
  });

  it('are looked at again before anything is proved', async () => {
    const { all, workspace, shown } = workspaceOf({ [OWN]: own(PATH), [BASE]: base('one') });
    await shown();
    all.set(BASE, base('two'));
    await workspace.lookAgain();
    assert.equal(await shown(), 'two read written');
  });

  it('name other files from where they are', async () => {
    const option = { id: 'fog', line: 1, byte: 1, values: { 0: 'no' } };
    const needs = [{ profile: 'other.dump-profile.json', option: 'x', in: [1] }];
    const { load } = workspaceOf({
      [OWN]: own(PATH),
      [BASE]: base('one', {
        options: [{ ...option, needs, excludes: [{ ...needs[0], option: 'y' }] }],
        samples: [{ dump: 'samples/a.cfgdump' }],
      }),
    });
    const { profile } = (await load()).dump;
    assert.equal(profile.options[0]?.excludes[0]?.profile, '../lib/other.dump-profile.json');
    assert.equal(profile.options[0]?.needs[0]?.profile, '../lib/other.dump-profile.json');
    assert.equal(profile.samples[0]?.dump, '../lib/samples/a.cfgdump');
    const beside = workspaceOf({
      [OWN]: own('b.dump-profile.json'),
      'file:///car/b.dump-profile.json': base('one', { samples: [{ dump: './samples/../a.cfgdump' }] }),
    });
    assert.equal((await beside.load()).dump.profile.samples[0]?.dump, './samples/../a.cfgdump', 'as it is written');
  });
});

describe('the module of a dump, where a retrofit names some', () => {
  it('is the named one that its profile is or builds on; of a profile that cannot be read, no other than itself', async () => {
    const at = (name: string) => `file:///lib/${name}.dump-profile.json`;
    const { workspace } = workspaceOf({
      [at('a')]: base('A'),
      [at('b')]: base('B'),
      [at('variant')]: own('b.dump-profile.json'),
      [at('other')]: base('other'),
      [at('torn')]: '{ "format": 1,',
    });
    const names = ['a', 'b', 'variant', 'other', 'torn', 'gone', 'variant'];
    const dumps = names.map((name) => ({ profileFile: at(name) }));
    assert.deepEqual(
      (await byModule(workspace, dumps, [at('a'), at('b')])).map(({ profileFile }) => profileFile),
      ['a', 'b', 'b', 'other', 'torn', 'gone', 'b'].map(at),
    );
  });
});
