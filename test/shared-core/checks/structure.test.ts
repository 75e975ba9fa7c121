import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { titleOf } from '../../../shared-core/src/actions/fixes/fix.js';
import { fixesFor } from '../../../shared-core/src/actions/fixes/fixesFor.js';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import type { Problem } from '../../../shared-core/src/checks/problem.js';
import { isGood, verdictOf } from '../../../shared-core/src/checks/verdict.js';
import { isSealed } from '../../../shared-core/src/model/headers.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { NAMED_TEXT, namedProfile } from '../../support/namedLines.js';
import { END, IMAGE_RECORDS, image, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const PROFILE = profileOf(LINES);
/** Each problem of the named kinds: its row and what it marks there, with what is said of it. */
const found = (dump: Dump, ...codes: readonly string[]) =>
  checkDump(loaded(dump, dump.profile === EMPTY_PROFILE ? { kind: 'none' } : SOUND))
    .filter(({ code }) => codes.includes(code))
    .map(({ row, start, end, message }) => `${row + 1} "${dump.rows[row]?.text.slice(start, end)}" ${say(message)}`);
const facts = (dump: Dump, wanted: string) =>
  checkDump(loaded(dump, dump.profile === EMPTY_PROFILE ? { kind: 'none' } : SOUND))
    .filter(({ code }) => code === wanted)
    .map(({ label, meant, written }) => ({
      ...(label === undefined ? {} : { label }),
      ...(meant === undefined ? {} : { meant }),
      ...(written === undefined ? {} : { written }),
    }));
const inOrder = (order: readonly number[], rows = LINES_TEXT.trimEnd().split('\n')) =>
  `${order.map((at) => rows[at]).join('\n')}\n`;

describe('digits of a line that cannot be read', () => {
  it('are marked alone, with the label of their line, and what was probably meant', () => {
    const dump = lines(PROFILE, LINES_TEXT.replace('00 00 00', '00 0O 0'));
    assert.deepEqual(
      checkDump(loaded(dump, SOUND))
        .filter(({ row, code }) => row === 2 && code !== 'not-checked')
        .map(({ code, start, end, label, meant }) => [code, dump.rows[2]?.text.slice(start, end), label, meant]),
      [
        ['not-hex', 'O', 3, '0'],
        ['odd-digits', '0', 3, undefined],
      ],
    );
  });

  it('have no label where their line has none', () => {
    assert.deepEqual(facts(lines(PROFILE, `no line\n${LINES_TEXT}`), 'text-unreadable'), [{}]);
  });
});

describe('a file that is no text', () => {
  const what = /^This file is no text of hex lines/;

  it('has one problem, at the first character that no text has, in place of one for each line', () => {
    for (const odd of ['\0', '\uFFFD']) {
      const dump = lines(PROFILE, `1: A1 B2 C3 | 16\n2: 01${odd} 10 00 | 11\n3: zz\n4\n`);
      const all = checkDump(loaded(dump, SOUND));
      assert.deepEqual(
        all.map(({ code, row, start, end }) => [code, row, start, end]),
        [['text-unreadable', 1, 5, 6]],
      );
      assert.match(say(all[0]?.message ?? { pattern: '', parts: [] }), what);
    }
  });

  it('is known by any of its first lines that cannot be read, however many can', () => {
    const readable = Array.from({ length: 40 }, (_, i) => `${i + 1}: 00\n`).join('');
    const torn = (count: number) => lines(EMPTY_PROFILE, `${readable}${'?\n'.repeat(count)}\0\n`);
    assert.match(found(torn(15), 'text-unreadable').join('\n'), /^56 .*This file is no text/);
    assert.equal(found(torn(15), 'text-unreadable').length, 1);
    assert.doesNotMatch(found(torn(16), 'text-unreadable').join('\n'), /This file is no text/);
  });

  it('is not one with a single line that cannot be read', () => {
    assert.deepEqual(found(lines(EMPTY_PROFILE, '1: 00\nsome words\n'), 'text-unreadable').length, 1);
    assert.doesNotMatch(found(lines(EMPTY_PROFILE, '1: 00\nsome words\n'), 'text-unreadable').join(), /no text/);
  });
});

describe('a file that is written otherwise than its name says', () => {
  it('has one problem, at its first line that cannot be read, with the ending that its name should have', () => {
    const dump = lines(PROFILE, `# found in the car\n${[...IMAGE_RECORDS, END].join('\n')}  \n`);
    assert.deepEqual(
      checkDump(loaded(dump, SOUND)).map(({ code, row, start, end }) => [code, row, start, end]),
      [['text-unreadable', 1, 0, IMAGE_RECORDS[0].length]],
    );
    assert.deepEqual(facts(dump, 'text-unreadable'), [{ written: 'intel-hex' }]);
    assert.deepEqual(found(dump, 'text-unreadable'), [
      `2 "${IMAGE_RECORDS[0]}" This file holds Intel HEX. Give its name the ending ".hex".`,
    ]);
  });

  it('is known whatever people wrote before its records', () => {
    const noted = lines(EMPTY_PROFILE, `@note found\n# in the workshop\n${[...IMAGE_RECORDS, END].join('\n')}\n`);
    assert.deepEqual(facts(noted, 'text-unreadable'), [{ written: 'intel-hex' }]);
  });

  it('is none where the profile says how its lines are written', () => {
    const pattern = profileOf({ notation: { pattern: '[{label:hex}] {data}' } });
    const text = `${[...IMAGE_RECORDS, END].join('\n')}\n`;
    assert.doesNotMatch(found(bindText('a.txt', text, pattern), 'text-unreadable').join(), /This file holds/);
  });

  it('of which it is unclear how it is written, has one problem in its first row, which says what it may be', () => {
    const dump = bindText('a.txt', '@0100  \n31 32 33\n', EMPTY_PROFILE);
    assert.deepEqual(found(dump, 'text-unreadable', 'no-profile'), [
      '1 "@0100" This can be read as each of these: ti-txt, verilog. Give its name the ending of that, or say which with "--from FORM" where a command takes it.',
    ]);
    assert.deepEqual(facts(dump, 'text-unreadable'), [{}]);
  });

  it('as an image has one problem too, over the whole of the line', () => {
    const dump = bindText('a.s19', `  ${IMAGE_RECORDS[0]}  \n${END}\n`, EMPTY_PROFILE);
    assert.deepEqual(
      checkDump(loaded(dump)).map(({ code, row, start, end, written, message }) => [
        code,
        row,
        start,
        end,
        written,
        say(message),
      ]),
      [
        [
          'text-unreadable',
          0,
          0,
          IMAGE_RECORDS[0].length + 2,
          'intel-hex',
          'This file holds Intel HEX, not S-records as its name says. Give its name the ending ".hex".',
        ],
      ],
    );
  });

  it('is not one of which a line could be read, nor one of words alone', () => {
    const mixed = lines(EMPTY_PROFILE, `1: 00 01\n${IMAGE_RECORDS[0]}\n`);
    assert.equal(facts(mixed, 'text-unreadable')[0]?.written, undefined);
    assert.equal(facts(lines(EMPTY_PROFILE, 'nothing but words\n'), 'text-unreadable')[0]?.written, undefined);
    assert.doesNotMatch(
      found(lines(EMPTY_PROFILE, 'words\nmore words\n'), 'text-unreadable').join(),
      /This file holds/,
    );
  });
});

describe('lines that are not where or what they should be', () => {
  it('a second line with one label names the row of the first, and leads to it', () => {
    const dump = lines(PROFILE, inOrder([0, 1, 2, 1, 3]));
    assert.deepEqual(found(dump, 'line-repeated'), [
      '4 "2" Line 2 is here a second time; the first is in row 2. Remove one.',
    ]);
    assert.deepEqual(facts(dump, 'line-repeated'), [{ label: 2 }]);
    const [second] = checkDump(loaded(dump, SOUND)).filter(({ code }) => code === 'line-repeated');
    assert.deepEqual(second?.related?.span, { row: 1, start: 0, end: 1 });
    assert.equal(say(second?.related?.message ?? { pattern: '', parts: [] }), 'The first line 2');
  });

  it('a line in the wrong place is marked, and the others are not', () => {
    const dump = lines(PROFILE, inOrder([2, 0, 1, 3]));
    assert.deepEqual(found(dump, 'line-order'), [
      '1 "3" Line 3 is out of order here. Move it to its place, or correct its number.',
    ]);
    assert.deepEqual(facts(dump, 'line-order'), [{ label: 3 }]);
    assert.deepEqual(found(lines(PROFILE, LINES_TEXT), 'line-order'), []);
  });

  it('an unknown line is told from the known ones, which are named first to last', () => {
    const dump = lines(PROFILE, `${LINES_TEXT}77: 00 00 00 | 00\n`);
    assert.deepEqual(found(dump, 'line-unknown'), ['5 "77" The profile knows lines 1 to 3, and no line 77.']);
    assert.deepEqual(facts(dump, 'line-unknown'), [{ label: 77 }]);
  });

  it('an unknown line is taken for one that is missing, or for the line of a file sum, where it is written alike', () => {
    assert.deepEqual(found(lines(PROFILE, LINES_TEXT.replace('3:', '4:')), 'line-unknown'), [
      '3 "4" The profile knows no line 4. Is 3 meant?',
    ]);
    assert.deepEqual(found(lines(PROFILE, LINES_TEXT.replace('total', 'totol')), 'line-unknown'), [
      '4 "totol" The profile knows no line totol. Is total meant?',
    ]);
    assert.deepEqual(facts(lines(PROFILE, LINES_TEXT.replace('total', 'totol')), 'line-unknown'), [{ label: 'totol' }]);
  });

  it('are called as the dump writes them', () => {
    const said = (text: string, code: string) =>
      found(lines(namedProfile, text), code).map((one) => one.replace(/^\d+ /, ''));
    const line = (name: string) => `${name}  01 10  s=11\n`;
    assert.deepEqual(said(NAMED_TEXT.replace(line('r0B'), line('r0A')), 'line-repeated'), [
      '"0A" Line r0A is here a second time; the first is in row 3. Remove one.',
    ]);
    assert.deepEqual(said(line('r0A') + NAMED_TEXT.replace(line('r0A'), ''), 'line-order'), [
      '"0A" Line r0A is out of order here. Move it to its place, or correct its number.',
    ]);
    assert.deepEqual(said(NAMED_TEXT.replace(line('r0A'), line('r1A')), 'line-unknown'), [
      '"1A" The profile knows no line r1A. Is r0A meant?',
    ]);
    assert.deepEqual(said(`${line('r20')}${NAMED_TEXT}`, 'line-unknown'), [
      '"20" The profile knows lines r08 to r12, and no line r20.',
    ]);
    assert.deepEqual(
      said(NAMED_TEXT.replace('r0A  01', 'r0A 02 01'), 'line-length').map((one) => one.slice(-63)),
      ['Line r0A has a length of 4; the profile wants 3 bytes (2 data, 1 sum).'.slice(-63)],
    );
    assert.deepEqual(
      said(NAMED_TEXT.replace(/^CHK.*\n/m, ''), 'total-missing').map((one) => one.slice(-39)),
      ['The file sum is missing: no line "CHK".'],
    );
    assert.match(said(NAMED_TEXT.replace(line('r0A'), ''), 'not-checked').join(), /line r0A is missing \(1 in all\)/);
  });

  it('a label of several numbers that is written with zeros before them means the line without them', () => {
    const profile = profileOf({ lines: { from: '1-1', to: '1-3', data: 1, sum: 0 } });
    const dump = lines(profile, '1-1: 00\n1-02: 00\n1-3: 00\n');
    assert.deepEqual(found(dump, 'line-unknown'), ['2 "1-02" The profile knows no line 1-02. Is 1-2 meant?']);
    assert.deepEqual(facts(dump, 'line-unknown'), [{ label: '1-02', meant: '1-2' }]);
    const none = lines(profile, '1-1: 00\n1-2: 00\n1-3: 00\n7-02: 00\n');
    assert.deepEqual(facts(none, 'line-unknown'), [{ label: '7-02' }]);
  });
});

describe('missing lines', () => {
  const profile = profileOf({ lines: { from: 1, to: 9, data: 1, sum: 0 } });
  const text = (...labels: readonly number[]) => labels.map((label) => `${label}: 00\n`).join('');
  const missing = (...labels: readonly number[]) => found(lines(profile, text(...labels)), 'line-missing');

  it('are one problem for each run, at the line before which they belong, or at the last', () => {
    assert.deepEqual(missing(1, 2, 3, 4, 5, 6, 7, 8, 9), []);
    assert.deepEqual(missing(2, 3, 4, 5, 6, 7, 8, 9), ['1 "2" Line 1 is missing.']);
    assert.deepEqual(missing(1, 2, 5, 6, 8), [
      '3 "5" Lines 3 to 4 are missing.',
      '5 "8" Line 7 is missing.',
      '5 "8" Line 9 is missing.',
    ]);
    assert.deepEqual(missing(1, 6, 7), ['2 "6" Lines 2 to 5 are missing.', '3 "7" Lines 8 to 9 are missing.']);
  });

  it('have the label of the first of them', () => {
    assert.deepEqual(facts(lines(profile, text(1, 6, 7)), 'line-missing'), [{ label: 2 }, { label: 8 }]);
  });

  it('are said at the first row of a file without a line', () => {
    assert.deepEqual(missing(), ['1 "" Lines 1 to 9 are missing.']);
  });

  it('are found by the numbers that the profile counts: none between two stretches', () => {
    const two = profileOf({
      lines: [
        { from: 1, to: 2, data: 1, sum: 0 },
        { from: 8, to: 9, data: 1, sum: 0 },
      ],
    });
    assert.deepEqual(found(lines(two, text(1, 9)), 'line-missing'), ['2 "9" Lines 2 to 8 are missing.']);
  });

  it('are nothing that an image has', () => {
    assert.deepEqual(found(image(PROFILE, ...IMAGE_RECORDS, END), 'line-missing', 'line-length'), []);
  });
});

describe('a line of the wrong length', () => {
  it('marks what is too much alone; where bytes are missing, all that is there', () => {
    const long = lines(PROFILE, LINES_TEXT.replace('00 00 00 | 00', '00 00 00 | 00 AB CD'));
    assert.deepEqual(found(long, 'line-length'), [
      '3 "AB CD" Line 3 has a length of 6; the profile wants 4 bytes (3 data, 1 sum).',
    ]);
    const short = lines(PROFILE, LINES_TEXT.replace('00 00 00 | 00', '00 00 00'));
    assert.deepEqual(found(short, 'line-length'), [
      '3 "00 00 00" Line 3 has a length of 3; the profile wants 4 bytes (3 data, 1 sum).',
    ]);
    assert.deepEqual([...facts(long, 'line-length'), ...facts(short, 'line-length')], [{ label: 3 }, { label: 3 }]);
  });

  it('marks the label of a line without a byte', () => {
    assert.deepEqual(found(lines(PROFILE, LINES_TEXT.replace('3: 00 00 00 | 00', '3:')), 'line-length'), [
      '3 "3" Line 3 has a length of 0; the profile wants 4 bytes (3 data, 1 sum).',
    ]);
  });
});

describe('what does not fit between the records of an image', () => {
  it('is marked at the address of its record', () => {
    const [first = ''] = IMAGE_RECORDS;
    const dump = image(EMPTY_PROFILE, first, first, END);
    const [overlap] = found(dump, 'overlap');
    assert.match(overlap ?? '', /^2 "0010" /);
  });
});

describe('a header', () => {
  const headers = (head: string) =>
    found(lines(PROFILE, head + LINES_TEXT), 'header-unknown', 'header-empty', 'header-value', 'header-repeated');

  it('of an unknown name is kept, and the name that was probably meant is told', () => {
    assert.deepEqual(headers('@colour red\n'), ['1 "@colour" "@colour" has no meaning here; it is kept as it is.']);
    assert.deepEqual(headers('@vni 1\n'), ['1 "@vni" "@vni" has no meaning here; "@vin" is probably meant.']);
    assert.deepEqual(facts(lines(PROFILE, `@vni 1\n@colour\n${LINES_TEXT}`), 'header-unknown'), [
      { meant: '@vin' },
      {},
    ]);
  });

  it('that is nearly "@use" is a warning, in whatever letters, so that the dump is not all good', () => {
    for (const name of ['Use', 'USE', 'uses', 'use:', 'use=comparison', 'use-comparison']) {
      const found = checkDump(loaded(lines(PROFILE, `@${name} comparison\n${LINES_TEXT}`), SOUND));
      assert.deepEqual(
        found.map(({ code, severity, meant, message }) => [code, severity, meant, say(message)]),
        [['header-unknown', 'warning', '@use', `"@${name}" has no meaning here; "@use" is probably meant.`]],
      );
    }
  });

  it('that is nearly one by which a dump is checked or protected is a warning, and can be written right', () => {
    const near = [
      ...['backp backup', 'vehcile vehicle', 'taken_ taken', 'Seal seal', 'sael seal', 'prat part', 'vin: vin'],
      ...['part=RB-1 part', 'sofware software', 'profiles profile', 'Taken taken'],
    ];
    for (const [name = '', meant = ''] of near.map((one) => one.split(' '))) {
      const dump = loaded(lines(PROFILE, `@${name} X-1\n${LINES_TEXT}`), SOUND);
      const problem = checkDump(dump).find(({ code }) => code === 'header-unknown');
      assert.deepEqual([problem?.severity, problem?.meant], ['warning', `@${meant}`], name);
      assert.equal(isGood(verdictOf(dump, checkDump(dump))), false);
      if (isSealed(dump.dump)) continue;
      const [fix] = fixesFor(dump, problem as Problem, false);
      assert.equal(fix && say(titleOf(fix)), `Write "@${meant}" here`);
    }
    for (const name of ['colour', 'part-colour', 'vin-old', 'fited', 'nots', 'modul'])
      assert.equal(checkDump(loaded(lines(PROFILE, `@${name} X\n${LINES_TEXT}`), SOUND))[0]?.severity, 'information');
  });

  it('without a value is marked, but for a note, which may say nothing', () => {
    assert.deepEqual(headers('@part\n@note\n'), ['1 "@part" "@part" has no value.']);
    assert.deepEqual(headers('@taken\n'), ['1 "@taken" "@taken" has no value.']);
  });

  it('says when a dump was taken in one way that everybody reads alike', () => {
    assert.deepEqual(headers('@taken 2026-03-02T09:14:00Z\n@part 02.03.2026\n'), []);
    assert.deepEqual(headers('@taken 02.03.2026\n'), [
      '1 "02.03.2026" "02.03.2026" is no day and time. Write "@taken" as 2026-03-02T09:14:00Z.',
    ]);
  });

  it('that says two things is marked at the second', () => {
    assert.deepEqual(headers('@part A1\n@part B2\n').length, 1);
    assert.match(headers('@part A1\n@part B2\n')[0] ?? '', /^2 "B2" "@part" is here a second time/);
  });
});

describe('a file that waits for what will be pasted', () => {
  const codes = (text: string) => checkDump(loaded(lines(PROFILE, text), SOUND)).map(({ code }) => code);

  it('has one hint and no error, as nothing was left out of it yet', () => {
    assert.deepEqual(codes('@vehicle stock 77\n@taken 2026-03-02\n\n'), ['nothing-yet']);
  });

  it('keeps what is wrong with its headers', () => {
    assert.deepEqual(codes('@vehicle\n'), ['nothing-yet', 'header-empty']);
  });

  it('is no longer one once a line was there: in it, as a comment, in its backup or under its seal', () => {
    const head = '@vehicle stock 77\n';
    for (const more of ['1: 01 02 03 06\n', '# 1: 01 02 03 06\n', '@backup old.cfgdump\n', '@seal x\n'])
      assert.ok(codes(head + more).includes('line-missing'), more);
  });
});
