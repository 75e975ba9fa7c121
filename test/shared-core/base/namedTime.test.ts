// When a dump was read, as a heading, a comment or its name says it.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { timeNamedIn, timesIn } from '../../../shared-core/src/base/namedTime.js';

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

  it('is not that of the program that read it', () => {
    for (const row of ['Reader 2.1 (2026-04-12)', 'Printer port, 2026-04-12', 'Timer 2026-04-12', 'Zeitung 2026-04-12'])
      assert.deepEqual(
        timesIn(row).map(({ isOfReading }) => isOfReading),
        [false],
        row,
      );
    for (const row of ['Readout 2026-04-12', 'Reading: 2026-04-12', 'read_at 2026-04-12', 'Time=2026-04-12'])
      assert.deepEqual(
        timesIn(row).map(({ isOfReading }) => isOfReading),
        [true],
        row,
      );
  });

  it('is that of the name where the text says none', () => {
    assert.deepEqual(named('1: 00 01', 'seat-2026-11-19.txt'), ['2026-11-19', undefined]);
    assert.deepEqual(named('', 'seat_20261119_1407.bin'), ['2026-11-19 14:07', undefined]);
  });

  it('is read in more forms beside a word for reading, where the numbers decide which is the month', () => {
    for (const [says, written] of [
      ['2026/11/26 10:00', '2026-11-26 10:00'],
      ['26/11/2026', '2026-11-26'],
      ['11/26/2026 10:00', '2026-11-26 10:00'],
      ['11/11/2026', '2026-11-11'],
      ['26.11.26', '2026-11-26'],
      ['6.11.26, 9:05', '2026-11-06 09:05'],
      ['26 November 2026 at 10:00', '2026-11-26 10:00'],
      ['26. Nov. 2026', '2026-11-26'],
      ['26-NOV-2026', '2026-11-26'],
      ['3. März 2026', '2026-03-03'],
      ['May 3rd, 2026', '2026-05-03'],
      ['1. Dezember 2025', '2025-12-01'],
      ['November 26, 2026', '2026-11-26'],
      ['20261126_1000', '2026-11-26 10:00'],
      ['20261126', '2026-11-26'],
      ['Thu Nov 26 09:12:00 2026', '2026-11-26 09:12:00'],
      ['2026-11-26 11:00 PM', '2026-11-26 23:00'],
      ['2026-11-26 12:30 a.m.', '2026-11-26 00:30'],
      ['11/26/2026 12:01:02pm', '2026-11-26 12:01:02'],
    ] as const)
      assert.deepEqual(named(`read ${says}`), [written, 0], says);
    assert.equal(named('Bench 26/11/2026'), undefined);
  });

  it('is left open where a row may say a day and is not understood', () => {
    const unclear = (text: string) => timesIn(text).filter(({ isClear }) => !isClear).length;
    for (const says of [
      '03/04/2026',
      '2026-13-19 14:07',
      '11.26.2026',
      '11/26/26',
      '10.11.12',
      'Nov 27',
      '27 Nov',
      '2026-11-26 11 PM',
      '2026-11-26 13:00 PM',
      'Fri Nov 27 09:12:00 CET 2026',
    ])
      assert.equal(unclear(`read ${says}`), 1, says);
    for (const text of [
      'read 12 lines',
      'time 00:31 min',
      'read 1.2.3 at 12.4 V',
      'read 12345678 bytes',
      'read 26/28 lines',
      'read 2026-11-26 11:00 PM',
      'decode 10 read octal 7',
      'Part 03/04/2026',
    ])
      assert.equal(unclear(text), 0, text);
  });

  it('is none of a row that says when something else was', () => {
    for (const word of [
      'Software',
      'Calibrated',
      'Last service',
      'Warranty start',
      'Stand',
      'Hergestellt, Herstellung',
    ])
      assert.equal(named(`${word} 2024-05-05`), undefined, word);
    assert.deepEqual(named('Read 2024-05-05, software 0305'), ['2024-05-05', 0]);
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
