import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { done, phrase, say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { problem } from '../../../shared-core/src/checks/problem.js';
import { type NamedDump, vehicleRecord } from '../../../shared-core/src/jobs/index.js';
import type { VehicleRecord } from '../../../shared-core/src/jobs/record/vehicleRecord.js';
import { retrofitFile } from '../../../shared-core/src/jobs/retrofitFile.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { cardName, kindOf } from '../../../shared-core/src/workspace/index.js';
import { demoDump, demoFile, dumpOf } from '../../support/demo.js';
import { edited, set, unsealed } from '../../support/edits.js';
import { assertExpected } from '../../support/expected.js';
import { LATER } from '../../support/later.js';
import { loaded } from '../../support/loaded.js';

const found = demoDump('rear-body.as-found.cfgdump');
const cluster = demoDump('cluster.as-found.cfgdump');
const named = (name: string, dump: Dump): NamedDump => ({
  name,
  dump,
  problems: checkDump(loaded(dump, { kind: 'read' }, { kind: 'none' })),
  unchecked: [],
});
const withHeader = (dump: Dump, header: string) => edited(dump, (text) => text.replace('@vin', `${header}\n@vin`));
const work = withHeader(unsealed(set(found, 'trailer-socket', '13-pin')), '@backup rear-body.as-found.cfgdump');
const reading = (dump: Dump, time: string) => withHeader(unsealed(dump), `@taken ${time}`);
const record = (...dumps: readonly NamedDump[]) =>
  vehicleRecord({ dumps, retrofits: [], cards: [], now: LATER }, (said) => say(said));
const retrofit = (name: string, text: string, ...profileFiles: readonly string[]) => ({
  name,
  file: retrofitFile(name, done(text)),
  profileFiles,
});
const openOf = ({ open }: VehicleRecord) => open.map((said) => say(said));

const FOUND = named('rear-body.as-found.cfgdump', found);
const WORK = named('rear-body.cfgdump', work);

describe('the record of a vehicle', () => {
  it('takes no dump for a proof that says that it is of another module, or not clearly what it is here for', () => {
    const read = reading(set(found, 'trailer-socket', '13-pin'), '2026-03-02T11:00:00Z');
    const said = (header: string) =>
      record(FOUND, WORK, named('read.cfgdump', header === '' ? read : withHeader(read, header))).text;
    assert.match(said(''), /Written: read\.cfgdump verifies it/);
    for (const header of ['@use another-module', '@use comparison', '@use comparision', '@use', '@Use comparison'])
      assert.doesNotMatch(said(header), /verifies it/, header);
    const backup = named('rear-body.as-found.cfgdump', withHeader(found, '@use another-module'));
    assert.match(openOf(record(backup, WORK, named('read.cfgdump', read))).join(), /its backup .* is not among/);
  });

  it('takes no reading for a proof that holds what is wrong in the dump in work itself', () => {
    const wrong = (dump: Dump) => edited(dump, (text) => text.replace(/^total: ../m, 'total: 00'));
    const read = reading(set(found, 'trailer-socket', '13-pin'), '2026-03-02T11:00:00Z');
    const { text, open } = record(FOUND, named('rear-body.cfgdump', wrong(work)), named('read.cfgdump', wrong(read)));
    assert.doesNotMatch(text, /verifies it/);
    assert.match(
      open.map((said) => say(said)).join(),
      /read\.cfgdump holds the same, which is not right itself: The .* is wrong, as in the plan/,
    );
  });

  it('shows a dump of another module by itself, with its own backup', () => {
    const apart = named(
      'apart.cfgdump',
      withHeader(withHeader(unsealed(found), '@use another-module'), '@backup own.cfgdump'),
    );
    const said = record(FOUND, WORK, apart, named('own.cfgdump', found));
    assert.ok(!openOf(said).some((one) => /is not among|Several dumps/.test(one)), openOf(said).join());
  });

  it('shows dumps by their time, what changed between them, cards, retrofits and what is open', () => {
    const { text } = vehicleRecord(
      {
        now: LATER,
        dumps: [
          named('rear-body.read-back.cfgdump', reading(set(found, 'trailer-socket', '13-pin'), '2026-03-02T11:00:00Z')),
          WORK,
          FOUND,
          named(
            'later.cfgdump',
            reading(
              edited(found, (t) => t.replace('| 97', '| 98')),
              '2026-05-01T08:00:00+02:00',
            ),
          ),
          named('cluster.cfgdump', cluster),
        ],
        retrofits: [
          retrofit('trailer-socket.retrofit.json', demoFile('trailer-socket.retrofit.json')),
          retrofit('torn.retrofit.json', '{'),
        ],
        cards: ['stock-no-2041.2026-03-02.job-card.md'],
      },
      (said) => say(said),
    );
    assertExpected('record/vehicle.md', text);
  });

  it('is a time line of what was done: the work after its backup, which bytes that changed folded away', () => {
    const back = named(
      'back.cfgdump',
      edited(reading(work, '2026-03-02T11:00:00Z'), (text) => text.replace(/^@backup.*\n/m, '')),
    );
    const { text, title } = record(back, WORK, FOUND);
    assert.equal(say(title), 'Vehicle record: stock no. 2041');
    const [visible = '', ...folds] = text.split('<details>');
    assert.deepEqual(
      visible.split('\n').filter((line) => line.startsWith('- ')),
      [
        '- **2026-03-02 09:14 UTC** · sealed backup · rear-body.as-found.cfgdump',
        '- **in work** · rear-body.cfgdump',
        '- **2026-03-02 11:00 UTC** · read from the module · back.cfgdump',
      ],
    );
    assert.match(visible, /## Rear body module \(demo\)\n\nRB-2041-07 · 0311\n/);
    assert.match(visible, / {2}- Trailer socket: none → 13-pin\n {2}- Written: back\.cfgdump verifies it\./);
    assert.doesNotMatch(visible, /changed bytes/);
    assert.equal(folds.length, 1);
    assert.match(folds[0] ?? '', /<summary>Changed lines<\/summary>\n\n- rear-body\.cfgdump since rear-body\.as-found/);
  });

  it('of a vehicle that no dump names does not call it by the address of a file', () => {
    const bare = edited(unsealed(found), (text) => text.replace(/^@(?:vin|vehicle).*\n/gm, ''));
    assert.equal(say(record(named('read.cfgdump', bare)).title), 'Vehicle record: unnamed vehicle');
  });

  it('keeps a changed dump open until a reading proves that it was written', () => {
    assert.deepEqual(openOf(record(FOUND, WORK)), [
      'rear-body.cfgdump is changed, and no reading here proves that it was written.',
    ]);
    const back = named('back.cfgdump', reading(work, '2026-03-02T11:00:00Z'));
    assert.deepEqual(
      openOf(record(FOUND, WORK, { ...back, dump: edited(back.dump, (t) => t.replace(/^@backup.*\n/m, '')) })),
      [],
    );
    const other = named('back.cfgdump', reading(found, '2026-03-02T11:00:00Z'));
    assert.equal(openOf(record(FOUND, WORK, other)).length, 1);
  });

  it('goes by the latest reading after the backup', () => {
    const read = (name: string, dump: Dump, time: string) =>
      named(
        name,
        edited(reading(dump, time), (text) => text.replace(/^@backup.*\n/m, '')),
      );
    const good = read('good.cfgdump', work, '2026-03-02T11:00:00Z');
    const later = read('later.cfgdump', found, '2026-03-05T11:00:00Z');
    assert.deepEqual(openOf(record(FOUND, WORK, good, later)), [
      'Written: good.cfgdump verified it, but later.cfgdump, read later, differs from it.',
    ]);
    const early = read('early.cfgdump', work, '2020-01-01T11:00:00Z');
    assert.deepEqual(openOf(record(FOUND, WORK, early)), [
      'rear-body.cfgdump is changed, and no reading here proves that it was written.',
    ]);
    // Day before month or month before day: nobody can tell, so such a time is not known.
    const unclear = read('unclear.cfgdump', found, '02.03.2026 11:02');
    assert.match(
      openOf(record(FOUND, WORK, good, unclear)).join(),
      /unclear\.cfgdump differs from it and cannot be ordered: "@taken" of unclear\.cfgdump is/,
    );
  });

  it('is done by a later reading that verifies, whatever was wrong with the one before it', () => {
    const read = (name: string, dump: Dump, time: string) =>
      named(
        name,
        edited(reading(dump, time), (text) => text.replace(/^@backup.*\n/m, '')),
      );
    const slip = edited(work, (text) => text.replace(' 7: 7F 7F 08 58', ' 7: 7F 7F 08 59'));
    const bad = read('bad.cfgdump', slip, '2026-03-02T11:00:00Z');
    const good = read('good.cfgdump', work, '2026-03-02T12:00:00Z');
    assert.notDeepEqual(openOf(record(FOUND, WORK, bad)), []);
    const whole = record(FOUND, WORK, bad, good);
    assert.deepEqual(openOf(whole), []);
    const after = whole.text.split('<details>')[0]?.split('· good.cfgdump')[1] ?? '';
    assert.doesNotMatch(after, /Unexplained/);
    assert.match(after, /The same bytes as rear-body\.cfgdump\./);
  });

  it('says what the module last held where the dump is as its backup again', () => {
    const again = named('rear-body.cfgdump', withHeader(unsealed(found), '@backup rear-body.as-found.cfgdump'));
    const back = named(
      'back.cfgdump',
      edited(reading(work, '2026-03-02T11:00:00Z'), (text) => text.replace(/^@backup.*\n/m, '')),
    );
    assert.match(
      openOf(record(FOUND, again, back)).join(),
      /^rear-body\.cfgdump is as its backup, but the module held something else when back\.cfgdump was read \(lines: 4, 17\)/,
    );
  });

  it('is open for a backup without a seal, a backup that is not here, and two dumps in work of one module', () => {
    const back = named(
      'back.cfgdump',
      edited(reading(work, '2026-03-02T11:00:00Z'), (text) => text.replace(/^@backup.*\n/m, '')),
    );
    assert.deepEqual(openOf(record(FOUND, WORK, back)), []);
    const bare = named(FOUND.name, unsealed(found));
    assert.match(
      openOf(record(bare, WORK, back)).join('\n'),
      /^The backup rear-body\.as-found\.cfgdump is not sealed/m,
    );
    assert.match(
      openOf(record({ ...FOUND, name: 'old.cfgdump' }, WORK, back)).join('\n'),
      /^rear-body\.cfgdump: its backup "rear-body\.as-found\.cfgdump" is not among the dumps of this module here/m,
    );
    assert.match(
      openOf(record(FOUND, WORK, named('second.cfgdump', work), back)).join('\n'),
      /^Several dumps of this vehicle are for this module: rear-body\.cfgdump, second\.cfgdump\./m,
    );
    const below = [FOUND, WORK, back].map((one) => ({ ...one, name: `car/${one.name}` }));
    assert.deepEqual(openOf(record(...below, { ...FOUND, name: FOUND.name })), []);
  });

  it('takes nothing as proved by the later of two readings where nobody can tell which one that is', () => {
    const read = (name: string, dump: Dump, time: string) =>
      named(
        name,
        edited(reading(dump, ''), (text) =>
          text.replace(/^@(?:backup|taken).*\n/gm, '').replace('@vin', `@taken ${time}\n@vin`),
        ),
      );
    const openWith = (good: string, bad: string) =>
      openOf(record(FOUND, WORK, read('good.cfgdump', work, good), read('bad.cfgdump', found, bad))).join();
    for (const [good, bad] of [
      ['2026-03-02T11:02:00Z', '2026-03-02T11:02:00Z'],
      ['2026-03-02T11:02:00Z', '2026-03-02'],
      ['2026-03-02T11:02:00Z', '2026-03'],
      ['2026-03-02T11:02:00Z', '2026-03-02T09:30'],
      ['2026-03-02T11:02:30Z', '2026-03-02T11:02Z'],
      ['2026-03-03', '2026-03-03T11:02:00Z'],
    ] as const)
      assert.match(
        openWith(good, bad),
        /good\.cfgdump verified it, but bad\.cfgdump differs from it and cannot be ordered: "@taken" is/,
        bad,
      );
    assert.match(openWith('2026-03-02T11:02:00Z', '2026-03-02T11:02:00.001Z'), /bad\.cfgdump, read later, differs/);
    for (const [good, bad] of [
      ['2026-03-02T11:02:00.001Z', '2026-03-02T11:02:00Z'],
      ['2026-03-02T11:02:00.2Z', '2026-03-02T11:02:00.19Z'],
      ['2026-03-04', '2026-03-03'],
      ['2026-03-02T12:02:00+01:00', '2026-03-02T11:01:59Z'],
      ['2026-03-04T11:02:00Z', '2026-03-03T09:30'],
    ] as const)
      assert.equal(openWith(good, bad), '', bad);
  });

  it('takes no reading as proof of which nobody knows that it came after the backup', () => {
    for (const [taken, why] of [
      ['2026-02-31T25:00:00Z', /"@taken" of c\.cfgdump is "2026-02-31T25:00:00Z", which is no day and time/],
      ['2026-02-31 10:00', /which is no day and time/],
      ['yesterday', /which is no day and time/],
      [undefined, /"@taken" is missing in c\.cfgdump/],
    ] as const) {
      const read = edited(unsealed(work), (text) =>
        text
          .replace(/^@backup.*\n/m, '')
          .replace(/^@taken.*\n/m, '')
          .replace('@vin', taken === undefined ? '@vin' : `@taken ${taken}\n@vin`),
      );
      const open = openOf(record(FOUND, WORK, named('c.cfgdump', read))).join('\n');
      assert.match(open, /^rear-body\.cfgdump is changed\. c\.cfgdump holds the same, but cannot be ordered/m);
      assert.match(open, why);
    }
  });

  it('takes no reading as proof that equals the backup where the work changes what changes by itself', () => {
    const counted = (dump: Dump) =>
      edited(dump, (text) =>
        text.replace('18: 00 1A 08 C1  00 55 | 44', '18: 00 1B 08 C1  00 55 | 45').replace('21 B2', '21 B3'),
      );
    const plan = withHeader(unsealed(counted(found)), '@backup rear-body.as-found.cfgdump');
    const back = (dump: Dump) =>
      named(
        'c.cfgdump',
        edited(reading(dump, '2026-03-02T11:00:00Z'), (text) => text.replace(/^@taken 2026-03-02T09.*\n/m, '')),
      );
    const PLAN = named('rear-body.cfgdump', plan);
    assert.match(openOf(record(FOUND, PLAN, back(found))).join(), /no reading here proves that it was written/);
    assert.deepEqual(openOf(record(FOUND, PLAN, back(counted(found)))), []);
  });

  it('names what it could not read, what was not checked and what nothing explains', () => {
    const empty = record(named('z.cfgdump', dumpOf('', found.profile)));
    assert.equal(empty.isWhole, false);
    assert.match(empty.text, /\*\*not dated\*\* · holds nothing that can be read · \*\*has problems\*\* · z\.cfgdump/);
    assert.match(openOf(empty).join('\n'), /^z\.cfgdump was not read whole: it holds no data that can be read\.$/m);
    const place = { row: 0, start: 0, end: 0 };
    const unknown = {
      ...named('z.cfgdump', dumpOf('', found.profile)),
      problems: [problem('form-unknown', place, phrase('new'))],
    };
    assert.match(openOf(record(unknown)).join('\n'), /^z\.cfgdump is written in a form that is not known yet\. Run /m);
    const unchecked = [phrase('no profile explains it, so no sum was checked.')];
    const bare = record(FOUND, { ...named('c.cfgdump', reading(found, '2026-03-02T11:00:00Z')), unchecked });
    assert.deepEqual(openOf(bare), ['c.cfgdump: no profile explains it, so no sum was checked.']);
    const odd = named(
      'c.cfgdump',
      edited(reading(found, '2026-03-02T11:00:00Z'), (text) =>
        text.replace(/^@taken 2026-03-02T09.*\n/m, '').replace(/^ 7: .*/m, ' 7: 7F 7F 08 59  00 00 | 60'),
      ),
    );
    assert.match(
      openOf(record(FOUND, odd)).join('\n'),
      /^c\.cfgdump: nothing in the profile explains what changed since rear-body\.as-found\.cfgdump in line 7\.$/m,
    );
  });

  it('compares no reading with one of another car that came before it, and says that such a one is here', () => {
    const LINE = '10: 00 6E 21 20  5D C4 | D4';
    const read = (name: string, time: string, ...changes: readonly (readonly [string, string])[]) =>
      named(
        name,
        edited(reading(work, time), (text) =>
          changes.reduce((now, [from, to]) => now.replace(from, to), text.replace(/^@backup.*\n/m, '')),
        ),
      );
    const other = [LINE, '10: 00 6F 21 20  5D C4 | D5'] as const;
    const donor = named(
      'donor.cfgdump',
      edited(unsealed(work), (text) =>
        text
          .replace(/^@(?:backup|taken|vehicle|vin).*\n/gm, '')
          .replace(...other)
          .replace(/^/, '@use comparison\n'),
      ),
    );
    const bad = read('bad.cfgdump', '2026-03-02T12:00:00Z', [
      ' 7: 7F 7F 08 58  00 00 | 5F',
      ' 7: 7F 7F 08 59  00 00 | 60',
    ]);
    const all = [FOUND, WORK, read('other.cfgdump', '2026-03-02T11:00:00Z', other), bad];
    const { text } = record(...all);
    assert.match(text, /bad\.cfgdump\n {2}- Unexplained since rear-body\.cfgdump \(lines: 7\)\./);
    const told = record(...all, donor);
    const says = /It may be of another car or module: it is byte for byte donor\.cfgdump, .* Correct what it says/;
    assert.match(told.text, new RegExp(`other\\.cfgdump\\n {2}- ${says.source}`));
    assert.match(openOf(told).join('\n'), new RegExp(`^other\\.cfgdump: ${says.source}`, 'm'));
  });

  it('keeps vehicles apart, and never compares across software levels', () => {
    const foreign = edited(found, (text) => text.replace('TA020418', 'TA020419').replace('2041\n', '2042\n'));
    const newer = reading(
      edited(found, (text) => text.replace('@software 0311', '@software 0312')),
      '2026-04-01',
    );
    const { text } = record(FOUND, named('foreign.cfgdump', foreign), named('newer.cfgdump', newer));
    assert.equal(text.match(/^# /gm)?.length, 2);
    assert.match(text, /Not compared with rear-body\.as-found\.cfgdump: "\\@software" is "0311" there and "0312" here/);
  });

  it('lists the first errors of a dump and counts the others', () => {
    const bad = edited(work, (text) => text.replace(/\| ../g, '| 00'));
    const open = openOf(record(named('bad.cfgdump', bad)));
    assert.match(open[0] ?? '', /^bad\.cfgdump, row 10: Line 1: its sum is 00/);
    assert.match(open[3] ?? '', /^bad\.cfgdump: 1[0-9] more errors\.$/);
  });

  it('of a folder without dumps says so', () => {
    const { text, open, isWhole } = record();
    assert.match(text, /There is no dump in this folder yet/);
    assert.deepEqual([open.map((said) => say(said)), isWhole], [['There is no dump in this folder yet.'], false]);
  });

  it('names a retrofit of the folder that a module does not hold, in work, else as it was read last', () => {
    const REAR = 'file:///car/rear-body.dump-profile.json';
    const asks = (value: string) =>
      JSON.stringify({ format: 1, changes: [{ profile: 'p', set: { 'trailer-socket': value } }] });
    const of = (dumps: readonly NamedDump[], ...asked: readonly string[]) => {
      const retrofits = asked.map((value, at) => retrofit(`r${at}.retrofit.json`, asks(value), REAR));
      const mine = dumps.map((one) => ({ ...one, profileFile: REAR }));
      const made = vehicleRecord({ dumps: mine, retrofits, cards: [], now: LATER }, (said) => say(said));
      for (const said of openOf(made)) assert.ok(made.text.includes(said.slice(0, 20)), said);
      return openOf(made);
    };
    const pins = set(found, 'trailer-socket', '13-pin');
    const back = named('back.cfgdump', reading(pins, '2026-03-02T11:00:00Z'));
    const before = named('again.cfgdump', reading(found, '2026-03-02T11:00:00Z'));
    assert.deepEqual(of([FOUND, WORK, back], '13-pin'), []);
    assert.deepEqual(of([FOUND, back], '13-pin'), []);
    assert.deepEqual(of([FOUND, WORK, back], 'none'), [
      'r0.retrofit.json is not carried out. rear-body.cfgdump: Trailer socket is to be none, but is 13-pin.',
    ]);
    assert.match(of([FOUND, before], '13-pin').join(), /not carried out\. again\.cfgdump: .* but is none/);
    assert.match(of([FOUND], '13-pin').join(), /not carried out\. rear-body\.as-found\.cfgdump: /);
    assert.deepEqual(of([FOUND, WORK, back], '13-pin', 'none'), [
      'Trailer socket is to be 13-pin by r0.retrofit.json and none by r1.retrofit.json. Move the one that this job does not follow out of the folder.',
    ]);
    assert.deepEqual(of([{ ...FOUND, profileFile: undefined }], 'none'), []);
  });

  it('takes a retrofit for taken back where the module was read to hold it and is as its backup again', () => {
    const [REAR, CLUSTER] = ['file:///car/rear-body.dump-profile.json', 'file:///car/cluster.dump-profile.json'];
    const set13 = { 'trailer-socket': '13-pin' };
    const asked = JSON.stringify({
      format: 1,
      changes: [
        { profile: 'r', set: set13 },
        { profile: 'c', set: { 'trailer-lamp': 'shown' } },
      ],
    });
    const retrofits = [retrofit('socket.retrofit.json', asked, REAR, CLUSTER)];
    const of = (rear: readonly NamedDump[], other: readonly NamedDump[] = []) =>
      openOf(
        vehicleRecord(
          {
            dumps: [
              ...rear.map((one) => ({ ...one, profileFile: REAR })),
              ...other.map((one) => ({ ...one, profileFile: CLUSTER })),
            ],
            retrofits,
            cards: [],
            now: LATER,
          },
          (said) => say(said),
        ),
      ).filter((said) => /retrofit/.test(said));
    const again = named('rear-body.cfgdump', withHeader(unsealed(found), '@backup rear-body.as-found.cfgdump'));
    const held = named('held.cfgdump', reading(set(found, 'trailer-socket', '13-pin'), '2026-03-02T11:00:00Z'));
    const back = named('back.cfgdump', reading(found, '2026-03-02T12:00:00Z'));
    assert.match(of([FOUND, again]).join(), /^socket\.retrofit\.json is not carried out/);
    assert.deepEqual(of([FOUND, again, held]), []);
    assert.deepEqual(of([FOUND, again, held, back]), []);
    const shown = set(cluster, 'trailer-lamp', 'shown');
    const seen = named('cluster.cfgdump', reading(shown, '2026-03-02T11:30:00Z'));
    assert.deepEqual(of([FOUND, again, held, back], [seen]), [
      'socket.retrofit.json is taken back in Rear body module (demo), and still set in Instrument cluster (demo). Take it back there too, or set it again.',
    ]);
    assert.match(
      of([FOUND, again, held, back], [named('cluster.cfgdump', reading(cluster, '2026-03-02T11:30:00Z'))]).join(),
      /^socket\.retrofit\.json is not carried out\. cluster/,
    );
  });

  it('tells sound retrofits, titled or not, from those with a problem and those that cannot be read', () => {
    const whole = '{"format": 1, "changes": [{"profile": "p", "set": {"x": 1}}]}';
    const of = (...retrofits: readonly ReturnType<typeof retrofit>[]) => {
      const { text, open, isWhole } = vehicleRecord({ dumps: [FOUND], retrofits, cards: [], now: LATER }, (said) =>
        say(said),
      );
      const problems = text.split('## Open problems')[1]?.split('##')[0] ?? '';
      assert.equal(/None\./.test(problems), open.length === 0, problems);
      return { listed: text.split('## Retrofits')[1] ?? '', open: open.map((said) => say(said)).join('\n'), isWhole };
    };
    const sound = of(retrofit('plain.retrofit.json', whole));
    assert.match(sound.listed, /^- plain\.retrofit\.json$/m);
    assert.deepEqual([sound.open, sound.isWhole], ['', true]);
    const faulty = of(retrofit('odd.retrofit.json', whole.replace('{"format": 1, ', '{"title": "Socket", ')));
    assert.match(faulty.listed, /^- odd\.retrofit\.json has problems; correct them first\. "format": 1 is missing/m);
    assert.match(faulty.open, /^odd\.retrofit\.json has problems/);
    assert.equal(faulty.isWhole, true);
    const torn = of(retrofit('torn.retrofit.json', '{'));
    assert.match(torn.listed, /^- torn\.retrofit\.json cannot be read: /m);
    assert.deepEqual([torn.open.startsWith('torn.retrofit.json cannot be read'), torn.isWhole], [true, false]);
  });
});

describe('the name of a job card', () => {
  it('is one that is known again, whatever the vehicle is called', () => {
    const name = cardName('stock no. 2041', '2026-03-02T10:05:00Z');
    assert.equal(name, 'stock-no-2041.2026-03-02-10-05-UTC.job-card.md');
    for (const vehicle of ['../../etc', 'a/b\\c:d*?"<>|', 'Äpfel 7', '', '…'])
      assert.match(cardName(vehicle, '2026-03-02T10:05:00Z'), /^[\p{L}\p{N}-]+\.2026-03-02-10-05-UTC\.job-card\.md$/u);
    assert.equal(kindOf(`file:///car/${name}`), 'cards');
  });
});
