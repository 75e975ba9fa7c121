import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { indexedProfile } from '../../../shared-core/src/jobs/library/profileIndex.js';
import { searchLibrary } from '../../../shared-core/src/jobs/library/searchLibrary.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE, readProfile } from '../../../shared-core/src/profile/readProfile.js';

describe('A library of 2,000 profiles', () => {
  const index = Array.from({ length: 2000 }, (_, i) => {
    const text = JSON.stringify({
      format: 1,
      lines: { from: 1, to: 2, data: 3, sum: 1 },
      appliesTo: { part: [`PART-${i}-*`, `OTHER-${i}-??`], software: ['1.*', '2.*'] },
    });
    return indexedProfile({ file: `file:///${i}.dump-profile.json`, name: `${i}` }, readProfile(text));
  });

  it('is searched in less than 200 ms of work', async () => {
    const dump = bindText('a.cfgdump', '@part PART-1999-7\n@software 2.4\n1: 01 02 03 | 07\n', EMPTY_PROFILE);
    const before = process.cpuUsage();
    const found = await searchLibrary(index, dump, async () => true);
    const { user } = process.cpuUsage(before);
    assert.equal(found.kind === 'one' && found.profile.name, '1999');
    assert.ok(user / 1000 < 200, `${user / 1000} ms`);
  });
});

describe('a profile of a library that has a problem', () => {
  const indexed = (name: string, more: object) => {
    const text = JSON.stringify({ format: 1, lines: { from: 1, to: 2, data: 3, sum: 1 }, ...more });
    return indexedProfile({ file: `file:///${name}.dump-profile.json`, name }, readProfile(text));
  };
  const dump = bindText('a.cfgdump', '@part A-1\n1: 01 02 03 | 07\n', EMPTY_PROFILE);
  const found = async (torn: object) => {
    const search = await searchLibrary(
      [indexed('right', { appliesTo: { part: ['A-*'] } }), indexed('torn', { ...torn, locked: 7 })],
      dump,
      async () => true,
    );
    assert.equal(search.kind === 'one' && search.profile.name, 'right');
    return 'doubt' in search && search.doubt !== undefined ? say(search.doubt) : undefined;
  };

  it('leaves a doubt about the one that was found only where it may be for the same module', async () => {
    assert.match((await found({})) ?? '', /^torn cannot be read, so it may be the one that fits: /);
    assert.equal(await found({ appliesTo: { part: ['B-*'] } }), undefined);
  });
});
