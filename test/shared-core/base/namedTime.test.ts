// When a dump was read, as a heading, a comment or its name says it.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { timeNamedIn } from '../../../shared-core/src/base/namedTime.js';

const NOW = new Date(2026, 10, 27, 9, 12);
const named = (text: string, name = 'seat.txt') => {
  const found = timeNamedIn(text, name, NOW);
  return found && [found.written, found.row];
};

describe('the time that is offered for a dump', () => {
  it('is that of a heading or a comment', () => {
    assert.deepEqual(named('* Seat\n* Read 2026-11-19 14:07 at 12.4 V'), ['2026-11-19 14:07', 1]);
    assert.deepEqual(named('# vom 19.11.2026, 4:07 Uhr'), ['2026-11-19 04:07', 0]);
    assert.deepEqual(named('; 2026-11-19T14:07:22Z'), ['2026-11-19T14:07:22Z', 0]);
    assert.deepEqual(named('@note read on 2026-11-19'), ['2026-11-19', 0]);
  });

  it('is that beside a word for reading, then one with a clock', () => {
    assert.deepEqual(named('Software of 2025-01-02 10:00\nRead 2026-11-19'), ['2026-11-19', 1]);
    assert.deepEqual(named('Part 2025-01-02\nBench 2026-11-19 14:07'), ['2026-11-19 14:07', 1]);
  });

  it('is that of the name where the text says none', () => {
    assert.deepEqual(named('1: 00 01', 'seat-2026-11-19.txt'), ['2026-11-19', undefined]);
    assert.deepEqual(named('', 'seat_20261119_1407.bin'), ['2026-11-19 14:07', undefined]);
  });

  it('is none of data, of other headers, of a day that there is not or is yet to come', () => {
    for (const text of [
      '2026-11-19: 30 35 3A 3F',
      '@backup seat-2026-11-19.cfgdump',
      'Read 2026-13-19 14:07',
      'Read 2027-11-19 14:07',
      'Part 1999-01-01',
      'Read 14:07',
      'Version 12.11.20261',
    ])
      assert.equal(named(text), undefined, text);
    assert.equal(named('', 'part-71044812.bin'), undefined);
  });
});
