import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { restore, say } from '../../../shared-core/src/index.js';
import type { Profile } from '../../../shared-core/src/profile/profile.js';
import { demoDump, demoFile, demoProfile, dumpOf } from '../../support/demo.js';
import { edited, set, unsealed } from '../../support/edits.js';
import { loaded, SOUND } from '../../support/loaded.js';

describe('going back line by line', () => {
  it('says which condition of another option it breaks, and does it all the same', () => {
    const found = demoDump('rear-body.as-found.cfgdump');
    const work = edited(unsealed(set(set(found, 'trailer-socket', '13-pin'), 'trailer-stability', 'on')), (text) =>
      text.replace('@vin', '@backup rear-body.as-found.cfgdump\n@vin'),
    );
    const restored = restore(loaded(work, SOUND, { kind: 'read', dump: found }), [4]);
    assert.ok(restored.ok, restored.ok ? '' : say(restored.why));
    const cautions = restored.value.cautions.map((one) => say(one)).join('\n');
    assert.match(cautions, /[Ss]tability.*needs.*Trailer socket|Trailer socket.*stability/);
    const all = restore(loaded(work, SOUND, { kind: 'read', dump: found }));
    assert.ok(all.ok);
    assert.doesNotMatch(all.value.cautions.map((one) => say(one)).join('\n'), /needs/);
  });

  it('to all of the own sealed backup asks nothing of sums that are a guess', () => {
    const known = demoProfile('rear-body');
    const profile: Profile = {
      ...known,
      lineSum: known.lineSum && { ...known.lineSum, confidence: 'guess' },
      totals: known.totals.map((total) => ({ ...total, confidence: 'guess' })),
    };
    const found = dumpOf(demoFile('rear-body.as-found.cfgdump'), profile);
    const work = dumpOf(
      demoFile('rear-body.cfgdump').replace('00 FF | 88', '00 FF | A8').replace('FF 5C | 75', 'FF 3C | 55'),
      profile,
    );
    const cautionsOf = (labels?: readonly number[], backup = found) => {
      const restored = restore(loaded(work, SOUND, { kind: 'read', dump: backup }), labels);
      assert.ok(restored.ok, restored.ok ? '' : say(restored.why));
      return restored.value.cautions.map((one) => say(one)).join('\n');
    };
    assert.doesNotMatch(cautionsOf(), /guess/);
    assert.match(cautionsOf(undefined, unsealed(found)), /guess/);
  });
});
