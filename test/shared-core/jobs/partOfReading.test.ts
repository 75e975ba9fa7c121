// A reading that says of which part or software it is, where the plan does not.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { verdictInWords } from '../../../shared-core/src/jobs/verify/inWords.js';
import { isVerified, verifyReadBack } from '../../../shared-core/src/jobs/verify/verify.js';
import { BACK, DONE, FOUND, PLANNED, stepsIn } from '../../support/jobFolder.js';
import { LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const dump = (head: string) => lines(profileOf(LINES), `@vehicle 7\n${head}${LINES_TEXT}`);
const verified = (plan: string, found: string | undefined, read: string) =>
  verifyReadBack(
    dump(`@backup b\n${plan}`),
    dump(`@taken 2026-03-04T10:00Z\n${read}`),
    found === undefined ? undefined : dump(`@taken 2026-03-02T10:00Z\n${found}`),
  );
const caveats = (plan: string, found: string | undefined, read: string) =>
  verified(plan, found, read).caveats.map((one) => say(one));

describe('what a reading says of its module', () => {
  it('is a remark where neither plan nor backup says it', () => {
    const says = ['What was read says "@part" C7-3300, which neither the plan nor the backup says.'];
    for (const found of ['', undefined]) {
      assert.deepEqual(caveats('', found, '@part C7-3300\n'), says);
      assert.ok(isVerified(verified('', found, '@part C7-3300\n')));
    }
    assert.match(caveats('', '', '@part A\n@software 0511\n').join(), /"@part" A, .*"@software" 0511, /);
    assert.deepEqual(caveats('@part A\n', '@part A\n', '@part A\n'), []);
    assert.deepEqual(caveats('', '@part A\n', '@part A\n'), []);
    assert.deepEqual(caveats('@part A\n', '', ''), []);
  });

  it('is refused where the plan or the backup says another', () => {
    for (const [plan, found] of [
      ['@part A\n', '@part A\n'],
      ['@part A\n', ''],
      ['', '@part A\n'],
    ] as const) {
      const refused = verified(plan, found, '@part B\n');
      assert.equal(refused.matches, false, plan + found);
      assert.match(
        say(verdictInWords(refused)),
        /^What was read is of another module: "@part" is "A" in the (?:plan|backup)/,
      );
    }
  });

  it('offers nothing to note where it is only a remark', async () => {
    const without = (text: string) => text.replace(/^@(?:part|software).*\n/gm, '');
    const steps = async (back: string) =>
      (
        await stepsIn({
          ...DONE,
          'rear-body.as-found.cfgdump': without(FOUND),
          'rear-body.cfgdump': without(PLANNED),
          'rear-body.read-back.cfgdump': back,
        })
      ).join('\n');
    assert.doesNotMatch(await steps(BACK), /noteSeen/);
  });
});
