// Of several dumps each place is told as what it is in all of them: a sum that follows only where it is right in each.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { done, say } from '../../../shared-core/src/base/index.js';
import { compareMany } from '../../../shared-core/src/compare/manyDumps.js';
import { compareChosen, spanInMany } from '../../../shared-core/src/compare/manyInWords.js';
import { outcomeInWords } from '../../../shared-core/src/compare/threeWays.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE, type Profile } from '../../../shared-core/src/profile/index.js';
import { DATA, SETTINGS, STARTS, settings, withBytes } from '../../support/copies.js';
import { END, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const image = (profile: Profile, ...records: readonly string[]) =>
  bindText('a.hex', [...records, END, ''].join('\n'), profile);
const PLAIN = profileOf({ addresses: { from: 0x10, to: 0x13 } });

describe('the sum of a record among several images', () => {
  // By hand (Intel, Hexadecimal Object File Format, 1988): two's complement of the sum of all bytes.
  const [one, two, wrong] = [':0400100001020304E2', ':0400100001020305E1', ':0400100001020305E0'];

  it('follows where it is right in each of them, and is told where it is wrong in one', () => {
    const sums = (...records: readonly string[]) => {
      const [first, ...others] = records.map((record) => image(PLAIN, record));
      assert.ok(first);
      return compareMany(first, others)
        .bytes.filter(({ address }) => address === undefined)
        .map(({ label, byte, isTold }) => [label, byte, isTold]);
    };
    assert.deepEqual(sums(one, two), [['0010', 5, true]]);
    assert.deepEqual(sums(one, wrong), [['0010', 5, false]]);
    assert.deepEqual(sums(one, two, wrong), [['0010', 5, false]]);
  });

  it('is found in the text of each, as each byte is by its address', () => {
    const [first, other] = [image(PLAIN, one), image(PLAIN, ':020010000102EB', ':020012000305E4')];
    const [same] = [image(PLAIN, two)];
    const { bytes } = compareMany(first, [same]);
    const shown = (dump: Dump, at: number | undefined) => {
      const place = bytes.find(({ address }) => address === at);
      const span = place && spanInMany(first, dump, place);
      return span && dump.rows[span.row]?.text.slice(span.start, span.end);
    };
    assert.equal(bytes.length, 2);
    assert.deepEqual([shown(same, 0x13), shown(same, undefined)], ['05', 'E1']);
    assert.equal(shown(other, 0x13), '05');
  });
});

describe('copies among several dumps', () => {
  it('are explained by one that changed for a known reason where they agree in each dump, and else are to be looked at', () => {
    const reasons = (...changes: readonly Readonly<Record<number, number>>[]) => {
      const first = settings();
      const others = changes.map((change) => withBytes(first, SETTINGS, change));
      return compareMany(first, others)
        .bytes.filter(({ address }) => STARTS.some((start) => address === start + 2))
        .map(({ address, reason }) => `${address} ${reason}`);
    };
    const to = (DATA[2] as number) ^ 1;
    assert.deepEqual(reasons({ 18: to, 34: to, 50: to }), ['18 option', '34 copy', '50 copy']);
    assert.deepEqual(reasons({ 18: to, 34: to }), ['18 option', '34 unexplained']);
    assert.deepEqual(reasons({ 18: to, 34: to, 50: to }, { 18: to, 34: to }), [
      '18 option',
      '34 unexplained',
      '50 unexplained',
    ]);
  });
});

describe('several dumps that are the same', () => {
  it('are without anybody to tell what is missing only where no profile explains any of them', () => {
    const chosen = (...profiles: readonly Profile[]) =>
      compareChosen(
        profiles.map((profile, i) => ({ name: `${i}`, read: done(lines(profile, LINES_TEXT)) })),
      ).table.says.map((one) => say(one));
    const known = profileOf({ ...LINES });
    assert.ok(chosen(EMPTY_PROFILE, EMPTY_PROFILE).some((one) => one.startsWith('No profile explains them')));
    assert.ok(!chosen(known, EMPTY_PROFILE).some((one) => one.startsWith('No profile explains them')));
    assert.ok(!chosen(known, known).some((one) => one.startsWith('No profile explains them')));
  });
});

describe('what became of a plan', () => {
  it('is told apart where it was planned and where it was not', () => {
    const words = (['written', 'kept', 'volatile', 'not-read', 'other'] as const).map((outcome) =>
      [true, false].map((planned) => say(outcomeInWords(outcome, planned))),
    );
    assert.deepEqual(words, [
      ['written as planned', 'written as planned'],
      ['not written: still as found', 'not written: still as found'],
      ['changes by itself', 'changes by itself'],
      ['not read: it is missing there, or in doubt', 'not read: it is missing there, or in doubt'],
      ['neither as found nor as planned', 'changed, but not planned'],
    ]);
  });
});
