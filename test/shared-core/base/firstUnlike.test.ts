import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { firstUnlike } from '../../../shared-core/src/base/firstUnlike.js';

describe('the first byte that is not the same', () => {
  it('is found wherever it is, in views of any place', () => {
    const bytes = fc.uint8Array({ minLength: 0, maxLength: 40, max: 1 });
    fc.assert(
      fc.property(bytes, bytes, fc.nat(5), fc.nat(5), fc.nat(12), (left, right, before, from, start) => {
        const count = Math.max(0, Math.min(left.length, right.length) - from);
        const one = { store: Uint8Array.from([...new Uint8Array(before), ...left]).subarray(before), from };
        const other = { store: right, from };
        const expected = [...Array(count).keys()].find((i) => i >= start && left[from + i] !== right[from + i]);
        assert.equal(firstUnlike(one, other, Math.min(start, count), count), expected ?? count);
      }),
      { numRuns: 500 },
    );
  });
});
