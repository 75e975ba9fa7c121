import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { phrase, say } from '../../../shared-core/src/base/index.js';
import type { ProblemCode } from '../../../shared-core/src/checks/diagnostics.js';
import { checkDump, shownProblems } from '../../../shared-core/src/checks/index.js';
import type { ProfileStatus } from '../../../shared-core/src/checks/loadedDump.js';
import { problem } from '../../../shared-core/src/checks/problem.js';
import { mostUrgent } from '../../../shared-core/src/checks/shownProblems.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE, readProfile } from '../../../shared-core/src/profile/index.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { END, IMAGE, IMAGE_RECORDS, image, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const PROFILE = profileOf(LINES);
/** Each problem with what it marks in the text. */
const marked = (dump: Dump, profile = SOUND) =>
  checkDump(loaded(dump, profile)).map(({ code, row, start, end, label }) => [
    code,
    row,
    dump.rows[row]?.text.slice(start, end),
    label,
  ]);

describe('where problems are', () => {
  it('a sum at its digits, with the label of its line', () => {
    assert.deepEqual(marked(lines(PROFILE, LINES_TEXT.replace('02 27', '03 28'))), [
      ['total-sum', 3, '03 28', 'total'],
    ]);
    assert.deepEqual(marked(lines(PROFILE, LINES_TEXT.replace('| 11', '| 12'))), [['line-sum', 1, '12', 2]]);
  });

  it('a sum over two records at its first digits', () => {
    const profile = profileOf({
      addresses: { from: 0, to: 3 },
      totals: [{ name: 'sum', method: 'add', bits: 16, over: [{ from: 0, to: 1 }], address: 2 }],
    });
    const records = (low: string) => [':0300000001020 0FA'.replace(' ', ''), `:01000300${low}`, END];
    assert.deepEqual(marked(image(profile, ...records('03F9'))), []);
    assert.deepEqual(marked(image(profile, ...records('04F8'))), [['total-sum', 0, '00', 0]]);
  });

  it('a sum that is missing in the last line, of an image where the file begins', () => {
    assert.deepEqual(marked(lines(PROFILE, LINES_TEXT.replace(/^total.*\n/m, ''))), [
      ['total-missing', 2, '3', 'total'],
    ]);
    const profile = profileOf({ totals: [{ method: 'add', over: [{ from: 0, to: 0 }], address: 9 }] });
    assert.deepEqual(marked(image(profile, ':0100000001FE', END)), [['total-missing', 0, '', undefined]]);
  });

  it('a place in the line that is too short for it, or else at the profile', () => {
    const bare = profileOf({
      locked: [
        { line: 1, byte: 1 },
        { line: 2, byte: 3 },
        { line: 7, byte: 1 },
      ],
    });
    assert.deepEqual(marked(lines(bare, '@profile p.json\n1: 00\n 2: 00\n')), [
      ['not-checked', 0, 'p.json', undefined],
      ['not-checked', 2, '2', undefined],
    ]);
    const addressed = profileOf({ locked: [{ address: 5 }] });
    assert.deepEqual(marked(lines(addressed, '5: 00\n')), [['not-checked', 0, '5: 00', undefined]]);
    assert.deepEqual(
      marked(image(bare, ':0100010001FD', END)).map(([code, row]) => [code, row]),
      Array(3).fill(['not-checked', 0]),
    );
  });

  it('no profile where the first line is, but not where a header without a value is marked', () => {
    const none = { kind: 'none' } as const;
    assert.deepEqual(marked(lines(EMPTY_PROFILE, '\n1: 00\n'), none), [['no-profile', 1, '1: 00', undefined]]);
    assert.deepEqual(marked(lines(EMPTY_PROFILE, '@profile\n1: 00\n'), none), [
      ['header-empty', 0, '@profile', undefined],
    ]);
    assert.deepEqual(marked(lines(EMPTY_PROFILE, '@note x\n1: 00\n'), none).length, 1);
    const long = `1: ${'00 '.repeat(100)}`;
    assert.deepEqual(marked(lines(EMPTY_PROFILE, `${long}\n`), none), [
      ['no-profile', 0, long.slice(0, 120), undefined],
    ]);
    const [empty] = checkDump(loaded(lines(EMPTY_PROFILE, '\n \n')));
    assert.match(say(empty?.message ?? { pattern: '', parts: [] }), /^This file is empty/);
    const [other] = checkDump(loaded(lines(EMPTY_PROFILE, '\n# x\n')));
    assert.match(say(other?.message ?? { pattern: '', parts: [] }), /^No profile explains this dump/);
  });
});

describe('a wrong line sum', () => {
  const said = (text: string) => {
    const [problem] = checkDump(loaded(lines(PROFILE, LINES_TEXT.replace('A1 B2 C3', text)), SOUND));
    return say(problem?.message ?? { pattern: '', parts: [] });
  };

  it('names the one digit that was probably taken for another, whichever of both it is', () => {
    assert.match(said('A1 82 C3'), /right with B2 for 82 in byte 2, digits that are easily taken for each other\.$/);
    assert.match(said('A7 B2 C3'), /right with A1 for A7 in byte 1/);
    assert.match(said('A1 B2 C8'), /right with C3 for C8 in byte 3/);
  });

  it('names none where none would do, or several', () => {
    assert.match(said('A1 B2 C4'), /its bytes make 17\.$/);
    const [problem] = checkDump(loaded(lines(PROFILE, LINES_TEXT.replace('00 00 00 | 00', '00 80 80 | 80')), SOUND));
    assert.doesNotMatch(say(problem?.message ?? { pattern: '', parts: [] }), /easily taken/);
  });
});

describe('what concerns a whole image', () => {
  it('is where the file begins', () => {
    const profile = profileOf({ ...IMAGE, appliesTo: { part: ['A'] } });
    const [first] = checkDump(loaded(image(profile, ...IMAGE_RECORDS, END), SOUND));
    assert.deepEqual([first?.code, first?.row, first?.start, first?.end], ['profile-unconfirmed', 0, 0, 0]);
  });

  it('is also a profile that cannot be read or has a problem, though its records have sums of their own', () => {
    const why = phrase('It is not there.');
    const codes = (dump: Dump, profile: ProfileStatus) => checkDump(loaded(dump, profile)).map(({ code }) => code);
    const bare = image(EMPTY_PROFILE, ...IMAGE_RECORDS, END);
    assert.deepEqual(codes(bare, { kind: 'unreadable', why }), ['profile-unreadable']);
    assert.deepEqual(codes(bare, { kind: 'none' }), []);
    const flawed = readProfile('{ "format": 1, "colour": "red" }').profile;
    assert.deepEqual(codes(image(flawed, ...IMAGE_RECORDS, END), SOUND), ['profile-invalid']);
  });
});

describe('the problems that must not be missed', () => {
  it('are those of security before those of locked bytes, and these before all others, in the order of the text', () => {
    const place = { row: 0, start: 0, end: 1 };
    const kinds = ['line-sum', 'locked-changed', 'security-changed', 'not-hex', 'locked-changed', 'security-changed'];
    const all = kinds.map((code, row) => problem(code as ProblemCode, { ...place, row }, phrase('x')));
    const kept = (most: number) => mostUrgent(all, most).map(({ row }) => row);
    assert.deepEqual([1, 2, 3, 4, 5, 6].map(kept), [
      [2],
      [2, 5],
      [1, 2, 5],
      [1, 2, 4, 5],
      [0, 1, 2, 4, 5],
      [0, 1, 2, 3, 4, 5],
    ]);
  });
});

describe('the first problems of a file', () => {
  it('are a thousand, and how many there are in all', () => {
    const records = (count: number) => image(EMPTY_PROFILE, ...Array<string>(count).fill(':0100000000FE'), END);
    // All but the first record overlap it, which is one problem.
    assert.equal(shownProblems(checkDump(loaded(records(999)))).length, 1000);
    const [first, ...others] = shownProblems(checkDump(loaded(records(1000))));
    assert.deepEqual([first?.code, first?.message.parts, others.length], ['more-problems', [1001, 1000], 1000]);
  });

  it('are with those of security and locked bytes, wherever these are; a check knows all', () => {
    const head = { lines: { from: 1, to: 1100, data: 1, sum: 1 }, lineSum: { method: 'add', over: ['data'] } };
    const profile = profileOf({ ...head, locked: [{ line: 1100, byte: 1, why: 'identity' }] });
    const text = (sum: string, last: string) =>
      `@backup b\n${Array.from({ length: 1099 }, (_, i) => `${i + 1}: 01 ${sum}\n`).join('')}1100: ${last} ${last}\n`;
    const backup = { kind: 'read', dump: lines(profile, text('01', '11')) } as const;
    const all = checkDump(loaded(lines(profile, text('02', '99')), SOUND, backup));
    assert.deepEqual([all.length, all.at(-1)?.code], [1100, 'locked-changed']);
    const shown = shownProblems(all);
    assert.deepEqual([shown.length, shown[0]?.code, shown.at(-1)?.code], [1001, 'more-problems', 'locked-changed']);
  });
});
