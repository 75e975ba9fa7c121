import assert from 'node:assert/strict';
import { mkdirSync } from 'node:fs';
import { beforeEach, describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';
import { assertExpected } from '../support/expected.js';

describe('the job on the command line', () => {
  const { call, path, read, write } = bench();
  beforeEach(() => {
    plan('rear-body', 'trailer-socket=13-pin');
    // What is planned in the other module, the dumps as found do not show.
    plan('cluster', 'trailer-lamp=shown', '--despite', 'trailer-socket');
  });
  /** The dump in work, with an option set and all sums right. */
  function plan(module: string, ...settings: readonly string[]): void {
    const { stdout } = call('set', `${module}.as-found.cfgdump`, ...settings);
    write(`${module}.cfgdump`, stdout.replace(/^@profile.*\n/m, `$&@backup ${module}.as-found.cfgdump\n`));
  }

  const REAR = ['rear-body.as-found.cfgdump', 'rear-body.cfgdump'] as const;
  const CLUSTER = ['cluster.as-found.cfgdump', 'cluster.cfgdump'] as const;
  const BOTH = [...REAR, ...CLUSTER, '--retrofit', 'trailer-socket.retrofit.json'] as const;

  it('card: the whole job of both modules, status 0, on standard output or in a file', () => {
    const { stdout, status } = call('card', ...BOTH);
    assert.equal(status, 0);
    assertExpected('card/command-line.md', stdout.replace(/\d{4}-\d\d-\d\d \d\d:\d\d UTC(?= \| &nbsp;)/, 'TIME'));
    assert.equal(call('card', ...BOTH, '--out', 'card.md').stdout, '');
    assert.match(read('card.md'), /^# Job card: 13-pin trailer socket/);
  });

  it('card: status 1 and the reason where the plan must not be written yet', () => {
    const { stdout, status } = call('card', ...REAR, '--retrofit', 'trailer-socket.retrofit.json', '--json');
    assert.equal(status, 1);
    assert.match(JSON.parse(stdout).open[0], /also changes the module of cluster\.dump-profile\.json/);
  });

  it('card: refused with one line and status 2', () => {
    write('other.cfgdump', read('rear-body.cfgdump').replace('TA020418', 'TA020419'));
    write('torn.retrofit.json', read('trailer-socket.retrofit.json').slice(0, 300));
    for (const [args, why] of [
      [[REAR[0]], /Use: countersum card BEFORE AFTER/],
      [[REAR[0], 'nowhere.cfgdump'], /nowhere\.cfgdump cannot be read: no such file/],
      [[REAR[0], 'other.cfgdump'], /are of two cars: "@vin"/],
      [[REAR[0], CLUSTER[1]], /are of two modules: "@part"/],
      [[...REAR, '--retrofit', 'torn.retrofit.json'], /torn\.retrofit\.json/],
    ] as const) {
      const { stdout, stderr, status } = call('card', ...args);
      assert.deepEqual([stdout, status], ['', 2]);
      assert.match(stderr, why);
      assert.equal(stderr.trimEnd().split('\n').length, 1);
    }
  });

  describe('verify', () => {
    // A reading that says when it was read, and holds something else, is not outdated by one that does not.
    beforeEach(() => write('rear-body.read-back.cfgdump', ''));
    const readBack = (...changes: readonly (readonly [string | RegExp, string])[]) =>
      write(
        'read.cfgdump',
        changes.reduce(
          (text, [from, to]) => text.replace(from, to),
          read('rear-body.cfgdump').replace(/^@backup.*\n/m, ''),
        ),
      );

    it('status 0 for what was planned, volatile places aside', () => {
      readBack(['18: 00 1A 08 C1  00 55 | 44', '18: 00 1B 08 C1  00 55 | 45'], ['total: 21 B2', 'total: 21 B3']);
      const { stdout, status } = call('verify', REAR[1], 'read.cfgdump');
      assert.deepEqual(
        [stdout, status],
        [
          [
            'What was read is what was planned. Only places that the module changes by itself differ, in line 18, total.',
            'What was read does not say when it was read, so it may be from before the work.\n',
          ].join('\n'),
          0,
        ],
      );
      const { match, differences, ignored } = JSON.parse(call('verify', REAR[1], 'read.cfgdump', '--json').stdout);
      assert.deepEqual([match, differences, ignored[0].label], [true, [], '18']);
    });

    it('the likely cause of each difference; status 2 where lines are missing, as that was not read whole', () => {
      readBack([/^ 4: .*/m, ' 4: 08 03 01 7F  00 FF | 88'], [/^ 9: .*\n/m, '']);
      const { stdout, status } = call('verify', REAR[1], 'read.cfgdump');
      assert.equal(status, 2);
      assert.match(
        stdout,
        /^Line 4: byte 3 is 01, not 21, byte 7 \(line sum\) is 88, not A8\. Not written: it still holds/m,
      );
      assert.match(stdout, /^Line 9 is missing in what was read/m);
      const json = JSON.parse(call('verify', REAR[1], 'read.cfgdump', '--json').stdout);
      assert.equal(json.match, false);
      const [{ label, before, after, bytes, cause }] = json.differences;
      assert.deepEqual([label, before, after], ['4', '21 A8', '01 88']);
      assert.deepEqual(bytes[0], { byte: 3, before: '21', after: '01', reason: 'option' });
      assert.match(cause, /^Not written/);
      assert.equal(json.unmatched.length, 1);
      assert.match(json.unread[0].why, /line 9 is missing/);
    });

    it('status 1 where another reading of the module is later, or may be, and is something else; nothing is noted', () => {
      const at = (time: string, name: string, text = read('rear-body.cfgdump')) =>
        write(name, text.replace(/^@backup.*/m, `@taken ${time}`));
      const profile = read('rear-body.dump-profile.json');
      at('2026-03-02T10:30:00Z', 'read.cfgdump');
      assert.equal(call('verify', REAR[1], 'read.cfgdump').status, 0);
      for (const [time, why] of [
        ['2026-03-02T11:00:00Z', /other\.cfgdump, read later, differs from the plan\./],
        ['2026-03-02T10:30:00Z', /other\.cfgdump differs from the plan and may be later: "@taken" is/],
        ['2199-01-01T10:30:00Z', /other\.cfgdump differs from the plan and may be later: .*in the future/],
      ] as const) {
        at(time, 'other.cfgdump', read('rear-body.cfgdump').replace(/^ 4: .*/m, ' 4: 08 03 01 7F  00 FF | 88'));
        const { stdout, stderr, status } = call('verify', REAR[1], 'read.cfgdump', '--seen', 'A. Person');
        assert.equal(status, 1, time);
        assert.match(stdout, /^Both hold the same bytes, but this proves nothing more: /, time);
        assert.match(stdout, why);
        assert.match(stderr, /Nothing was written into the profile: other\.cfgdump/);
        assert.equal(read('rear-body.dump-profile.json'), profile);
      }
      // One that is as planned too, one that was read before, and one of another vehicle say nothing against it.
      at('2026-03-02T11:00:00Z', 'other.cfgdump');
      assert.equal(call('verify', REAR[1], 'read.cfgdump').status, 0);
      const wrong = read('rear-body.cfgdump').replace(/^ 4: .*/m, ' 4: 08 03 01 7F  00 FF | 88');
      at('2026-03-02T10:00:00Z', 'other.cfgdump', wrong);
      assert.equal(call('verify', REAR[1], 'read.cfgdump').status, 0);
      at('2026-03-02T11:00:00Z', 'other.cfgdump', wrong.replace('TA020418', 'TA020419'));
      assert.equal(call('verify', REAR[1], 'read.cfgdump').status, 0);
      write('other.cfgdump', '');
    });

    it('needs no profile in the read-back', () => {
      readBack([/^@.*\n/gm, '']);
      assert.equal(call('verify', REAR[1], 'read.cfgdump').status, 0);
    });

    it('status 1 for a dump of another vehicle, which is told', () => {
      readBack(['TA020418', 'TA020419']);
      const { stdout, status } = call('verify', REAR[1], 'read.cfgdump');
      assert.equal(status, 1);
      assert.match(stdout, /^What was read is of another car: "@vin" is .*This is not the read-back of this plan\.$/m);
    });

    it('status 2 for what is no dump, in one line', () => {
      write('read.cfgdump', '# nothing\n');
      for (const [file, why] of [
        ['read.cfgdump', /read\.cfgdump is no dump: not one line of it is a record/],
        ['nowhere.cfgdump', /nowhere\.cfgdump cannot be read: no such file/],
      ] as const) {
        const { stdout, stderr, status } = call('verify', REAR[1], file);
        assert.deepEqual([stdout, status], ['', 2]);
        assert.match(stderr, why);
      }
      assert.match(call('verify', REAR[1]).stderr, /Use: countersum verify PLANNED READBACK/);
    });
  });

  it('record: the page of a folder, status 1 while something is open', () => {
    const { stdout, status } = call('record', '.');
    assert.equal(status, 1);
    assertExpected('record/command-line.md', stdout);
    const { dumps, open } = JSON.parse(call('record', '.', '--json').stdout);
    assert.deepEqual([dumps.length, open.length], [5, 3]);
    for (const name of [REAR[1], CLUSTER[1]])
      write(`read-${name}`, read(name).replace(/^@backup.*/m, '@taken 2026-03-02T12:00:00Z'));
    assert.equal(call('record', '.').status, 0);
    assert.match(call('record', 'nowhere').stderr, /nowhere cannot be listed: no such file/);
    assert.equal(call('record', 'nowhere').status, 2);
  });

  it('record: status 1 for a retrofit that asks for what no profile knows, which is named', () => {
    for (const name of [REAR[1], CLUSTER[1]])
      write(`read-${name}`, read(name).replace(/^@backup.*/m, '@taken 2026-03-02T12:00:00Z'));
    assert.equal(call('record', '.').status, 0);
    const retrofit = 'trailer-socket.retrofit.json';
    write(retrofit, read(retrofit).replace('rear-fog-cutout', 'rear-fog-cutoff'));
    const { stdout, status } = call('record', '.');
    assert.equal(status, 1);
    assert.match(stdout, /trailer-socket\.retrofit\.json has problems; .*rear-fog-cutout/);
  });

  it('record: status 2 for a folder without a dump, and that is said', () => {
    mkdirSync(path('empty'));
    const { stdout, status } = call('record', 'empty');
    assert.equal(status, 2);
    assert.match(stdout, /There is no dump in this folder yet\./);
    assert.deepEqual(JSON.parse(call('record', 'empty', '--json').stdout).open, [
      'There is no dump in this folder yet.',
    ]);
  });

  it('check holds needs of other modules against the dump in work, not against what was read before or after it', () => {
    write('a.cfgdump', read(REAR[0]).replace(/^@seal.*\n/m, ''));
    assert.equal(call('check', CLUSTER[1]).status, 0);
  });
});
