import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { compareDumps, compareMany, comparisonInWords } from '../../../shared-core/src/compare/index.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE, readProfile } from '../../../shared-core/src/profile/index.js';
import { LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const profile = profileOf({ ...LINES, appliesTo: { part: ['RB*'] }, volatile: [{ line: 3, bytes: '2' }] });
const said = (one: Dump, other: Dump) => {
  const comparison = compareDumps(one, other);
  return { ...comparison, words: comparisonInWords(comparison).map((phrase) => say(phrase)) };
};
const counted = LINES_TEXT.replace('3: 00 00 00 | 00', '3: 00 01 00 | 01').replace('02 27', '02 28');

describe('two dumps by a profile that proves nothing', () => {
  it('may hold the same bytes, which is said, and are not called the same', () => {
    for (const head of ['@part IC\n', '']) {
      const { identical, unread, words } = said(lines(profile, head + LINES_TEXT), lines(profile, head + LINES_TEXT));
      assert.deepEqual([identical, unread.length], [false, 1]);
      assert.match(words.join('\n'), /^The profile is for .*\nBoth hold the same bytes, and more is not proved\.$/);
    }
  });

  it('are said to be of two modules where they are whole by a profile each, and neither is called torn', () => {
    const other = profileOf({
      format: 1,
      notation: { pattern: 'R{label} {data}' },
      lines: { from: 0, to: 1, data: 2 },
    });
    const rear = lines(profileOf(LINES), `@profile rear.json\n${LINES_TEXT}`);
    const display = lines(other, '@profile display.json\nR0 01 02\nR1 03 04\n');
    for (const [one, two, first, second] of [
      [rear, display, 'rear', 'display'],
      [display, rear, 'display', 'rear'],
    ] as const) {
      const { identical, words } = said(one, two);
      assert.equal(identical, false);
      // What must not be written is before all else.
      assert.deepEqual(words.filter((one) => !/^Do not write/.test(one)).slice(0, 2), [
        `They name two profiles, "${first}.json" and "${second}.json", so they are of two modules or of two versions of one. Nothing is proved.`,
        'The first is whole by its own profile, and the profile of the second does not read it whole.',
      ]);
      assert.doesNotMatch(words.join('\n'), /Not read whole/);
    }
    const torn = lines(profileOf(LINES), `@profile rear.json\n${LINES_TEXT.replace('2: 01 10 00', '2: 01 10')}`);
    assert.match(said(torn, display).words.join('\n'), /Not read whole, before/);
  });

  it('have no places that change by themselves', () => {
    const volatile = (head: string) =>
      compareDumps(lines(profile, head + LINES_TEXT), lines(profile, head + counted)).lines.flatMap(({ bytes }) =>
        bytes.filter((byte) => byte.volatile),
      ).length;
    assert.deepEqual([volatile('@part RB-1\n'), volatile('@part IC\n'), volatile('')], [1, 0, 0]);
    const reasons = (head: string) => {
      const [one, other] = [lines(profile, head + LINES_TEXT), lines(profile, head + counted)] as const;
      const two = compareDumps(one, other).lines.flatMap(({ bytes }) => bytes);
      return [two[0]?.reason, compareMany(one, [other, one]).bytes[0]?.reason];
    };
    assert.deepEqual(reasons('@part RB-1\n'), ['volatile', 'volatile']);
    assert.deepEqual(reasons('@part IC\n'), ['unexplained', 'unexplained']);
  });

  it('are in doubt in whatever order they are compared', () => {
    const sound = lines(profile, `@part RB-1\n${LINES_TEXT}`);
    const flawed = lines(readProfile('{}').profile, `@part RB-1\n${LINES_TEXT}`);
    const unread = lines(EMPTY_PROFILE, `@profile gone.dump-profile.json\n@part RB-1\n${LINES_TEXT}`);
    for (const [one, other] of [
      [sound, flawed],
      [flawed, sound],
      [sound, unread],
      [unread, sound],
    ] as const) {
      const { identical, unread: why } = said(one, other);
      assert.deepEqual([identical, why.map(({ side }) => side)], [false, ['profile']]);
    }
  });

  it('that only one of them names are said to be so, whichever it is', () => {
    const named = lines(profile, `@profile p.dump-profile.json\n@part RB-1\n${LINES_TEXT}`);
    const bare = lines(EMPTY_PROFILE, LINES_TEXT);
    const caveat = (one: Dump, other: Dump) => {
      const { caveat: what } = compareDumps(one, other);
      return what && say(what);
    };
    const said = 'One names the profile "p.dump-profile.json", the other names none.';
    assert.deepEqual([caveat(named, bare), caveat(bare, named), caveat(named, named)], [said, said, undefined]);
    assert.doesNotMatch(caveat(bare, bare) ?? '', /^One names/);
  });

  it('are of its module if one of both says so and they are alike in each byte; else both must say it', () => {
    const doubts = (one: string, other: string, text = LINES_TEXT) =>
      said(lines(profile, one + LINES_TEXT), lines(profile, other + text)).unread.map((doubt) => [
        doubt.side,
        doubt.what,
        say(doubt.why).replace(/^.*(?=\. )/, ''),
      ]);
    const unconfirmed = [['profile', 'unconfirmed', '. Nothing is proved by it.']];
    const [fits, none, other] = ['@part RB-1\n', '', '@part IC\n'];
    assert.deepEqual(doubts(fits, fits), []);
    assert.deepEqual(doubts(fits, none), []);
    assert.deepEqual(doubts(none, fits), []);
    assert.deepEqual(doubts(none, none), unconfirmed);
    assert.deepEqual(doubts(fits, fits, counted), []);
    assert.deepEqual(doubts(fits, none, counted), unconfirmed);
    assert.deepEqual(doubts(none, fits, counted), unconfirmed);
    // A line that cannot be read makes up for no other that differs.
    const torn = (one: string, text: string) => lines(profile, `${one}${text.replace('2: 01', '2: 0x')}`);
    for (const [one, two] of [
      [torn(fits, LINES_TEXT), torn(none, counted)],
      [torn(fits, LINES_TEXT.replace(/^3.*\n/m, '')), torn(none, LINES_TEXT)],
      [torn(fits, LINES_TEXT), torn(none, LINES_TEXT)],
    ] as const)
      assert.ok(said(one, two).unread.some(({ what }) => what === 'unconfirmed'));
    for (const [one, two] of [
      [fits, other],
      [other, fits],
      [other, other],
    ] as const)
      assert.ok(
        doubts(one, two).some(([side, what]) => side === 'profile' && what === 'profile'),
        one + two,
      );
  });

  it('cannot be read or has problems: which one and why is said once', () => {
    const unread = lines(EMPTY_PROFILE, `@profile gone.dump-profile.json\n${LINES_TEXT}`);
    const flawed = lines(readProfile('{}').profile, LINES_TEXT);
    const why = (one: Dump, other: Dump) => said(one, other).unread.map((doubt) => say(doubt.why));
    const gone = 'The profile "gone.dump-profile.json" could not be read, so nothing is proved.';
    assert.deepEqual(why(unread, unread), [gone]);
    const [problem, ...more] = why(flawed, flawed);
    assert.match(problem ?? '', /^The profile has problems \(1\), so nothing is proved by it\. Correct them first: /);
    assert.deepEqual(more, []);
    const unnamed = lines(EMPTY_PROFILE, LINES_TEXT);
    assert.deepEqual(why(unnamed, unnamed), []);
    const alsoRead = lines(profileOf(LINES), `@profile gone.dump-profile.json\n${LINES_TEXT}`);
    assert.deepEqual(why(alsoRead, alsoRead), []);
  });

  it('that names none hold the same bytes, of which some may be missing in both', () => {
    const { identical, words } = said(lines(EMPTY_PROFILE, LINES_TEXT), lines(EMPTY_PROFILE, LINES_TEXT));
    assert.equal(identical, true);
    assert.deepEqual(words, [
      'Both hold the same bytes.',
      'No profile explains them, so nobody can tell that nothing is missing from both.',
    ]);
  });
});
