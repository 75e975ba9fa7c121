// Which option an id names, where one description stands for several.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { isIdOf, namesIn, shareIds } from '../../../shared-core/src/jobs/names.js';

describe('an id', () => {
  it('is that of an option, or of one of as many as it is there', () => {
    const several = { id: 'key', repeat: 3 };
    const names = ['key', 'key.1', 'key.3', 'key.0', 'key.01', 'key.4', 'key.1x', 'key1', 'keys', 'other.1', ''];
    assert.deepEqual(
      names.filter((name) => isIdOf(several, name)),
      ['key', 'key.1', 'key.3'],
    );
    assert.deepEqual(
      names.filter((name) => isIdOf({ id: 'key', repeat: undefined }, name)),
      ['key'],
    );
  });

  it('is shared where one description has it as its own and another as one of several', () => {
    const several = { id: 'key', repeat: 3 };
    const alone = (id: string) => ({ id, repeat: undefined });
    for (const [other, shared] of [
      ['key', true],
      ['key.3', true],
      ['key.4', false],
      ['keys', false],
    ] as const) {
      assert.equal(shareIds(several, alone(other)), shared, other);
      assert.equal(shareIds(alone(other), several), shared, other);
    }
    assert.equal(shareIds(several, { id: 'key.2', repeat: 2 }), true);
    assert.equal(shareIds(several, { id: 'other', repeat: 3 }), false);
  });
});

describe('what a profile names', () => {
  it('are its options, also in conditions and in what samples are expected to hold, with all words for their values', () => {
    const text = JSON.stringify({
      format: 1,
      options: [
        { id: 'fog', values: { 0: 'no', 1: 'yes' }, needs: [{ option: 'lamps', value: 'on' }] },
        { id: 'lamps', flags: { 0: 'left', 1: 'right' }, excludes: [{ option: 'horn', profile: 'o.json', value: 1 }] },
        { id: 'level', number: {}, special: { 255: 'unknown' } },
      ],
      samples: [{ dump: 'a.cfgdump', expect: { fog: 'yes' } }, { dump: 'b.cfgdump' }],
    });
    const names = namesIn('profile', text);
    assert.deepEqual(
      names?.options.map(({ id, role, words }) => `${role} ${id}: ${words.map((word) => word.text)}`),
      [
        'described fog: no,yes',
        'described lamps: left,right',
        'described level: unknown',
        'condition lamps: ',
        'condition horn: ',
        'sample fog: ',
      ],
    );
    for (const { id, span } of names?.options ?? []) assert.equal(text.slice(span.start, span.end), id);
    assert.deepEqual(
      names?.paths.map(({ path }) => path),
      ['o.json', 'a.cfgdump', 'b.cfgdump'],
    );
  });
});
