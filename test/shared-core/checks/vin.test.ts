import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { vinCheckDigit, vinWeightedSum } from '../../../shared-core/src/checks/vin.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { loaded } from '../../support/loaded.js';
import { lines } from '../../support/smallDumps.js';

const ONES = '1'.repeat(17);
const found = (vin: string) => {
  const dump = lines(EMPTY_PROFILE, `@vin  ${vin}\n1: 00\n`);
  return checkDump(loaded(dump))
    .filter(({ code }) => code.startsWith('vin-'))
    .map(({ row, start, end, message, meant }) => [
      dump.rows[row]?.text.slice(start, end),
      say(message).replace(/[;.].*/s, ''),
      meant,
    ]);
};

describe('the check digit of a VIN', () => {
  // 49 CFR 565.15(c), table V: the weight of each place.
  const WEIGHTS = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];
  // Table IV: the value of each letter.
  const VALUES = { ABCDEFGH: 1, JKLMN: 1, P: 7, R: 9, STUVWXYZ: 2 };

  it('counts each place by its weight', () => {
    for (const [place, weight] of WEIGHTS.entries()) {
      const vin = `${ONES.slice(0, place)}2${ONES.slice(place + 1)}`;
      assert.equal(vinWeightedSum(vin) - vinWeightedSum(ONES), weight, `place ${place + 1}`);
    }
    assert.equal(vinWeightedSum('0'.repeat(17)), 0);
  });

  it('counts each letter by its value', () => {
    for (const [letters, first] of Object.entries(VALUES))
      for (const [i, letter] of Array.from(letters).entries())
        assert.equal(vinWeightedSum(`${letter}${'0'.repeat(16)}`), 8 * (first + i), letter);
  });

  it('is the rest by 11, with X for 10', () => {
    assert.equal(vinCheckDigit(ONES), '1');
    assert.equal(vinCheckDigit(`${'0'.repeat(16)}5`), 'X');
    assert.equal(vinCheckDigit('0'.repeat(17)), '0');
  });
});

describe('the VIN of a dump', () => {
  it('is right as it is, in either letter case', () => {
    assert.deepEqual(found(ONES), []);
    assert.deepEqual(found(`${'0'.repeat(8)}x${'0'.repeat(7)}5`), []);
    assert.deepEqual(found('abcdefgh6jkln1230').length, 1, 'its check digit is another');
  });

  it('is marked at its check digit where that is another', () => {
    assert.deepEqual(found(`${ONES.slice(0, 8)}2${ONES.slice(9)}`), [
      ['2', 'The 9th character of this VIN is 2', undefined],
    ]);
  });

  it('is marked at the first character that a VIN does not have, with what was probably meant', () => {
    assert.deepEqual(found(`O${ONES.slice(1)}`), [['O', 'A VIN has no "O"', '0']]);
    assert.deepEqual(found(`${ONES.slice(0, 4)}i${ONES.slice(5)}`), [['i', 'A VIN has no "I"', '1']]);
    assert.deepEqual(found(`${ONES.slice(0, 16)}Q`), [['Q', 'A VIN has no "Q"', '0']]);
    assert.deepEqual(found(`${ONES.slice(0, 4)}?${ONES.slice(5)}`), [
      ['?', 'A VIN has digits and letters, but no I, O or Q', undefined],
    ]);
  });

  it('is marked as a whole where it is too short or too long', () => {
    assert.deepEqual(found(ONES.slice(1)), [[ONES.slice(1), 'A VIN has 17 characters', undefined]]);
    assert.deepEqual(found(`${ONES}1`), [[`${ONES}1`, 'A VIN has 17 characters', undefined]]);
  });
});
