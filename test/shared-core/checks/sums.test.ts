import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { END, image, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const found = (dump: Dump, ...codes: readonly string[]) =>
  checkDump(loaded(dump, SOUND))
    .filter(({ code }) => codes.includes(code))
    .map(({ row, start, end, message }) => `${row + 1} "${dump.rows[row]?.text.slice(start, end)}" ${say(message)}`);

describe('a file sum that is wrong', () => {
  const said = (bits: number, stored: string) => {
    const profile = profileOf({
      lines: { from: 1, to: 1, data: 2, sum: 0 },
      totals: [{ method: 'add', bits, over: ['data'], label: 'total' }],
    });
    return found(lines(profile, `1: 80 90\ntotal: ${stored}\n`), 'total-sum').join('\n');
  };

  it('says by how much it is too high or too low, in as many digits as the sum has, four at most', () => {
    assert.equal(said(8, '12'), '2 "12" The file sum is 12, its bytes make 10: 02 too much.');
    assert.equal(said(8, '0F'), '2 "0F" The file sum is 0F, its bytes make 10: 01 too little.');
    assert.equal(said(16, '01 11'), '2 "01 11" The file sum is 0111, its bytes make 0110: 0001 too much.');
    assert.equal(said(16, '01 0E'), '2 "01 0E" The file sum is 010E, its bytes make 0110: 0002 too little.');
    assert.match(said(32, '00 00 01 00'), /is 00000100, its bytes make 00000110: 0010 too little\.$/);
  });

  it('that is no sum of numbers has no such difference', () => {
    const profile = profileOf({
      lines: { from: 1, to: 1, data: 2, sum: 0 },
      totals: [{ method: 'xor', bits: 8, over: ['data'], label: 'total' }],
    });
    assert.deepEqual(found(lines(profile, '1: 80 90\ntotal: 11\n'), 'total-sum'), [
      '2 "11" The file sum is 11, its bytes make 10.',
    ]);
  });
});

describe('a file sum that cannot be checked', () => {
  it('says how long its own line is, where that is of another length, and marks its bytes', () => {
    const dump = lines(profileOf(LINES), LINES_TEXT.replace('02 27', '02 27 00'));
    assert.deepEqual(found(dump, 'line-length'), [
      '4 "02 27 00" The file sum in line "total" has a length of 3; the profile wants 2.',
    ]);
    const none = lines(profileOf(LINES), LINES_TEXT.replace('total: 02 27', 'total:'));
    assert.deepEqual(found(none, 'line-length'), [
      '4 "total" The file sum in line "total" has a length of 0; the profile wants 2.',
    ]);
  });

  it('says that its own line cannot be read, though that is among those it covers', () => {
    const profile = profileOf({
      lines: { from: 1, to: 2, data: 2, sum: 0 },
      totals: [{ name: 'sum', method: 'add', bits: 8, over: ['data'], line: 2, byte: 2 }],
    });
    assert.match(
      found(lines(profile, '1: 01 02\n2: 03 0x\n'), 'not-checked').join('\n'),
      /The sum cannot be checked: the line in which it is stored cannot be read\. Correct that first\.$/,
    );
  });

  it('says from which address on bytes are missing, in four digits or more', () => {
    const at = (from: number) => {
      const profile = profileOf({
        totals: [{ name: 'sum', method: 'add', over: [{ from, to: from + 3 }], address: 0 }],
      });
      return found(image(profile, ':0100000000FF', END), 'not-checked').join('\n');
    };
    assert.match(at(0x18), /4 bytes from address 0018 on are missing\.$/);
    assert.match(at(0x12345), /4 bytes from address 12345 on are missing\.$/);
  });

  it('says that two records hold one of its addresses', () => {
    const profile = profileOf({ totals: [{ name: 'sum', method: 'add', over: [{ from: 1, to: 2 }], address: 0 }] });
    assert.match(
      found(image(profile, ':03000000010203F7', ':0100010002FC', END), 'not-checked').join('\n'),
      /The sum cannot be checked: addresses are held by two records\. Correct that first\.$/,
    );
  });

  it('is missing at the first row of a dump without a line', () => {
    const profile = profileOf({ totals: [{ method: 'add', bits: 8, over: ['data'], label: 'total' }] });
    assert.deepEqual(found(lines(profile, '# nothing\n'), 'total-missing'), [
      '1 "# nothing" The file sum is missing: no line "total".',
    ]);
  });
});
