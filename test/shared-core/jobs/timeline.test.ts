// Which dumps of a folder are of one module, in what order, and what the record says of each.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { phrase, say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { type NamedDump, vehicleRecord } from '../../../shared-core/src/jobs/index.js';
import { moduleTitle } from '../../../shared-core/src/jobs/moduleTitle.js';
import { changesInWords, unexplainedChange, writtenOf } from '../../../shared-core/src/jobs/record/changes.js';
import {
  backupAmong,
  byModule,
  namelessOf,
  recorded,
  straysOf,
  timelinesOf,
} from '../../../shared-core/src/jobs/record/timeline.js';
import { openInRecord } from '../../../shared-core/src/jobs/record/vehicleRecord.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { LATER } from '../../support/later.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const PROFILE = profileOf({ ...LINES, volatile: [{ line: 3, byte: 1 }] });
const UNTITLED = profileOf(LINES);
const TITLED = profileOf({ ...LINES, title: 'Body' });
const SEAL = '@seal sha256:0000000000000000000000000000000000000000000000000000000000000000';
const FOG_OFF = LINES_TEXT.replace('01 10 00 | 11', '00 10 00 | 10').replace('02 27', '02 26');
const OTHER = LINES_TEXT.replace('3: 00 00 00 | 00', '3: 00 05 00 | 05').replace('02 27', '02 2C');

interface Given {
  readonly head?: string;
  readonly text?: string;
  readonly profile?: Dump['profile'];
  readonly more?: Partial<NamedDump>;
}

function named(name: string, { head = '', text = LINES_TEXT, profile = PROFILE, more = {} }: Given = {}): NamedDump {
  const dump = lines(profile, `${head === '' ? '' : `${head}\n`}${text}`);
  return { name, dump, problems: [], unchecked: [], ...more };
}
const names = (dumps: readonly NamedDump[]) => dumps.map(({ name }) => name);
const says = (all: readonly Parameters<typeof say>[0][]) => all.map((said) => say(said));

describe('the dumps of a module', () => {
  it('a file that was saved to be loaded is no reading among them, and no stray', () => {
    const more = { isUnexplained: true };
    const [back, toLoad] = [named('a.cfgdump', { more }), named('a.to-load.cfgdump', { more })];
    const roles = recorded([back, toLoad], LATER).map(({ name, role }) => [name, role]);
    assert.deepEqual(roles, [
      ['a.cfgdump', 'reading'],
      ['a.to-load.cfgdump', 'toLoad'],
    ]);
    const work = named('w.cfgdump', { head: '@backup b' });
    const strays = straysOf([work], [back, toLoad]);
    assert.deepEqual(
      strays.map(({ name }) => name),
      ['a.cfgdump'],
    );
    const shown = vehicleRecord({ dumps: [back, toLoad], retrofits: [], cards: [], now: LATER }, (said) => say(said));
    assert.match(JSON.stringify(shown), /to be loaded into the module/);
  });

  it('are those of one profile, else of one title, else of one module or part as they say, else each by itself', () => {
    const groups = (...dumps: readonly NamedDump[]) => byModule(dumps).map((group) => names(group).join(' '));
    const file = (profileFile: string) => ({ profile: TITLED, more: { profileFile } });
    assert.deepEqual(groups(named('a', file('p')), named('b', file('q')), named('c', file('p'))), ['a c', 'b']);
    assert.deepEqual(groups(named('a', { profile: TITLED }), named('b'), named('c', { profile: TITLED })), [
      'a c',
      'b',
    ]);
    const head = (text: string) => ({ head: text, profile: UNTITLED });
    assert.deepEqual(
      groups(
        named('a', head('@module X\n@part 1')),
        named('b', head('@module X\n@part 2')),
        named('c', head('@part 1')),
        named('d', head('@part 1')),
        named('e', head('')),
        named('f', head('')),
      ),
      ['a b', 'c d', 'e', 'f'],
    );
  });

  it('of another module are by themselves, with a backup that is theirs alone', () => {
    const groups = (...dumps: readonly NamedDump[]) => byModule(dumps).map((group) => names(group).join(' '));
    const found = named('found.cfgdump', { profile: TITLED, head: `@seal sha256:${'0'.repeat(64)}` });
    const work = named('work.cfgdump', { profile: TITLED, head: '@backup found.cfgdump' });
    const guest = named('guest.cfgdump', { profile: TITLED, head: '@use another-module\n@backup found.cfgdump' });
    assert.deepEqual(groups(found, guest), ['found.cfgdump guest.cfgdump']);
    for (const all of [groups(found, guest, work), groups(found, work, guest)])
      assert.deepEqual(all.sort(), ['found.cfgdump work.cfgdump', 'guest.cfgdump']);
  });

  it('are called by the title of the profile, else by what a dump says, else by a file', () => {
    const of = (given: Given) =>
      moduleTitle([named('a.cfgdump', { profile: UNTITLED }), named('b', { profile: UNTITLED, ...given })]);
    assert.equal(of({ profile: TITLED, head: '@module M\n@part P\n@profile x' }), 'Body');
    assert.equal(of({ head: '@part P\n@module M\n@profile x' }), 'M');
    assert.equal(of({ head: '@profile x\n@part P' }), 'P');
    for (const [written, stem] of [
      ['x.dump-profile.json', 'x'],
      ['../p/x.dump-profile.json', 'x'],
      ['..\\p\\x.dump-profile.json', 'x'],
      ['x.json', 'x.json'],
    ])
      assert.equal(of({ head: `@profile ${written}` }), stem);
    assert.equal(of({}), 'a.cfgdump');
    assert.equal(moduleTitle([]), '');
  });

  it('are in the order of the times at which they were read, those without a time last, and those of one time by name', () => {
    const at = (name: string, taken?: string) => named(name, taken === undefined ? {} : { head: `@taken ${taken}` });
    const dumps = [
      at('z'),
      at('b', '2026-03-02'),
      at('a', '2026-03-02'),
      at('y'),
      at('c', '2026-03-01'),
      at('x', 'soon'),
    ];
    const order = ['c', 'a', 'b', 'x', 'y', 'z'];
    assert.deepEqual(names(recorded(dumps, LATER)), order);
    assert.deepEqual(names(recorded([...dumps].reverse(), LATER)), order);
    assert.deepEqual(
      recorded(dumps, LATER).map(({ taken }) => taken),
      ['2026-03-01', '2026-03-02', '2026-03-02', 'soon', undefined, undefined],
    );
  });

  it('are each held against the backup that they name, else against the one before them; the first against none', () => {
    const dumps = [
      named('found', { head: `@taken 2026-03-01\n${SEAL}` }),
      named('read', { head: '@taken 2026-03-02' }),
      named('work', { head: '@backup found' }),
      named('zero', { head: '@backup gone' }),
      named('self', { head: '@backup self' }),
    ];
    assert.deepEqual(
      recorded(dumps, LATER).map(({ name, since, role }) => [name, since?.name, role]),
      [
        ['found', undefined, 'backup'],
        ['read', 'found', 'reading'],
        ['self', undefined, 'work'],
        ['work', 'found', 'work'],
        ['zero', 'work', 'work'],
      ],
    );
    assert.deepEqual(
      recorded([named('a', { text: '' })], LATER).map(({ role }) => role),
      ['unread'],
    );
  });

  it('name their backup by its file; of two of one name the one in the same folder is meant', () => {
    const dumps = ['a/found', 'b/found', 'b\\c\\found', 'other'].map((name) => named(name));
    const of = (name: string, head: string) => backupAmong(dumps, named(name, { head }))?.name;
    assert.equal(of('b/work', '@backup found'), 'b/found');
    assert.equal(of('b\\c\\work', '@backup found'), 'b\\c\\found');
    assert.equal(of('z/work', '@backup ../x/found'), 'a/found');
    assert.equal(of('work', '@backup x\\found'), 'a/found');
    assert.equal(of('a/work', '@backup other'), 'other');
    assert.equal(of('a/work', '@backup gone'), undefined);
    assert.equal(of('a/work', ''), undefined);
  });

  it('that name no vehicle are those without a VIN and without what people call it', () => {
    const dumps = ['@vin A', '@vehicle B', '@vin A\n@vehicle B', '@part C'].map((head, at) =>
      named(String(at), { head }),
    );
    assert.deepEqual(names(namelessOf(dumps)), ['3']);
  });

  it('may have strays: other readings of its part, of its profile where the part says nothing, or of none', () => {
    const own = named('own', { head: '@part RB-1', more: { profileFile: 'file:///P' } });
    const bare = named('bare', { more: { profileFile: 'file:///P' } });
    const isStray = (module: NamedDump, given: Given) => straysOf([module], [module, named('x', given)]).length === 1;
    const unexplained = { isUnexplained: true };
    assert.ok(isStray(own, { head: '@part rb-1' }));
    assert.ok(!isStray(own, { head: '@part RB-2', more: { ...unexplained, profileFile: 'file:///P' } }));
    assert.ok(isStray(own, { more: { profileFile: 'file:///p' } }));
    assert.ok(!isStray(own, { more: { profileFile: 'file:///q' } }));
    assert.ok(!isStray(own, {}));
    assert.ok(isStray(own, { more: unexplained }));
    assert.ok(isStray(bare, { head: '@part RB-2', more: unexplained }));
    assert.ok(isStray(bare, { head: '@part RB-2', more: { profileFile: 'file:///P' } }));
    assert.ok(!isStray(bare, { head: '@part RB-2' }));
    for (const head of ['@backup a', SEAL]) assert.ok(!isStray(own, { head, more: unexplained }), head);
    assert.ok(!isStray(own, { text: '', more: unexplained }));
    assert.ok(isStray(own, { text: 'B1/R01 0A 1B | 2C\nB1/R02 0A 1B | 2C\n', more: unexplained }));
  });

  it('have strays of the vehicle and of those that name none', () => {
    const own = named('own', { head: '@part 1', profile: TITLED });
    const other = named('other', { more: { isUnexplained: true } });
    const alone = named('alone', { more: { isUnexplained: true } });
    assert.deepEqual(
      timelinesOf([own, other], LATER, [alone]).map(({ title, dumps, strays }) => [title, names(dumps), names(strays)]),
      [
        ['Body', ['own'], ['other', 'alone']],
        ['other', ['other'], ['alone']],
      ],
    );
  });
});

describe('what the record says of a dump', () => {
  const wordsOf = ({ said, details }: ReturnType<typeof changesInWords>) => [...says(said), ...says(details)];
  const found = named('found', { head: `@vin A\n@taken 2026-03-01\n${SEAL}` });
  const changes = (text: string, head = '@vin A', since: NamedDump | undefined = found) => {
    const dump = {
      ...named('now', { head, text }),
      role: 'reading',
      taken: undefined,
      isToCome: false,
      since,
    } as const;
    return { said: wordsOf(changesInWords(dump)), open: says(unexplainedChange(dump)) };
  };

  it('is nothing of the first one, and nothing but that of one of another car', () => {
    assert.deepEqual(
      wordsOf(changesInWords({ ...found, role: 'backup', taken: undefined, isToCome: false, since: undefined })),
      [],
    );
    assert.deepEqual(
      says(unexplainedChange({ ...found, role: 'backup', taken: undefined, isToCome: false, since: undefined })),
      [],
    );
    assert.deepEqual(changes(OTHER, '@vin B'), {
      said: ['Not compared with found: "@vin" is "A" there and "B" here.'],
      open: [],
    });
  });

  it('is that it has the same bytes, and what a profile leaves unsaid', () => {
    assert.deepEqual(changes(LINES_TEXT), { said: ['The same bytes as found.'], open: [] });
    const bare = profileOf({ lines: LINES.lines });
    const [one, other] = ['a', 'b'].map((name) =>
      named(name, { profile: bare, text: LINES_TEXT.replace(/total.*\n/, '') }),
    );
    const said = wordsOf(
      changesInWords({ ...(other as NamedDump), role: 'reading', taken: undefined, isToCome: false, since: one }),
    );
    assert.equal(said[0], 'The same bytes as a.');
  });

  it('is what must not be written first, then options, lines that are new or gone, and what nothing explains', () => {
    assert.deepEqual(changes(FOG_OFF), {
      said: ['Fog lamps: yes → no', 'now since found: changed bytes: 3 (lines: 2, total).'],
      open: [],
    });
    const locked = changes(LINES_TEXT.replace('A1 B2 C3 | 16', 'A1 B3 C2 | 16'));
    assert.match(locked.said[0] ?? '', /^Do not write this: .*line 1.* is locked/);
    assert.deepEqual(changes(OTHER), {
      said: ['Unexplained since found (lines: 3).', 'now since found: changed bytes: 3 (lines: 3, total).'],
      open: ['now: nothing in the profile explains what changed since found in line 3.'],
    });
    const gone = changes(LINES_TEXT.replace(/^3.*\n/m, ''));
    assert.equal(gone.said.at(-1), 'now since found: no byte changed in lines that both have.');
    assert.ok(gone.said.includes('Line 3 is missing now.'), gone.said.join('; '));
    const byItself = changes(LINES_TEXT.replace('3: 00 00 00 | 00', '3: 05 00 00 | 05').replace('02 27', '02 2C'));
    assert.deepEqual(byItself.open, []);
    assert.ok(!byItself.said.some((one) => one.startsWith('Unexplained')));
  });
});

describe('whether a change was written', () => {
  const BACKUP = named('found', { head: `@taken 2026-03-01\n${SEAL}` });
  const WORK = named('work', { head: '@backup found', text: FOG_OFF });
  const at = (name: string, taken: string, text = FOG_OFF) => named(name, { head: `@taken ${taken}`, text });
  const written = (
    work: NamedDump,
    readings: readonly NamedDump[],
    backup = BACKUP,
    strays: readonly NamedDump[] = [],
  ) => {
    const dumps = recorded([backup, work, ...readings], LATER);
    const own = dumps.find(({ name }) => name === work.name);
    const found = own && writtenOf(own, dumps, strays);
    return found && { isOpen: found.isOpen, reading: found.reading?.name, said: say(found.said) };
  };

  it('is no matter of a dump that is not in work, or in which nothing is changed', () => {
    assert.equal(written(named('read', { text: FOG_OFF }), []), undefined);
    assert.equal(written(named('work', { head: '@backup found' }), []), undefined);
  });

  it('is open for a dump that is as its backup again while the latest reading is not', () => {
    const again = named('work', { head: '@backup found' });
    assert.deepEqual(written(again, [at('a', '2026-03-02')]), {
      isOpen: true,
      reading: 'a',
      said: 'work is as its backup, but the module held something else when a was read (lines: 2, total). Write these lines into the module as they are in work, then read it again and verify that.',
    });
    const back = at('b', '2026-03-03', LINES_TEXT);
    assert.deepEqual(written(again, [at('a', '2026-03-02'), back]), {
      isOpen: false,
      reading: 'b',
      said: 'Written back: b verifies that the module is as in the backup again.',
    });
    assert.equal(written(again, [at('a', '2026-02-01')]), undefined);
    const unordered = written(again, [at('a', '2026-03-03T10:00Z'), back]);
    assert.deepEqual([unordered?.isOpen, unordered?.reading], [true, 'a']);
    assert.equal(
      unordered?.said,
      'work is as its backup. a differs from it and cannot be ordered: "@taken" is "2026-03-03T10:00Z" in a and "2026-03-03" in b, which does not tell which of them was read later. Read the module once more and verify that, or correct the time if it is wrong.',
    );
    assert.match(
      written(again, [at('a', '2026-03-02'), at('b', 'soon', LINES_TEXT)])?.said ?? '',
      /^work is as its backup\. a differs from it and cannot be ordered: "@taken" of b is "soon", which is no day and time\.$/,
    );
    assert.match(
      written(again, [at('a', '2099-03-02'), back])?.said ?? '',
      /^work is as its backup\. a differs from it and cannot be ordered: "@taken" of a is 2099-03-02, which is in the future\./,
    );
    assert.match(
      written(again, [at('a', '2026-03-01')])?.said ?? '',
      /^work is as its backup\. a differs from it and cannot be ordered: "@taken" is "2026-03-01" in a and .* in found, /,
    );
  });

  it('cannot be told where nothing differs and not all was read', () => {
    const torn = named('work', {
      head: '@backup found',
      text: LINES_TEXT.replace('3: 00 00 00 | 00', '3: 00 00 00 | 0'),
    });
    const found = written(torn, [at('a', '2026-03-02'), at('b', '2026-03-03')]);
    assert.deepEqual([found?.isOpen, found?.reading], [true, 'b']);
    assert.equal(
      found?.said,
      'Whether work is changed cannot be told, as not everything was read. Line 3 cannot be read or is there twice, and was not compared. Correct it first.',
    );
  });

  it('is proved by the latest reading that verifies it, and said to be open by what contradicts it', () => {
    assert.deepEqual(written(WORK, [at('a', '2026-03-02'), at('b', '2026-03-03')]), {
      isOpen: false,
      reading: 'b',
      said: 'Written: b verifies it.',
    });
    assert.deepEqual(written(WORK, [at('a', '2026-03-02'), at('b', '2026-03-03', LINES_TEXT)]), {
      isOpen: true,
      reading: 'b',
      said: 'Written: a verified it, but b, read later, differs from it.',
    });
    assert.deepEqual(written(WORK, [at('a', '2026-03-03'), at('b', '2026-03-02', LINES_TEXT)])?.isOpen, false);
    const unordered = written(WORK, [at('a', '2026-03-05T10:00Z'), at('b', '2026-03-05', LINES_TEXT)]);
    assert.deepEqual([unordered?.isOpen, unordered?.reading], [true, 'b']);
    assert.match(
      unordered?.said ?? '',
      /^Written: a verified it, but b differs from it and cannot be ordered: "@taken" is "2026-03-05" in b and /,
    );
  });

  it('is not proved by a reading of a time that is still to come, which may have been any time', () => {
    const toCome = '"@taken" of b is 2101-04-11, which is in the future. Correct it, or the clock of this computer.';
    assert.deepEqual(written(WORK, [at('b', '2101-04-11')]), {
      isOpen: true,
      reading: undefined,
      said: `work is changed. b holds the same, but cannot be ordered after the backup: ${toCome}`,
    });
    assert.deepEqual(written(WORK, [at('a', '2026-05-01', LINES_TEXT), at('b', '2101-04-11')])?.isOpen, true);
    assert.deepEqual(written(WORK, [at('a', '2026-05-01'), at('b', '2101-04-11', LINES_TEXT)]), {
      isOpen: true,
      reading: 'b',
      said: `Written: a verified it, but b differs from it and cannot be ordered: ${toCome}`,
    });
    const again = named('work', { head: '@backup found' });
    const back = at('b', '2101-04-11', LINES_TEXT);
    assert.deepEqual([written(again, [at('a', '2026-05-01'), back])?.isOpen], [true]);
    const known = at('c', '2026-06-01', LINES_TEXT);
    assert.equal(written(again, [at('a', '2026-05-01'), known, back])?.reading, 'c', 'what is to come proves nothing');
  });

  it('is not proved by what was read before the backup, or by what differs: then the latest reading is named', () => {
    const open = 'work is changed, and no reading here proves that it was written.';
    assert.deepEqual(written(WORK, []), { isOpen: true, reading: undefined, said: open });
    assert.deepEqual(written(WORK, [at('a', '2026-02-01')]), { isOpen: true, reading: undefined, said: open });
    assert.deepEqual(written(WORK, [at('a', '2026-03-02', OTHER), at('b', '2026-03-03', LINES_TEXT)]), {
      isOpen: true,
      reading: 'b',
      said: open,
    });
  });

  it('is open where nobody can tell that the reading came after the backup: the one without its time is named', () => {
    const undated = named('found', { head: SEAL });
    assert.match(
      written(WORK, [at('a', '2026-03-02')], undated)?.said ?? '',
      /cannot be ordered after the backup: "@taken" is missing in found\.$/,
    );
    assert.match(
      written(WORK, [named('a', { text: FOG_OFF })])?.said ?? '',
      /cannot be ordered after the backup: "@taken" is missing in a\.$/,
    );
    const same = written(WORK, [at('a', '2026-03-01')])?.said ?? '';
    assert.match(same, /"@taken" is "2026-03-01" in a and "2026-03-01" in found, which does not tell which/);
    assert.match(
      written(WORK, [at('a', '2026-03-02'), named('b', { text: OTHER })])?.said ?? '',
      /a verified it, but b differs from it and cannot be ordered: "@taken" is missing in b\.$/,
    );
  });

  it('is open for such a stray also where it was taken back', () => {
    const taken = named('work', { head: '@backup found', text: LINES_TEXT });
    const readings = [at('a', '2026-03-02'), at('b', '2026-03-03', LINES_TEXT)];
    const stray = (time: string) => [named('x', { head: `@taken ${time}`, more: { isUnexplained: true } })];
    assert.equal(written(taken, readings, BACKUP)?.isOpen, false);
    assert.equal(written(taken, readings, BACKUP, stray('2026-03-02'))?.isOpen, false);
    const open = written(taken, readings, BACKUP, stray('2026-03-04'));
    assert.match(open?.said ?? '', /^Written: b verified it, but x may be a later reading of this module/);
    assert.equal(open?.isOpen, true);
  });

  it('is open for a stray that may have been read later, and for none that was read before', () => {
    const stray = (taken: string) => [named('x', { head: `@taken ${taken}`, more: { isUnexplained: true } })];
    const proof = [at('a', '2026-03-02')];
    const later = written(WORK, proof, BACKUP, stray('2026-03-03'));
    assert.deepEqual([later?.isOpen, later?.reading], [true, 'a']);
    assert.match(later?.said ?? '', /^Written: a verified it, but x may be a later reading of this module/);
    assert.equal(written(WORK, proof, BACKUP, stray('2026-02-01'))?.isOpen, false);
  });
});

describe('what is open in the record', () => {
  const record = (...given: readonly NamedDump[]) => {
    const dumps = given.map((one) => ({ ...one, profileFile: 'p' }));
    return vehicleRecord({ dumps, retrofits: [], cards: [], now: LATER }, (said) => say(said));
  };
  const openOf = (...dumps: readonly NamedDump[]) => says(record(...dumps).open);
  const checked = (name: string, given: Given): NamedDump => {
    const one = named(name, given);
    return {
      ...one,
      problems: checkDump(loaded(one.dump, SOUND)).filter(({ severity }) => severity !== 'information'),
    };
  };
  const problem = (severity: 'error' | 'warning', row: number) => ({
    ...checkDump(loaded(lines(PROFILE, LINES_TEXT.replace('| 11', '| 12')), SOUND))[0]!,
    severity,
    row,
    message: phrase('odd'),
  });
  const withProblems = (name: string, head: string, errors: number, warnings: number): NamedDump => ({
    ...named(name, { head }),
    problems: [
      ...Array.from({ length: errors }, (_, row) => problem('error', row)),
      ...Array.from({ length: warnings }, (_, row) => problem('warning', row)),
    ],
  });

  it('are the first problems of each dump, errors before warnings, and how many there are beside', () => {
    assert.deepEqual(openOf(withProblems('a', '@taken 2026', 1, 1)), ['a, row 1: odd', 'a, row 1: odd']);
    assert.deepEqual(openOf(withProblems('a', '@taken 2026', 3, 3)).length, 6);
    assert.deepEqual(
      openOf(withProblems('a', '@taken 2026', 5, 4)).filter((one) => one.includes('more')),
      ['a: 2 more errors.', 'a: 1 more warnings.'],
    );
  });

  it('are of a backup its errors alone, as the work may just put right what was found', () => {
    const backup = withProblems('a', SEAL, 1, 2);
    const unchecked = [phrase('nobody knows.')];
    assert.deepEqual(openOf({ ...backup, unchecked }), ['a, row 1: odd']);
    assert.deepEqual(openOf({ ...named('a', { head: '@taken 2026' }), unchecked }), ['a: nobody knows.']);
  });

  it('are none of a reading once the module was read again, but all of what is in work', () => {
    const [old, last] = [
      withProblems('old', '@vin A\n@taken 2026-03-01', 1, 0),
      named('new', { head: '@vin A\n@taken 2026-03-02' }),
    ];
    assert.deepEqual(openOf(old, last), []);
    assert.deepEqual(openOf(old), ['old, row 1: odd']);
    const work = withProblems('work', '@vin A\n@taken 2026-03-01\n@backup found', 1, 0);
    const found = named('found', { head: `@vin A\n@taken 2026-02-01\n${SEAL}` });
    assert.ok(openOf(found, work, last).includes('work, row 1: odd'));
    const odd = named('odd', { head: '@vin A\n@taken 2026-03-02', text: OTHER });
    assert.deepEqual(openOf(found, odd), ['odd: nothing in the profile explains what changed since found in line 3.']);
    assert.deepEqual(openOf(found, odd, named('z', { head: '@vin A\n@taken 2026-03-03', text: OTHER })), []);
  });

  it('name what was not read whole once: by its errors, or else by why', () => {
    const torn = { head: '@taken 2026-03-01', text: LINES_TEXT.replace(/^2:.*\n/m, '') };
    assert.match(openOf(named('a', torn)).join(), /^a was not read whole: /);
    const sound = checked('a', torn);
    assert.ok(sound.problems.some(({ severity }) => severity === 'error'));
    assert.ok(!openOf(sound).some((one) => one.startsWith('a was not read whole')), openOf(sound).join());
    const empty = checked('e', { text: '' });
    assert.match(openOf(empty).join(), /e was not read whole: it holds no data/);
    assert.deepEqual([record(named('b'), named('a', torn)).isWhole, record(named('b')).isWhole], [false, true]);
    assert.match(
      says(openInRecord({ dumps: [sound], retrofits: [], now: LATER }).map((one) => one.says)).join(),
      /a was not read whole: /,
    );
    assert.deepEqual(says(openInRecord({ dumps: [], retrofits: [], now: LATER }).map((one) => one.says)), [
      'There is no dump in this folder yet.',
    ]);
  });

  it('are told on a page that says of each dump whether it was written, and has a title even where it is empty', () => {
    const found = named('found', { head: `@vin A\n@taken 2026-03-01\n${SEAL}` });
    const work = named('work', { head: '@vin A\n@backup found', text: FOG_OFF });
    const back = named('back', { head: '@vin A\n@taken 2026-03-02', text: FOG_OFF });
    assert.match(record(found, work, back).text, /^ {2}- Written: back verifies it\.$/m);
    assert.match(record(found, work, back).text, /^# Vehicle record: A$/m);
    assert.match(record(found, work, back).text, /^None\.$/m);
    assert.match(record(found, work).text, /- work is changed, and no reading here proves that it was written/);
    assert.match(record().text, /^# Vehicle record$/m);
    assert.match(record(named('a')).text, /^# Vehicle record: unnamed vehicle$/m);
  });
});
