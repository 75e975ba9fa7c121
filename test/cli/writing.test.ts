import assert from 'node:assert/strict';
import { spawn } from 'node:child_process';
import {
  chmodSync,
  linkSync,
  lstatSync,
  mkdirSync,
  readlinkSync,
  rmSync,
  statSync,
  symlinkSync,
  utimesSync,
} from 'node:fs';
import { hostname } from 'node:os';
import { describe, it } from 'mocha';
import { shortHash } from '../../server/src/files/machine.js';
import { bench, CLI } from '../support/commandLine.js';

const REAR = 'rear-body.cfgdump';
const CLUSTER = 'cluster.cfgdump';
const FOUND = 'rear-body.as-found.cfgdump';
const PROFILE = 'rear-body.dump-profile.json';
const RETROFIT = 'trailer-socket.retrofit.json';

describe('where results are written', () => {
  const { call, callWith, shell, read, write, path, names, everything, folder } = bench();

  /** Refused with status 2 and one line, and every file is as it was. */
  function refused(args: readonly string[], words: RegExp): void {
    const before = everything();
    const { status, stdout, stderr } = call(...args);
    assert.deepEqual([status, stdout], [2, ''], `${args.join(' ')}: ${stderr}`);
    assert.match(stderr, words);
    assert.deepEqual(everything(), before, args.join(' '));
  }

  it('a reading is never written over; what is made of it is none', () => {
    const work = read(REAR);
    const set = ['set', REAR, 'trailer-socket=13-pin'];
    const reading = work.replace(/^@backup.*/m, '@taken 2024-02-29');
    const says = /It is a reading \("@taken", and no "@backup"\), which changed would no longer show what was read/;
    write(REAR, reading);
    refused([...set, '--write'], says);
    refused(['fix', REAR, '--write'], says);
    const tried = call(...set);
    assert.equal(tried.status, 0, tried.stderr);
    assert.match(tried.stderr, says);
    assert.equal(call(...set, '--out', 'set.cfgdump').status, 0);
    assert.doesNotMatch(read('set.cfgdump'), /@taken/);
    write(REAR, read('set.cfgdump'));
    // Neither where nothing is changed, nor of a dump in work, nor of one that does not say that it was read.
    for (const text of [`@taken 2024-02-29\n${read('set.cfgdump')}`, work, work.replace(/^@backup.*\n/m, '')]) {
      write(REAR, text);
      const { status, stderr } = call(...set, '--write');
      assert.equal(status, 0, stderr);
      assert.doesNotMatch(stderr, says);
    }
    write(REAR, work);
  });

  describe('--out', () => {
    it('never replaces a file that exists, unless --force', () => {
      write('old.txt', 'mine');
      for (const args of [
        ['fix', REAR],
        ['set', REAR, 'trailer-socket=none'],
        ['restore', REAR],
        ['card', FOUND, REAR],
        ['record', '.'],
        ['plan', RETROFIT],
        ['learn', REAR],
      ]) {
        refused([...args, '--out', 'old.txt'], /old\.txt exists\. Name another file, or replace it with --force/);
        const { status, stderr } = call(...args, '--out', 'old.txt', '--force');
        assert.ok(status === 0 || status === 1, stderr);
        assert.notEqual(read('old.txt'), 'mine');
        write('old.txt', 'mine');
      }
    });

    it('never replaces what the result was made from, a sealed file or one that is read-only, even with --force', () => {
      write('open.cfgdump', read(FOUND).replace(/^@seal.*\n/m, ''));
      write(REAR, read(REAR).replace(/^@backup.*/m, '@backup open.cfgdump'));
      write('read-only.txt', 'mine');
      chmodSync(path('read-only.txt'), 0o444);
      write('sealed.hex', '; @seal x\n:00000001FF\n');
      write('sealed.bin', Uint8Array.of(0, 1, 0xff));
      write('sealed.bin.dump-headers', '@seal x\n');
      for (const [out, words] of [
        [PROFILE, /one of the files that this result was made from/],
        ['open.cfgdump', /one of the files that this result was made from/],
        [FOUND, /sealed backup/],
        ['sealed.hex', /sealed backup/],
        ['sealed.bin', /sealed backup/],
        ['read-only.txt', /read-only/],
      ] as const)
        for (const more of [[], ['--force']]) refused(['fix', REAR, '--out', out, ...more], words);
      for (const args of [
        ['card', FOUND, REAR, '--retrofit', RETROFIT, '--out', RETROFIT],
        ['card', FOUND, REAR, '--out', REAR],
        ['plan', RETROFIT, '--out', CLUSTER],
        ['record', '.', '--out', `./${REAR}`],
        ['convert', REAR, '--to', 'intel-hex', '--out', PROFILE],
        ['learn', 'open.cfgdump', '--out', 'open.cfgdump'],
      ])
        refused([...args, '--force'], /one of the files that this result was made from|Nothing was written/);
    });

    it('never replaces the profile or the backup that a source names, whether or not they were read', () => {
      write('a.hex', ':0300300002337A1E\n:00000001FF\n; @profile a.dump-profile.json\n; @backup b.hex\n');
      write('b.hex', read('a.hex'));
      write('a.dump-profile.json', '{ "format": 1, "addresses": { "from": "0x30", "to": "0x32" } }');
      for (const out of ['b.hex', 'a.dump-profile.json', './a.dump-profile.json'])
        refused(['convert', 'a.hex', '--to', 's-record', '--out', out, '--force'], /made from\. Write another file/);
      refused(['learn', REAR, FOUND, '--out', PROFILE, '--force'], /the profile or the backup of/);
    });

    it('is refused for what is no file: a folder, a device, a pipe, a link to nothing', () => {
      mkdirSync(path('folder'));
      symlinkSync('nowhere', path('dangling'));
      shell('mkfifo pipe');
      for (const [out, words] of [
        ['folder', /folder cannot be written: it is a folder/],
        ['dangling', /link to a file that does not exist/],
        ['pipe', /a device, a pipe or a socket/],
        ['/dev/null', /a device, a pipe or a socket/],
        ['/dev/stdout', /Leave out --out/],
        ['-', /Leave out --out/],
        ['nowhere/x', /no such file/],
      ] as const)
        for (const more of [[], ['--force']]) {
          refused(['fix', REAR, '--out', out, ...more], words);
          refused(['card', FOUND, REAR, '--out', out, ...more], words);
        }
      assert.deepEqual([lstatSync('/dev/null').isCharacterDevice(), lstatSync(path('pipe')).isFIFO()], [true, true]);
    });

    it('on the file itself is --write, by whatever name', () => {
      const { stdout } = call('fix', REAR);
      for (const name of [REAR, `./${REAR}`, path(REAR), 'link.cfgdump']) {
        symlinkSync(REAR, path('link.cfgdump'));
        const before = read(REAR);
        const { status, stderr } = call('fix', REAR, '--out', name);
        assert.deepEqual([status, read(REAR)], [0, stdout], stderr);
        assert.equal(readlinkSync(path('link.cfgdump')), REAR);
        write(REAR, before);
        statSync(path('link.cfgdump'));
        shell('rm link.cfgdump');
      }
    });

    it('of a conversion is never its source, by whatever name', () => {
      write('a.hex', ':0300300002337A1E\n:00000001FF\n');
      symlinkSync('a.hex', path('link.hex'));
      for (const out of ['a.hex', './a.hex', 'link.hex'])
        refused(['convert', 'a.hex', '--to', 's-record', '--out', out, '--force'], /made from/);
    });

    it('with the ending of another form is written, and told', () => {
      write('a.hex', ':0300300002337A1E\n:00000001FF\n');
      const { status, stderr } = call('convert', 'a.hex', '--to', 'dump-text', '--out', 'a.s19');
      assert.deepEqual([status, read('a.s19')], [0, '0x0030: 02 33 7A\n']);
      assert.match(stderr, /^a\.s19: its name promises s-record, and what it contains is dump-text\.$/m);
      assert.doesNotMatch(call('convert', 'a.hex', '--to', 'dump-text', '--out', 'a.cfgdump').stderr, /promises/);
      assert.doesNotMatch(call('convert', 'a.hex', '--to', 's-record', '--out', 'a.txt').stderr, /promises/);
    });
  });

  describe('--write', () => {
    it('leaves a sealed file as it is, and one that is read-only or has another name', () => {
      refused(['set', FOUND, 'trailer-socket=13-pin', '--write'], /seal/);
      write('sealed.cfgdump', `${read(REAR)}@seal sha256:00\n`);
      refused(['fix', 'sealed.cfgdump', '--write'], /seal/);
      refused(['restore', 'sealed.cfgdump', '--write'], /seal/);
      linkSync(path(REAR), path('other.cfgdump'));
      refused(['fix', REAR, '--write'], /another name \(a hard link\)/);
      shell('rm other.cfgdump');
      chmodSync(path(REAR), 0o444);
      refused(['fix', REAR, '--write'], /read-only/);
    });

    it('touches no file that would be the same', () => {
      write('sound.cfgdump', read(FOUND).replace(/^@(seal|taken).*\n/gm, ''));
      const then = new Date(2020, 1, 1);
      utimesSync(path('sound.cfgdump'), then, then);
      assert.equal(call('fix', 'sound.cfgdump', '--write').status, 0);
      assert.equal(statSync(path('sound.cfgdump')).mtimeMs, then.getTime());
    });

    it('is refused where bytes that are no UTF-8 would be lost', () => {
      // A file is looked at as far as its first 64 KiB to see how it is encoded.
      const bytes = Buffer.from(`# ${'-'.repeat(70_000)} K\xe4fer\n${read(REAR)}`, 'latin1');
      write('latin.cfgdump', bytes);
      refused(['fix', 'latin.cfgdump', '--write'], /row 1 holds bytes that are no UTF-8/);
      refused(['fix', 'latin.cfgdump'], /row 1 holds bytes that are no UTF-8/);
      refused(['fix', 'latin.cfgdump', '--out', 'x.cfgdump'], /row 1 holds bytes that are no UTF-8/);
    });

    it('is refused for standard input', () => {
      const { status, stderr } = callWith({ input: read(REAR) }, 'fix', '-', '--write');
      assert.equal(status, 2);
      assert.match(stderr, /Standard input cannot be written to/);
    });

    it('find-option: goes with --add only', () => {
      refused(['find-option', '--with', REAR, '--without', FOUND, '--write'], /"--write" goes with "--add" only/);
      refused(['find-option', '--with', REAR, '--without', FOUND, '--out', 'x'], /"--out" goes with/);
    });

    /** Holds the run before it opens a new file, or before it renames one, until there is a file "go". */
    const HOLD = `
      const fs = require('node:fs');
      const { HOLD } = process.env;
      const work = fs[HOLD];
      fs[HOLD] = (...args) => {
        if (HOLD === 'openSync' && args[1] !== 'wx') return work(...args);
        if (!fs.existsSync('go')) fs.writeFileSync('held', '');
        while (!fs.existsSync('go')) Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 5);
        return work(...args);
      };
    `;
    const [ONE, OTHER] = ['trailer-socket=13-pin', 'parking-sensors=none'];

    for (const call of ['openSync', 'renameSync'])
      it(`of two runs at once, what one wrote the other never undoes: held before ${call}`, async () => {
        write('hold.cjs', HOLD);
        const start = read(FOUND).replace(/^@(seal|taken).*\n/gm, '');
        write('work.cfgdump', start);
        const env = { ...process.env, HOLD: call, NODE_OPTIONS: `--require ${path('hold.cjs')}` };
        const args = [CLI, 'set', 'work.cfgdump', ONE, '--write'];
        const held = spawn(process.execPath, args, { cwd: folder(), env, stdio: 'ignore' });
        const ended = new Promise<number | null>((resolve) => held.on('exit', resolve));
        while (!names().includes('held')) await new Promise((resolve) => setTimeout(resolve, 5));
        const other = callWith({}, 'set', 'work.cfgdump', OTHER, '--write');
        const between = read('work.cfgdump');
        write('go', '');
        const first = await ended;
        const now = read('work.cfgdump');
        assert.deepEqual([first, other.status].sort(), [0, 2], other.stderr);
        if (first === 0) assert.deepEqual([between, now !== start], [start, true]);
        else assert.deepEqual([between !== start, now], [true, between]);
        assert.deepEqual(
          names().filter((name) => name.endsWith('.tmp')),
          [],
        );
      });

    it('of two runs that race, at least one is carried out, and what both say they did is done', async () => {
      const start = read(FOUND).replace(/^@(seal|taken).*\n/gm, '');
      const textAfter = (...settings: readonly string[]) => {
        write('work.cfgdump', start);
        for (const setting of settings)
          assert.equal(call('set', 'work.cfgdump', setting, '--write').status, 0, setting);
        return read('work.cfgdump');
      };
      const [one, other, both] = [textAfter(ONE), textAfter(OTHER), textAfter(ONE, OTHER)];
      for (let round = 0; round < 5; round++) {
        write('work.cfgdump', start);
        const run = (setting: string) =>
          new Promise<number | null>((resolve) => {
            const args = [CLI, 'set', 'work.cfgdump', setting, '--write'];
            spawn(process.execPath, args, { cwd: folder(), stdio: 'ignore' }).on('exit', resolve);
          });
        const ends = (await Promise.all([run(ONE), run(OTHER)])).join();
        assert.equal(read('work.cfgdump'), { '0,0': both, '0,2': one, '2,0': other }[ends], ends);
      }
    });
  });

  describe('a plan that is killed', () => {
    /** Ends the run with SIGKILL in place of the renaming with this number. */
    const KILL = `
      const fs = require('node:fs');
      const rename = fs.renameSync;
      let left = Number(process.env.KILL_AT);
      fs.renameSync = (...args) => left-- > 0 ? rename(...args) : process.kill(process.pid, 'SIGKILL');
    `;

    it('between two modules is told by every command, and finished by the next one that writes', () => {
      for (const name of [REAR, CLUSTER]) {
        const backup = name.replace('.cfgdump', '.as-found.cfgdump');
        write(
          name,
          read(backup)
            .replace(/^@seal.*\n/m, '')
            .replace(/^@taken.*/m, `@backup ${backup}`),
        );
      }
      write('kill.cjs', KILL);
      const visible = () => Object.fromEntries(Object.entries(everything()).filter(([name]) => !name.endsWith('.tmp')));
      const before = everything();
      assert.equal(call('plan', RETROFIT, '--write').status, 0);
      const planned = everything();
      for (let at = 0; at < 4; at++) {
        for (const name of [REAR, CLUSTER]) write(name, before[name] ?? '');
        const env = { ...process.env, KILL_AT: String(at), NODE_OPTIONS: `--require ${path('kill.cjs')}` };
        const killed = callWith({ env }, 'plan', RETROFIT, '--write');
        assert.equal(killed.status, at < 3 ? null : 0, `${at}: ${killed.stderr}`);
        // Renamed: the journal, then each module.
        const half = at === 2;
        assert.equal(read(REAR) !== before[REAR] && read(CLUSTER) === before[CLUSTER], half);
        const left = visible();
        for (const name of half ? [CLUSTER, REAR, '.'] : [CLUSTER, REAR]) {
          const { status, stdout, stderr } = call('check', name);
          assert.equal(status, half ? 1 : 0, stderr);
          assert.equal(/all good/.test(stdout), !half, stdout);
          if (half) assert.match(stderr + stdout, /some are as planned and some are not/);
          if (at === 1) assert.match(stderr, /A plan was cut short before it changed anything/);
          if (at === 0 || at === 3) assert.equal(stderr, '');
        }
        assert.equal(
          call('compare', REAR, REAR.replace('.cfgdump', '.as-found.cfgdump')).status,
          half || at === 3 ? 1 : 0,
        );
        assert.equal(call('fix', CLUSTER, '--out', 'fixed.cfgdump').status, half ? 1 : 0);
        rmSync(path('fixed.cfgdump'));
        assert.deepEqual(visible(), left, 'reading changes nothing');
        const { status, stderr } = call('fix', CLUSTER, '--write');
        assert.equal(status, 0, stderr);
        if (half) assert.match(stderr, /A plan that was cut short has been finished: /);
        if (at === 1) assert.match(stderr, /A plan was cut short before it changed anything/);
        assert.deepEqual(visible(), half || at === 3 ? planned : before, String(at));
      }
    });

    it('a journal that was made by hand makes no command write what the profile forbids', () => {
      const text = read(CLUSTER);
      const row = text.split('\n').find((line) => /^ *2:/.test(line)) ?? '';
      const wrong = row.replace(/(\w\w)(\s*)$/, (_, sum, end) => `${sum === '00' ? '01' : '00'}${end}`);
      const modules = [
        { file: REAR, before: `${read(REAR)}# noted\n`, after: read(REAR) },
        { file: CLUSTER, before: text, after: text.replace(row, wrong) },
      ];
      assert.notEqual(wrong, row);
      write('.countersum-plan.json', JSON.stringify({ format: 1, host: shortHash(hostname()), pid: 4194305, modules }));
      const left = everything();
      for (const args of [
        ['check', '.'],
        ['compare', REAR, CLUSTER],
        ['options', CLUSTER],
        ['fix', CLUSTER, '--write'],
        ['set', REAR, 'trailer-socket=none', '--write'],
        ['restore', CLUSTER, '--write'],
        ['plan', RETROFIT, '--write'],
      ]) {
        const { status } = call(...args);
        assert.notEqual(status, 0, args.join(' '));
        assert.deepEqual(everything(), left, args.join(' '));
      }
    });
  });
});
