// Dates as people write them: in numbers and with the names of months in English and German.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { readWrittenDate } from '../../../shared-core/src/options/writtenDate.js';

const MONTHS = [
  ['Jan', 'January', 'Januar'],
  ['Feb', 'February', 'Februar'],
  ['Mar', 'March', 'März', 'Mär'],
  ['Apr', 'April', 'APRIL'],
  ['May', 'Mai'],
  ['Jun', 'June', 'Juni'],
  ['Jul', 'July', 'Juli'],
  ['Aug', 'August', 'august'],
  ['Sep', 'Sept', 'September'],
  ['Oct', 'October', 'Oktober', 'Okt'],
  ['Nov', 'November', 'november'],
  ['Dec', 'December', 'Dezember', 'dez'],
];

describe('a date as a person writes it', () => {
  it('has its month by the first letters of the name, behind the day or before it', () => {
    for (const [i, names] of MONTHS.entries())
      for (const name of names)
        for (const text of [
          `28 ${name} 2024`,
          `28. ${name} 2024`,
          `28 ${name}. 2024`,
          `${name} 28, 2024`,
          `${name} 28 2024`,
        ])
          assert.deepEqual(readWrittenDate(text), [{ YYYY: 2024, MM: i + 1, DD: 28 }], text);
  });

  it('is none without a month or a day that there is', () => {
    for (const text of [
      '28 Foo 2024',
      'Foo 28, 2024',
      '30 Feb 2024',
      '31 Jun 2024',
      '28 Ma 2024',
      'soon',
      '',
      '0 May 2024',
    ])
      assert.deepEqual(readWrittenDate(text), [], text);
  });

  it('in numbers has the day first with points, and either first with slashes', () => {
    for (const [text, ...dates] of [
      ['29.02.2024', { YYYY: 2024, MM: 2, DD: 29 }],
      ['1. 2. 2024', { YYYY: 2024, MM: 2, DD: 1 }],
      ['1/2/2024', { YYYY: 2024, MM: 2, DD: 1 }, { YYYY: 2024, MM: 1, DD: 2 }],
      ['13/2/2024', { YYYY: 2024, MM: 2, DD: 13 }],
      ['2/13/2024', { YYYY: 2024, MM: 2, DD: 13 }],
      ['2/2/2024', { YYYY: 2024, MM: 2, DD: 2 }],
      ['2024-02-29', { YYYY: 2024, MM: 2, DD: 29 }],
      ['02/2024', { YYYY: 2024, MM: 2 }],
      ['11.2023', { YYYY: 2023, MM: 11 }],
      ['13/2024'],
      ['KW 9/2024', { YYYY: 2024, WW: 9 }],
      ['week 52 2024', { YYYY: 2024, WW: 52 }],
    ] as readonly (readonly [string, ...object[]])[])
      assert.deepEqual(readWrittenDate(text), dates, text);
  });

  it('of two digits for the year is of 1980 to 2079', () => {
    for (const [text, YYYY] of [
      ['01.02.00', 2000],
      ['01.02.79', 2079],
      ['01.02.80', 1980],
      ['01.02.99', 1999],
    ] as const)
      assert.deepEqual(readWrittenDate(text), [{ YYYY, MM: 2, DD: 1 }], text);
  });

  it('may have a time behind it, or be one', () => {
    const day = { YYYY: 2024, MM: 2, DD: 29 };
    assert.deepEqual(readWrittenDate('29.02.2024 13:05'), [{ ...day, hh: 13, mm: 5 }]);
    assert.deepEqual(readWrittenDate('29 Feb 2024, 13:05:07 Uhr'), [{ ...day, hh: 13, mm: 5, ss: 7 }]);
    assert.deepEqual(readWrittenDate('13:05'), [{ hh: 13, mm: 5 }]);
    assert.deepEqual(readWrittenDate('29.02.2024 25:00'), []);
  });
});
