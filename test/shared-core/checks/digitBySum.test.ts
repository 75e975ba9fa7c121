// Which digit was meant by a character that is none: the line's own sum knows better than its look.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { rowProblems } from '../../../shared-core/src/checks/structure.js';
import { image, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const said = (text: string, json: object = LINES) =>
  rowProblems(lines(profileOf(json), text)).map(({ message, meant }) => `${meant ?? '-'}: ${say(message)}`);
const withLine2 = (line: string) => LINES_TEXT.replace('2: 01 10 00 | 11', line);

describe('a character that is no hex digit', () => {
  it('is the one digit that makes the line sum right, whatever it looks like', () => {
    const sum = (character: string, digit: string) => [
      `${digit}: "${character}" is no hex digit; the line sum fits ${digit} only.`,
    ];
    assert.deepEqual(said(withLine2('2: 01 Z0 00 | 11')), sum('Z', '1'));
    assert.deepEqual(said(withLine2('2: 01 l0 00 | 11')), sum('l', '1'));
    assert.deepEqual(said(withLine2('2: 01 ?0 00 | 11')), sum('?', '1'));
    assert.deepEqual(said(withLine2('2: 01 10 00 | 1Z')), sum('Z', '1'));
    const record = image(profileOf({}), ':04001000A1B2C301Z5', ':00000001FF');
    assert.deepEqual(
      rowProblems(record).map(({ meant }) => meant),
      ['D'],
    );
  });

  it('is none by its look where that does not fit the line sum', () => {
    const unknown = (character: string) => `-: "${character}" is no hex digit (0 to 9, A to F). Correct it.`;
    assert.deepEqual(said(withLine2('2: 01 Z0 00 | 14')), [unknown('Z')]);
    assert.deepEqual(said(withLine2('2: 0l Z0 00 | 11')), [unknown('l'), unknown('Z')]);
  });

  it('is told by its look where the sum is not known, or agrees', () => {
    const look = (character: string, digit: string) =>
      `${digit}: "${character}" is no hex digit; it was probably ${digit}.`;
    assert.deepEqual(said(withLine2('2: 01 Z0 00 | 11'), { ...LINES, lineSum: undefined }), [look('Z', '2')]);
    assert.deepEqual(said(withLine2('2: 0l l0 00 | 11')), [look('l', '1'), look('l', '1')]);
    // A digit is missing beside it, so that the line has no sum yet.
    assert.deepEqual(said(withLine2('2: 01 Z0 | 11')), [look('Z', '2')]);
    assert.deepEqual(said(LINES_TEXT.replace('02 27', 'OZ 27')), [look('O', '0'), look('Z', '2')]);
    // The sum does not cover this byte, so that it fits any digit there.
    const over = { ...LINES, lineSum: { method: 'add', over: ['data'], data: '1' } };
    assert.deepEqual(said(withLine2('2: 01 Z0 00 | 01'), over), [look('Z', '2')]);
  });
});
