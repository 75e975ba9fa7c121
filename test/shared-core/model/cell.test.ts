import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { intelHex } from '../../../shared-core/src/format/intelHex.js';
import { readRows } from '../../../shared-core/src/format/rows.js';
import { addressOf } from '../../../shared-core/src/model/cell.js';
import { bind } from '../../../shared-core/src/model/dump.js';
import { readProfile } from '../../../shared-core/src/profile/readProfile.js';

describe('the address of a byte of an image', () => {
  it('is found in whatever order the records stand, and there is none for rows without data', () => {
    const text =
      ':0200000401020304F4\n:02001000AABB89\n:020000000102FB\n:02002000CCDD35\n:02000800030 4EF\n:00000001FF\n';
    const { profile } = readProfile(JSON.stringify({ format: 1 }));
    const { layout } = bind(readRows(text.replace(' ', ''), intelHex), intelHex, profile);
    const expected = new Map(Array.from(layout.order, (row, at) => [row, layout.keys[at] as number]));
    assert.ok(expected.size >= 3);
    for (let row = 0; row < 7; row++) {
      const base = expected.get(row);
      assert.equal(addressOf(layout, { row, byte: 1 }), base === undefined ? undefined : base + 1);
    }
    assert.notDeepEqual(
      [...layout.order],
      [...layout.order].sort((a, b) => a - b),
    );
  });
});
