import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type { Consent } from '../../../shared-core/src/actions/change.js';
import { phrase, say } from '../../../shared-core/src/base/index.js';
import { compareDumps } from '../../../shared-core/src/compare/index.js';
import { textOfRows } from '../../../shared-core/src/format/index.js';
import {
  type NamedProfile,
  type Plan,
  planRetrofit,
  type Retrofit,
  type VehicleDump,
} from '../../../shared-core/src/jobs/index.js';
import { planPage } from '../../../shared-core/src/jobs/planPage.js';
import { readRetrofit } from '../../../shared-core/src/jobs/readRetrofit.js';
import { wrongTotals } from '../../../shared-core/src/model/index.js';
import { isSetAside } from '../../../shared-core/src/model/useHeader.js';
import { EMPTY_PROFILE, type Profile, readProfile } from '../../../shared-core/src/profile/index.js';
import { demoFile, dumpOf } from '../../support/demo.js';
import { assertExpected } from '../../support/expected.js';

const REAR = 'rear-body.dump-profile.json';
const CLUSTER = 'cluster.dump-profile.json';
const READ = { kind: 'read' } as const;

/** The demo's car with what a test changes in its files and in the retrofit. */
interface Changes {
  readonly files?: Readonly<Record<string, (text: string) => string>>;
  readonly retrofit?: (text: string) => string;
  /** More dumps of the rear body module. */
  readonly more?: readonly string[];
  readonly without?: string;
  /** The texts of dumps of which nobody can tell by which profile they are read. */
  readonly undecided?: Readonly<Record<string, string>>;
}

function plan(
  { files = {}, retrofit = (text) => text, more = [], without, undecided = {} }: Changes = {},
  consent: Consent = {},
): Plan {
  const textOf = (name: string) => (files[name] ?? ((text: string) => text))(demoFile(name));
  const profiles = new Map<string, Profile>();
  const dumps: VehicleDump[] = [];
  for (const module of ['rear-body', 'cluster']) {
    const profileFile = `${module}.dump-profile.json`;
    const { profile } = readProfile(textOf(profileFile));
    profiles.set(profileFile, profile);
    const names = [`${module}.cfgdump`, ...(module === 'rear-body' ? more : [])].filter((name) => name !== without);
    for (const name of names) {
      dumps.push({
        file: name,
        name,
        dump: dumpOf(textOf(name), profile),
        profileFile,
        profile: READ,
        backup: { kind: 'read', dump: dumpOf(textOf(`${module}.as-found.cfgdump`), profile) },
        modules: (path) => dumps.filter((one) => one.profileFile === path && !isSetAside(one.dump)),
      });
    }
  }
  const read = readRetrofit(retrofit(demoFile('trailer-socket.retrofit.json'))).retrofit as Retrofit;
  const profileAt = (path: string): NamedProfile => {
    const file = path.replace(/^\.\//, '');
    return { file, profile: profiles.get(file) };
  };
  const unsure = Object.entries(undecided).map(([name, text]) => ({
    ...{ file: name, name, dump: dumpOf(text, EMPTY_PROFILE), profileFile: undefined },
    why: phrase('It names no profile.'),
  }));
  return planRetrofit(read, profileAt, dumps, consent, unsure);
}

const refusals = (result: Plan) =>
  result.kind === 'refused'
    ? result.refusals.map(({ module, why }) => `${module}: ${say(why)}`)
    : assert.fail('planned');
const planned = (result: Plan) =>
  result.kind === 'planned' ? result.modules : assert.fail(refusals(result).join('\n'));

const asFound = (name: string) => () =>
  demoFile(name.replace('.cfgdump', '.as-found.cfgdump')).replace(/^@seal.*\n/m, '');
const FROM_AS_FOUND = {
  'rear-body.cfgdump': asFound('rear-body.cfgdump'),
  'cluster.cfgdump': asFound('cluster.cfgdump'),
};

describe('the plan of a retrofit', () => {
  it('sets all modules, with every sum right, and names each option before and after', () => {
    const modules = planned(plan({ files: FROM_AS_FOUND }));
    assert.deepEqual(
      modules.map(({ name, options }) => [name, options.map((o) => `${o.option.id}: ${o.before} → ${o.after}`)]),
      [
        ['rear-body.cfgdump', ['rear-fog-cutout: yes → yes', 'trailer-socket: none → 13-pin']],
        ['cluster.cfgdump', ['trailer-lamp: not shown → shown']],
      ],
    );
    for (const {
      change: { after },
    } of modules) {
      assert.deepEqual(after.wrongSums, []);
      assert.deepEqual(wrongTotals(after), []);
    }
  });

  it('changes options, sums and balance places, and nothing else', () => {
    for (const {
      before,
      change: { after },
    } of planned(plan({ files: FROM_AS_FOUND }))) {
      const reasons = compareDumps(before, after).lines.flatMap(({ bytes }) => bytes.map(({ reason }) => reason));
      assert.ok(reasons.length > 0);
      assert.ok(!reasons.includes('unexplained'), reasons.join());
    }
  });

  it('is refused beside a dump that may be the module as it is now, and goes on beside one that cannot be', () => {
    const unnamed = demoFile('rear-body.cfgdump').replace(/^@(?:profile|backup).*\n/gm, '');
    const beside = (text: string, name = 'x.cfgdump') => plan({ files: FROM_AS_FOUND, undecided: { [name]: text } });
    const may = [
      unnamed,
      unnamed.replace(/^@(?:part|software|vehicle|vin).*\n/gm, ''),
      unnamed.replace(/^@software.*/m, '@software 9999'),
      unnamed.replace(/^@part/m, '@taken 1999-01-01\n@part'),
    ];
    for (const text of may) {
      const result = beside(text);
      assert.match(refusals(result).join('\n'), /x\.cfgdump may be another dump of this module\..* no profile/);
      assert.deepEqual(result.aside, [], 'what is in the way is not said to be left aside');
    }
    // What was read is not the module as it is now beside one that is being worked on.
    const reading = unnamed.replace(/^@part/m, '@taken 2026-03-01\n@part');
    for (const result of [
      beside(unnamed.replace(/^@part.*/m, '@part ZZ-1')),
      plan({ undecided: { 'x.cfgdump': reading } }),
    ]) {
      assert.equal(planned(result).length, 2);
      assert.deepEqual(
        result.aside.map(({ name, why }) => [name, say(why)]),
        [['x.cfgdump', 'It names no profile.']],
      );
    }
    // The dump itself, which the plan knows already, is in the way of nothing.
    assert.equal(planned(beside(unnamed, 'rear-body.cfgdump')).length, 2);
  });

  it('leaves dumps aside that are only to compare with, or of none of the modules here, and says why', () => {
    for (const [use, said] of [
      ['comparison', /only here to compare with/],
      ['another-module', /of none of the modules here/],
    ] as const) {
      const marked = (text: string) => `@use ${use}\n${text}`;
      const files = { ...FROM_AS_FOUND, 'rear-body.read-back.cfgdump': marked };
      const more = plan({ files, more: ['rear-body.read-back.cfgdump'] });
      assert.equal(planned(more).length, 2);
      assert.match(more.aside.map(({ why }) => say(why)).join(), said);
      const only = plan({
        files: { ...FROM_AS_FOUND, 'rear-body.cfgdump': () => marked(asFound('rear-body.cfgdump')()) },
      });
      assert.match(refusals(only).join(), /No dump of this vehicle belongs to this profile/);
    }
  });

  it('goes on from work that is half done', () => {
    const [rear] = planned(plan());
    assert.deepEqual(
      rear?.options.map(({ before, after }) => [before, after]),
      [
        ['yes', 'yes'],
        ['13-pin', '13-pin'],
      ],
    );
    assert.deepEqual(rear?.change.after.wrongSums, []);
  });

  const REFUSED: readonly (readonly [why: string, changes: Changes, reason: RegExp])[] = [
    [
      'an unknown option',
      { retrofit: (t) => t.replace('"trailer-socket"', '"trailer-sock"') },
      /"trailer-socket" is probably meant/,
    ],
    [
      'an unknown value',
      { retrofit: (t) => t.replace('"13-pin"', '"12-pin"') },
      /"12-pin" is no value of Trailer socket/,
    ],
    [
      'an unknown profile',
      { retrofit: (t) => t.replace(CLUSTER, 'c.dump-profile.json') },
      /no profile "c\.dump-profile\.json"/,
    ],
    [
      'two dumps of one module',
      { more: ['rear-body.cfgdump'] },
      /Several dumps .* rear-body\.cfgdump, rear-body\.cfgdump/,
    ],
    ['a module that was not read', { without: 'cluster.cfgdump' }, /No dump of this vehicle belongs to this profile/],
    [
      'a need that the plan does not meet',
      { retrofit: (t) => t.replace('"rear-fog-cutout": "yes"', '"rear-fog-cutout": "no"') },
      /needs Rear fog lamp off with trailer/,
    ],
    [
      'a need in a module that is not planned',
      { files: FROM_AS_FOUND, retrofit: (t) => t.replace(/\{ "profile": "rear-body.*\} \},/, '') },
      /needs Trailer socket at .* in rear-body\.cfgdump; it is "none" there/,
    ],
    [
      'a locked place',
      { files: { [REAR]: (t) => t.replace('"line": 2, "bytes": "1-4"', '"line": 4, "bytes": "1-4"') } },
      /locked/,
    ],
    [
      "an option of the vehicle's security",
      { files: { [REAR]: (t) => t.replace('"hazard": "lighting"', '"hazard": "security"') } },
      /security of the vehicle/,
    ],
    [
      'a backup whose seal is broken',
      { files: { 'rear-body.as-found.cfgdump': (t) => t.replace(' 5: 00 10', ' 5: 01 10') } },
      /seal of the backup is broken/,
    ],
    [
      'a backup of another software level',
      { files: { 'rear-body.as-found.cfgdump': (t) => t.replace(/@software .*/, '@software 0299') } },
      /of another software level: "@software" is "0299" there/,
    ],
    [
      'a module named by two paths',
      {
        retrofit: (t) =>
          t.replace('"changes": [', `"changes": [{ "profile": "./${REAR}", "set": { "tailgate": "by hand" } },`),
      },
      /names this module twice/,
    ],
    [
      'a file sum that is missing',
      { files: { 'rear-body.cfgdump': (t) => t.replace(/^total.*\n/m, '') } },
      /The file sum is missing/,
    ],
    [
      'a profile that has problems, as a sum may be left out',
      { files: { [CLUSTER]: (t) => t.replace('"method": "add-end-around"', '"method": "add-around"') } },
      /The profile has problems/,
    ],
    [
      'a value that the profile does not know',
      { retrofit: (t) => t.replace('"13-pin"', '7') },
      /does not know what Trailer socket means with the value 7\. It knows none \(0\), 7-pin \(1\), 13-pin \(2\)/,
    ],
    [
      'a line that is missing',
      { files: { 'rear-body.cfgdump': (t) => t.replace(/^ 7: .*\n/m, '') } },
      /Row \d+: Line 7 is missing/,
    ],
  ];
  for (const [why, changes, reason] of REFUSED) {
    it(`is refused as a whole for ${why}`, () => assert.match(refusals(plan(changes)).join('\n'), reason));
  }

  const CLUSTER_ALONE = (t: string) => t.replace(/\{ "profile": "rear-body.*\} \},/, '');
  const REAR_ALONE = (t: string) => t.replace(/("rear-body.*\}) \},\s*\{ "profile": "cluster.*\} \}/, '$1 }');
  const SHOWN = (t: string) => t.replace('0210 3800 | 60', '1210 3800 | 50');
  const NO_FOG = (t: string) => t.replace('08 03 21', '08 03 20').replace('| 88', '| 87');

  it('is refused where it would break what a module needs that it does not change', () => {
    const retrofit = (t: string) => REAR_ALONE(t).replace('"13-pin"', '"none"');
    assert.match(
      refusals(plan({ files: { 'cluster.cfgdump': SHOWN }, retrofit })).join('\n'),
      /^cluster\.cfgdump: Trailer tell-tale "shown" needs Trailer socket .* it is "none" there\.$/,
    );
    assert.equal(planned(plan({ retrofit })).length, 1);
  });

  it('does not stumble over needs that were not met before and are none of its matters', () => {
    const other = (t: string) => REAR_ALONE(t).replace(/"set": \{[^}]*\}/, '"set": { "tailgate": "power-assisted" }');
    assert.equal(planned(plan({ files: { 'rear-body.cfgdump': NO_FOG }, retrofit: other })).length, 1);
    const socket = (t: string) => REAR_ALONE(t).replace('"rear-fog-cutout": "yes", ', '');
    assert.match(refusals(plan({ files: { 'rear-body.cfgdump': NO_FOG }, retrofit: socket })).join(), /needs Rear fog/);
  });

  it('takes the dump in work where a reading without a backup lies beside it', () => {
    const files = { 'rear-body.as-found.cfgdump': (t: string) => t };
    assert.equal(planned(plan({ files, more: ['rear-body.as-found.cfgdump'] })).length, 2);
  });

  it('needs the modules that a planned option depends on', () => {
    const changes: Changes = { retrofit: CLUSTER_ALONE, without: 'rear-body.cfgdump' };
    assert.match(refusals(plan(changes)).join('\n'), /needs "trailer-socket" of rear-body.*Read it too/);
  });

  it('is refused for a changed lock, however much else is wrong before it', () => {
    const head = {
      format: 1,
      lines: { from: 1, to: 1100, data: 1, sum: 1 },
      lineSum: { method: 'add', over: ['data'] },
    };
    const { profile } = readProfile(
      JSON.stringify({
        ...head,
        options: [{ id: 'horn', title: 'Horn', line: 1, byte: 1, values: { 1: 'no', 2: 'yes' } }],
        locked: [{ line: 1100, byte: 1, why: 'identity' }],
      }),
    );
    const text = (sum: string, last: string) =>
      `@backup b\n${Array.from({ length: 1099 }, (_, i) => `${i + 1}: 01 ${sum}\n`).join('')}1100: ${last} ${last}\n`;
    const backup = { kind: 'read', dump: dumpOf(text('01', '11'), profile) } as const;
    const dump = { file: 'a', name: 'a', profile: READ, profileFile: REAR, backup, modules: () => [] };
    const { retrofit } = readRetrofit(`{"format":1,"changes":[{"profile":"${REAR}","set":{"horn":"yes"}}]}`);
    const planFor = (last: string) =>
      planRetrofit(retrofit as Retrofit, () => ({ file: REAR, profile }), [
        { ...dump, dump: dumpOf(text('02', last), profile) },
      ]);
    assert.equal(planned(planFor('11')).length, 1);
    assert.match(refusals(planFor('99')).join('\n'), /Byte 1 of line 1100 is locked \(identity\)/);
  });

  it('names the readings that it leaves aside, since another dump is in work, and no other dump', () => {
    const files = { 'rear-body.as-found.cfgdump': (t: string) => t };
    const { aside } = plan({ files, more: ['rear-body.as-found.cfgdump'] });
    assert.deepEqual(
      aside.map(({ name, why }) => [name, say(why)]),
      [['rear-body.as-found.cfgdump', 'It is a reading, as "@taken" in it says; the plan changes rear-body.cfgdump.']],
    );
    assert.deepEqual(plan().aside, []);
    assert.equal(plan({ more: ['rear-body.as-found.cfgdump'], without: 'cluster.cfgdump' }).aside.length, 1);
  });

  it('looks at needs as all modules will be, not as they are', () => {
    const retrofit = (t: string) => t.replace('"13-pin"', '"none"').replace('"shown"', '"not shown"');
    assert.equal(planned(plan({ files: { 'cluster.cfgdump': SHOWN }, retrofit })).length, 2);
  });

  it('goes on despite a need that a person accepts by its option, and refuses what there is nothing to accept of', () => {
    const retrofit = (t: string) => t.replace('"rear-fog-cutout": "yes"', '"rear-fog-cutout": "no"');
    const [refusal] = ((made) => (made.kind === 'refused' ? made.refusals : []))(plan({ retrofit }));
    assert.deepEqual(refusal?.asks, { kind: 'despite', options: ['rear-fog-cutout'] });
    const isTyped = true;
    assert.equal(planned(plan({ retrofit }, { despite: ['rear-fog-cutout'], isTyped })).length, 2);
    for (const changes of [{}, { retrofit }])
      assert.match(
        refusals(
          plan(changes, { despite: ['rear-fog-cutout', 'tailgate'].slice('retrofit' in changes ? 0 : 1), isTyped }),
        ).join(),
        /^rear-body\.cfgdump, cluster\.cfgdump: .*tailgate/,
      );
    assert.equal(planned(plan({}, { despite: ['tailgate'] })).length, 2);
  });

  it('is refused for a module that may be another one until a person confirms it, and then for all else that is wrong', () => {
    const applies = (t: string) => t.replace('"lines":', '"appliesTo": { "part": ["RB-*"] }, "lines":');
    const files = {
      [REAR]: applies,
      'rear-body.cfgdump': (t: string) => t.replace(/^@part.*\n/m, ''),
      'rear-body.as-found.cfgdump': (t: string) => t.replace(/^@part.*\n/m, ''),
    };
    assert.match(refusals(plan({ files })).join(), /this dump has no "@part"/);
    assert.equal(planned(plan({ files }, { unconfirmed: true })).length, 2);
    const torn = { ...files, 'rear-body.cfgdump': (t: string) => t.replace(/^(?:@part| 7:).*\n/gm, '') };
    const said = refusals(plan({ files: torn }, { unconfirmed: true })).join('\n');
    assert.match(said, /Line 7 is missing/);
    assert.doesNotMatch(said, /@part/);
  });

  it('names at most five problems of a module, by their rows, and how many there are beside', () => {
    const without = (count: number) => ({
      files: {
        'rear-body.cfgdump': (t: string) =>
          t.replace(/^( ?(\d+): .*\| .).$/gm, (line, begin, label) => (Number(label) <= count ? `${begin}G` : line)),
      },
    });
    const said = (count: number) => ((made) => (made.kind === 'refused' ? refusals(made) : []))(plan(without(count)));
    const more = /Problems beyond these: (\d+)\. The dump marks them all\./;
    const lengths = Array.from({ length: 9 }, (_, count) => {
      const all = said(count);
      const beside = all.flatMap((one) => more.exec(one)?.[1] ?? []);
      assert.deepEqual(beside.length, all.length > 5 ? 1 : 0, all.join('\n'));
      assert.ok(beside.every((one) => Number(one) > 0) && all.length <= 6);
      return all.length - beside.length + Number(beside[0] ?? 0);
    });
    // With each line more that is torn one problem more is named or counted; the second is one with an option.
    const [least = 0, ...others] = lengths.slice(2);
    assert.deepEqual(
      others,
      others.map((_, i) => least + i + 1),
    );
    assert.ok(least <= 5);
    const torn = (t: string) => t.replace('10 9C 08  00 20 | D3', '10 9C 0');
    assert.match(refusals(plan({ files: { 'rear-body.cfgdump': torn } })).join('\n'), /^rear-body\.cfgdump: Row 13: /m);
  });

  it('is a page that tells all of it: what changes in each module, or what is in the way', () => {
    const text = demoFile('trailer-socket.retrofit.json');
    const retrofit = readRetrofit(text).retrofit as Retrofit;
    const page = (made: Plan, title = 'stock no. 2041') =>
      say(planPage(retrofit, { vin: '0DEM0T4X5TA020418', title }, made));
    assertExpected('plan/planned.md', page(plan({ files: FROM_AS_FOUND })));
    assertExpected(
      'plan/refused.md',
      page(
        plan({ without: 'cluster.cfgdump', files: { 'rear-body.cfgdump': (t) => t.replace(/^ [79]: .*\n/gm, '') } }),
      ),
    );
    assertExpected('plan/aside.md', page(plan({ more: ['rear-body.as-found.cfgdump'] }), '0DEM0T4X5TA020418'));
    const made = plan({ files: FROM_AS_FOUND });
    const modules = made.kind === 'refused' ? [] : made.modules;
    const set = modules.map(({ name, change }) => [name, () => textOfRows(change.after.rows)] as const);
    assert.equal(set.length, 2);
    const again = page(plan({ files: Object.fromEntries(set) }));
    assertExpected('plan/set.md', again);
    assert.doesNotMatch(again, /until you accept it/);
    // The dumps may still have to be written: what is to be known before is on each page.
    const cautions = (text: string) => text.match(/^## Cautions\n(\n- .*)+/m)?.[0].match(/^- .*/gm) ?? [];
    assert.deepEqual(cautions(again).sort(), cautions(page(made)).sort());
    assert.equal(cautions(again).length, 4);
  });

  it('says on its page which of the options are a guess, also of those that are set already', () => {
    const retrofit = readRetrofit(demoFile('trailer-socket.retrofit.json')).retrofit as Retrofit;
    const doubted = { ...FROM_AS_FOUND, [REAR]: (t: string) => t.replace('"confirmed"', '"guess"') };
    const page = (files: NonNullable<Changes['files']>) =>
      say(planPage(retrofit, { vin: '0DEM0T4X5TA020418', title: '' }, plan({ files })));
    const doubt = /^- What the profile says of Trailer socket is unconfirmed \(guess\)\./m;
    assert.match(page(doubted), doubt);
    assert.doesNotMatch(page(FROM_AS_FOUND), /unconfirmed \(guess\)/);
    assert.match(page({ [REAR]: (t: string) => t.replace('"confirmed"', '"guess"') }), doubt);
  });

  it('is refused without a backup', () => {
    const { profile } = readProfile(demoFile(CLUSTER));
    const { retrofit } = readRetrofit(`{"format":1,"changes":[{"profile":"${CLUSTER}","set":{"language":"German"}}]}`);
    const dump = dumpOf(demoFile('cluster.cfgdump'), profile);
    const dumps = [
      {
        file: 'c',
        name: 'c',
        dump,
        profile: READ,
        profileFile: CLUSTER,
        backup: { kind: 'none' as const },
        modules: () => [],
      },
    ];
    assert.match(
      refusals(planRetrofit(retrofit as Retrofit, () => ({ file: CLUSTER, profile }), dumps)).join(),
      /Make a Backup/,
    );
  });
});
