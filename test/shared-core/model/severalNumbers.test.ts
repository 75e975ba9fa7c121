import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { balancePlaces, placeToBalance } from '../../../shared-core/src/actions/index.js';
import { fix } from '../../../shared-core/src/actions/repair.js';
import { takeLines } from '../../../shared-core/src/actions/restore.js';
import { setOptions } from '../../../shared-core/src/actions/setOptions.js';
import { say } from '../../../shared-core/src/base/index.js';
import { finish } from '../../../shared-core/src/base/steps.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { compareDumps } from '../../../shared-core/src/compare/index.js';
import { contentsOf } from '../../../shared-core/src/convert/contents.js';
import { textAfter, textOfRows } from '../../../shared-core/src/format/index.js';
import { viewByAddress } from '../../../shared-core/src/model/byAddress.js';
import { bindText, type Dump, dataCountOf, formatRows, labelOfRow } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { loaded, SOUND } from '../../support/loaded.js';
import {
  BY_PATTERN_TEXT,
  patternProfile,
  SEVERAL,
  SEVERAL_TEXT,
  severalProfile,
} from '../../support/severalNumbers.js';
import { lines, profileOf } from '../../support/smallDumps.js';

const DUMPS = {
  'dump text': { text: SEVERAL_TEXT, profile: severalProfile },
  'a pattern': { text: BY_PATTERN_TEXT, profile: patternProfile },
} as const;

const problems = (dump: Dump) =>
  checkDump(loaded(dump, SOUND)).map(({ code, row, label, message }) => `${row + 1} ${code} ${label}: ${say(message)}`);

const several = (text: string) => lines(severalProfile, text);
const without = (text: string, ...starts: readonly string[]) =>
  text
    .split('\n')
    .filter((line) => !starts.some((start) => line.startsWith(start)))
    .join('\n');
const labelsIn = ({ layout, rows }: Dump) => Array.from(layout.order, (row) => labelOfRow(rows[row]));

describe('labels of several numbers', () => {
  for (const [what, { text, profile }] of Object.entries(DUMPS)) {
    it(`in ${what}: a dump whose lines and sums are right has no problem`, () => {
      const dump = lines(profile, text);
      assert.deepEqual(problems(dump), []);
      assert.deepEqual(labelsIn(dump), ['1-9', '1-10', '1-11', '2-1', '2-2', '10-0']);
    });

    it(`in ${what}: each number of a label counts in the sum of its line`, () => {
      for (const [from, to] of [
        ['2-1', '1-12'],
        ['B2/01', 'B1/0C'],
      ] as const) {
        if (!text.includes(from)) continue;
        const dump = lines(profile, text.replace(from, to));
        assert.deepEqual(dump.layout.missing, ['2-1']);
        assert.equal(dump.layout.unknown.length, 1);
      }
      const wrong = lines(profile, text.replace(/10 00( \|)? 13/, '10 01$1 13'));
      // A line is called what its own text calls it.
      const called = text.includes('B2/01') ? 'B2/01' : '2-1';
      assert.equal(problems(wrong)[0], `4 line-sum 2-1: Line ${called}: its sum is 13, its bytes make 14.`);
    });

    it(`in ${what}: a missing line is put in where it belongs, as the other dump writes it`, () => {
      const whole = lines(profile, text);
      for (const start of [/^B?1.(?:11|0B):/, /^B?2.0?1:/]) {
        const lacking = lines(
          profile,
          text
            .split('\n')
            .filter((line) => !start.test(line))
            .join('\n'),
        );
        const taken = takeLines(loaded(lacking, SOUND), whole, undefined);
        assert.ok(taken.ok);
        assert.equal(textAfter(lacking.rows, taken.value.edits), text);
      }
    });
  }

  it('over one of their numbers: the one that is meant, in as many bytes as are said', () => {
    const of = (over: readonly string[], labelBytes: number) => ({
      lines: { from: '3-513', to: '3-513', data: 1, sum: 2 },
      lineSum: { method: 'add', bits: 16, over: [...over, 'data'], labelBytes },
    });
    // 513 is 0201: in two bytes 02 and 01, in one byte 01.
    for (const [over, labelBytes, sum] of [
      [['label'], 1, '00 14'],
      [['label'], 2, '00 16'],
      [['label.1'], 2, '00 13'],
      [['label.2'], 2, '00 13'],
      [['label.2'], 1, '00 11'],
      [['label.2', 'label.1'], 4, '00 16'],
    ] as const) {
      const dump = lines(profileOf({ ...of(over, labelBytes), totals: [] }), `3-513: 10 | ${sum}\n`);
      assert.deepEqual(dump.wrongSums, [], `${over} ${labelBytes}`);
    }
    // Where the order of bytes counts, so does that of the parts: 3, 2, 16 are not 2, 3, 16.
    const crc = (over: readonly string[]) =>
      lines(
        profileOf({
          lines: { from: '3-2', to: '3-2', data: 1, sum: 1 },
          lineSum: { method: 'crc', model: 'CRC-8/SMBUS', over: [...over, 'data'] },
        }),
        '3-2: 10 | 1D\n',
      ).wrongSums.length;
    assert.equal(crc(['label']) + crc(['label.1', 'label.2']), 2 * crc(['label']));
    assert.notEqual(crc(['label']) + crc(['label.2', 'label.1']), 0);
  });

  it('missing, repeated, unknown and out of order, each is said once and by its label', () => {
    assert.deepEqual(
      problems(several(without(SEVERAL_TEXT, '1-11', '2-1')))[0],
      '3 line-missing 1-11: Lines 1-11 to 2-1 are missing.',
    );
    const twice = problems(several(`${SEVERAL_TEXT}2-1: 10 00 | 13\n`));
    assert.match(
      twice.find((said) => said.startsWith('8')) ?? '',
      /^8 line-repeated 2-1: Line 2-1 is here a second time; the first is in row 4/,
    );
    const moved = several(`2-1: 10 00 | 13\n${without(SEVERAL_TEXT, '2-1')}`);
    assert.match(problems(moved)[0] ?? '', /^1 line-order 2-1: Line 2-1 is out of order here/);
    const unknown = (label: string) => problems(several(SEVERAL_TEXT.replace('2-1:', `${label}:`)));
    assert.match(unknown('3-1')[0] ?? '', /line-missing|line-unknown/);
    assert.ok(
      unknown('2').some((said) => /line-unknown 2: The profile knows lines 1-9 to 10-0, and no line 2\./.test(said)),
    );
    for (const spelled of ['2-01', '2.1', '0x2-1'])
      assert.ok(
        unknown(spelled).some((said) => said.includes(`The profile knows no line ${spelled}. Is 2-1 meant?`)),
        spelled,
      );
  });

  it('a line that is not there is no line of another number', () => {
    const dump = several(SEVERAL_TEXT);
    assert.equal(dataCountOf(dump, '1-10'), 3);
    for (const label of ['1-12', '1-010', '1', 1, '-9', '1-9-1', 'total', '', '10', '10-0-'])
      assert.equal(dataCountOf(dump, label), undefined, String(label));
  });

  it('an option in such a line is set with its line sum, and the file sum is kept by such a balance place', () => {
    for (const { text, profile } of Object.values(DUMPS)) {
      const dump = lines(profile, text);
      const fog = dump.profile.options[0];
      assert.ok(fog);
      const set = setOptions(loaded(dump, SOUND), [{ id: fog.id, to: { raw: 0n } }]);
      assert.ok(set.ok, set.ok ? '' : say(set.why));
      const after = textAfter(dump.rows, set.value.edits);
      assert.match(after, /1.(10|0A): 00 10 00 (\| )?1B\n/);
      assert.match(after, /2.0?2: 00 06 (\| )?0A\n/);
      assert.deepEqual(problems(lines(profile, after)), []);
    }
  });

  it('a line is balanced with by its label, however its numbers are written', () => {
    const dump = several(SEVERAL_TEXT.replace('10 00 | 13', '11 00 | 14'));
    for (const written of ['2-2', '2.2', '2/0x02']) {
      const place = placeToBalance(dump, written);
      assert.ok(place.ok);
      const fixed = fix(loaded(dump, SOUND), { totals: 'keep', using: place.value });
      assert.ok(fixed.ok);
      assert.match(textAfter(dump.rows, fixed.value.edits), /2-2: 00 04 \| 08\n/);
    }
    const places = finish(balancePlaces(loaded(dump, SOUND)));
    assert.ok(places.ok);
    assert.deepEqual(places.value.map(({ title }) => say(title)).sort(), [
      'Line 1-10',
      'Line 1-11',
      'Line 1-9',
      'Line 10-0',
      'Line 2-1',
      'Line 2-2',
    ]);
  });

  it('a locked line stays as it is', () => {
    const { profile } = several(SEVERAL_TEXT);
    const dump = several(SEVERAL_TEXT.replace('02 4B', '02 4C'));
    const place = placeToBalance(dump, '1-9');
    assert.ok(place.ok);
    const fixed = fix(loaded(dump, SOUND), { totals: 'keep', using: place.value });
    assert.ok(!fixed.ok);
    assert.equal(profile.flaw, undefined);
  });

  it('without a profile, lines by a pattern are lines in the order of their labels', () => {
    const { notation } = patternProfile;
    const shuffled = bindText('a.txt', BY_PATTERN_TEXT.split('\n').reverse().join('\n'), {
      ...EMPTY_PROFILE,
      notation,
    });
    assert.deepEqual(labelsIn(shuffled), ['1-9', '1-10', '1-11', '2-1', '2-2', '10-0']);
    assert.equal(shuffled.layout.outOfOrder.length, 5);
    const lacking = bindText('a.txt', without(BY_PATTERN_TEXT, 'B1/0B'), { ...EMPTY_PROFILE, notation });
    const taken = takeLines(loaded(lacking, SOUND), bindText('a.txt', BY_PATTERN_TEXT, lacking.profile), undefined);
    assert.ok(taken.ok);
    assert.equal(textAfter(lacking.rows, taken.value.edits), BY_PATTERN_TEXT);
  });

  it('a total over some of the lines, without "lines" in the profile, covers these', () => {
    const total = { name: 'block sum', method: 'add', bits: 8, lines: '1-9..1-10', label: 'total' };
    const dump = lines(profileOf({ totals: [total] }), '1-8: 01\n1-9: 02\n1-10: 04\n1-11: 08\n2-0: 10\ntotal: 06\n');
    assert.deepEqual(problems(dump), []);
  });

  it('are no addresses: nothing of such a dump is converted or compared by address', () => {
    const dump = bindText('a.cfgdump', '1-2: 01 02\n', EMPTY_PROFILE);
    assert.deepEqual(viewByAddress(dump), { spans: [], unsure: [], unplaced: 1 });
    const contents = contentsOf(dump);
    assert.ok(!contents.ok);
    assert.match(say(contents.why), /"1-2" is not an address/);
    const image = bindText('a.hex', ':020001000102FA\n:00000001FF\n', EMPTY_PROFILE);
    assert.equal(compareDumps(dump, image).identical, false);
  });

  it('are aligned like numbers', () => {
    const text = SEVERAL_TEXT.replace(/^(1-9|2-\d)/gm, ' $1');
    const dump = several(text);
    const edits = formatRows(dump, 0, dump.rows.length, { letterCase: 'keep', spacing: 'bytes' });
    assert.equal(textAfter(dump.rows, edits), text);
    assert.equal(textOfRows(dump.rows), text);
  });

  it('a record with a word for a name is no line, as it is under labels of one number', () => {
    const named = profileOf({ ...SEVERAL, totals: [{ ...SEVERAL.totals[0], label: 'RE-01' }] });
    assert.deepEqual(problems(lines(named, SEVERAL_TEXT.replace('total', 'RE-01'))), []);
    const beside = profileOf({ ...SEVERAL, totals: [{ ...SEVERAL.totals[0], label: '11-1' }] });
    assert.deepEqual(problems(lines(beside, SEVERAL_TEXT.replace('total', '11-1'))), []);
  });
});
