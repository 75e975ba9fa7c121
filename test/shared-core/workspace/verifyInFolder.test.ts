import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { done, phrase, refuse, say } from '../../../shared-core/src/base/index.js';
import { verifyInFolder } from '../../../shared-core/src/workspace/index.js';
import { lines, profileOf } from '../../support/smallDumps.js';

const PROFILE = profileOf({ lines: { from: 1, to: 2, data: 2, sum: 0 } });
const PROFILE_FILE = 'file:///car/p.dump-profile.json';
const LIST = { dumps: ['file:///car/other.cfgdump'], profiles: [], retrofits: [], cards: [], unlisted: [] };
const of = (head: string, text = '1: 01 02\n2: 03 04\n') => lines(PROFILE, `@vehicle stock no. 7\n${head}${text}`);

describe('what was read is what was planned, beside another reading of the module in the folder', () => {
  const planned = of('@backup found.cfgdump\n');
  const read = { file: 'file:///car/read.cfgdump', dump: of('@taken 2026-03-02T10:00:00Z\n') };
  const other = of('@taken 2026-03-02T11:00:00Z\n');
  const verified = (reading: ReturnType<typeof done<typeof other>> | ReturnType<typeof refuse>) =>
    verifyInFolder(
      {
        list: async () => LIST,
        readDump: async () => reading,
        unsealedAmong: async () => ({
          dumps: [{ file: 'file:///car/other.cfgdump', name: 'other.cfgdump', dump: other, profileFile: PROFILE_FILE }],
          unnamed: [],
          unread: [],
        }),
      },
      { dump: planned, file: 'file:///car/work.cfgdump', backup: { kind: 'none' }, profileFile: PROFILE_FILE },
      read,
      '2026-03-03T00:00:00Z',
    );

  it('holds where that is as planned too, and shows nothing where it differs or cannot be read', async () => {
    assert.equal((await verified(done(other))).matches, true);
    for (const [reading, why] of [
      [done(of('@taken 2026-03-02T11:00:00Z\n', '1: 01 02\n2: 03 05\n')), /^other\.cfgdump, read later, differs/],
      [refuse(phrase('torn')), /^other\.cfgdump cannot be read: torn$/],
    ] as const) {
      const { matches, unmatched } = await verified(reading);
      assert.equal(matches, false);
      assert.match(unmatched.map((said) => say(said)).join(), why);
    }
  });
});
