// Why a dump was not read whole: a person is led to the row that is wrong, and to no other.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { whyNotWhole } from '../../../shared-core/src/model/whole.js';
import { whyWordUnclear } from '../../../shared-core/src/model/wordHeader.js';
import { EMPTY_PROFILE, type Profile } from '../../../shared-core/src/profile/index.js';
import { IMAGE, IMAGE_RECORDS, image, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const PROFILE = profileOf(LINES);
const [ONE, TWO, THREE, TOTAL] = LINES_TEXT.trimEnd().split('\n') as [string, string, string, string];
const of = (...rows: string[]) => lines(PROFILE, `${rows.join('\n')}\n`);
const text = (rows: string, profile: Profile = EMPTY_PROFILE) => bindText('a.cfgdump', rows, profile);

const UNREAD: readonly (readonly [what: string, dump: ReturnType<typeof of>, row: number | undefined, says: string])[] =
  [
    ['records', text('# nothing\n'), undefined, 'it holds no data that can be read.'],
    ['header', of('@vin A', '@vin B', ONE, TWO, THREE, TOTAL), 1, '"@vin" is given twice, with different values.'],
    [
      'header',
      of('# a', '@profile a', '@profile b', ONE, TWO, THREE, TOTAL),
      2,
      '"@profile" is given twice, and only one of them can count.',
    ],
    [
      'header',
      of('# a', '@word 3le', ONE, TWO, THREE, TOTAL),
      1,
      'row 2: "@word 3le" does not say in which words the bytes are. Write "@word" and one of 2le, 2be, 4le, 4be, or remove it.',
    ],
    ['row', of(ONE, '2: 0 1', THREE, '3: 0', TOTAL), 1, 'row 2 cannot be read (2 in all).'],
    ['repeated', of(ONE, TWO, '', TWO, THREE, TOTAL), 3, 'line 2 is in it twice (1 in all).'],
    ['length', of(ONE, TWO, '3: 00 00', TOTAL), 2, 'line 3 is too long or too short (1 in all).'],
    ['line', of(ONE, THREE, TOTAL), undefined, 'line 2 is missing (1 in all).'],
    ['total', of(ONE, TWO, THREE), undefined, 'the file sum is missing.'],
  ];

describe('what could not be read of a dump', () => {
  for (const [what, dump, row, says] of UNREAD)
    it(`is said with its row and how many there are: ${says}`, () => {
      const [first] = whyNotWhole(dump).filter((one) => one.what === what);
      assert.deepEqual(first && [first.row, say(first.why)], [row, says]);
    });

  it('is nothing of one that was read whole', () => {
    assert.deepEqual(whyNotWhole(of(ONE, TWO, THREE, TOTAL)), []);
    // A line that the profile does not know is read all the same.
    assert.deepEqual(whyNotWhole(of(ONE, TWO, THREE, '9: 01', TOTAL)), []);
  });

  it('of an image is told by addresses, and by the row that leaves them in doubt', () => {
    const profile = profileOf(IMAGE);
    const [first, second, third] = IMAGE_RECORDS;
    const said = (...rows: string[]) =>
      whyNotWhole(image(profile, ...rows)).map(({ what, row, why }) => `${what} ${row} ${say(why)}`);
    assert.deepEqual(said(first, third, ':00000001FF'), ['address 1 address 0014–0017 is missing (gaps in all: 1).']);
    const [doubt = ''] = said(first, second, third);
    assert.match(doubt, /^image \d+ row \d+: /);
    assert.deepEqual(said(first, second, third, ':00000001FF'), []);
  });
});

describe('the words that a file is written in', () => {
  const why = (...headers: readonly (readonly [row: number, name: string, value: string])[]) => {
    const found = whyWordUnclear(headers.map(([row, name, value]) => ({ row, header: { name, value } })));
    return found && [found.row, say(found.why)];
  };

  it('are unclear where a header says none of them, or two say different ones, at the row of that', () => {
    assert.equal(why([0, 'word', '2le'], [4, 'word', '2le'], [5, 'vin', '2be']), undefined);
    assert.deepEqual(why([0, 'word', '2le'], [4, 'word', '2be']), [
      4,
      'Row 5: "@word" is given twice, with different values. Remove the wrong one.',
    ]);
    const wrong =
      'does not say in which words the bytes are. Write "@word" and one of 2le, 2be, 4le, 4be, or remove it.';
    assert.deepEqual(why([2, 'word', '']), [2, `Row 3: "@word" ${wrong}`]);
    assert.deepEqual(why([2, 'words', '2le']), [2, `Row 3: "@words 2le" ${wrong}`]);
    assert.deepEqual(why([2, '', 'word 2le']), [2, `Row 3: "@ word 2le" ${wrong}`]);
    assert.equal(why([2, '', 'words of mine'], [3, 'wish', '2le'], [4, 'note', 'word']), undefined);
  });
});
