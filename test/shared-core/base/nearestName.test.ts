import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { editDistance, nearestName } from '../../../shared-core/src/base/nearestName.js';

describe('the nearest name', () => {
  it('is the one with the fewest slips: a letter more, less, wrong, or two the wrong way round', () => {
    const known = ['balance', 'locked', 'volatile'];
    for (const written of ['locke', 'lockedd', 'lacked', 'olcked', 'LOCKED']) {
      assert.equal(nearestName(written, known), 'locked', written);
    }
  });

  it('is none where too much is different, or the length alone', () => {
    assert.equal(nearestName('wheels', ['balance', 'locked']), undefined);
    assert.equal(nearestName('x'.repeat(1_000_000), ['balance', 'locked']), undefined);
    assert.equal(nearestName('', ['ab']), undefined);
  });

  it('counts the steps between two words', () => {
    // Textbook example of the Levenshtein distance, from memory.
    assert.equal(editDistance('kitten', 'sitting'), 3);
    assert.equal(editDistance('ab', 'ba'), 1);
    assert.equal(editDistance('', 'abc'), 3);
  });
});
