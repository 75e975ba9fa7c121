// What a person adds to a profile that extends another, takes out of it or makes wider: the other stays as it is.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { addOption, whyNotAdded } from '../../../shared-core/src/learn/addOption.js';
import { changeProfile, type ProfileWish } from '../../../shared-core/src/learn/changeProfile.js';
import { editedProfile, readProfile } from '../../../shared-core/src/profile/index.js';
import { basesOf } from '../../support/chains.js';

const BASE = JSON.stringify({
  format: 1,
  lines: { from: 1, to: 2, data: 3, sum: 0 },
  notation: { pattern: '{label}: {data}', headings: ['Head'] },
  options: [
    { id: 'fog', line: 1, byte: 1, bits: '0', values: { 0: 'no' } },
    { id: 'horn', line: 1, byte: 1, bits: '1', values: { 0: 'no' }, needs: [] },
  ],
});
const bases = basesOf({ 'b.dump-profile.json': BASE });
const own = (more: object = {}) => JSON.stringify({ format: 1, extends: 'b.dump-profile.json', ...more }, undefined, 2);

function changedBy(text: string, wish: ProfileWish, over = bases): string {
  const edits = changeProfile(text, wish, over);
  return edits.ok ? editedProfile(text, edits.value) : say(edits.why);
}
const idsOf = (text: string) => readProfile(text, bases).profile.options.map(({ id }) => id);

describe('a profile that extends another, changed by a command', () => {
  it('takes out what the other describes in itself alone', () => {
    for (const text of [
      own(),
      own({ options: [] }),
      own({ options: [{ id: 'fog', title: 'Fog' }] }),
      own({
        options: [{ id: 'new', line: 2, byte: 1, values: { 0: 'no' } }],
        samples: [{ dump: 'a', expect: { fog: 'no' } }],
      }),
    ]) {
      const changed = changedBy(text, { kind: 'remove', id: 'fog' });
      assert.deepEqual(readProfile(changed, bases).problems, []);
      assert.ok(!idsOf(changed).includes('fog') && idsOf(changed).includes('horn'), changed);
      assert.match(changed, /"entry": null/);
    }
  });

  it('takes out what it describes itself as ever', () => {
    const text = own({ options: [{ id: 'new', line: 2, byte: 1, values: { 0: 'no' } }] });
    const changed = changedBy(text, { kind: 'remove', id: 'new' });
    assert.deepEqual(idsOf(changed), ['fog', 'horn']);
    assert.doesNotMatch(changed, /"new"/);
    assert.match(
      changedBy(own({ options: [{ id: 'fog', entry: null }] }), { kind: 'remove', id: 'fog' }),
      /does not hold/,
    );
    assert.match(changedBy(own(), { kind: 'remove', id: 'none' }), /does not hold/);
  });

  it('refuses to widen what the other describes, and a heading where the other says how lines are written', () => {
    const widen = { kind: 'widen', id: 'fog', bits: '2-0', values: {} } as const;
    for (const text of [own(), own({ options: [{ id: 'fog', bits: '1-0', values: { 1: 'yes' } }] })])
      assert.match(changedBy(text, widen), /"fog" is described in b\.dump-profile\.json, .*Widen it there/);
    assert.match(
      changedBy(own(), { kind: 'headings', headings: ['X'] }),
      /said in b\.dump-profile\.json, .*Add the heading there/,
    );
    assert.match(
      changedBy(own({ notation: { otherwise: 'keep' } }), { kind: 'headings', headings: ['X'] }),
      /Add the heading there/,
    );
    const listed = changedBy(own({ notation: { headings: ['Head', 'Own'] } }), {
      kind: 'headings',
      headings: ['X', 'Y'],
    });
    assert.deepEqual(JSON.parse(listed).notation.headings, ['Head', 'Own', 'X', 'Y']);
  });

  const OPTION = {
    id: 'seat',
    title: 'Seat',
    line: 2,
    byte: 2,
    values: { 0: 'no' },
    confidence: 'guess',
    evidence: 'e',
  } as const;

  it('gets a new option into itself', () => {
    assert.equal(whyNotAdded(own(), OPTION, bases), undefined);
    assert.deepEqual(idsOf(editedProfile(own(), addOption(own(), OPTION))), ['fog', 'horn', 'seat']);
  });

  it('gets none that the other describes, or whose bits are of another there', () => {
    const said = (option: typeof OPTION | object, over: typeof bases | undefined = bases) => {
      const why = whyNotAdded(own(), { ...OPTION, ...option }, over);
      return why && say(why);
    };
    assert.match(String(said({ id: 'fog' })), /"fog" is described in b\.dump-profile\.json, .*another id/);
    assert.match(String(said({ line: 1, byte: 1 })), /fog|horn/);
    const unread = whyNotAdded(own(), OPTION);
    assert.match(unread ? say(unread) : '', /were not read/);
    const missing = whyNotAdded(own(), OPTION, {
      files: [],
      asked: [],
      problem: { at: 0, message: { pattern: 'gone', parts: [] } },
    });
    assert.match(missing ? say(missing) : '', /gone/);
  });
});
