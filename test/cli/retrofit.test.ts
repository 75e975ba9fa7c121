import assert from 'node:assert/strict';
import { appendFileSync, mkdirSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';

const RETROFIT = 'trailer-socket.retrofit.json';
const REAR = 'rear-body.cfgdump';
const CLUSTER = 'cluster.cfgdump';

describe('a retrofit on the command line', () => {
  const { call, folder, path, read, write } = bench();
  beforeEach(() => {
    // The job begins: both dumps in work hold what was found.
    for (const name of [REAR, CLUSTER]) {
      const backup = name.replace('.cfgdump', '.as-found.cfgdump');
      write(
        name,
        read(backup)
          .replace(/^@seal.*\n/m, '')
          .replace(/^@taken.*/m, `@backup ${backup}`),
      );
    }
  });
  const change = (name: string, from: string | RegExp, to: string) => {
    const text = read(name);
    assert.notEqual(text.replace(from, to), text, name);
    write(name, text.replace(from, to));
  };
  const everything = () => readdirSync(folder()).map((name) => [name, read(name)]);

  it('is not undone in one module while another needs it: set refuses, unless that is accepted by name', () => {
    assert.equal(call('plan', RETROFIT, '--write').status, 0);
    const planned = everything();
    const refused = call('set', REAR, 'trailer-socket=none', '--write');
    assert.equal(refused.status, 2, refused.stdout);
    assert.match(refused.stderr, /Trailer tell-tale "shown" needs Trailer socket at .* --despite trailer-socket/);
    assert.deepEqual(everything(), planned);
    const accepted = call('set', REAR, 'trailer-socket=none', '--write', '--despite', 'trailer-socket');
    assert.equal(accepted.status, 0, accepted.stderr);
  });

  it('goes from the plan to the job card, over a faulty read-back to a good one, and all the way back', () => {
    const found = [read(REAR), read(CLUSTER)];
    const plan = call('plan', RETROFIT);
    assert.equal(plan.status, 0, plan.stderr);
    assert.match(plan.stdout, /^- Trailer socket: none → \*\*13-pin\*\*$/m);
    assert.match(plan.stdout, /^- Trailer tell-tale: not shown → \*\*shown\*\*$/m);
    assert.deepEqual([read(REAR), read(CLUSTER)], found);

    const { stdout, status } = call('plan', RETROFIT, '--write');
    assert.equal(status, 0);
    assert.equal(
      stdout,
      'rear-body.cfgdump: set as planned (bytes changed: 4)\ncluster.cfgdump: set as planned (bytes changed: 4)\n',
    );
    assert.match(read(REAR), /^ 4: 08 03 21 7F {2}00 FF \| A8$/m);
    assert.match(read(CLUSTER), /^ 3: FF44 0800 1210 3800 \| 50$/m);
    assert.equal(call('check', REAR, CLUSTER).status, 0);

    const pairs = [REAR, CLUSTER].flatMap((name) => [name.replace('.cfgdump', '.as-found.cfgdump'), name]);
    const card = call('card', ...pairs, '--retrofit', RETROFIT);
    assert.equal(card.status, 0, card.stdout);
    assert.match(card.stdout, /Battery voltage on the charger/);

    const faulty = read(REAR).replace('4: 08 03 21 7F  00 FF | A8', '4: 08 03 01 7F  00 FF | 88');
    write('read-back.cfgdump', faulty.replace(/^@backup.*/m, '@taken 2026-03-02T11:30:00Z'));
    const verified = call('verify', REAR, 'read-back.cfgdump');
    assert.equal(verified.status, 1);
    assert.match(verified.stdout, /ine 4/);
    change('read-back.cfgdump', '4: 08 03 01 7F  00 FF | 88', '4: 08 03 21 7F  00 FF | A8');
    assert.equal(call('verify', REAR, 'read-back.cfgdump').status, 0);
    assert.equal(call('plan', RETROFIT).status, 0);

    for (const name of [REAR, CLUSTER]) assert.equal(call('restore', name, '--write').status, 0);
    assert.deepEqual([read(REAR), read(CLUSTER)], found);
  });

  it('plan --json gives options and bytes of each module', () => {
    const { possible, vehicle, modules } = JSON.parse(call('plan', RETROFIT, '--json').stdout);
    assert.deepEqual([possible, vehicle], [true, '0DEM0T4X5TA020418']);
    assert.deepEqual(modules[1], {
      file: CLUSTER,
      options: [{ id: 'trailer-lamp', title: 'Trailer tell-tale', before: 'not shown', after: 'shown' }],
      edits: [
        { label: '3', byte: 5, before: '02', after: '12', reason: 'option' },
        { label: '3', byte: 9, before: '60', after: '50', reason: 'line-sum' },
        { label: 'total', byte: 1, before: '0A', after: 'FA', reason: 'total' },
        { label: 'total', byte: 2, before: 'BB', after: 'BA', reason: 'total' },
      ],
    });
  });

  for (const [why, spoil, reason] of [
    ['an unknown option', () => change(RETROFIT, '"trailer-socket":', '"trailer-hook":'), /no option "trailer-hook"/],
    ['two dumps of one module', () => write('copy.cfgdump', read(REAR)), /are for this module: copy\.cfgdump, rear/],
    ['no backup', () => change(CLUSTER, /^@backup.*\n/m, ''), /cluster\.cfgdump: .*Make a Backup/],
    ['an unsound backup', () => change('cluster.as-found.cfgdump', 'FF44', 'FF45'), /seal of the backup is broken/],
    ['another software level', () => change(REAR, '@software 0311', '@software 0312'), /"@software" is "0311" there/],
    ['a need that is not met', () => change(RETROFIT, '"yes"', '"no"'), /needs Rear fog lamp off with trailer/],
  ] as const) {
    it(`a plan that is refused for ${why} changes nothing in any module, and says what to do`, () => {
      spoil();
      const before = everything();
      const shown = call('plan', RETROFIT);
      assert.equal(shown.status, 1);
      assert.match(shown.stdout, /cannot be done yet/);
      const { status, stderr, stdout } = call('plan', RETROFIT, '--write');
      assert.deepEqual([status, stdout], [2, '']);
      assert.match(stderr, reason);
      assert.match(stderr, /Nothing was changed in any module\.\n$/);
      assert.equal(stderr.trimEnd().split('\n').length, 1);
      assert.deepEqual(everything(), before);
    });
  }

  it('plan asks which vehicle is meant where dumps of several lie there', () => {
    write('other.cfgdump', read(REAR).replace(/^@vin.*/m, '@vin 0DEM0T4X3TA020417'));
    const { status, stderr } = call('plan', RETROFIT);
    assert.equal(status, 2);
    assert.match(
      stderr,
      /several vehicles: stock no\. 2041 \(0DEM0T4X5TA020418\), stock no\. 2041 \(0DEM0T4X3TA020417\)\. Name the files/,
    );
    assert.equal(call('plan', RETROFIT, REAR, CLUSTER).status, 0);
  });

  it('plan says what to read where there is no dump yet', () => {
    for (const name of readdirSync(folder())) if (name.endsWith('.cfgdump')) rmSync(path(name));
    const { status, stdout } = call('plan', RETROFIT);
    assert.equal(status, 1);
    assert.match(
      stdout,
      /rear-body\.dump-profile\.json\n\n- No dump of this vehicle belongs to this profile\. Read the module/,
    );
  });

  it('plan refuses an option whose need no dump can show, or that is not met, also where it is set already', () => {
    const ask = (...set: readonly (readonly [string, Readonly<Record<string, string>>])[]) =>
      write(
        'asked.retrofit.json',
        JSON.stringify({
          format: 1,
          title: 'Asked',
          changes: set.map(([module, options]) => ({ profile: `${module}.dump-profile.json`, set: options })),
        }),
      );
    ask(['cluster', { 'trailer-lamp': 'shown' }]);
    assert.match(call('plan', 'asked.retrofit.json').stdout, /needs Trailer socket at .* it is "none" there/);
    change(CLUSTER, '0210 3800 | 60', '1210 3800 | 50');
    assert.match(call('plan', 'asked.retrofit.json').stdout, /needs Trailer socket at .* it is "none" there/);
    mkdirSync(path('rear'));
    for (const name of readdirSync(folder()))
      if (name.startsWith('rear-body') && name.endsWith('.cfgdump')) {
        write(join('rear', name), read(name).replace('@profile ', '@profile ../'));
        rmSync(path(name));
      }
    assert.match(call('plan', 'asked.retrofit.json').stdout, /it is "none" there/, 'in a folder below');
    assert.match(call('check', '.').stdout, /option-needs: .* in rear-body\.cfgdump; it is "none" there/);
    rmSync(path('rear'), { recursive: true });
    const { status, stdout } = call('plan', 'asked.retrofit.json');
    assert.deepEqual([status, /no dump of that module of this vehicle is here\. Read it too/.test(stdout)], [1, true]);
  });

  it('plan refuses a retrofit that changes nothing', () => {
    write(RETROFIT, '{ "format": 1, "title": "x", "changes": [] }');
    for (const more of [[], ['--write']]) {
      const { status, stdout, stderr } = call('plan', RETROFIT, ...more);
      assert.deepEqual([status, stdout], [2, '']);
      assert.match(
        stderr,
        /trailer-socket\.retrofit\.json has problems; correct them first\. This retrofit changes nothing/,
      );
    }
    assert.match(call('check', RETROFIT).stdout, /error retrofit-invalid: This retrofit changes nothing/);
  });

  it('set refuses an option whose need nobody can see, and check never calls it good', () => {
    const planned = call('plan', RETROFIT, '--write');
    assert.equal(planned.status, 0, planned.stderr);
    change(REAR, ' 4: 08 03', ' 4: 08 x3');
    const shown = call('check', CLUSTER);
    assert.match(
      shown.stdout,
      /Nobody can tell whether Trailer tell-tale "shown" has what it needs .* Its line in rear-body/,
    );
    assert.doesNotMatch(shown.stdout, /all good/);
    const before = read(CLUSTER);
    const set = call('set', CLUSTER, 'trailer-lamp=shown', '--write');
    assert.equal(set.status, 2);
    assert.match(set.stderr, /Nobody can tell .* To accept it: --despite trailer-socket\. Nothing was changed\.$/m);
    assert.equal(read(CLUSTER), before);
    assert.equal(call('set', CLUSTER, 'trailer-lamp=shown', '--write', '--despite', 'trailer-socket').status, 0);
  });

  it('plan goes by no dump of a module where another may be in work too, and says which it left aside', () => {
    const second = read(REAR).replace(/^@backup.*\n/m, '');
    write('b.cfgdump', second);
    const both = call('plan', RETROFIT, REAR, CLUSTER, 'b.cfgdump');
    assert.equal(both.status, 1);
    assert.match(both.stdout, /Several dumps .* rear-body\.cfgdump, b\.cfgdump\. Keep the one/);
    assert.equal(call('plan', RETROFIT).status, 1);
    write('b.cfgdump', `@taken 2026-03-02T11:02:00Z\n${second}`);
    write('loose.cfgdump', '@part ZZ-1\n1: 00\n');
    const sealed = 'rear-body.as-found.cfgdump';
    const one = call('plan', RETROFIT, REAR, CLUSTER, 'b.cfgdump', sealed, 'loose.cfgdump');
    assert.equal(one.status, 0);
    const aside = one.stdout.slice(one.stdout.indexOf('## Left aside'));
    assert.match(
      aside,
      /^- b\.cfgdump: It is a reading, as "@taken" in it says; the plan changes rear-body\.cfgdump\.$/m,
    );
    assert.match(aside, /^- rear-body\.as-found\.cfgdump: It is sealed/m);
    assert.match(aside, /^- loose\.cfgdump: It names no profile\.$/m);
    const json = JSON.parse(call('plan', RETROFIT, '--json').stdout);
    assert.deepEqual(
      json.aside.map(({ file }: { readonly file: string }) => file),
      ['b.cfgdump', 'rear-body.read-back.cfgdump', 'loose.cfgdump'],
    );
    const written = call('plan', RETROFIT, '--write');
    assert.equal(written.status, 0);
    assert.match(written.stderr, /b\.cfgdump was left aside\. It is a reading, as "@taken" in it says/);
  });

  it('set and plan accept by --despite only what has to be accepted', () => {
    for (const args of [
      ['plan', RETROFIT, '--write'],
      ['set', REAR, 'rear-fog-cutout=yes', '--write'],
    ]) {
      const before = everything();
      const { status, stderr } = call(...args, '--despite', 'no-such-option');
      assert.equal(status, 2, args.join(' '));
      assert.match(stderr, /No condition on no-such-option is unmet, so there is nothing to accept\. Leave it out/);
      assert.deepEqual(everything(), before);
    }
    assert.equal(call('plan', RETROFIT, '--despite', 'no-such-option').status, 1);
    assert.equal(call('plan', RETROFIT).status, 0);
  });

  it('plan writes a text in another encoding as it was encoded', () => {
    write(CLUSTER, Buffer.from(`\ufeff${read(CLUSTER)}`, 'utf16le'));
    assert.equal(call('plan', RETROFIT).status, 0);
    const before = readFileSync(path(CLUSTER));
    assert.equal(call('plan', RETROFIT, '--write').status, 0);
    const after = readFileSync(path(CLUSTER));
    assert.deepEqual([...after.subarray(0, 2)], [0xff, 0xfe]);
    assert.equal(after.length, before.length);
    assert.ok(!after.equals(before));
    assert.equal(call('check', CLUSTER).status, 0);
  });

  for (const [why, spoil] of [
    ['has the line twice', () => change(REAR, /^( 4: 08 03 )21(.*)$/m, '$&\n 4: 08 03 00 7F  00 FF | C9')],
    ['ends in what is no text', () => appendFileSync(path(REAR), '\0\0')],
    ['has a header twice', () => change(REAR, '@part RB-2041-07', '@part RB-2041-07\n@part RB-2041-08')],
    ['has a wrong sum in the line', () => change(REAR, '00 FF | A8', '00 FF | A9')],
    ['has a wrong file sum', () => change(REAR, /^total: .*/m, 'total: 00 00')],
    [
      'is not alone: another that may be in work holds another value',
      () => {
        write('other.cfgdump', read('rear-body.as-found.cfgdump').replace(/^@(?:seal|taken).*\n/gm, ''));
      },
    ],
  ] as const) {
    it(`set, plan and check rely on no dump of another module that ${why}`, () => {
      assert.equal(call('plan', RETROFIT, '--write').status, 0);
      write(
        'asked.retrofit.json',
        '{ "format": 1, "title": "Asked", "changes": [{ "profile": "cluster.dump-profile.json", "set": { "trailer-lamp": "shown" } }] }',
      );
      assert.equal(call('plan', 'asked.retrofit.json').status, 0);
      assert.equal(call('set', CLUSTER, 'trailer-lamp=shown').status, 0);
      spoil();
      const set = call('set', CLUSTER, 'trailer-lamp=shown');
      assert.equal(set.status, 2);
      assert.match(set.stderr, /Nobody can tell .* To accept it: --despite trailer-socket\. Nothing was changed\.$/m);
      const planned = call('plan', 'asked.retrofit.json');
      assert.equal(planned.status, 1);
      assert.match(planned.stdout, /Nobody can tell/);
      const checked = call('check', CLUSTER);
      assert.match(checked.stdout, /Nobody can tell whether Trailer tell-tale "shown"/);
      assert.doesNotMatch(checked.stdout, /all good/);
      assert.equal(call('set', CLUSTER, 'trailer-lamp=shown', '--despite', 'trailer-socket').status, 0);
      assert.equal(call('plan', 'asked.retrofit.json', '--despite', 'trailer-socket').status, 0);
    });
  }

  it('restore takes no locked byte from a sealed backup that does not say which module it is of', () => {
    const backup = 'rear-body.as-found.cfgdump';
    write(backup, read(backup).replace(/^@(?:vin|vehicle|part|software|module).*\n/gm, ''));
    change(REAR, /^ 2: (..)/m, ' 2: 99');
    const before = read(REAR);
    const { status, stderr } = call('restore', REAR, '--write');
    assert.equal(status, 2);
    assert.match(stderr, /line 2 is locked .* The backup has no "@vin".* add the missing header to the backup/);
    assert.equal(read(REAR), before);
    assert.match(call('check', REAR).stdout, /error backup-unconfirmed: The backup has no "@vin"/);
  });

  it('a dump that is named by two paths is one', () => {
    assert.equal(call('plan', RETROFIT, REAR, `./${REAR}`, '.').status, 0);
  });

  it('restore says how many lines still differ, also where one was named twice, and what a backup is that is the file itself', () => {
    change(REAR, ' 5: 00 10', ' 5: 01 10');
    change(REAR, ' 9: 00 00', ' 9: 00 07');
    assert.equal(JSON.parse(call('restore', REAR, '9', '09', '--json').stdout).left, 1);
    change(REAR, /^@backup.*/m, `@backup ${REAR}`);
    assert.match(call('restore', REAR).stderr, /The backup is this file itself/);
  });

  it('restore takes back chosen lines, and refuses what is no way back', () => {
    change(REAR, ' 5: 00 10', ' 5: 01 10');
    change(REAR, ' 9: 00 00', ' 9: 00 07');
    const { stdout, status } = call('restore', REAR, '9', '--json');
    const { text, lines, left, wrongSums } = JSON.parse(stdout);
    assert.deepEqual([lines, left], [['9'], 1]);
    // The line that was not chosen keeps its wrong sum, and so does the file.
    assert.deepEqual([status, wrongSums.length], [1, 2]);
    assert.match(text, /^ 5: 01 10/m);
    assert.match(text, /^ 9: 00 00/m);
    assert.match(call('restore', REAR, '8').stderr, /line 8 does not differ/);
    appendFileSync(path('rear-body.as-found.cfgdump'), '19: 00\n');
    assert.match(call('restore', REAR).stderr, /seal of the backup is broken/);
    change(CLUSTER, /^@backup.*\n/m, '');
    assert.match(call('restore', CLUSTER).stderr, /names no backup/);
  });
});
