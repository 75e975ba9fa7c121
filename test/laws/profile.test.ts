import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { say } from '../../shared-core/src/base/index.js';
import { readProfile } from '../../shared-core/src/profile/index.js';
import { totalsInOrder } from '../../shared-core/src/profile/totalsInOrder.js';
import { demoFile } from '../support/demo.js';
import { profileLike } from '../support/profileLike.js';

/** Reads, and holds what comes back to what every reading promises. */
function holds(text: string): void {
  const { profile, problems } = readProfile(text);
  for (const { span, message } of problems) {
    assert.ok(span.start >= 0 && span.start < span.end, `${JSON.stringify(span)} in ${text}`);
    assert.ok(span.end <= Math.max(1, text.length), `${JSON.stringify(span)} in ${text}`);
    assert.doesNotMatch(say(message), /undefined|NaN|\[object|\{\d\}/);
  }
  assert.deepEqual(totalsInOrder(profile.totals), profile.totals);
  assert.equal(profile.flaw?.count ?? 0, problems.length);
}

describe('the reader of profiles, by law', () => {
  it('takes any text', () => {
    fc.assert(fc.property(fc.string({ unit: 'grapheme', maxLength: 200 }), holds));
  });

  it('takes any JSON', () => {
    fc.assert(fc.property(fc.json(), holds));
  });

  it('takes anything made of the keys of a profile', () => {
    fc.assert(
      fc.property(profileLike, (profile) => holds(JSON.stringify(profile))),
      { numRuns: 500 },
    );
  });

  it('takes the demo profile with any stretch cut out', () => {
    const whole = demoFile('rear-body.dump-profile.json');
    fc.assert(
      fc.property(fc.nat(whole.length), fc.nat(60), (at, count) => holds(whole.slice(0, at) + whole.slice(at + count))),
    );
  });

  it('takes brackets nested as deeply as a file can hold', () => {
    for (const text of ['['.repeat(200_000), '{"format":'.repeat(100_000), `{ "options": ${'['.repeat(100_000)}`])
      holds(text);
  });
});
