// What a profile shows while it is typed: its last good version, else the last that could be read; never more than it says.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { whyNotWritable } from '../../../shared-core/src/model/index.js';
import { createWorkspace } from '../../../shared-core/src/workspace/index.js';
import { type MemoryFile, memoryHost } from '../../support/memoryHost.js';

const DUMP = 'file:///car/a.cfgdump';
const PROFILE = 'file:///car/p.dump-profile.json';
const good = (title: string) => JSON.stringify({ format: 1, title, lines: { from: 1, to: 1, data: 1, sum: 0 } });
const flawed = (title: string) => good(title).replace('"title"', '"lockd": [], "title"');
const TORN = '{ "format": 1, "title": "torn", ';

/** What a dump shows after each of some texts: the title, what is said of the profile, and whether it may be written. */
async function shown(texts: readonly string[]) {
  const files = new Map<string, MemoryFile>([[DUMP, '@profile p.dump-profile.json\n1: 00\n']]);
  const workspace = createWorkspace(memoryHost(files));
  const seen: string[] = [];
  for (const text of texts) {
    files.set(PROFILE, text);
    workspace.forget(PROFILE);
    const loaded = await workspace.load(DUMP);
    assert.ok(loaded.ok);
    const { profile, dump } = loaded.value;
    const status = profile.kind === 'unreadable' ? (profile.isStale ? 'stale' : 'torn') : profile.kind;
    seen.push(`${dump.profile.title} ${status} ${whyNotWritable(dump) === undefined ? 'written' : 'kept'}`);
  }
  return seen;
}

describe('a profile that is typed', () => {
  it('shows what it says while it never was without a problem, and nothing is written', async () => {
    assert.deepEqual(await shown([flawed('one'), flawed('two')]), ['one read kept', 'two read kept']);
  });

  it('that is torn shows what could be read last, though that had a problem, and nothing is written', async () => {
    const [, second, third] = await shown([flawed('one'), flawed('two'), TORN]);
    assert.equal(second, 'two read kept');
    assert.equal(third, 'two stale kept');
    assert.deepEqual(await shown([TORN]), ['undefined torn kept']);
  });

  it('shows its last good version while it has a problem, until it is good again', async () => {
    assert.deepEqual(await shown([good('one'), flawed('two'), TORN, flawed('three'), good('four'), TORN]), [
      'one read written',
      'one stale kept',
      'one stale kept',
      'one stale kept',
      'four read written',
      'four stale kept',
    ]);
    assert.deepEqual(await shown([TORN, flawed('one'), good('two'), flawed('three')]), [
      'undefined torn kept',
      'one read kept',
      'two read written',
      'two stale kept',
    ]);
  });

  it('that has not changed is the same, so that no dump is bound to it anew', async () => {
    const files = new Map<string, MemoryFile>([[PROFILE, good('one')]]);
    const workspace = createWorkspace(memoryHost(files));
    const read = async () => {
      const reading = await workspace.readProfile(PROFILE);
      return reading.ok ? reading.value.profile : assert.fail(say(reading.why));
    };
    const first = await read();
    workspace.forget(PROFILE);
    assert.equal(await read(), first);
    files.set(PROFILE, good('two'));
    workspace.forget(PROFILE);
    assert.equal((await read()).title, 'two');
  });
});
