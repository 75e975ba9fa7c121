import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { lines, profileOf } from '../../support/smallDumps.js';

/** The problems with the value of one option in the bytes of a line. */
function found(bytes: string, written: object): readonly string[] {
  const profile = profileOf({
    lines: { from: 1, to: 1, data: 2, sum: 0 },
    options: [{ id: 'o', title: 'It', line: 1, ...written }],
  });
  return checkDump(loaded(lines(profile, `1: ${bytes}\n`), SOUND)).map(
    ({ code, row, start, message }) => `${code} ${row}:${start} ${say(message)}`,
  );
}

describe('a problem of an option', () => {
  it('has the label of its line, and is marked at its bytes', () => {
    const profile = profileOf({
      lines: { from: 1, to: 2, data: 2, sum: 0 },
      options: [
        { id: 'a', line: 2, byte: 2, values: { 0: 'no' } },
        { id: 'b', line: 1, bytes: '1-2', values: { 0: 'no' } },
      ],
    });
    const dump = lines(profile, '1: 00 07\n2: 00 05\n');
    assert.deepEqual(
      checkDump(loaded(dump, SOUND)).map(({ label, row, start, end }) => [
        label,
        dump.rows[row]?.text.slice(start, end),
      ]),
      [
        [1, '00 07'],
        [2, '05'],
      ],
    );
  });
});

describe('the value of an option', () => {
  it('is a problem where the profile has no words for it, with what it knows', () => {
    const values = { byte: 1, values: { 0: 'no', 31: 'yes' } };
    assert.deepEqual(found('1F 00', values), []);
    assert.deepEqual(found('0A 00', values), [
      'option-value 0:3 It is 0x0A, a value the profile does not know. It knows no (0), yes (0x1F).',
    ]);
    const low = { byte: 2, bits: '3-0', values: { 0: 'no' } };
    assert.deepEqual(found('00 F5', low), [
      'option-value 0:7 It is 5, a value the profile does not know. It knows no (0).',
    ]);
    const odd = { byte: 2, bits: '4-0', values: { 0: 'no' } };
    assert.match(found('00 05', odd)[0] ?? '', /It is 5, a value/);
    const wide = { bytes: '1-2', values: { 0: 'no' } };
    assert.match(found('00 0B', wide)[0] ?? '', /It is 0x000B, a value/);
  });

  it('is a problem where it is lower or higher than the profile allows', () => {
    const number = { byte: 1, number: { min: 10, max: 20, unit: 'km' } };
    for (const fits of ['0A 00', '14 00', '0F 00']) assert.deepEqual(found(fits, number), []);
    assert.deepEqual(found('09 00', number), ['option-range 0:3 It is 9 km (9); the profile allows no less than 10.']);
    assert.deepEqual(found('15 00', number), [
      'option-range 0:3 It is 21 km (0x15); the profile allows no more than 20.',
    ]);
    assert.deepEqual(found('00 00', { byte: 1, number: { max: 20 } }), []);
    assert.deepEqual(found('FF 00', { byte: 1, number: { min: 10 } }), []);
    assert.deepEqual(found('FF 00', { byte: 1, number: {} }), []);
  });

  it('is a problem where a flag without words is set, or a text is none', () => {
    const flags = { byte: 1, flags: { 0: 'left', 1: 'right' } };
    assert.deepEqual(found('03 00', flags), []);
    assert.deepEqual(found('07 00', flags), [
      'option-value 0:3 It is 7: a bit is set that the profile has no words for.',
    ]);
    const text = { bytes: '1-2', text: 'ascii' };
    assert.deepEqual(found('41 42', text), []);
    assert.deepEqual(found('41 01', text), ['option-value 0:3 It is 0x4101, which is no plain text.']);
  });

  it('is a problem where decimal digits are none, or a date does not exist; a special value is none', () => {
    const digits = { bytes: '1-2', number: { coding: 'bcd', max: 2000 }, special: { '0xFFFF': 'not set' } };
    assert.deepEqual(found('12 34', digits), []);
    assert.deepEqual(found('FF FF', digits), []);
    assert.deepEqual(found('1A 34', digits), [
      'option-value 0:3 It is 0x1A34, but it holds decimal digits only: A to F are none.',
    ]);
    assert.deepEqual(found('20 01', digits), [
      'option-range 0:3 It is 2001 (0x2001); the profile allows no more than 2000.',
    ]);
    const week = { bytes: '1-2', date: 'YYWW', coding: 'bcd', special: { 0: 'never' } };
    assert.deepEqual(found('20 53', week), []);
    assert.deepEqual(found('00 00', week), []);
    assert.deepEqual(found('21 53', week), ['option-value 0:3 It is 0x2153, which is no date or time that exists.']);
    const day = { bytes: '1-2', date: 'hhmm', coding: 'binary' };
    assert.deepEqual(found('17 3B', day), []);
    assert.equal(found('18 00', day).length, 1);
  });
});
