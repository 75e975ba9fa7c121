import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { setOptions } from '../../../shared-core/src/actions/setOptions.js';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { compareDumps, comparisonInWords } from '../../../shared-core/src/compare/index.js';
import type { Profile } from '../../../shared-core/src/profile/index.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const bare = profileOf({
  ...LINES,
  options: [{ id: 'level', title: 'Level', line: 2, byte: 3, number: { min: 1, max: 4 } }],
  locked: [{ line: 1, bytes: '1-3' }],
  balance: [],
});

describe('sentences of what a profile leaves out', () => {
  it('have no empty brackets for a lock without a reason', () => {
    const [was, now] = [lines(bare, LINES_TEXT), lines(bare, LINES_TEXT.replace('A1 B2 C3', 'A1 B3 C3'))];
    const said = comparisonInWords(compareDumps(was, now)).map((one) => say(one));
    assert.match(said[0] ?? '', /is locked \(the profile gives no reason\)/);
    const problems = checkDump(loaded(now, SOUND, { kind: 'read', dump: was }));
    for (const { message } of problems) assert.doesNotMatch(say(message), /\(\)/);
  });

  it('have one blank between words for a number without a unit', () => {
    const dump = lines(bare, LINES_TEXT);
    const set = setOptions(loaded(dump, SOUND), [{ id: 'level', to: { written: '9' } }]);
    assert.equal(set.ok ? '' : say(set.why), 'Level takes 1 to 4; 9 is outside.');
    for (const { message } of checkDump(loaded(dump, SOUND))) assert.doesNotMatch(say(message), / {2}/);
  });

  it('name no list of options where there is none', () => {
    const none: Profile = { ...bare, options: [] };
    const set = setOptions(loaded(lines(none, LINES_TEXT), SOUND), [{ id: 'a', to: { written: '1' } }]);
    assert.equal(set.ok ? '' : say(set.why), 'The profile has no options, and so no "a".');
  });
});
