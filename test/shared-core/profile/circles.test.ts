import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { dumpText } from '../../../shared-core/src/format/dumpText.js';
import { readRows } from '../../../shared-core/src/format/index.js';
import { bind, readTotal } from '../../../shared-core/src/model/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';

/** Three lines of four bytes and a sum each, of which the first bytes of lines 1 and 2 hold totals. */
const TEXT = '1: 16 02 03 04 | 1F\n2: 0F 00 00 00 | 0F\n3: 00 00 00 06 | 06\n';

const totalsOf = (...totals: readonly object[]) => {
  const { profile, problems } = readProfile(
    JSON.stringify({
      format: 1,
      lines: { from: 1, to: 3, data: 4, sum: 1 },
      lineSum: { method: 'add' },
      totals: totals.map((total) => ({ method: 'add', byte: 1, ...total })),
    }),
  );
  assert.deepEqual(problems, []);
  const dump = bind(readRows(TEXT, dumpText), dumpText, profile);
  return dump.totals.map(({ total }, i) => [total.name, readTotal(dump, i)?.stored, readTotal(dump, i)?.computed]);
};

describe('totals that cover each other', () => {
  it('are each checked over their own bytes', () => {
    // 02 03 04, 0F and 06 make 1E; 16 02 03 04 and 06 make 25.
    assert.deepEqual(totalsOf({ name: 'one', line: 1 }, { name: 'two', line: 2 }), [
      ['one', 0x16n, 0x1en],
      ['two', 0x0fn, 0x25n],
    ]);
  });

  it('are checked where one covers the sum of its own line', () => {
    // The data without the first byte, and 1F, 0F and 06.
    assert.deepEqual(totalsOf({ name: 'one', line: 1, over: ['data', 'sums'] }), [['one', 0x16n, 0x52n]]);
  });
});
