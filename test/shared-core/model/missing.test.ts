// Lines that are written anew: with a sum of their own only where the profile gives them one, and never by a rule that nobody knows.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { lineWriter } from '../../../shared-core/src/model/missing.js';
import { lines, profileOf } from '../../support/smallDumps.js';

const PARTED = [
  { from: 1, to: 1, data: 2, sum: 1 },
  { from: 2, to: 2, data: 2, sum: 0 },
];
const RULE = { method: 'add', over: ['label', 'data'] };
const written = (profile: object, text: string, label: number) =>
  lineWriter(lines(profileOf(profile), text))?.(label, Uint8Array.of(0x0a, 0x0b)).text.trim();

describe('a line that is written anew', () => {
  it('has the sum of its bytes behind them, in the spacing of the others', () => {
    assert.equal(
      written({ lines: { from: 1, to: 2, data: 2, sum: 1 }, lineSum: RULE }, '1: 01 02 | 04\n', 2),
      '2: 0A 0B | 17',
    );
  });

  it('has no sum where its stretch has none, though other lines have one', () => {
    assert.equal(written({ lines: PARTED, lineSum: RULE }, '1: 01 02 | 04\n', 2), '2: 0A 0B');
    assert.match(written({ lines: PARTED, lineSum: RULE }, '1: 01 02 | 04\n', 1) ?? '', /^1: 0A 0B \|? ?16$/);
  });

  it('cannot be written where lines have sums and no rule is known, or where the dump is an image', () => {
    assert.equal(written({ lines: PARTED }, '1: 01 02 | 04\n', 2), undefined);
    assert.equal(written({ addresses: { from: 0, to: 3 } }, '0x0: 01 02\n', 2), undefined);
    assert.equal(written({ lines: { from: 1, to: 2, data: 2, sum: 0 } }, '1: 01 02\n', 2), '2: 0A 0B');
  });
});
