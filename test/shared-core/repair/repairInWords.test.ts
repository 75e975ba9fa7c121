import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import {
  changeInWords,
  lineSumDigits,
  readProfile,
  readTotal,
  say,
  type TotalReading,
  totalDigits,
} from '../../../shared-core/src/index.js';
import { dumpOf } from '../../support/demo.js';

const dumpWith = (order: 'big' | 'little') =>
  dumpOf(
    '1: 80 80 80 | 03 FD\n2: 8\ntotal: 00 00\n',
    readProfile(
      JSON.stringify({
        format: 1,
        lines: { from: 1, to: 2, data: 3, sum: 2 },
        lineSum: { method: 'add', bits: 16, order, over: ['data'] },
        totals: [{ name: 'file sum', method: 'add', bits: 16, order, over: ['data'], lines: '1-1', label: 'total' }],
      }),
    ).profile,
  );

describe('sums in words', () => {
  it('show all bytes of a line sum, in the order in which they are in the file', () => {
    assert.deepEqual(lineSumDigits(dumpWith('big'), 0), { stored: '03FD', right: '0180' });
    assert.deepEqual(lineSumDigits(dumpWith('little'), 0), { stored: '03FD', right: '8001' });
    assert.equal(lineSumDigits(dumpWith('big'), 1), undefined, 'a line that cannot be read');
    assert.equal(lineSumDigits(dumpWith('big'), 2), undefined, 'a sum has no line sum');
  });

  it('show a total in the order in which it is in the file', () => {
    assert.deepEqual(totalDigits(readTotal(dumpWith('big'), 0) as TotalReading), { stored: '0000', right: '0180' });
    assert.deepEqual(totalDigits(readTotal(dumpWith('little'), 0) as TotalReading), { stored: '0000', right: '8001' });
  });

  it('count one byte as one', () => {
    assert.deepEqual(
      [[], [1], [1, 2]].map((writes) => say(changeInWords(writes))),
      ['0 bytes change', '1 byte changes', '2 bytes change'],
    );
  });
});
