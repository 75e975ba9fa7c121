// How much of a dump was read and how many of its sums are right, as it is said under the dump.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { accountInWords, accountOf } from '../../../shared-core/src/model/account.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { lackingSum } from '../../../shared-core/src/model/missing.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const PROFILE = profileOf(LINES);
const said = (text: string, profile = PROFILE) => say(accountInWords(accountOf(lines(profile, text))));
const two = profileOf({
  ...LINES,
  totals: ['total', 'other'].map((label) => ({ ...LINES.totals[0], name: label, label })),
});

describe('what is said of a dump as a whole', () => {
  it('counts the line sums and file sums that are right, and the rows that were not read', () => {
    assert.equal(said(LINES_TEXT), '3 line sums right, file sum right');
    assert.equal(said(LINES_TEXT.replace('| 16', '| 17')), '2 of 3 line sums right, file sum right');
    assert.equal(said(LINES_TEXT.replace('02 27', '02 28')), '3 line sums right, file sum wrong');
    assert.equal(said(LINES_TEXT.replace('total: 02 27\n', '')), '3 line sums right, file sum not checked');
    assert.equal(
      said(LINES_TEXT.replace('3: 00 00 00 | 00', '3: 00 00 0')),
      '2 of 3 line sums right, file sum not checked, 1 line not read',
    );
    assert.equal(said(`${LINES_TEXT}other: 02 28\n`, two), '3 line sums right, 1 of 2 file sums right');
    assert.equal(said('1: 01 02\n', EMPTY_PROFILE), 'no file sum known');
    const one = profileOf({ lines: { from: 1, to: 1, data: 2, sum: 1 }, lineSum: { method: 'add', over: ['data'] } });
    assert.equal(said('1: 01 02 03\n', one), '1 line sum right, no file sum known');
  });
});

describe('a line that has its data and no sum yet', () => {
  const offered = (text: string, row: number, profile = PROFILE) =>
    lackingSum(bindText('a.cfgdump', text, profile), row);

  it('is offered its sum as most lines have it, and only where just that is missing', () => {
    const text = (last: string) => `1: A1 B2 C3 | 16\n2: 01 10 00 | 11\n${last}\n`;
    assert.deepEqual(offered(text('3: 01 02 03'), 2), { at: 11, text: ' | 06' });
    for (const last of ['3: 01 02', '3: 01 02 03 | 06', '3: 01 02 03 04', '9: 01 02 03', '# 3: 01 02 03', '3: 01 02 0'])
      assert.equal(offered(text(last), 2), undefined, last);
    const none = profileOf({ lines: { from: 1, to: 3, data: 3, sum: 0 } });
    assert.equal(offered(text('3: 01 02 03'), 2, none), undefined);
  });
});
