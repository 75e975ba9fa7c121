// What was found in images, in words: nothing is told as decided that may as well be something else.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/phrase.js';
import { findingsOf } from '../../../shared-core/src/learn/learnImage/findings.js';
import type { FoundInImages } from '../../../shared-core/src/learn/learnImage/searchImages.js';

const BYTES = Uint8Array.from({ length: 32 }, (_, i) => 0x20 + i);
const IMAGES = {
  names: ['a.hex'],
  bytes: [BYTES],
  length: 32,
  segments: [{ address: 0x100, from: 0, count: 32 }],
};
const NOTHING: FoundInImages = {
  ...{ sums: [], repeats: [], slots: [], fillers: [], texts: [], dates: [] },
  isSearched: true,
};
const found = (more: Partial<FoundInImages>) =>
  findingsOf(IMAGES, { ...NOTHING, ...more }).map(({ said, undecided, from, to }) => [say(said), undecided, from, to]);

describe('what was found in images', () => {
  it('of a date is undecided where another order of its parts fits as well', () => {
    const date = { from: 4, end: 7, form: 'DDMMYY', chance: 1e-9, values: 3, others: [] };
    assert.deepEqual(found({ dates: [date] }), [['date in BCD as DDMMYY at 0104: 24 25 26', false, 0x104, 0x106]]);
    assert.deepEqual(found({ dates: [{ ...date, others: ['YYMMDD'] }] }), [
      ['date in BCD as DDMMYY at 0104: 24 25 26; YYMMDD fits as well', true, 0x104, 0x106],
    ]);
  });

  it('of a copy is undecided where nothing in it varies', () => {
    const copy = { first: { from: 0, end: 8 }, at: [16], isInverted: false, chance: 1e-9 };
    assert.deepEqual(found({ repeats: [copy, { ...copy, isInverted: true }, { ...copy, chance: 1 }] }), [
      ['copy of 0100 to 0107 (8 bytes): at 0110', false, 0x100, 0x107],
      ['inverted copy of 0100 to 0107 (8 bytes): at 0110', false, 0x100, 0x107],
      [
        '0100 to 0107 (8 bytes) again at 0110; nothing in it varies, so that each may stay as it is for itself',
        true,
        0x100,
        0x107,
      ],
    ]);
  });

  it('of records with numbers is undecided where the numbers are the same in all images', () => {
    const slots = { from: 2, length: 8, count: 3, width: 2, order: 'little', chance: 1e-9, moves: true } as const;
    const said = 'a number that rises by one in 3 records, 8 bytes apart:';
    assert.deepEqual(found({ slots: [slots, { ...slots, order: 'big', moves: false }, { ...slots, width: 1 }] }), [
      [`${said} 2 bytes, low byte first, first at 0102`, false, 0x102, 0x113],
      [
        `${said} 2 bytes, first at 0102; it is the same in all images, as the numbers of a table are`,
        true,
        0x102,
        0x113,
      ],
      [`${said} 1 byte, first at 0102`, false, 0x102, 0x112],
    ]);
  });

  it('of texts and fillers is told with where it ends', () => {
    assert.deepEqual(found({ texts: [{ from: 1, end: 6, text: 'ABCD ', chance: 1e-9 }] }), [
      ['text at 0101, 5 characters with the blanks around it: "ABCD"', false, 0x101, 0x105],
    ]);
    assert.deepEqual(found({ fillers: [{ from: 8, end: 32, value: 0xff }] }), [
      ['filler FF from 0108 to 011F', false, 0x108, 0x11f],
    ]);
  });
});
