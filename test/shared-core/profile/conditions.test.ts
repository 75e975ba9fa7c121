import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { foreignConditionProblems } from '../../../shared-core/src/profile/conditions.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';

const option = (id: string, more: object = {}) => ({ id, line: 1, byte: 1, values: {}, ...more });
const profileOf = (...options: readonly object[]) => readProfile(JSON.stringify({ format: 1, options })).profile;

describe('conditions on options of other profiles', () => {
  const other = profileOf(option('tow-bar', { bits: '1-0' }));
  const problems = (needed: string, values: readonly number[], found = other) =>
    foreignConditionProblems(
      profileOf(option('a', { needs: [{ profile: 'other', option: needed, in: values }] })),
      (path) => (path === 'other' ? found : undefined),
    ).map(({ message }) => say(message));

  it('are on options that are there, and on values that they can hold', () => {
    assert.deepEqual(problems('tow-bar', [0, 3]), []);
    assert.match(problems('tow-bar', [1, 4]).join(), /"tow-bar" holds values up to 0x03 only, not 0x04/);
    assert.match(problems('tow-baz', [1]).join(), /other has no option "tow-baz"; "tow-bar" is probably meant/);
    assert.match(problems('lamp', [1]).join(), /other has no option "lamp"\./);
  });

  it('say nothing where the other profile is not there, or where they are on options of their own', () => {
    const own = profileOf(option('a'), option('b', { byte: 2, needs: [{ option: 'a', in: [1] }] }));
    assert.deepEqual(
      foreignConditionProblems(own, () => undefined),
      [],
    );
    const missing = profileOf(option('a', { excludes: [{ profile: 'other', option: 'x', in: [1] }] }));
    assert.deepEqual(
      foreignConditionProblems(missing, () => undefined),
      [],
    );
  });

  it('are marked where they are', () => {
    const text = JSON.stringify({
      format: 1,
      options: [option('a', { excludes: [{ profile: 'other', option: 'lamp', in: [1] }] })],
    });
    const [problem] = foreignConditionProblems(readProfile(text).profile, () => other);
    assert.equal(text.slice(problem?.span.start, problem?.span.end), '{"profile":"other","option":"lamp","in":[1]}');
  });
});
