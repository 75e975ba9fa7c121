import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { phrase, say } from '../../../shared-core/src/base/index.js';
import {
  checkDump,
  isGood,
  statusOf,
  summaryOf,
  verdictOf,
  verdictOfText,
  verdictOfUnreadable,
} from '../../../shared-core/src/checks/index.js';
import type { ProfileStatus } from '../../../shared-core/src/checks/loadedDump.js';
import type { OtherModules } from '../../../shared-core/src/checks/otherModules.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { END, IMAGE, IMAGE_RECORDS, image, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const NO_PROFILE = { kind: 'none' } as const;
const verdict = (dump: Dump, profile: ProfileStatus = SOUND, modules?: OtherModules) => {
  const all = loaded(dump, profile, { kind: 'none' }, modules);
  return { name: 'a', verdict: verdictOf(all, checkDump(all)) };
};
const summary = (...verdicts: readonly ReturnType<typeof verdict>[]) => summaryOf(verdicts).map((said) => say(said));

describe('the verdict of a check', () => {
  const good = verdict(lines(profileOf(LINES), LINES_TEXT));
  const bad = verdict(lines(profileOf(LINES), LINES_TEXT.replace('| 11', '| 12')));

  it('is good where every place and every sum of the profile was checked', () => {
    assert.equal(isGood(good.verdict), true);
    assert.deepEqual([statusOf([good]), summary(good, good)], [0, ['Files checked: 2, all good']]);
    const whole = verdict(image(profileOf(IMAGE), ...IMAGE_RECORDS, END));
    assert.deepEqual(summary(whole), ['Files checked: 1, all good']);
  });

  it('names the sums that are only a guess, those of lines and those of files, and stays good', () => {
    const guessed = (lineSum: object, total: object) => {
      const { lineSum: ofLines, totals: ofFiles } = LINES;
      const profile = profileOf({
        ...LINES,
        lineSum: { ...ofLines, ...lineSum },
        totals: ofFiles.map((one) => ({ ...one, ...total })),
      });
      const one = verdict(lines(profile, LINES_TEXT));
      assert.equal(isGood(one.verdict), true);
      return one.verdict.guessed.map((said) => say(said));
    };
    const guess = { confidence: 'guess' };
    const [ofLines, ofFile] = [
      'how its lines are summed is only a guess: dumps with other data show whether it is right.',
      'only a guess: file sum. A dump of another car, with another value, confirms it.',
    ];
    assert.deepEqual(guessed({}, {}), []);
    assert.deepEqual(guessed({ confidence: 'likely' }, { confidence: 'likely' }), []);
    assert.deepEqual(guessed(guess, {}), [ofLines]);
    assert.deepEqual(guessed({}, guess), [ofFile]);
    assert.deepEqual(guessed(guess, guess), [ofLines, ofFile]);
  });

  it('counts errors and warnings', () => {
    assert.deepEqual([statusOf([good, bad]), summary(good, bad)], [1, ['Errors: 1, warnings: 0']]);
    const order = LINES_TEXT.split('\n');
    const warned = verdict(lines(profileOf(LINES), [order[1], order[0], ...order.slice(2)].join('\n')));
    assert.deepEqual([statusOf([warned]), summary(warned)], [1, ['Errors: 0, warnings: 1']]);
  });

  const { lines: geometry, totals } = LINES;
  const noSum = { lines: { ...geometry, sum: 0 } };
  const CASES: readonly [what: string, ReturnType<typeof verdict>, said: RegExp][] = [
    ['lines without a profile', verdict(lines(EMPTY_PROFILE, LINES_TEXT), NO_PROFILE), /no sum was checked/],
    ['an image without a profile', verdict(image(EMPTY_PROFILE, ...IMAGE_RECORDS, END), NO_PROFILE), /and no file sum/],
    [
      'data at addresses that the profile says nothing of',
      verdict(image(profileOf(IMAGE), ...IMAGE_RECORDS, ':02004000AAAA6A', END)),
      /says nothing of the data at 0040–0041 \(stretches in all: 1\)/,
    ],
    [
      'a hex view without a profile, which has no sums at all',
      verdict(bindText('a.xxd', '00000000: 3132 3334  1234\n', EMPTY_PROFILE), NO_PROFILE),
      /so no sum was checked/,
    ],
    [
      'a profile without sums',
      verdict(lines(profileOf(noSum), '1: 00 00 00\n2: 00 00 00\n3: 00 00 00\n')),
      /describes no sum/,
    ],
    [
      'line sums that nobody describes',
      verdict(lines(profileOf({ lines: geometry, totals }), LINES_TEXT)),
      /no line sum was checked/,
    ],
    [
      'an image whose profile has no file sum',
      verdict(image(profileOf({ addresses: IMAGE.addresses }), ...IMAGE_RECORDS, END)),
      /describes no file sum/,
    ],
    [
      'a profile that names no lines',
      verdict(lines(profileOf({ totals: [{ method: 'add', over: ['data'] }] }), '1: 01\ntotal: 01\n')),
      /missing one would not be noticed/,
    ],
  ];
  for (const [what, one, words] of CASES) {
    it(`never calls good what was not checked: ${what}`, () => {
      assert.equal(isGood(one.verdict), false);
      // Data that the profile leaves out may hold anything; where nothing is described, nothing was promised.
      assert.equal(statusOf([one]), one.verdict.isPartial ? 1 : 0);
      assert.equal(one.verdict.isPartial, what.startsWith('data at addresses'));
      assert.equal(one.verdict.unchecked.length, 1);
      const said = summary(one);
      assert.match(said.join('\n'), words);
      assert.doesNotMatch(said.join('\n'), /all good/);
      assert.equal(said.at(-1), 'Files checked: 1, no problem found in what was checked');
    });
  }

  it('of a profile or a retrofit counts what is wrong with it', () => {
    const found = [{ severity: 'error' }, { severity: 'warning' }, { severity: 'error' }] as const;
    assert.deepEqual(verdictOfText(found), {
      isUnread: false,
      errors: 2,
      warnings: 1,
      isPartial: false,
      unchecked: [],
      guessed: [],
    });
  });

  it('of a file that cannot be read is that nothing was read, and says why: status 2', () => {
    const why = phrase('{0} cannot be read: {1}', 'c', 'it is gone');
    const unread = { name: 'c', verdict: verdictOfUnreadable(why) };
    assert.equal(isGood(unread.verdict), false);
    assert.equal(statusOf([good, unread]), 2);
    assert.deepEqual(summary(unread), ['c cannot be read: it is gone']);
    assert.deepEqual(summary(good, unread), [
      'c cannot be read: it is gone',
      'Files checked: 1, no problem found in what was checked',
    ]);
    assert.deepEqual(unread.verdict, {
      isUnread: true,
      why,
      errors: 0,
      warnings: 0,
      isPartial: false,
      unchecked: [],
      guessed: [],
    });
  });

  it('says once what was not checked in several files', () => {
    const [, without] = CASES[0] as (typeof CASES)[number];
    assert.deepEqual(summary(without, without, good), [
      'a and others (2 in all): no profile explains it, so no sum was checked.',
      'Files checked: 3, no problem found in what was checked',
    ]);
  });

  it('names the file, or the first of those of which the same is true', () => {
    const [, without] = CASES[0] as (typeof CASES)[number];
    const named = (name: string) => ({ ...without, name });
    const what = 'no profile explains it, so no sum was checked.';
    const last = (count: number) => `Files checked: ${count}, no problem found in what was checked`;
    assert.deepEqual(summary(named('b')), [`b: ${what}`, last(1)]);
    assert.deepEqual(summary(named('b'), named('c')), [`b and others (2 in all): ${what}`, last(2)]);
  });

  it('counts a file of which nothing was read among none that were checked, and says nothing else of it', () => {
    const empty = verdict(lines(EMPTY_PROFILE, ''), NO_PROFILE);
    assert.deepEqual(empty.verdict, {
      isUnread: true,
      errors: 0,
      warnings: 0,
      isPartial: false,
      unchecked: [],
      guessed: [],
    });
    assert.deepEqual(summary(good, empty), [
      'a: it holds no data that can be read, so nothing was checked.',
      'Files checked: 1, no problem found in what was checked',
    ]);
    assert.deepEqual(summary(empty), ['a: it holds no data that can be read, so nothing was checked.']);
  });

  it('names modules that a chosen option asks about and of which there is no dump', () => {
    const needs = [{ profile: 'other.dump-profile.json', option: 'x', in: [1] }];
    const [fog] = LINES.options;
    const profile = profileOf({ ...LINES, options: [{ ...fog, needs }] });
    assert.match(
      summary(verdict(lines(profile, LINES_TEXT))).join(),
      /no dump of the module of other\.dump-profile\.json/,
    );
    assert.deepEqual(
      verdict(lines(profile, LINES_TEXT)).verdict.unchecked.map((said) => say(said)),
      [
        'no dump of the module of other.dump-profile.json is at hand, so what its options ask of that module was not checked.',
      ],
    );
    const off = LINES_TEXT.replace('01 10 00 | 11', '00 10 00 | 10').replace('02 27', '02 26');
    assert.deepEqual(summary(verdict(lines(profile, off))), ['Files checked: 1, all good']);
    const other = profileOf({
      lines: { from: 1, to: 1, data: 1, sum: 0 },
      options: [{ id: 'x', line: 1, byte: 1, values: {} }],
    });
    const module: OtherModules = () => [{ file: 'b', name: 'b', dump: lines(other, '1: 01\n') }];
    assert.deepEqual(summary(verdict(lines(profile, LINES_TEXT), SOUND, module)), ['Files checked: 1, all good']);
  });

  it('is that nothing was read where there is not one record: status 2, whatever else was checked', () => {
    const utf16 = Buffer.from(`\ufeff${LINES_TEXT}`, 'utf16le').toString('utf8');
    for (const dump of [
      lines(EMPTY_PROFILE, ''),
      lines(EMPTY_PROFILE, '# a comment\n@note nothing\n'),
      lines(EMPTY_PROFILE, utf16),
      image(EMPTY_PROFILE, ''),
      image(EMPTY_PROFILE, END),
      image(EMPTY_PROFILE, 'some text'),
      bindText('a.hex', utf16, EMPTY_PROFILE),
      bindText('a.s19', IMAGE_RECORDS.join('\n'), EMPTY_PROFILE),
    ]) {
      const one = verdict(dump, NO_PROFILE);
      assert.equal(one.verdict.isUnread, true);
      assert.equal(statusOf([good, one]), 2);
      assert.doesNotMatch(summary(one).join(), /no problem|good/);
      assert.match(summary(good, one).join('\n'), /a: it holds no data that can be read, so nothing was checked/);
    }
  });
});
