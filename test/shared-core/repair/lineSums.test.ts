import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { afterWrites } from '../../../shared-core/src/model/byteWrite.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { rightLineSum, rightLineSums, withLineSums } from '../../../shared-core/src/repair/lineSums.js';
import { dumpOf } from '../../support/demo.js';

const { profile } = readProfile(
  JSON.stringify({
    format: 1,
    lines: { from: 1, to: 3, data: 2, sum: 2 },
    lineSum: { method: 'add', bits: 16, over: ['data'] },
  }),
);

describe('correcting line sums', () => {
  it('writes the bytes that are wrong, and none of a line that is right or cannot be read', () => {
    const dump = dumpOf('1: FF FF | 01 FE\n2: FF FF | 00 FE\n3: FF | 00 00\nx: 00\n', profile);
    assert.deepEqual(rightLineSum(dump, 0), []);
    assert.deepEqual(rightLineSum(dump, 1), [{ row: 1, byte: 2, value: 1, reason: 'line-sum' }]);
    assert.deepEqual(rightLineSum(dump, 2), []);
    assert.deepEqual(rightLineSum(dump, 3), []);
    assert.deepEqual(rightLineSums(dump), rightLineSum(dump, 1));
  });

  it('leaves lines with one number to the person', () => {
    const dump = dumpOf('1: 01 01 | 00 00\n1: 02 02 | 00 00\n2: 01 01 | 00 00\n', profile);
    assert.deepEqual([...new Set(rightLineSums(dump).map(({ row }) => row))], [2]);
  });

  it('follows writes of data, each line once', () => {
    const dump = dumpOf('1: 01 01 | 00 02\n2: 01 01 | 00 02\n3: 01 01 | 00 03\n', profile);
    const writes = withLineSums(dump, [
      { row: 0, byte: 0, value: 0xff, reason: 'balance' },
      { row: 0, byte: 1, value: 0xff, reason: 'balance' },
    ]);
    assert.deepEqual(afterWrites(dump, writes).wrongSums, [2]);
    assert.equal(writes.length, 4);
  });
});
