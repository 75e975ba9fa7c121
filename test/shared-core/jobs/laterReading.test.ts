// Common practice, no published source: only what was read from the module after its backup tells of what was written.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { whyNoLaterReading } from '../../../shared-core/src/jobs/record/laterReading.js';
import { LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const read = (name: string, head: string) => ({ name, dump: lines(profileOf(LINES), `${head}${LINES_TEXT}`) });
const BACKUP = '@taken 2026-03-02T09:14:00Z\n';
const why = (head: string, now?: string, backup = BACKUP) => {
  const said = whyNoLaterReading(read('r', head), read('b', backup), now);
  return said === undefined ? '' : say(said);
};

describe('a reading shows what was written', () => {
  const LATER = '@taken 2026-03-02T11:00:00Z\n';

  it('where it says that it was read after the backup, and before now', () => {
    assert.equal(why(LATER), '');
    assert.equal(why(LATER, '2026-03-02T12:00:00Z'), '');
  });

  it('not where its name says that it was made to be loaded', () => {
    const of = (name: string) => {
      const said = whyNoLaterReading(read(name, LATER), read('b', BACKUP));
      return said === undefined ? '' : say(said);
    };
    assert.equal(of('rear.cfgdump'), '');
    assert.match(of('rear.to-load.cfgdump'), /^rear\.to-load\.cfgdump is named as a file to load/);
  });

  it('not where it is a dump in work, was read before, at a time that is still to come, or nobody knows when', () => {
    for (const [head, words] of [
      [`${LATER}@backup b\n`, /^r names a backup/],
      [
        '@taken 2026-03-02T08:00:00Z\n',
        /^r is dated before the backup: .* 2026-03-02T08:00:00Z, that of b is 2026-03-02T09:14/,
      ],
      ['@taken 2026-03-02T13:00:00Z\n', /^"@taken" of r is 2026-03-02T13:00:00Z, which is in the future/],
      ['', /^"@taken" is missing in r\.$/],
      ['@taken soon\n', /^"@taken" of r is "soon", which is no day and time\.$/],
      [BACKUP, /which does not tell which of them was read later\.$/],
    ] as const)
      assert.match(why(head, '2026-03-02T12:00:00Z'), words);
    assert.equal(why('@taken 2026-03-02T13:00:00Z\n'), '', 'where nobody says what time it is');
    assert.match(why(LATER, undefined, ''), /^"@taken" is missing in b\.$/);
  });
});
