import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { type Fix, titleOf } from '../../../shared-core/src/actions/fixes/fix.js';
import { fixesFor } from '../../../shared-core/src/actions/fixes/fixesFor.js';
import { optionFixes } from '../../../shared-core/src/actions/fixes/optionFixes.js';
import { FIX_EVERYTHING, fixForSaving } from '../../../shared-core/src/actions/fixes/sumFixes.js';
import { notWorkedOut, workOut } from '../../../shared-core/src/actions/fixes/workOut.js';
import { phrase, say } from '../../../shared-core/src/base/index.js';
import { finish } from '../../../shared-core/src/base/steps.js';
import type { BackupStatus } from '../../../shared-core/src/checks/backup.js';
import type { ProblemCode } from '../../../shared-core/src/checks/diagnostics.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import type { ProfileStatus } from '../../../shared-core/src/checks/loadedDump.js';
import { textAfter } from '../../../shared-core/src/format/index.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { END, IMAGE, IMAGE_RECORDS, image, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const PROFILE = profileOf(LINES);
const KEPT = profileOf({ ...LINES, totals: LINES.totals.map((total) => ({ ...total, keep: true })) });

interface Given {
  readonly status?: ProfileStatus;
  readonly backup?: BackupStatus;
  /** Whether the editor carries out commands of its own; it does where nothing is said. */
  readonly commands?: boolean;
}

/** What a fix comes to: its title, and the text after it or why not, or the command or wish that it is. */
function inWords(dump: Dump, fix: Fix): readonly [title: string, does: string, preferred?: true] {
  const title = say(titleOf(fix));
  if (fix.kind === 'command') return [title, `${fix.command} ${fix.argument ?? ''}`.trim()];
  if (fix.kind === 'wish') return [title, fix.wish.kind === 'set' ? `${fix.wish.id} = ${fix.wish.raw}` : fix.wish.kind];
  const does = fix.result.ok ? textAfter(dump.rows, fix.result.value.edits) : say(fix.result.why);
  return fix.preferred === true ? [title, does, true] : [title, does];
}

/** The fixes for the first problem of a kind. */
function fixes(code: ProblemCode, dump: Dump, { status = SOUND, backup, commands = true }: Given = {}) {
  const subject = loaded(dump, status, backup);
  const problem = checkDump(subject).find((one) => one.code === code);
  assert.ok(problem, `no ${code}`);
  return fixesFor(subject, problem, commands).map((fix) => inWords(dump, fix));
}

describe('what can be done about a problem', () => {
  const backup = { kind: 'read', dump: lines(PROFILE, LINES_TEXT) } as const;

  it('a line sum that is wrong is made right', () => {
    const dump = lines(PROFILE, LINES_TEXT.replace('| 11', '| 12'));
    assert.deepEqual(fixes('line-sum', dump), [
      ['Correct the sum of line 2: 12 to 11 ⚠ row 2 may be damaged', LINES_TEXT, true],
    ]);
  });

  it('a file sum that is wrong is rewritten first, or balanced first where the profile keeps it', () => {
    const wrong = LINES_TEXT.replace('02 27', '02 28');
    const rewritten = ['Rewrite the file sum: 0228 to 0227', LINES_TEXT];
    const balanced = [
      'Rebalance file sum using line 3: byte 3 from 00 to 01',
      wrong.replace('3: 00 00 00 | 00', '3: 00 00 01 | 01'),
    ];
    const choose = ['Rebalance file sum using another line…', 'rebalance'];
    assert.deepEqual(fixes('total-sum', lines(PROFILE, wrong)), [[...rewritten, true], balanced, choose]);
    assert.deepEqual(fixes('total-sum', lines(KEPT, wrong)), [[...balanced, true], choose, rewritten]);
  });

  it('a file sum is balanced by lines that are named where the editor has no list to choose from', () => {
    const open = profileOf({ ...LINES, balance: [] });
    const dump = lines(open, LINES_TEXT.replace('02 27', '02 28'));
    const found = fixes('total-sum', dump, { commands: false });
    assert.deepEqual(
      found.map(([title]) => title),
      [
        'Rewrite the file sum: 0228 to 0227',
        'Rebalance file sum using line 2: byte 3 from 00 to 01',
        'Rebalance file sum using line 3: byte 1 from 00 to 01',
      ],
    );
  });

  it('a file sum that the balance places cannot bring right says which lines could', () => {
    const far = LINES_TEXT.replace('02 27', '03 60');
    const found = fixes('total-sum', lines(KEPT, far));
    assert.equal(found[0]?.[0], 'Rebalance file sum using the balance places');
    assert.match(found[0]?.[1] ?? '', / Lines that could: 2, 3\.$/);
    assert.deepEqual(found.at(-1), ['Rewrite the file sum: 0360 to 0227', LINES_TEXT]);
    const none = fixes('total-sum', lines(KEPT, LINES_TEXT.replace('02 27', 'FF FF')));
    assert.doesNotMatch(none[0]?.[1] ?? '', /Lines that could/);
  });

  it('a file sum that is rewritten first is balanced by a place only where that suffices, and the lines that could are named', () => {
    const [rewrite, places, choose] = fixes('total-sum', lines(PROFILE, LINES_TEXT.replace('02 27', '03 60')));
    assert.equal(rewrite?.[2], true);
    assert.equal(places?.[0], 'Rebalance file sum using the balance places');
    assert.match(places?.[1] ?? '', / Lines that could: 2, 3\.$/);
    assert.equal(choose?.[1], 'rebalance');
  });

  it('a file sum that has come right since has no fix', () => {
    const [problem] = checkDump(loaded(lines(PROFILE, LINES_TEXT.replace('02 27', '02 28')), SOUND));
    assert.equal(problem?.code, 'total-sum');
    assert.deepEqual(fixesFor(loaded(lines(PROFILE, LINES_TEXT), SOUND), problem, true), []);
  });

  it('a file sum is balanced by the first lines that could, wherever these are', () => {
    const profile = profileOf({
      lines: { from: 1, to: 6, data: 1, sum: 0 },
      totals: [{ method: 'add', bits: 16, over: ['data'], label: 'total' }],
    });
    const full = [1, 2, 3, 4, 5].map((label) => `${label}: FF\n`).join('');
    const found = fixes('total-sum', lines(profile, `${full}6: 00\ntotal: 04 FC\n`), { commands: false });
    assert.deepEqual(
      found.map(([title]) => title),
      ['Rewrite the file sum: 04FC to 04FB', 'Rebalance file sum using line 6: byte 1 from 00 to 01'],
    );
  });

  it('the lines that could together with the balance places are named where none can alone', () => {
    const profile = profileOf({
      lines: { from: 1, to: 3, data: 1, sum: 0 },
      totals: [{ method: 'add', bits: 16, over: ['data'], label: 'total' }],
      balance: [{ line: 1, byte: 1 }],
    });
    const why = (text: string) =>
      fixes('total-sum', lines(profile, text)).find(([title]) => title.endsWith('using the balance places'))?.[1] ?? '';
    assert.match(why('1: 00\n2: FF\n3: 00\ntotal: 02 50\n'), / Lines that could together with these places: 3\.$/);
    assert.match(why('1: 00\n2: 00\n3: 00\ntotal: 01 50\n'), / Lines that could together with these places: 2, 3\.$/);
    assert.doesNotMatch(why('1: 00\n2: FF\n3: FF\ntotal: 0F 00\n'), /Lines that could/);
  });

  it('of an image no lines are named that could take up what its balance places cannot', () => {
    const profile = profileOf({
      ...IMAGE,
      totals: IMAGE.totals.map((total) => ({ ...total, keep: true })),
      balance: [{ address: 0x15 }],
    });
    const [first, second] = IMAGE_RECORDS;
    const found = fixes('total-sum', image(profile, first, second, ':0400180000002704B9', END));
    assert.equal(found[0]?.[0], 'Rebalance image sum using the balance places');
    assert.doesNotMatch(found[0]?.[1] ?? '', /Lines that could/);
    assert.equal(found[1]?.[0], 'Rebalance image sum using addresses…');
  });

  it('the one balance place that suffices is used alone, whatever others are listed before it', () => {
    const profile = profileOf({
      lines: { from: 1, to: 2, data: 2, sum: 0 },
      totals: [{ method: 'add', bits: 16, over: ['data'], label: 'total', keep: true }],
      balance: [
        { line: 1, byte: 1 },
        { line: 2, bytes: '1-2' },
      ],
    });
    const found = fixes('total-sum', lines(profile, '1: 00 00\n2: 00 00\ntotal: 01 20\n'));
    assert.match(found[0]?.[0] ?? '', /^Rebalance file sum using line 2: bytes? [^:]*$/);
    assert.equal(found[0]?.[2], true);
  });

  it('nothing is balanced where a line sum that is made right is all it takes', () => {
    const profile = profileOf({
      ...LINES,
      totals: [{ ...LINES.totals[0], over: ['data', 'sums'], keep: true }],
    });
    const text = LINES_TEXT.replace('02 27', '02 4E');
    assert.deepEqual(checkDump(loaded(lines(profile, text), SOUND)), []);
    const found = fixes('total-sum', lines(profile, text.replace('| 00', '| 01')));
    assert.deepEqual(
      found.map(([title]) => title),
      ['Rebalance file sum using another line…', 'Rewrite the file sum: 024E to 024F'],
    );
  });

  it('a file sum in a protected place is never rewritten', () => {
    const stored = profileOf({
      lines: { from: 1, to: 2, data: 2, sum: 0 },
      totals: [{ name: 'sum', method: 'add', bits: 8, lines: '1-1', line: 2, byte: 1, keep: true }],
      locked: [{ line: 2, byte: 1, why: 'identity' }],
      balance: [{ line: 1, byte: 2 }],
    });
    const found = fixes('total-sum', lines(stored, '1: 01 02\n2: 04 00\n'));
    assert.deepEqual(found[0], ['Rebalance sum using line 1: byte 2 from 02 to 03', '1: 01 03\n2: 04 00\n', true]);
    assert.match(found.at(-1)?.[1] ?? '', /locked/);
  });

  it('a file sum that is missing is put in', () => {
    const dump = lines(PROFILE, LINES_TEXT.replace(/^total.*\n/m, ''));
    assert.deepEqual(fixes('total-missing', dump), [['Add the file sum: "total: 02 27"', LINES_TEXT, true]]);
    const second = { ...LINES.totals[0], name: 'second sum', method: 'xor', bits: 8, label: 'x' };
    const two = lines(profileOf({ ...LINES, totals: [...LINES.totals, second] }), LINES_TEXT);
    assert.deepEqual(fixes('total-missing', two), [
      ['Add the second sum: "x: C1"', LINES_TEXT.replace('total', 'x: C1\ntotal'), true],
    ]);
  });

  it('a line goes back to what the backup holds, where there is one and it can', () => {
    const torn = lines(PROFILE, `@backup b\n${LINES_TEXT.replace('3: 00', '3: 0O')}`);
    const [meant, back] = fixes('not-hex', torn, { backup });
    assert.deepEqual(meant, ['Write "0" here', `@backup b\n${LINES_TEXT}`, true]);
    assert.deepEqual(back, ['Restore line 3 from the backup', `@backup b\n${LINES_TEXT}`]);
    assert.deepEqual(
      fixes('not-hex', torn).map(([title]) => title),
      ['Write "0" here'],
    );
    const missing = lines(PROFILE, `@backup b\n${LINES_TEXT.replace(/^3:.*\n/m, '')}`);
    assert.deepEqual(fixes('line-missing', missing, { backup }), [
      ['Restore line 3 from the backup', `@backup b\n${LINES_TEXT}`],
    ]);
    assert.deepEqual(fixes('line-missing', missing), []);
  });

  it('a line that is as in the backup has nothing to go back to', () => {
    const [one, two, ...rest] = LINES_TEXT.split('\n');
    const order = lines(PROFILE, ['@backup b', two, one, ...rest].join('\n'));
    assert.deepEqual(fixes('line-order', order, { backup }), []);
  });

  it('the file sum that a problem is about is the one that is made right', () => {
    const two = profileOf({
      ...LINES,
      lines: { from: 1, to: 3, data: 3, sum: 0 },
      lineSum: undefined,
      locked: [],
      options: [],
      balance: [],
      totals: [
        { name: 'first', method: 'add', bits: 8, lines: '1-1', line: 3, byte: 1 },
        { name: 'second', method: 'add', bits: 8, lines: '2-2', line: 3, byte: 2 },
      ],
    });
    const dump = lines(two, '1: 01 02 03\n2: 04 05 06\n3: 06 10 00\n');
    assert.equal(fixes('total-sum', dump)[0]?.[0], 'Rewrite the second: 10 to 0F');
    const both = lines(two, '1: 01 02 03\n2: 04 05 06\n3: 07 10 00\n');
    const subject = loaded(both, SOUND);
    const titles = checkDump(subject)
      .filter(({ code }) => code === 'total-sum')
      .map((problem) => inWords(both, fixesFor(subject, problem, true)[0] as Fix)[0]);
    assert.deepEqual(titles, ['Rewrite the first: 07 to 06', 'Rewrite the second: 10 to 0F']);
    const below = profileOf({
      lines: { from: 1, to: 1, data: 2, sum: 0 },
      totals: ['a', 'b'].map((label) => ({ name: label, method: 'add', bits: 8, over: ['data'], label })),
    });
    const rows = lines(below, '1: 01 02\na: 04\nb: 05\n');
    assert.deepEqual(
      checkDump(loaded(rows, SOUND)).map(
        (problem) => inWords(rows, fixesFor(loaded(rows, SOUND), problem, true)[0] as Fix)[0],
      ),
      ['Rewrite the a: 04 to 03', 'Rewrite the b: 05 to 03'],
    );
  });

  it('of several balance places the first is the one to take, and together they are taken where none can alone', () => {
    const places = (...balance: readonly object[]) =>
      profileOf({ ...LINES, totals: LINES.totals.map((total) => ({ ...total, keep: true })), balance });
    const [second, third] = [
      { line: 2, byte: 3 },
      { line: 3, byte: 3 },
    ];
    const near = fixes('total-sum', lines(places(second, third), LINES_TEXT.replace('02 27', '02 28')));
    assert.deepEqual(
      near.slice(0, 2).map(([title, , preferred]) => [title, preferred]),
      [
        ['Rebalance file sum using line 2: byte 3 from 00 to 01', true],
        ['Rebalance file sum using line 3: byte 3 from 00 to 01', undefined],
      ],
    );
    const [together] = fixes('total-sum', lines(places(second, third), LINES_TEXT.replace('02 27', '04 00')));
    assert.match(together?.[0] ?? '', /^Rebalance file sum using line 2: .*line 3: /);
    assert.equal(together?.[2], true);
    const one = fixes('total-sum', lines(places(third), LINES_TEXT.replace('02 27', '04 00')));
    assert.match(one[0]?.[1] ?? '', / Lines that could: 2, 3\.$/);
  });

  it('is not said to be found, or not to be there, where the work that is shared is used up', () => {
    const dump = lines(KEPT, LINES_TEXT.replace('02 27', '02 28'));
    const subject = loaded(dump, SOUND);
    const problem = checkDump(subject).find(({ code }) => code === 'total-sum');
    assert.ok(problem);
    const found = fixesFor(subject, problem, true, { left: 0 }).map((fix) => inWords(dump, fix));
    assert.match(found[0]?.[1] ?? '', /^This change takes too long to find for a menu\. Use "Rebalance Using a Line…"/);
    assert.equal(finish(workOut(subject, FIX_EVERYTHING, { left: 0 })), undefined);
  });

  it('a record of an image goes back to what the backup holds', () => {
    const profile = profileOf({ addresses: IMAGE.addresses });
    const [first, second, third] = IMAGE_RECORDS;
    const text = (...records: readonly string[]) => `${['; @backup b', ...records, END].join('\n')}\n`;
    const torn = bindText('a.hex', text(first, second.replace('10', '1O'), third), profile);
    const found = { kind: 'read', dump: image(profile, ...IMAGE_RECORDS, END) } as const;
    const titles = fixes('not-hex', torn, { backup: found });
    assert.deepEqual(titles.at(-1), ['Restore this record from the backup', text(first, second, third)]);
    const noted = bindText(
      'a.hex',
      text(first, `${second.replace('10', '11').replace('D8', 'D7')} found so`, third),
      profile,
    );
    const all = fixes('text-unreadable', noted, { backup: found });
    assert.deepEqual(
      all.map(([title]) => title),
      ['Give this text a line of its own', 'Restore this record from the backup'],
    );
  });

  it('a second line and a second end record are emptied', () => {
    const twice = lines(PROFILE, LINES_TEXT.replace('total', '3: 00 00 00 | 00\ntotal'));
    assert.deepEqual(fixes('line-repeated', twice), [
      ['Empty this second line 3', LINES_TEXT.replace('total', '\ntotal')],
    ]);
    const ends = image(profileOf(IMAGE), ...IMAGE_RECORDS, END, END);
    assert.deepEqual(fixes('end-repeated', ends), [
      ['Empty the line of this second end record', `${[...IMAGE_RECORDS, END, ''].join('\n')}\n`],
    ]);
  });

  it('an end record that is missing is added, and a count that is wrong is made right', () => {
    const profile = profileOf(IMAGE);
    assert.deepEqual(fixes('end-missing', image(profile, ...IMAGE_RECORDS)), [
      ['Add the end record', `${[...IMAGE_RECORDS, END].join('\n')}\n`],
    ]);
    const counted = bindText('a.s19', 'S107000001020304EE\nS5030002FA\nS9030000FC\n', EMPTY_PROFILE);
    const [right] = fixes('record-count', counted, { status: { kind: 'none' } });
    assert.deepEqual(right?.[0], 'Correct the count');
    assert.match(right?.[1] ?? '', /\nS5030001FB\n/);
  });

  it('an option gets a value that the profile knows, or what another one needs', () => {
    const unknown = lines(PROFILE, LINES_TEXT.replace('01 10 00 | 11', '05 10 00 | 15').replace('02 27', '02 2B'));
    assert.deepEqual(fixes('option-value', unknown), [
      ['Set Fog lamps to no (sums kept right)', 'fog = 0'],
      ['Set Fog lamps to yes (sums kept right)', 'fog = 1'],
    ]);
    const [fog, key] = LINES.options;
    const needing = profileOf({
      ...LINES,
      options: [
        {
          ...fog,
          needs: [
            { option: 'beam', in: [1] },
            { option: 'tow', in: [1, 0] },
            { profile: 'q.dump-profile.json', option: 'tow', in: [1] },
          ],
        },
        key,
        { ...fog, id: 'beam', title: 'Beam', line: 3, hazard: 'lighting' },
        { ...fog, id: 'tow', title: 'Tow bar', line: 3, byte: 2 },
      ],
    });
    assert.deepEqual(fixes('option-needs', lines(needing, LINES_TEXT)), [
      ['Set Beam to yes (sums kept right) ⚠ affects the lighting', 'beam = 1'],
    ]);
    const dump = lines(PROFILE, LINES_TEXT);
    assert.deepEqual(
      optionFixes(loaded(dump, SOUND), 1, 3).map((fix) => inWords(dump, fix)),
      [['Set Fog lamps to no (sums kept right)', 'fog = 0']],
    );
    assert.deepEqual(optionFixes(loaded(dump, SOUND), 9, 3), []);
    assert.deepEqual(optionFixes(loaded(dump, SOUND), 1, 0), []);
  });

  it('a file that nothing explains is learned from or opened as what it is, where the editor can', () => {
    const none = { status: { kind: 'none' } } as const;
    const bare = lines(EMPTY_PROFILE, '1: 01 02\n');
    assert.deepEqual(fixes('no-profile', bare, none), [['Work out the checksum rule', 'learn']]);
    assert.deepEqual(fixes('no-profile', bare, { ...none, commands: false }), []);
    assert.deepEqual(fixes('no-profile', lines(EMPTY_PROFILE, '\n1: 01\n\n'), none), [
      ['Work out the checksum rule', 'learn'],
    ]);
    assert.deepEqual(fixes('no-profile', lines(EMPTY_PROFILE, '1: 01 02'), none), [
      ['Work out the checksum rule', 'learn'],
    ]);
    assert.deepEqual(fixes('no-profile', lines(EMPTY_PROFILE, '\n\n'), none), []);
    const unread = { status: { kind: 'unreadable', why: phrase('gone') } } as const;
    assert.deepEqual(fixes('profile-unreadable', lines(EMPTY_PROFILE, `@profile p\n${LINES_TEXT}`), unread), [
      ['Go to the first problem of the profile', 'openProfile'],
    ]);
  });

  it('text behind a record gets a line of its own, and keeps its words', () => {
    const records = `${IMAGE_RECORDS[0]} ; found so\r\n${END}\r\n`;
    const dump = bindText('a.hex', records, EMPTY_PROFILE);
    const own = fixes('text-unreadable', dump, { status: { kind: 'none' } }).find(([title]) =>
      /line of its own/.test(title),
    );
    assert.deepEqual(own, [
      'Give this text a line of its own',
      `; found so\r\n${IMAGE_RECORDS[0]}\r\n${END}\r\n`,
      true,
    ]);
    const last = bindText('a.hex', `${IMAGE_RECORDS[0]}\n${END} ; the end`, EMPTY_PROFILE);
    assert.deepEqual(fixes('text-unreadable', last, { status: { kind: 'none' } }), [
      ['Give this text a line of its own', `${IMAGE_RECORDS[0]}\n; the end\n${END}`, true],
    ]);
  });

  it('a file of another form is read as what it is', () => {
    const dump = bindText('a.hex', 'S107000001020304EE\nS9030000FC\n', EMPTY_PROFILE);
    const found = fixes('text-unreadable', dump, { status: { kind: 'none' } });
    assert.match(found[0]?.[0] ?? '', /^Read this file as /);
    assert.match(found[0]?.[1] ?? '', /^readAs s-record$/);
  });
});

describe('a fix that takes a search', () => {
  const subject = (text: string, profile = PROFILE) => loaded(lines(profile, text), SOUND);
  const found = (text: string, profile = PROFILE, wish = FIX_EVERYTHING) => {
    const dump = lines(profile, text);
    const worked = finish(workOut(loaded(dump, SOUND), wish));
    return worked && inWords(dump, worked);
  };
  const [fogOff] = optionFixes(subject(LINES_TEXT), 1, 3);
  assert.ok(fogOff);

  it('is titled by what it does, and by whether all sums are right then', () => {
    assert.deepEqual(found(LINES_TEXT.replace('| 11', '| 12')), [
      'Correct all checksums (1 byte changes) ⚠ row 2 may be damaged',
      LINES_TEXT,
    ]);
    const fog = found(LINES_TEXT, PROFILE, fogOff);
    assert.equal(fog?.[0], 'Set Fog lamps to no (sums kept right)');
    assert.match(fog?.[1] ?? '', /\n2: 00 10 00 \| 10\n/);
    const twice = LINES_TEXT.replace(/total.*\n/, '3: 00 00 00 | 00\n');
    const loose = profileOf({ ...LINES, totals: [] });
    assert.equal(found(twice, loose, fogOff)?.[0], 'Set Fog lamps to no (not all sums are known to be right)');
    assert.equal(
      found(twice.replace('| 11', '| 12'), loose)?.[0],
      'Correct the checksums that can be computed (1 byte changes) ⚠ row 2 may be damaged',
    );
  });

  it('says why where it cannot be done, and where it can be had if it takes too long', () => {
    const stuck = profileOf({ ...LINES, totals: LINES.totals.map((total) => ({ ...total, keep: true })), balance: [] });
    const refused = found(LINES_TEXT.replace('02 27', '02 28'), stuck);
    assert.equal(refused?.[0], 'Correct all checksums');
    assert.match(refused?.[1] ?? '', /names no "balance" place/);
    const dump = lines(PROFILE, LINES_TEXT);
    assert.match(inWords(dump, notWorkedOut(FIX_EVERYTHING))[1], /takes too long .*"Correct All Checksums"/);
    assert.match(inWords(dump, notWorkedOut(fogOff))[1], /takes too long .*"Set an Option…"/);
  });

  it('at a save rights sums where any is wrong', () => {
    const saved = (text: string) => {
      const dump = lines(PROFILE, text);
      const fix = fixForSaving(loaded(dump, SOUND));
      return fix && inWords(dump, fix);
    };
    assert.deepEqual(saved(LINES_TEXT.replace('| 11', '| 12')), [
      'Correct line sums and rewrite file sums that are not kept ⚠ row 2 may be damaged',
      LINES_TEXT,
    ]);
    assert.equal(saved(LINES_TEXT), undefined);
  });
});
