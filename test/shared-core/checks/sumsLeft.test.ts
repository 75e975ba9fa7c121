import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { FIX_EVERYTHING } from '../../../shared-core/src/actions/fixes/sumFixes.js';
import { workOut } from '../../../shared-core/src/actions/fixes/workOut.js';
import { fix } from '../../../shared-core/src/actions/repair.js';
import { setOptions } from '../../../shared-core/src/actions/setOptions.js';
import { phrase, say } from '../../../shared-core/src/base/phrase.js';
import { finish } from '../../../shared-core/src/base/steps.js';
import {
  allSumsRight,
  leftInWords,
  sumsLeft,
  sumsUnderstood,
  uncheckedSums,
} from '../../../shared-core/src/checks/sumsLeft.js';
import { readProfile } from '../../../shared-core/src/profile/readProfile.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { END, IMAGE, IMAGE_RECORDS, image, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const PROFILE = profileOf(LINES);
const dumpOf = (text: string) => lines(PROFILE, text);
const leftOf = (dump: ReturnType<typeof dumpOf>) => sumsLeft({ dump, profile: SOUND }).left.map((said) => say(said));
const TWICE = LINES_TEXT.replace('total', '3: 00 00 00 | 05\ntotal');

describe('what keeps anyone from calling all sums right', () => {
  it('is nothing where the dump was read whole and every sum fits', () => {
    for (const dump of [dumpOf(LINES_TEXT), image(profileOf(IMAGE), ...IMAGE_RECORDS, END)])
      assert.ok(allSumsRight(sumsLeft({ dump, profile: SOUND })));
  });

  for (const [what, text, words] of [
    ['a line sum that is wrong', LINES_TEXT.replace('| 11', '| 12'), /The sum of line 2 is wrong/],
    ['a file sum that is wrong', LINES_TEXT.replace('02 27', '02 28'), /The file sum is 0228/],
    ['a line that cannot be read', LINES_TEXT.replace('3: 00', '3: 0x'), /row 3 cannot be read/],
    ['a line that is there twice', TWICE, /line 3 is in it twice/],
    ['a line that is missing', LINES_TEXT.replace(/^2.*\n/m, ''), /line 2 is missing/],
    ['a file sum that is missing', LINES_TEXT.replace(/^total.*\n/m, ''), /^The file sum is missing/],
  ] as const) {
    it(`is ${what}`, () => assert.match(leftOf(dumpOf(text)).join('\n'), words));
  }

  it('is a problem of the profile, and lines where the file is an image', () => {
    const { profile } = readProfile(JSON.stringify({ format: 1, ...LINES, colour: 'red' }));
    assert.match(leftOf(lines(profile, LINES_TEXT)).join('\n'), /The profile has problems/);
    const misfit = profileOf({ lines: LINES.lines, lineSum: LINES.lineSum });
    assert.match(
      leftOf(image(misfit, ...IMAGE_RECORDS, END)).join('\n'),
      /describes lines and this file is a memory image/,
    );
  });

  it('is a profile that cannot be read: that is said, and not that none explains the dump', () => {
    const dump = dumpOf(LINES_TEXT);
    const profile = { kind: 'unreadable', why: phrase('The profile is not there.') } as const;
    assert.equal(say(leftInWords(sumsLeft({ dump, profile }))), 'The profile is not there.');
    assert.equal(allSumsRight(sumsLeft({ dump, profile })), false);
    for (const one of [dump, lines(profileOf({}), LINES_TEXT)])
      assert.deepEqual(uncheckedSums({ dump: one, profile }), []);
  });

  it('is both what is wrong and what nothing describes: one does not make up for the other', () => {
    const profile = profileOf({ lines: LINES.lines, totals: LINES.totals });
    const wrong = sumsLeft({ dump: lines(profile, LINES_TEXT.replace('02 27', '02 28')), profile: SOUND });
    assert.deepEqual([wrong.left.length, wrong.unchecked.length], [1, 1]);
    assert.equal(allSumsRight(wrong), false);
    assert.match(say(leftInWords(wrong)), /^The file sum is 0228.* its profile does not say how its lines are summed/);
  });

  it('is a profile that does not explain all sums, whether they are right or not', () => {
    const understood = (parts: object, text = LINES_TEXT) =>
      sumsUnderstood({ dump: lines(profileOf(parts), text), profile: SOUND }).map((said) => say(said));
    assert.deepEqual(understood(LINES, LINES_TEXT.replace('02 27', '02 28')), []);
    assert.deepEqual(understood({ lines: LINES.lines, totals: LINES.totals }), [
      'its profile does not say how its lines are summed, so no line sum was checked.',
    ]);
    const { profile } = readProfile(JSON.stringify({ format: 1, ...LINES, colour: 'red' }));
    const [doubt, ...more] = sumsUnderstood({ dump: lines(profile, LINES_TEXT), profile: SOUND });
    assert.match(doubt === undefined ? '' : say(doubt), /^The profile has problems/);
    assert.deepEqual(more, []);
  });

  it('is how some of the lines are summed, where only these have sums', () => {
    const parts = {
      lines: [
        { from: 1, to: 1, data: 2, sum: 0 },
        { from: 2, to: 2, data: 2, sum: 1 },
      ],
      totals: [{ method: 'add', bits: 8, over: ['data'], label: 'total' }],
    };
    const dump = lines(profileOf(parts), '1: 00 00\n2: 00 00 00\ntotal: 00\n');
    assert.deepEqual(
      uncheckedSums({ dump, profile: SOUND }).map((said) => say(said)),
      ['its profile does not say how its lines are summed, so no line sum was checked.'],
    );
  });

  it('is no file sum where the lines have sums of their own and the profile wants no other', () => {
    const dump = lines(profileOf({ ...LINES, totals: [] }), LINES_TEXT.replace(/^total.*\n/m, ''));
    assert.ok(allSumsRight(sumsLeft({ dump, profile: SOUND })));
  });

  it('is no line sum where the records of the file have sums of their own', () => {
    const dump = image(profileOf({ lines: LINES.lines }), ...IMAGE_RECORDS, END);
    assert.deepEqual(
      uncheckedSums({ dump, profile: SOUND }).map((said) => say(said)),
      ['its profile describes no file sum, so only the sums of its records were checked.'],
    );
  });

  it('is said by the repair, by its quick fix and by each option that is set', () => {
    const subject = loaded(lines(profileOf({ ...LINES, totals: [] }), TWICE.replace('| 11', '| 12')), SOUND);
    const repair = fix(subject, { totals: 'keep' });
    assert.ok(repair.ok);
    assert.equal(repair.value.writes.length, 1);
    assert.match(say(repair.value.says), /^1 byte changes\. Not all sums are known to be right: Not whole: line 3/);
    assert.equal(
      say(finish(workOut(subject, FIX_EVERYTHING))?.title ?? repair.value.says),
      'Correct the checksums that can be computed (1 byte changes)',
    );
    const set = setOptions(subject, [{ id: 'fog', to: { written: 'no' } }]);
    assert.ok(set.ok);
    assert.doesNotMatch(say(set.value.says), /kept right/);
    assert.match(say(set.value.says), /Not all sums are known to be right/);
  });
});
