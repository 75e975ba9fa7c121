// Which option an id names, where one description stands for several.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { isIdOf, shareIds } from '../../../shared-core/src/jobs/names.js';

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
