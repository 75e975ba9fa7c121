import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { bindText } from '../../../shared-core/src/index.js';
import { indexedProfile } from '../../../shared-core/src/jobs/library/profileIndex.js';
import { searchLibrary } from '../../../shared-core/src/jobs/library/searchLibrary.js';
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
