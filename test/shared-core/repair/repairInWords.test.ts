import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { bindText, readTotal } from '../../../shared-core/src/model/index.js';
import type { TotalReading } from '../../../shared-core/src/model/totalReading.js';
import { EMPTY_PROFILE, readProfile } from '../../../shared-core/src/profile/index.js';
import {
  balancedLinesInWords,
  balanceInWords,
  changeInWords,
  lineSumDigits,
  totalDigits,
} from '../../../shared-core/src/repair/repairInWords.js';
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

  it('name the bytes that balance, line by line or by their addresses, and no others', () => {
    const dump = dumpOf('1: 80 81 82 | 03 FD\n2: 01 02 03 | 00 06\ntotal: 00 00\n', dumpWith('big').profile);
    const writes = [
      { row: 0, byte: 1, value: 0x12, reason: 'balance' },
      { row: 1, byte: 0, value: 0x34, reason: 'balance' },
      { row: 1, byte: 2, value: 0x56, reason: 'balance' },
      { row: 1, byte: 4, value: 0x78, reason: 'line-sum' },
      { row: 2, byte: 1, value: 0x9a, reason: 'total' },
    ] as const;
    assert.equal(
      say(balancedLinesInWords(dump, writes)),
      'line 1: byte 2 from 81 to 12; line 2: byte 1 from 01 to 34, byte 3 from 03 to 56',
    );
    assert.equal(say(balanceInWords(dump, [writes[0], writes[3]])), 'byte 2 from 81 to 12');
    const image = bindText('a.hex', ':020010000102EB\n', EMPTY_PROFILE);
    const one = { row: 0, byte: 1, value: 7, reason: 'balance' } as const;
    const sum = { row: 0, byte: 2, value: 7, reason: 'line-sum' } as const;
    assert.equal(say(balancedLinesInWords(image, [one, sum])), 'address 0011 from 02 to 07');
  });

  it('count one byte as one', () => {
    assert.deepEqual(
      [[], [1], [1, 2]].map((writes) => say(changeInWords(writes))),
      ['0 bytes change', '1 byte changes', '2 bytes change'],
    );
  });
});
