// Files that were chosen to be compared, in words: none is left out in silence, and nothing is called the same that was not read.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { phrase, say } from '../../../shared-core/src/base/index.js';
import { compareChosen } from '../../../shared-core/src/compare/manyInWords.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { END, image, lines, profileOf } from '../../support/smallDumps.js';

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
  const { why, compared: those, table } = compareChosen(dumps.map((dump, i) => chosen('abcde'.charAt(i), dump)));
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

  it('show nothing as read where a line cannot be read or is not there, and call it as it is written', () => {
    const text = 'B1/01: 01 02\nB2/05: 00 05\n';
    const by = profileOf({ notation: { pattern: 'B{label}/{label}: {data}' } });
    const other = text.replace('B2/05: 00', 'B2/05: 03');
    const unread = text.replace('B2/05: 00', 'B2/05: 0Z');
    const twice = `${text}B2/05: 00 05\n`;
    const gone = 'B1/01: 01 02\n';
    const { rows, says } = compared(...[text, other, unread, twice, gone].map((one) => lines(by, one)));
    assert.deepEqual(rows, [
      ['Line B2/05, byte 1', 'unexplained', '00', '03', 'cannot be read', 'cannot be read', '--'],
    ]);
    assert.deepEqual(
      says.filter((one) => one.includes('Line ')),
      [
        'c: Line B2/05 cannot be read or is there twice, and was not compared. Correct it first.',
        'd: Line B2/05 cannot be read or is there twice, and was not compared. Correct it first.',
        'e: Line B2/05 is missing now.',
      ],
    );
  });

  it('show nothing as read at addresses that cannot be read or are not there', () => {
    const of = (...records: readonly string[]) => image(EMPTY_PROFILE, ...records, END);
    // Two's complement of all bytes (Intel, Hexadecimal Object File Format, 1988).
    const [first, other] = [':02001000A1B29B', ':02001000A1B39A'];
    const { rows } = compared(of(first), of(other), of(first.replace('A1', 'AZ')), of(':02002000A1B28B'));
    assert.deepEqual(
      rows.map(([title, , ...values]) => [title, ...values]),
      [['Address 0011', 'B2', 'B3', 'cannot be read', '--']],
    );
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
