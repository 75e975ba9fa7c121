import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/phrase.js';
import { fieldsToName, namedByHand } from '../../../shared-core/src/learn/placeToName.js';
import { bindText } from '../../../shared-core/src/model/dump.js';
import { readProfile } from '../../../shared-core/src/profile/readProfile.js';

const PROFILE = {
  format: 1,
  lines: { from: 1, to: 3, data: 4, sum: 1 },
  lineSum: { method: 'add', over: ['data'] },
  totals: [{ name: 'file sum', line: 3, byte: 4, method: 'xor', over: ['data'] }],
  options: [
    { id: 'socket', title: 'Trailer socket', line: 1, byte: 2, bits: '7-4', values: { 0: 'none' } },
    { id: 'fog', title: 'Fog lamp', line: 1, byte: 3, bits: '1', values: { 0: 'no', 1: 'yes' } },
  ],
  locked: [{ line: 2, bytes: '1-2', why: 'identity' }],
  volatile: [{ line: 2, bytes: '3', why: 'write counter' }],
};
const ROWS = ['1: 21 43 65 A7 | 70', '2: 01 02 03 04 | 0A', '3: 00 00 00 A3 | A3', 'note'];

/** The fields of the digits between two marks in a row. */
function fields(marked: string) {
  const row = Number(marked[0]) - 1;
  const [start, end] = [marked.indexOf('['), marked.indexOf(']') - 1];
  const found = fieldsToName(dump, row, { start, end });
  return found.ok
    ? found.value.map(({ words, place, width, digits }) => [say(words), place, width, digits])
    : say(found.why);
}
const dump = bindText('a.cfgdump', `${ROWS.join('\n')}\n`, readProfile(JSON.stringify(PROFILE)).profile);

describe('selected digits that are to be an option', () => {
  it('are one digit and its bits, or a whole byte and its bits', () => {
    assert.deepEqual(fields('1: 2[1] 43 65 A7 | 70'), [
      ['bits 3-0', { line: 1, byte: 1, bits: '3-0' }, 4, '1'],
      ['bit 3', { line: 1, byte: 1, bits: '3' }, 1, '0'],
      ['bit 2', { line: 1, byte: 1, bits: '2' }, 1, '0'],
      ['bit 1', { line: 1, byte: 1, bits: '1' }, 1, '0'],
      ['bit 0', { line: 1, byte: 1, bits: '0' }, 1, '1'],
    ]);
    const whole = fields('1: 21 43 65 [A7] | 70');
    assert.deepEqual(whole[0], ['the whole byte', { line: 1, byte: 4 }, 8, 'A7']);
    assert.equal(whole.length, 9);
  });

  it('are several whole bytes as one number, and no part of one', () => {
    assert.deepEqual(fields('2: 01 02 03 [04] | 0A')[0], ['the whole byte', { line: 2, byte: 4 }, 8, '04']);
    assert.deepEqual(fields('3: [00 00 00] A3 | A3'), [['all 3 bytes', { line: 3, bytes: '1-3' }, 24, '000000']]);
    assert.equal(fields('3: 0[0 0]0 00 A3 | A3'), 'Select one digit of a byte, or up to 4 whole bytes.');
  });

  it('are no sum, of a line or of the file', () => {
    const sum = 'These digits are the sum of line 1, which follows from its data. Select data digits.';
    assert.equal(fields('1: 21 43 65 A7 | [70]'), sum);
    assert.equal(fields('1: 21 43 65 [A7 | 70]'), sum);
    assert.match(String(fields('3: 00 00 00 [A3] | A3')), /^The sum "file sum" is stored in these digits/);
  });

  it('are not locked, and do not change by themselves', () => {
    assert.equal(fields('2: 01 [02] 03 04 | 0A'), 'These digits are locked (identity), so they can be no option.');
    assert.match(
      String(fields('2: 01 02 [03] 04 | 0A')),
      /^These digits change by themselves in the module \(write counter\)/,
    );
  });

  it('are not bits that an option has; what is left of them may be one', () => {
    const taken = 'These bits are the option "Trailer socket" already. Select others, or change it in the profile.';
    assert.equal(fields('1: 21 [4]3 65 A7 | 70'), taken);
    assert.deepEqual(
      (fields('1: 21 43 6[5] A7 | 70') as [string][]).map(([words]) => words),
      ['bit 3', 'bit 2', 'bit 0'],
    );
    assert.equal(fields('1: 21 [43 65] A7 | 70'), taken);
  });

  it('are digits of a data line', () => {
    for (const marked of ['1[:] 21', '4[x]', '9[x]', '1[]'])
      assert.match(String(fields(marked)), /^Select digits of one data line/);
    const torn = bindText('a.cfgdump', '1: 0x 02 03 04 | 05\n', dump.profile);
    assert.equal(fieldsToName(torn, 0, { start: 6, end: 8 }).ok, false);
  });

  it('become a guess, which says from where it is', () => {
    const found = fieldsToName(dump, 0, { start: 3, end: 5 });
    const [whole] = found.ok ? found.value : [];
    assert.deepEqual(whole && namedByHand(whole, 'a.cfgdump'), {
      id: '',
      title: '',
      line: 1,
      byte: 1,
      values: {},
      confidence: 'guess',
      evidence: 'Named by hand in a.cfgdump, which held 21 there when it was named.',
    });
  });

  it('of an image are at addresses', () => {
    const { profile } = readProfile(JSON.stringify({ format: 1, addresses: { from: '0x10', to: '0x13' } }));
    const image = bindText('a.hex', ':0400100001020304E2\n:00000001FF\n', profile);
    const found = fieldsToName(image, 0, { start: 11, end: 15 });
    assert.deepEqual(found.ok && found.value[0]?.place, { address: '0x0011', bytes: '2' });
  });
});
