import assert from 'node:assert/strict';
import { createHash } from 'node:crypto';
import { describe, it } from 'mocha';
import {
  bindText,
  type CardModule,
  checkDump,
  type Dump,
  jobCard,
  type NamedDump,
  namedDump,
  type Retrofit,
  readProfile,
  say,
  textOfRows,
  whyNoCard,
} from '../../../shared-core/src/index.js';
import { readRetrofit } from '../../../shared-core/src/jobs/readRetrofit.js';
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

  it('is made without a retrofit too', () => {
    const braking = unsealed(set(rearPlanned, 'trailer-stability', 'on'));
    assertExpected('card/no-retrofit.md', cardOf([{ ...rear(braking), change: undefined }], null).text);
  });

  it('gives the SHA-256 of the files as other tools do', () => {
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
  });
});
