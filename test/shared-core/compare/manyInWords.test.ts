// Files that were chosen to be compared, in words: none is left out in silence, and nothing is called the same that was not read.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { phrase, say } from '../../../shared-core/src/base/index.js';
import { compareChosen } from '../../../shared-core/src/compare/manyInWords.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { lines, profileOf } from '../../support/smallDumps.js';

const PROFILE = profileOf({
  lines: { from: 1, to: 2, data: 2, sum: 1 },
  lineSum: { method: 'add', over: ['data'] },
  options: [{ id: 'fog', title: 'Fog lamps', line: 2, byte: 1, values: { 0: 'no', 1: 'yes' } }],
});
const TEXT = '1: 01 02 | 03\n2: 00 05 | 05\n';
const chosen = (name: string, dump: Dump | undefined) => ({
  name,
  read:
    dump === undefined
      ? ({ ok: false, why: phrase('{0} cannot be read.', name) } as const)
      : ({ ok: true, value: dump } as const),
});
const compared = (...dumps: readonly (Dump | undefined)[]) => {
  const { why, compared: those, table } = compareChosen(dumps.map((dump, i) => chosen('abcd'.charAt(i), dump)));
  return {
    why: why.map((one) => one && say(one)),
    names: those.map(({ name }) => name).join(''),
    says: table.says.map((one) => say(one)),
    rows: table.rows.map(({ title, what, values }) => [say(title), say(what), ...values.map((one) => say(one))]),
  };
};
const SAME = lines(PROFILE, TEXT);
const NOTHING_PROVED =
  'No difference was found, but not everything could be compared. So nothing is known to be the same.';

describe('files that are chosen to be compared', () => {
  it('are the same where each was read whole and holds the same bytes', () => {
    const { says, rows, names } = compared(SAME, SAME, SAME);
    assert.deepEqual([says, rows, names], [['All 3 are the same, byte for byte.'], [], 'abc']);
  });

  it('are not called the same where one of them could not be read, or is of another module', () => {
    const unread = compared(SAME, undefined, SAME);
    assert.deepEqual(unread.says, [NOTHING_PROVED]);
    assert.deepEqual([unread.names, unread.why], ['ac', [undefined, 'b cannot be read.', undefined]]);
    const other = compared(lines(PROFILE, `@part A-1\n${TEXT}`), SAME, lines(PROFILE, `@part B-2\n${TEXT}`));
    assert.deepEqual([other.names, other.says], ['ab', [NOTHING_PROVED]]);
    assert.match(other.why[2] ?? '', /^a and c: /);
  });

  it('are compared whatever cars they are of: that is what a table of many is for', () => {
    const of = (car: number, text: string) => lines(PROFILE, `@vehicle car ${car}\n@vin DEM0${car}\n${text}`);
    const { names, why, rows } = compared(
      of(1, TEXT),
      of(2, TEXT.replace('2: 00 05 | 05', '2: 01 05 | 06')),
      of(3, TEXT),
    );
    assert.deepEqual([names, why], ['abc', [undefined, undefined, undefined]]);
    assert.deepEqual(rows, [['Fog lamps', '', 'no', 'yes', 'no']]);
  });

  it('without a profile may miss what nobody can tell, which is said', () => {
    const bare = bindText('a.cfgdump', TEXT, EMPTY_PROFILE);
    assert.deepEqual(compared(bare, bare).says, [
      'All 2 are the same, byte for byte.',
      'No profile explains them, so nobody can tell that nothing is missing from all of them.',
    ]);
  });

  it('are too few where fewer than two can be read', () => {
    for (const dumps of [[SAME, undefined], [undefined, undefined], [SAME]])
      assert.match(compared(...dumps).says.join(), /^Fewer than two of these dumps can be compared/);
  });

  it('differ in options by their words, in other bytes by their place, and how many sums follow is said', () => {
    const fog = lines(PROFILE, TEXT.replace('2: 00 05 | 05', '2: 01 05 | 06'));
    const byte = lines(PROFILE, TEXT.replace('1: 01 02 | 03', '1: 01 09 | 0A'));
    const { rows, says } = compared(SAME, fog, byte);
    assert.deepEqual(rows, [
      ['Fog lamps', '', 'no', 'yes', 'no'],
      ['Line 1, byte 2', 'unexplained', '02', '02', '09'],
    ]);
    assert.deepEqual(says, ['Bytes that differ by these options: 1', 'Bytes of sums that follow: 2']);
    const cut = compared(SAME, lines(PROFILE, '1: 01 02 | 03\n2: xx 05 | 05\n'));
    assert.equal(
      cut.says.some((said) => said.startsWith('All')),
      false,
    );
  });
});
