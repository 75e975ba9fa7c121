// Which dumps of other modules look at a dump: those are asked before an option is set.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { done, say } from '../../../shared-core/src/base/index.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { createWorkspace, type Host } from '../../../shared-core/src/workspace/index.js';
import { type MemoryFile, memoryHost } from '../../support/memoryHost.js';

const at = (name: string) => `file:///cars/2041/${name}`;
const lines = (options: readonly object[] = []) =>
  JSON.stringify({ format: 1, lines: { from: 1, to: 1, data: 1, sum: 0 }, options });
/** An option that needs others of these modules. */
const needing = (...profiles: readonly string[]) => ({
  id: 'a',
  title: 'A',
  line: 1,
  byte: 1,
  values: { 0: 'no' },
  needs: profiles.map((profile) => ({ profile: `${profile}.dump-profile.json`, option: 'a', in: [0] })),
});
const dump = (profile: string, more = '', vin = '0DEM0T4X5TA020418') =>
  `@profile ${profile}.dump-profile.json\n@vin ${vin}\n${more}1: 00\n`;
const OWN = { 'p.dump-profile.json': lines([needing('p')]), 'a.cfgdump': dump('p') };
const OTHER = { 'q.dump-profile.json': lines([needing('x', 'p')]) };

async function dependents(files: Readonly<Record<string, MemoryFile>>, own = at('a.cfgdump')) {
  const all = Object.entries({ ...OWN, ...OTHER, ...files }).map(([name, file]) => [at(name), file] as const);
  const workspace = createWorkspace(memoryHost(new Map<string, MemoryFile>(all)));
  const loaded = await workspace.load(own, { dependents: true });
  assert.ok(loaded.ok, loaded.ok ? '' : say(loaded.why));
  const found = loaded.value.dependents ?? [];
  const later = await workspace.dependentsOf(loaded.value);
  assert.deepEqual(later.map(recordOf), found.map(recordOf), 'asked later it is the same');
  return { loaded: loaded.value, found };
}

function recordOf({ dump }: { readonly dump: Dump }): string {
  return dump.rows.find(({ kind }) => kind === 'record')?.text.trim() ?? '';
}

/** The bytes of the dumps that look at a dump. */
async function seen(files: Readonly<Record<string, MemoryFile>>): Promise<readonly string[]> {
  return (await dependents(files)).found.map(recordOf);
}

const b = (byte: string, more = '', profile = 'q') => dump(profile, more).replace('1: 00', `1: ${byte}`);

describe('the dumps that look at a module', () => {
  it('are also those that say that they are of another module, each by itself', async () => {
    const apart = b('01', '@use another-module\n@backup x.cfgdump\n');
    const read = b('02', '@taken 2026-03-02T09:14:00Z\n');
    assert.deepEqual(await seen({ 'b.cfgdump': apart, 'c.cfgdump': read }), ['1: 01', '1: 02']);
  });

  it('are those whose profiles name one that its profile extends', async () => {
    const variant = { 'p.dump-profile.json': '{ "format": 1, "extends": "base.dump-profile.json" }' };
    const base = { 'base.dump-profile.json': lines([needing('p')]) };
    const names = { 'b.cfgdump': b('01'), 'q.dump-profile.json': lines([needing('base')]) };
    assert.deepEqual(await seen({ ...variant, ...base, ...names }), ['1: 01']);
    assert.deepEqual(await seen({ ...base, ...names }), []);
  });

  it('know what they need of a dump whose profile extends the one that they name', async () => {
    const { loaded } = await dependents({
      'p.dump-profile.json': lines([needing('base')]),
      'base.dump-profile.json': lines([{ id: 'a', title: 'A', line: 1, byte: 1, values: { 0: 'no' } }]),
      'v.dump-profile.json': '{ "format": 1, "extends": "base.dump-profile.json" }',
      'b.cfgdump': b('03', '', 'v'),
    });
    const modules = loaded.modules('base.dump-profile.json');
    assert.deepEqual(
      modules.map((one) => one.dump && recordOf(one as { readonly dump: Dump })),
      ['1: 03'],
    );
    assert.equal(modules[0]?.dump?.profile.options.length, 1);
  });

  it('are those of other modules whose profiles name its profile in a condition, whatever else they name', async () => {
    assert.deepEqual(await seen({ 'b.cfgdump': b('01') }), ['1: 01']);
    assert.deepEqual(await seen({ 'b.cfgdump': b('01'), 'q.dump-profile.json': lines([needing('x')]) }), []);
    assert.deepEqual(await seen({ 'b.cfgdump': b('01'), 'q.dump-profile.json': lines() }), []);
    assert.deepEqual(await seen({ 'b.cfgdump': b('01'), 'q.dump-profile.json': { fails: 'EACCES' } }), []);
    assert.deepEqual(await seen({ 'b.cfgdump': '1: 01\n' }), []);
    assert.deepEqual(await seen({}), [], 'a dump does not look at itself');
  });

  it('are of the same vehicle, in work as it is', async () => {
    assert.deepEqual(await seen({ 'b.cfgdump': dump('q', '', 'OTHER') }), []);
    assert.deepEqual(await seen({ 'b.cfgdump': b('01', '@seal sha256:00\n') }), []);
    assert.deepEqual(await seen({ 'b.cfgdump': dump('q', '@seal sha256:00\n', 'OTHER') }), []);
    const sealed = { 'a.cfgdump': dump('p', '@seal sha256:00\n'), 'b.cfgdump': b('01', '@seal sha256:00\n') };
    assert.deepEqual(await seen(sealed), ['1: 01']);
  });

  it('are of each module those in work, where there are any', async () => {
    const r = { 'r.dump-profile.json': lines([needing('p')]) };
    const files = {
      ...r,
      'b.cfgdump': b('01', '@backup old.cfgdump\n'),
      'c.cfgdump': b('02', '@taken 2026-03-02T11:02:00Z\n'),
      'd.cfgdump': b('03', '@taken 2026-03-02T11:02:00Z\n', 'r'),
    };
    assert.deepEqual(await seen(files), ['1: 01', '1: 03']);
  });

  it('are none of a dump without a profile', async () => {
    const { found } = await dependents({ 'b.cfgdump': b('01'), 'a.cfgdump': '@vin 0DEM0T4X5TA020418\n1: 00\n' });
    assert.deepEqual(found, []);
  });

  it('look at it as it will be by whatever name it was opened: a link, or its name in other letters', async () => {
    const files = {
      ...OWN,
      ...OTHER,
      'link.cfgdump': OWN['a.cfgdump'],
      'b.cfgdump': b('01'),
    };
    const host = memoryHost(
      new Map<string, MemoryFile>(Object.entries(files).map(([name, file]) => [at(name), file])),
      [[at('a.cfgdump'), at('link.cfgdump')]],
    );
    const list: Host['list'] = async (folder) => {
      const listed = await host.list(folder);
      return listed.ok ? done(listed.value.filter(({ name }) => name !== 'link.cfgdump')) : listed;
    };
    const loaded = await createWorkspace({ ...host, list }).load(at('link.cfgdump'), { dependents: true });
    assert.ok(loaded.ok);
    const changed = bindText('a.cfgdump', dump('p').replace('1: 00', '1: 07'), loaded.value.dump.profile);
    assert.deepEqual(loaded.value.dependents?.map(recordOf), ['1: 01'], 'it is no other one by its other name');
    assert.deepEqual(
      loaded.value.dependents?.[0]
        ?.modulesWith(changed)('p.dump-profile.json')
        .map((one) => one.dump && recordOf(one)),
      ['1: 07'],
    );
    assert.deepEqual(loaded.value.modules('p.dump-profile.json'), []);
  });

  it('look at it as it will be, and at all others as they are', async () => {
    const { found, loaded } = await dependents({
      'b.cfgdump': b('01'),
      'z.cfgdump': dump('p', '@note another\n'),
      'e.cfgdump': { fails: 'EACCES' },
    });
    const changed = bindText('a.cfgdump', dump('p').replace('1: 00', '1: 07'), loaded.dump.profile);
    const [one] = found;
    const modules = one?.modulesWith(changed)('p.dump-profile.json') ?? [];
    assert.deepEqual(
      modules.map((module) => (module.dump === undefined ? say(module.why) : recordOf(module))),
      ['1: 07', '1: 00', 'e.cfgdump cannot be read: not allowed'],
    );
  });
});
