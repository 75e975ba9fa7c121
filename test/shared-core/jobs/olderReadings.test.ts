// Readings of a module that do not decide: the step names them, as a person who has just brought one in looks for it there.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { BACK, DONE, stepsIn, UNCHANGED } from '../../support/jobFolder.js';

const readBack = async (files: Parameters<typeof stepsIn>[0]) =>
  (await stepsIn(files)).find((step) => step.includes(' readBack:')) ?? '';
const readAt = (time: string, text = BACK) => text.replace(/^@(?:taken|backup).*/m, `@taken 2026-03-02T${time}:00Z`);

describe('the step of reading back', () => {
  it('names the readings that are older than the latest one', async () => {
    const files = { ...DONE, 'b.cfgdump': readAt('10:30'), 'a.cfgdump': readAt('10:40') };
    assert.match(
      await readBack(files),
      /^done readBack: rear-body\.read-back\.cfgdump, 2026-03-02 11:02 UTC\. Older than rear-body\.read-back\.cfgdump: b\.cfgdump, a\.cfgdump\. \[/,
    );
    const open = { ...DONE, 'later.cfgdump': readAt('12:00', UNCHANGED) };
    assert.match(
      await readBack(open),
      /^next readBack: later\.cfgdump holds the bytes of the backup,.* Older than later\.cfgdump: rear-body\.read-back\.cfgdump\. \[bringBack/,
    );
  });

  it('names what was not read after the backup by its row, beside one that was', async () => {
    const stale = readAt('12:00').replace(/^(?=[^@#\s])/m, '# read 2026-02-27 10:00\n');
    assert.match(
      await readBack({ ...DONE, 'stale.cfgdump': stale }),
      /^done readBack: rear-body\.read-back\.cfgdump, .*\. stale\.cfgdump was not read after rear-body\.as-found\.cfgdump \(2026-03-02 09:14 UTC\): its row /,
    );
  });
});
