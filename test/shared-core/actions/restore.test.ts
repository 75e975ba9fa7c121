import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { restore } from '../../../shared-core/src/actions/index.js';
import { say } from '../../../shared-core/src/base/index.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import type { Profile } from '../../../shared-core/src/profile/profile.js';
import { demoDump, demoFile, demoProfile, dumpOf } from '../../support/demo.js';
import { edited, set, unsealed } from '../../support/edits.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { profileOf } from '../../support/smallDumps.js';

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

  it('names the lines that change with those that were chosen: their copies, and the sums', () => {
    const at = (from: string, length: number) => ({ address: from, length });
    const profile = profileOf({
      format: 1,
      addresses: { from: 0, to: 63 },
      copies: [{ name: 'c', place: at('0x00', 8), at: ['0x20'] }],
      totals: [{ name: 'sum', method: 'add', bits: 16, over: [{ from: 0, to: 61 }], address: 62 }],
    });
    const textOf = (changed: readonly number[]) => {
      const bytes = Array.from({ length: 62 }, (_, i) => (i >= 32 && i < 40 ? i - 32 : i));
      for (const place of changed) bytes[place] = 0x77;
      const sum = bytes.reduce((a, b) => a + b);
      const all = [...bytes, sum >> 8, sum & 0xff].map((byte) => byte.toString(16).padStart(2, '0'));
      return [0, 16, 32, 48].map((row) => `0x${row.toString(16)}: ${all.slice(row, row + 16).join(' ')}\n`).join('');
    };
    const dump = bindText('w.cfgdump', textOf([3, 35, 20]), profile);
    const backup = bindText('b.cfgdump', textOf([]), profile);
    const restored = restore(loaded(dump, SOUND, { kind: 'read', dump: backup }), ['0000']);
    assert.ok(restored.ok, restored.ok ? '' : say(restored.why));
    assert.deepEqual(restored.value.alongside, ['0020', '0030']);
    assert.deepEqual(restored.value.left, ['0010', '0030']);
    const all = restore(loaded(dump, SOUND, { kind: 'read', dump: backup }));
    assert.deepEqual(all.ok && all.value.alongside, []);
  });
});
