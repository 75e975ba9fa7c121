import assert from 'node:assert/strict';
import { createHash } from 'node:crypto';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { textOfRows } from '../../../shared-core/src/format/index.js';
import {
  type CardModule,
  jobCard,
  type NamedDump,
  namedDump,
  type Retrofit,
  whyNoCard,
} from '../../../shared-core/src/jobs/index.js';
import { readRetrofit } from '../../../shared-core/src/jobs/readRetrofit.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { demoDump, demoFile, dumpOf } from '../../support/demo.js';
import { edited, set, unsealed } from '../../support/edits.js';
import { assertExpected } from '../../support/expected.js';
import { loaded } from '../../support/loaded.js';

const TIME = '2026-03-02T10:05:00Z';
const retrofit = readRetrofit(demoFile('trailer-socket.retrofit.json')).retrofit as Retrofit;
const rearFound = demoDump('rear-body.as-found.cfgdump');
const clusterFound = demoDump('cluster.as-found.cfgdump');

const named = (name: string, dump: Dump): NamedDump => ({
  name,
  dump,
  problems: checkDump(loaded(dump, { kind: 'read' }, { kind: 'none' })),
  unchecked: [],
});
const change = (path: string) => retrofit.changes.find(({ profile }) => profile === path);
const rear = (after: Dump): CardModule => ({
  before: named('rear-body.as-found.cfgdump', rearFound),
  after: named('rear-body.cfgdump', after),
  change: change('rear-body.dump-profile.json'),
});
const cluster = (after: Dump): CardModule => ({
  before: named('cluster.as-found.cfgdump', clusterFound),
  after: named('cluster.cfgdump', after),
  change: change('cluster.dump-profile.json'),
});
const rearPlanned = unsealed(set(rearFound, 'trailer-socket', '13-pin'));
const clusterPlanned = unsealed(set(clusterFound, 'trailer-lamp', 'shown'));
const cardOf = (modules: readonly CardModule[], job: Retrofit | null = retrofit) =>
  jobCard({ modules, retrofit: job ?? undefined, time: TIME }, (said) => say(said));
const openOf = (...args: Parameters<typeof cardOf>) => cardOf(...args).open.map((said) => say(said));

describe('a job card', () => {
  it('holds the whole job of two modules', () => {
    const { text, open } = cardOf([rear(rearPlanned), cluster(clusterPlanned)]);
    assert.deepEqual(open, []);
    assertExpected('card/two-modules.md', text);
  });

  it('has no way back for a module that is on it already, whose old lines are those to leave', () => {
    const back: CardModule = {
      before: rear(rearPlanned).after,
      after: rear(rearFound).before,
      change: undefined,
      isWayBack: true,
    };
    const { text } = cardOf([back, cluster(clusterPlanned)], null);
    const [, wayBack = ''] = text.split('## The way back');
    assert.match(wayBack, /Instrument cluster/);
    assert.doesNotMatch(wayBack, /Rear body/);
  });

  it('has the car tried for what it was before, where all goes back, whatever the retrofit has tried', () => {
    const back: CardModule = {
      before: rear(rearPlanned).after,
      after: rear(rearFound).before,
      change: undefined,
      isWayBack: true,
    };
    const [, tried = ''] = cardOf([back]).text.split('## Try the function');
    assert.match(
      tried,
      /^\s*☐ The car was tried: it works as before the work, without fault messages\.\s*This card says/,
    );
  });

  it('is made without a retrofit too', () => {
    const braking = unsealed(set(rearPlanned, 'trailer-stability', 'on'));
    assertExpected('card/no-retrofit.md', cardOf([{ ...rear(braking), change: undefined }], null).text);
  });

  it('warns before it lists digests, and says without a retrofit too what to do after writing', () => {
    const module = { ...rear(rearPlanned), change: undefined };
    const { text } = cardOf([module], null);
    assert.ok(text.indexOf('⚠') < text.indexOf('SHA-256'));
    assert.match(text, /## After writing\n\n☐ The ignition was switched off and on again\.\\\n/);
    assert.match(text, /## Try the function\n\n☐ Trailer socket \(now 13-pin\) was tried in the car and works\.\n/);
    assert.match(cardOf([rear(rearPlanned), cluster(clusterPlanned)]).text, /## After writing\n\n☐ The ignition/);
  });

  it('calls a module whose profile has no title by what its dumps say of it', () => {
    const untitled = { ...rearFound.profile, title: undefined };
    const bare = (dump: Dump) => ({ ...dump, profile: untitled });
    const module = rear(bare(rearPlanned));
    const { text } = cardOf([{ ...module, before: { ...module.before, dump: bare(rearFound) } }], null);
    assert.match(text, /\| RB-2041-07 \| RB-2041-07 \| 0311 \|/);
  });

  it('gives the SHA-256 of the dumps as other tools do', () => {
    const { text } = cardOf([rear(rearPlanned)]);
    for (const dump of [rearFound, rearPlanned])
      assert.ok(text.includes(createHash('sha256').update(textOfRows(dump.rows)).digest('hex')));
  });

  it('says why the planned dump must not be written yet', () => {
    const text = textOfRows(rearPlanned.rows)
      .replace('17: 10 00 FF 00  FF 3C | 55', '17: 10 00 FF 00  FF 5C | 75')
      .replace(' 9: 00 00 10 13', ' 9: 00 00 10 23')
      .replace(/^11:.*\n/m, '')
      .replace(' 3: 10 00 08', ' 3: 10 00 09')
      .replace('13: 00 B2', '13: 00 G2');
    const card = cardOf([{ ...rear(dumpOf(text, rearFound.profile)), change: change('rear-body.dump-profile.json') }]);
    assertExpected('card/not-yet.md', card.text);
    const open = card.open.map((said) => say(said));
    for (const wanted of [/cluster\.dump-profile\.json, but no dumps/, /Line 11 is missing/, /Line 13 cannot be/])
      assert.ok(
        open.some((one) => wanted.test(one)),
        String(wanted),
      );
  });

  it('names what the retrofit asks for and the planned dump does not hold, and what it holds beyond that', () => {
    const other = unsealed(set(set(rearFound, 'trailer-socket', '7-pin'), 'tailgate', 'power-assisted'));
    assert.deepEqual(openOf([rear(other), cluster(clusterPlanned)]), [
      'rear-body.cfgdump: Trailer socket is to be 13-pin, but is 7-pin.',
      'rear-body.cfgdump: Tailgate is changed too, which the retrofit does not ask for.',
    ]);
  });

  it('says when nothing is changed, and when the backup is broken', () => {
    const broken = edited(rearFound, (text) =>
      text.replace('18: 00 1A 08 C1  00 55 | 44', '18: 00 1B 08 C1  00 54 | 44'),
    );
    const module = { ...rear(rearFound), before: named('rear-body.as-found.cfgdump', broken) };
    assert.match(cardOf([module]).text, /SEAL BROKEN/);
    const open = openOf([rear(unsealed(rearFound)), cluster(clusterPlanned)]);
    assert.ok(open.includes('rear-body.cfgdump: nothing is changed.'));
  });

  it('says what a check of the planned dump warns of, and what it did not check', () => {
    const profile = { ...rearFound.profile, appliesTo: { part: ['RB-*'], software: [] } };
    const text = textOfRows(unsealed(set(rearPlanned, 'rear-fog-cutout', 'no')).rows).replace(/^@part.*\n/m, '');
    const after = namedDump('rear-body.cfgdump', loaded(dumpOf(text, profile), { kind: 'read' }));
    const open = openOf([{ ...rear(rearPlanned), after }]);
    for (const wanted of [/this dump has no "@part"/, /Trailer socket "13-pin" needs Rear fog lamp off with trailer/])
      assert.ok(
        open.some((one) => one.startsWith('rear-body.cfgdump: ') && wanted.test(one)),
        String(wanted),
      );
    const alone = {
      ...cluster(clusterPlanned),
      after: namedDump('cluster.cfgdump', loaded(clusterPlanned, { kind: 'read' })),
    };
    assert.deepEqual(openOf([rear(rearPlanned), alone]), [
      'cluster.cfgdump: no dump of the module of rear-body.dump-profile.json is at hand, so what its options ask of that module was not checked.',
    ]);
  });

  it('names at most five errors and five warnings of a dump, and how many there are beside', () => {
    const [problem] = checkDump(
      loaded(
        edited(rearPlanned, (text) => text.replace('| 57', '| 58')),
        { kind: 'read' },
      ),
    );
    assert.ok(problem);
    const many = (count: number, severity: 'error' | 'warning') => {
      const after = named('rear-body.cfgdump', rearPlanned);
      const problems = Array.from({ length: count }, (_, row) => ({ ...problem, severity, row }));
      const all = openOf([{ ...rear(rearPlanned), after: { ...after, problems } }], null);
      return [
        all.filter((one) => one.includes('Line 1: its sum')).length,
        all.filter((one) => / more /.test(one)).join(),
      ];
    };
    for (const severity of ['error', 'warning'] as const) {
      assert.deepEqual(many(5, severity), [5, '']);
      assert.deepEqual(many(6, severity), [5, `rear-body.cfgdump: 1 more ${severity}s.`]);
      assert.deepEqual(many(8, severity), [5, `rear-body.cfgdump: 3 more ${severity}s.`]);
    }
  });

  it('names bytes that no work changes, and lines that nothing explains, but not what changes by itself', () => {
    const open = (change: (text: string) => string) =>
      openOf([{ ...rear(edited(rearPlanned, change)), change: undefined }], null);
    assert.ok(
      open((text) => text.replace('20 41  00 01 | 57', '20 41  00 02 | 58')).some((one) =>
        /^rear-body\.cfgdump: Do not write this: .*line 1.*locked/.test(one),
      ),
    );
    const unexplained = /nothing in the profile explains the change of line (.*)\./;
    const explained = (text: string) => text.replace('18: 00 1A 08 C1  00 55 | 44', '18: 00 1B 08 C1  00 55 | 45');
    assert.ok(!open(explained).some((one) => unexplained.test(one)));
    const both = open((text) =>
      explained(text).replace('7F 7F 08 58', '7F 7F 08 59').replace('C1  00 55', 'C1  00 56'),
    );
    assert.equal(both.flatMap((one) => unexplained.exec(one)?.[1] ?? []).join(), '7, 18');
    // A byte of an option beside it explains nothing of the others of its line.
    const beside = open((text) => text.replace('08 03 21 7F', '08 03 21 7E'));
    assert.equal(beside.flatMap((one) => unexplained.exec(one)?.[1] ?? []).join(), '4');
  });

  it('is whole only where each module was read whole; that nobody has confirmed a profile leaves it whole', () => {
    const torn = edited(rearPlanned, (text) => text.replace('13: 00 B2', '13: 00 G2'));
    assert.ok(cardOf([rear(rearPlanned), cluster(clusterPlanned)]).isWhole);
    assert.ok(!cardOf([rear(torn), cluster(clusterPlanned)]).isWhole);
    assert.ok(!cardOf([cluster(clusterPlanned), rear(torn)]).isWhole);
    const profile = { ...rearFound.profile, appliesTo: { part: ['RB-*'], software: [] } };
    const bare = (dump: Dump) => named('a', dumpOf(textOfRows(dump.rows).replace(/^@part.*\n/m, ''), profile));
    const unconfirmed = { before: bare(rearFound), after: bare(rearPlanned), change: undefined };
    assert.ok(cardOf([unconfirmed]).isWhole);
    const tornToo = { ...unconfirmed, after: bare(torn) };
    assert.ok(!cardOf([tornToo]).isWhole);
  });

  it('says for which option each byte changes, also where two share a line, and what a guess is', () => {
    const two = unsealed(set(set(rearFound, 'trailer-socket', '13-pin'), 'tailgate', 'power-assisted'));
    const volume = unsealed(set(set(two, 'parking-sensors', '6'), 'parking-volume', '5'));
    const { text } = cardOf([{ ...rear(volume), change: undefined }], null);
    assert.match(text, /byte 2: Rear parking sensors [^;|]*; byte 3: Parking tone volume [^;|]*; byte 7: line sum/);
    assert.match(text, /What the profile says of Tailgate is unconfirmed \(guess\)\. One car only\./);
    assert.match(text, /What the profile says of Parking tone volume is likely, not confirmed\./);
    // What somebody has noted since is said too.
    const tried = {
      how: 'set-and-tried',
      part: 'RB-2041-07',
      software: '0311',
      date: '2026-03-02',
      by: undefined,
    } as const;
    const noted = {
      ...volume,
      profile: {
        ...volume.profile,
        options: volume.profile.options.map((one) => ({
          ...one,
          seen: { observations: [tried], confidence: 'likely' as const, uncounted: [] },
        })),
      },
    };
    assert.match(
      cardOf([{ ...rear(noted), change: undefined }], null).text,
      /Tailgate is unconfirmed \(guess\)\. One car only\. Noted since: set and tried, RB-2041-07, software 0311, 2026-03-02\./,
    );
    const counted = edited(rearPlanned, (one) =>
      one.replace('18: 00 1A 08 C1  00 55 | 44', '18: 00 1B 08 C1  00 55 | 45'),
    );
    assert.match(cardOf([{ ...rear(counted), change: undefined }], null).text, /\*\*18\*\*.*byte 2: changes by itself/);
    assert.match(text, /byte 6: balance; byte 7: line sum/);
  });

  it('says of sums that are only a guess, line sums and file sums, that they are', () => {
    const guess = 'guess' as const;
    const { profile } = rearFound;
    const [total] = profile.totals;
    assert.ok(profile.lineSum && total);
    const unsure = {
      ...profile,
      lineSum: { ...profile.lineSum, confidence: guess },
      totals: [{ ...total, confidence: guess }],
    };
    const by = (dump: Dump) => dumpOf(textOfRows(dump.rows), unsure);
    const module = rear(by(rearPlanned));
    const { text } = cardOf([{ ...module, before: { ...module.before, dump: by(rearFound) } }]);
    const says = `Only a guess in ${profile.title}: line sums, ${total.name}.`;
    assert.ok(
      text.split('\n').some((line) => line.includes('⚠') && line.includes(says)),
      text,
    );
    assert.doesNotMatch(cardOf([rear(rearPlanned)]).text, /Only a guess in/);
  });

  it('shows the old bytes at the addresses of the new records where an image was cut otherwise', () => {
    const { profile } = readProfile(JSON.stringify({ format: 1, addresses: { from: 0, to: 7 } }));
    const before = bindText('a.hex', ':080000000102030405060708D4\n:00000001FF\n', profile);
    const card = (records: string) => {
      const after = bindText('b.hex', `${records}\n:00000001FF\n`, profile);
      return cardOf([{ before: named('a.hex', before), after: named('b.hex', after), change: undefined }], null).text;
    };
    const old = (text: string) =>
      [...text.matchAll(/^\| ☐ \| \S+ \| \*\*(\S+)\*\* \| <code>(.*)<\/code> \|$/gm)].map(
        (one) => `${one[1]}: ${one[2]?.replace(/\u00a0/g, ' ')}`,
      );
    assert.deepEqual(old(card(':080000000102030405060709D3')), ['0000: 01 02 03 04 05 06 07 08 │ D4']);
    assert.deepEqual(old(card(':0400000001020304F2\n:0400040005060709DB')), ['0004: 05 06 07 08']);
    assert.deepEqual(old(card(':0400000001020305F1\n:0400040005060708DC')), ['0000: 01 02 03 04']);
  });

  it('shows text of people as it is, whatever Markdown or HTML would make of it', () => {
    const odd = '# a | b *c* <img src=x onerror=alert(1)> [d](e) `f` $g$ &amp;';
    const named = edited(rearPlanned, (text) => text.replace('stock no. 2041', odd));
    const job: Retrofit = { ...retrofit, title: odd, before: [{ text: odd, measure: undefined }], after: [odd] };
    const { text } = cardOf([{ ...rear(named), before: rear(named).before }], job);
    assert.doesNotMatch(text, /(?<!\\)<img/);
    assertExpected('card/odd-texts.md', text);
  });

  it('is made of memory images too, with records by address', () => {
    const profile = readProfile(
      JSON.stringify({
        format: 1,
        title: 'Image',
        addresses: { from: '0x10000', to: '0x1001F' },
        totals: [
          { name: 'block sum', method: 'add', bits: 8, over: [{ from: '0x10000', to: '0x1000E' }], address: '0x1000F' },
        ],
        options: [
          { id: 'fan', title: 'Fan', address: '0x10004', bits: '1-0', values: { '0': 'none', '1': 'one', '2': 'two' } },
        ],
      }),
    );
    assert.deepEqual(profile.problems, []);
    const text = [
      ':020000040001F9',
      ':10000000000102030405060708090A0B0C0D0E691E',
      ':1000100000000000000000000000000000000000E0',
      ':00000001FF',
      '',
    ].join('\n');
    const before = bindText('fan.hex', text, profile.profile);
    const after = set(before, 'fan', 'two');
    const { text: card, open } = cardOf(
      [{ before: named('fan.hex', before), after: named('fan-new.hex', after), change: undefined }],
      null,
    );
    assert.deepEqual(open, []);
    assertExpected('card/image.md', card);
  });

  it('is refused of dumps that do not belong together', () => {
    const why = (modules: readonly CardModule[]) => {
      const refused = whyNoCard(modules);
      return refused && say(refused);
    };
    assert.equal(why([rear(rearPlanned), cluster(clusterPlanned)]), undefined);
    const otherVin = (dump: Dump) => edited(dump, (text) => text.replace('TA020418', 'TA020419'));
    assert.match(why([rear(otherVin(rearPlanned))]) ?? '', /are of two cars: "@vin"/);
    const foreign = { before: named('a', otherVin(clusterFound)), after: named('b', otherVin(clusterPlanned)) };
    assert.match(why([rear(rearPlanned), { ...foreign, change: undefined }]) ?? '', /b is of another car: "@vin"/);
    const called = (dump: Dump, name: string) =>
      edited(dump, (text) => text.replace(/^@vin.*\n/m, '').replace(/^@vehicle.*/m, name));
    const another = {
      before: named('a', called(clusterFound, '@vehicle X')),
      after: named('b', called(clusterPlanned, '@vehicle X')),
    };
    assert.match(why([rear(rearPlanned), { ...another, change: undefined }]) ?? '', /b is of another car: "@vehicle"/);
    const silent = {
      before: named('a', called(clusterFound, '# none')),
      after: named('b', called(clusterPlanned, '# none')),
    };
    assert.equal(why([rear(rearPlanned), { ...silent, change: undefined }]), undefined);
    assert.equal(why([]), undefined);
  });

  it('is refused where the planned dump is the backup that the other names, and where a pair is given twice', () => {
    const why = (modules: readonly CardModule[]) => {
      const refused = whyNoCard(modules);
      return refused && say(refused);
    };
    for (const use of ['comparison', 'another-module']) {
      const marked = (dump: Dump) => edited(dump, (text) => text.replace('@vin', `@use ${use}\n@vin`));
      const said = use === 'comparison' ? /only here to compare with/ : /is of none of the modules here/;
      assert.match(why([rear(marked(rearPlanned))]) ?? '', said);
      const module = rear(rearPlanned);
      const found = named(module.before.name, marked(rearFound));
      assert.match(why([{ ...module, before: found }]) ?? '', /^rear-body\.as-found\.cfgdump is /);
      assert.match(why([{ ...module, before: found }]) ?? '', said);
    }
    const { before, after } = rear(demoDump('rear-body.cfgdump'));
    assert.match(
      why([{ before: after, after: before, change: undefined }]) ?? '',
      /^rear-body\.as-found\.cfgdump is the sealed backup that rear-body\.cfgdump names, so the two are given the other/,
    );
    assert.match(
      why([rear(rearPlanned), cluster(clusterPlanned), rear(rearPlanned)]) ?? '',
      /^rear-body\.as-found\.cfgdump and rear-body\.cfgdump are given twice/,
    );
  });
});
