import assert from 'node:assert/strict';
import { mkdirSync } from 'node:fs';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';

const { call, path, write } = bench('empty');

const PROFILE = {
  format: 1,
  lines: { from: 1, to: 2, data: 4, sum: 1 },
  lineSum: { method: 'add', bits: 8, over: ['data'] },
  volatile: [
    { line: 1, bytes: '1-4' },
    { line: 2, bytes: '1-3' },
  ],
};
const TEXT = '1: 10 22 33 44 | A9\n2: 01 02 03 04 | 0A\n';
const dump = (name: string, head: string, text = TEXT) => write(name, `@profile p.dump-profile.json\n${head}${text}`);
const profile = (more: object) => write('p.dump-profile.json', JSON.stringify({ ...PROFILE, ...more }));

describe('what proves nothing, on the command line', () => {
  const other = TEXT.replace('10 22 33 44 | A9', '00 00 00 00 | 00');

  it('is a profile for another module, or for one that is not known to be it: status 2', () => {
    profile({ appliesTo: { part: ['ZZ*'] } });
    for (const head of ['@part A1\n', '']) {
      dump('a.cfgdump', head);
      dump('b.cfgdump', head, other);
      const verified = call('verify', 'a.cfgdump', 'b.cfgdump', '--json');
      assert.equal(verified.status, 2, verified.stdout);
      const { match, ignored, unread } = JSON.parse(verified.stdout);
      assert.deepEqual([match, ignored, unread.length], [false, [], 1]);
      assert.equal(call('verify', 'a.cfgdump', 'a.cfgdump').status, 2);
      assert.equal(call('compare', 'a.cfgdump', 'a.cfgdump').status, 2);
    }
    dump('a.cfgdump', '@part ZZ1\n');
    dump('b.cfgdump', '@part ZZ1\n', other);
    assert.equal(call('verify', 'a.cfgdump', 'b.cfgdump').status, 0);
  });

  it('is no reason to hide a job card, which says not to write', () => {
    profile({ appliesTo: { part: ['ZZ*'] }, volatile: [] });
    dump('a.cfgdump', '');
    dump('b.cfgdump', '', TEXT.replace('01 02 03 04 | 0A', '01 02 03 05 | 0B'));
    const { status, stdout } = call('card', 'a.cfgdump', 'b.cfgdump');
    assert.equal(status, 1);
    assert.match(stdout, /## Do not write yet\n\n- b\.cfgdump: The profile is for/);
  });

  it('is the file that was saved to be loaded into the module: status 2', () => {
    profile({ volatile: [] });
    dump('a.cfgdump', '');
    for (const name of ['b.cfgdump', 'a.to-load.txt']) dump(name, '');
    assert.equal(call('verify', 'a.cfgdump', 'b.cfgdump').status, 0);
    const { status, stderr } = call('verify', 'a.cfgdump', 'a.to-load.txt');
    assert.equal(status, 2);
    assert.match(stderr, /a\.to-load\.txt is named as a file to load/);
  });

  it('is what says in a row that it was not read after the backup, or the plan, whatever its "@taken" says: status 2', () => {
    profile({ volatile: [] });
    const [backup, row] = ['@backup found.cfgdump\n', '# read 2026-03-02 10:14\n'];
    dump('found.cfgdump', `@taken 2026-03-02T09:14Z\n${row}`);
    for (const head of [backup, '']) {
      dump('a.cfgdump', `${head}${row}`);
      for (const taken of ['', '@taken 2026-03-04T10:00Z\n']) {
        dump('b.cfgdump', `${taken}# read 2026-03-01 10:00\n`);
        const { status, stdout } = call('verify', 'a.cfgdump', 'b.cfgdump');
        assert.equal(status, 2, stdout);
        assert.match(
          stdout,
          /not read after the (?:backup|plan) \(2026-03-02 10:14\): its row \d says 2026-03-01 10:00\./,
        );
      }
      dump('b.cfgdump', '@taken 2026-03-04T10:00Z\n# read 2026-03-04 11:00\n');
      assert.equal(call('verify', 'a.cfgdump', 'b.cfgdump').status, 0);
    }
  });

  it('is nothing compared: status 2', () => {
    profile({ volatile: [1, 2].map((line) => ({ line, bytes: '1-4' })) });
    dump('a.cfgdump', '');
    dump('b.cfgdump', '', other);
    const { status, stdout } = call('verify', 'a.cfgdump', 'b.cfgdump');
    assert.equal(status, 2);
    assert.match(stdout, /^This cannot be verified: Every byte of data changes by itself/);
  });

  it('is a profile of either side that has a problem, in whatever order', () => {
    profile({});
    write('bad.dump-profile.json', JSON.stringify({ ...PROFILE, colour: 1 }));
    dump('a.cfgdump', '');
    write('bad.cfgdump', `@profile bad.dump-profile.json\n${TEXT}`);
    write('gone.cfgdump', `@profile gone.dump-profile.json\n${TEXT}`);
    for (const unsound of ['bad.cfgdump', 'gone.cfgdump'])
      assert.deepEqual(
        [call('compare', 'a.cfgdump', unsound).status, call('compare', unsound, 'a.cfgdump').status],
        [2, 2],
        unsound,
      );
  });

  it('is a seal in any spelling for writing over: the file stays', () => {
    profile({ volatile: [] });
    dump('a.cfgdump', '', TEXT.replace('| A9', '| A8'));
    for (const seal of ['@Seal sha256:00', '@SEAL sha256:00', '@ seal sha256:00']) {
      dump('sealed.cfgdump', `${seal}\n`, TEXT.replace('| A9', '| A8'));
      assert.equal(call('fix', 'sealed.cfgdump', '--write').status, 2, seal);
      assert.equal(call('fix', 'a.cfgdump', '--out', 'sealed.cfgdump').status, 2, seal);
    }
  });

  it('is a backup with two seals, or two parts, for a locked byte', () => {
    const locked = { locked: [{ line: 1, bytes: '1-4' }], volatile: [] };
    profile(locked);
    const seal = '@seal sha256:c63c5889d5ba386824f0727ad9f2bea930d879dc10278cd1e3cbb2a0789206bb\n';
    dump('work.cfgdump', '@part A1\n@backup old.cfgdump\n', TEXT.replace('10 22 33 44 | A9', '11 22 33 44 | AA'));
    dump('old.cfgdump', `@part A1\n${seal}`);
    assert.equal(call('restore', 'work.cfgdump', '--out', 'now.cfgdump').status, 0);
    for (const head of [`${seal}@seal sha256:${'0'.repeat(64)}\n@part A1\n`, `${seal}@part A1\n@part B7\n`]) {
      dump('old.cfgdump', head);
      assert.equal(call('restore', 'work.cfgdump', '--out', 'then.cfgdump').status, 2, head);
    }
  });
});

describe('what the headers of a reading contradict', () => {
  const both = (head: string, text = TEXT) => {
    dump('a.cfgdump', '');
    dump('b.cfgdump', head, text);
    return ['verify', 'compare'].map((command) => call(command, 'a.cfgdump', 'b.cfgdump'));
  };

  it('is never proved where two profiles or two backups are named, though one of them is right: status 2', () => {
    profile({ volatile: [] });
    for (const name of ['profile', 'backup']) {
      const head = `@${name} one.${name}\n${name === 'backup' ? '@backup two.backup\n' : ''}`;
      for (const { status, stdout } of both(head)) {
        assert.equal(status, 2, stdout);
        assert.ok(stdout.includes(`"@${name}" is given twice`), stdout);
        assert.doesNotMatch(stdout, /byte for byte/);
      }
      assert.equal(call('verify', 'b.cfgdump', 'a.cfgdump').status, 2);
      assert.equal(call('check', 'b.cfgdump').status, 1);
    }
  });

  it('is no proof where the reading names a profile that cannot be read, by the same name', () => {
    profile({ volatile: [] });
    dump('a.cfgdump', '');
    mkdirSync(path('elsewhere'));
    dump('elsewhere/b.cfgdump', '');
    for (const command of ['verify', 'compare'])
      assert.equal(call(command, 'a.cfgdump', 'elsewhere/b.cfgdump').status, 2, command);
  });

  it('is of another module where "@module" is not the one of the profile', () => {
    profile({ volatile: [], module: '0x2041' });
    for (const name of ['0x2042', '2042', 'Other thing']) {
      const [verified, compared] = both(`@module ${name}\n`);
      assert.notEqual(verified?.status, 0);
      assert.match(verified?.stdout ?? '', /What was read is of another module: "@module" is "0x2041" in the plan/);
      assert.equal(compared?.status, 2);
      assert.match(compared?.stderr ?? '', /of two modules/);
    }
    for (const name of ['0x2042', '2042']) {
      dump('b.cfgdump', `@module ${name}\n`);
      const { status, stdout } = call('check', 'b.cfgdump');
      assert.equal(status, 1);
      assert.match(
        stdout,
        /error profile-other-module: .*"@module" is "(0x)?2042" here, and the profile is for 0x2041\./,
      );
      assert.equal(call('verify', 'b.cfgdump', 'a.cfgdump').status === 0, false);
    }
    for (const name of ['0x2041', '2041', '8257', '0X2041'])
      for (const { status, stdout } of both(`@module ${name}\n`)) assert.equal(status, 0, stdout);
    dump('a.cfgdump', '@module Rear body\n');
    dump('b.cfgdump', '@module rear body\n');
    assert.equal(call('verify', 'a.cfgdump', 'b.cfgdump').status, 0);
    assert.equal(call('check', 'a.cfgdump').status, 0);
  });

  it('is no proof where its lines are in another order than the profile and the plan have them: status 1', () => {
    profile({ volatile: [] });
    const turned = `${TEXT.split('\n').slice(0, 2).reverse().join('\n')}\n`;
    const [verified] = both('', turned);
    assert.equal(verified?.status, 1, verified?.stdout);
    assert.match(
      verified?.stdout ?? '',
      /^Both hold the same bytes, but this proves nothing more: Line [12] is out of order in what was read \(1 in all\)/,
    );
    dump('a.cfgdump', '', turned);
    const { status, stdout } = call('verify', 'a.cfgdump', 'b.cfgdump');
    assert.equal(status, 0, stdout);
    assert.match(stdout, /^Lines are out of order, as in the plan: 1, the first is line [12]\.$/m);
  });
});

describe('the start address of two images', () => {
  it('is named where it differs, though not everything was read', () => {
    const data = ':0400000001020304F2\n';
    write('a.hex', `${data}:0400000500000010E7\n`);
    write('b.hex', `${data}:0400000500000020D7\n`);
    const { status, stdout } = call('compare', 'a.hex', 'b.hex');
    assert.equal(status, 2);
    assert.match(stdout, /Start address: 0010 → 0020/);
    assert.doesNotMatch(stdout, /cannot be called the same|Nobody can tell/);
  });
});
