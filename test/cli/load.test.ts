// Which files a command reads, as what, and which of them its result may replace; each in this process.
import assert from 'node:assert/strict';
import { execFileSync, spawn } from 'node:child_process';
import { mkdirSync, readFileSync, rmSync } from 'node:fs';
import { describe, it } from 'mocha';
import { bindText } from '../../shared-core/src/model/index.js';
import { sealOf } from '../../shared-core/src/model/seal.js';
import { readProfile } from '../../shared-core/src/profile/index.js';
import { demoBench, FOUND, PROFILE, REAR, RIGHT } from '../support/demoBench.js';
import { runCommand } from '../support/inProcess.js';

describe('the files of a command', () => {
  const { path, read, write, run, refused, files, root } = demoBench([REAR, FOUND, PROFILE]);
  const inRoot = async (...words: readonly string[]) => {
    const { text, notes, status } = await runCommand([...words, root()]);
    return { text: text.replaceAll(`${root()}/`, ''), notes, status };
  };
  const ONE_BYTE = { format: 1, lines: { from: 1, to: 1, data: 1, sum: 0 } };
  const profile = (name: string, options: readonly object[] = []) =>
    write(`${name}.dump-profile.json`, JSON.stringify({ ...ONE_BYTE, options }));
  const BYTE = { line: 1, byte: 1, values: { 0: 'no', 1: 'yes' } };
  const VIN = '@vin 0DEM0T4X5TA020418\n';

  describe('of a folder', () => {
    it('are all in it, also where it is one, in the order of their paths, whatever they are', async () => {
      mkdirSync(path('sub'));
      for (const name of ['sub/b.cfgdump', 'z.cfgdump', 'a.s19']) write(name, '');
      const { text } = await inRoot('check', '--json');
      const names = JSON.parse(text).files.map(({ file }: { file: string }) => file);
      assert.deepEqual(names, ['a.s19', FOUND, REAR, PROFILE, 'sub/b.cfgdump', 'z.cfgdump'].sort());
      const one = await runCommand(['check', path('sub'), '--json']);
      assert.equal(JSON.parse(one.text).files.length, 1);
    });

    it('are refused where there is none, and the endings of dumps are named', async () => {
      mkdirSync(path('empty'));
      const { status, notes } = await runCommand(['check', path('empty')]);
      assert.equal(status, 2);
      assert.match(notes, /empty: no dump was found there\. Dumps end in \.cfgdump/);
    });

    it('are those of a plan too, where it is named in place of dumps', async () => {
      profile('p', [{ id: 'a', title: 'A', ...BYTE }]);
      write(
        'a.retrofit.json',
        JSON.stringify({ format: 1, title: 'A', changes: [{ profile: 'p.dump-profile.json', set: { a: 'yes' } }] }),
      );
      mkdirSync(path('car'));
      write('car/a.cfgdump', `@profile ../p.dump-profile.json\n${VIN}1: 00\n`);
      const { text } = await runCommand(['plan', path('a.retrofit.json'), path('car'), '--json']);
      const modules = JSON.parse(text).refusals.map(({ module }: { module: string }) => module);
      assert.deepEqual(modules, ['a.cfgdump']);
    });

    it('tell what other modules of a vehicle hold, wherever in it they are', async () => {
      profile('q', [{ id: 'b', title: 'B', ...BYTE }]);
      const needs = [{ profile: 'q.dump-profile.json', option: 'b', in: [1] }];
      profile('p', [{ id: 'a', title: 'A', ...BYTE, needs }]);
      for (const [folder, name, bytes] of [
        ['one', 'p', '01'],
        ['two', 'q', '00'],
      ] as const) {
        mkdirSync(path(folder));
        write(`${folder}/${name}.cfgdump`, `@profile ../${name}.dump-profile.json\n${VIN}1: ${bytes}\n`);
      }
      const alone = await runCommand(['check', path('one')]);
      assert.match(alone.text, /no dump of the module of q\.dump-profile\.json is at hand/);
      const { text } = await runCommand(['check', path('one'), path('two')]);
      assert.doesNotMatch(text, /at hand/);
      assert.match(text, /one\/p\.cfgdump:3:\d+: warning option-needs/);
    });
  });

  it('are read in the form that is said, and those that they name as what they are', async () => {
    write('i.dump-profile.json', JSON.stringify({ format: 1, addresses: { from: 0x10, to: 0x13 } }));
    const sum = (0xff - ((7 + 0x10 + 1 + 2 + 3 + 4) & 0xff)).toString(16).toUpperCase();
    const records = `S107001001020304${sum}\nS9030000FC\n`;
    const open = `; @profile i.dump-profile.json\n${records}`;
    const seal = sealOf(bindText('old.s19', open, readProfile(read('i.dump-profile.json')).profile));
    write('old.s19', `; @seal ${seal}\n${open}`);
    write('now.dat', '; @profile i.dump-profile.json\n; @backup old.s19\n:0400100001020304E2\n:00000001FF\n');
    const { status, text, notes } = await run('check', 'now.dat', '--from', 'intel-hex', '--json');
    assert.equal(status, 0, `${text}${notes}`);
    const [file] = JSON.parse(text).files;
    assert.deepEqual([file.notation, file.problems], ['intel-hex', []]);
  });

  it('that are raw bytes are those that are named with that form, not what they name', async () => {
    write('i.dump-profile.json', JSON.stringify({ format: 1, addresses: { from: 0, to: 3 } }));
    write('now.dat', Uint8Array.of(1, 2, 3, 4));
    write('now.dat.dump-headers', '@profile i.dump-profile.json\n@backup old.hex\n');
    const open = '; @profile i.dump-profile.json\n:0400000001020304F2\n:00000001FF\n';
    const seal = sealOf(bindText('old.hex', open, readProfile(read('i.dump-profile.json')).profile));
    write('old.hex', `; @seal ${seal}\n${open}`);
    const { status, text, notes } = await run('check', 'now.dat', '--from', 'binary', '--json');
    assert.equal(status, 0, `${text}${notes}`);
    assert.deepEqual(JSON.parse(text).files[0].problems, []);
  });

  it('that hold the headers of raw bytes, and what these name, are no place for a result, with --force either', async () => {
    const named = {
      'i.dump-profile.json': JSON.stringify({ format: 1, addresses: { from: 0, to: 3 } }),
      'old.hex': '',
    };
    for (const [name, text] of Object.entries(named)) write(name, text);
    write('now.dat', Uint8Array.of(1, 2, 3, 4));
    write('now.dat.dump-headers', '@profile i.dump-profile.json\n@backup old.hex\n');
    const was = files();
    for (const out of ['now.dat', 'now.dat.dump-headers', ...Object.keys(named)]) {
      const words = ['--from', 'binary', '--to', 's-record', '--force', '--out', path(out)];
      const { status, notes } = await runCommand(['convert', path('now.dat'), ...words]);
      assert.equal(status, 2, out);
      assert.match(notes, /is one of the files that|is the profile or the backup of a file that/);
    }
    assert.deepEqual(files(), was);
  });

  it('are read in the form that is said where another would fit as well, with headers beside or without', async () => {
    write('plain.dat', Uint8Array.of(0x31, 0x32, 0x0a));
    write('few.txt', '01 02 03 04\n');
    for (const [name, form] of [
      ['plain.dat', 'binary'],
      ['few.txt', 'ti-txt'],
      ['few.txt', 'hex-list'],
    ] as const) {
      const { text, notes } = await run('check', name, '--from', form, '--json');
      assert.equal(JSON.parse(text).files[0].notation, form, notes);
    }
  });

  it('have the words that are said', async () => {
    write('words.txt', '0000: 0201 0403 0605 0807\n');
    const bytes = async (...words: readonly string[]) =>
      (await run('convert', 'words.txt', '--to', 'intel-hex', ...words)).text.split('\n')[0]?.slice(9, 25);
    assert.equal(await bytes('--word', '2le'), '0102030405060708');
    // What the file names has those that its own form has.
    write('w.dump-profile.json', JSON.stringify({ format: 1, addresses: { from: 0, to: 7 } }));
    write('words.txt', `${read('words.txt')}@profile w.dump-profile.json\n@backup old.hex\n`);
    write('old.hex', '; @profile w.dump-profile.json\n:080000000102030405060708D4\n:00000001FF\n');
    const { text } = await run('check', 'words.txt', '--word', '2le', '--json');
    assert.deepEqual(JSON.parse(text).files[0].problems, []);
  });

  describe('that are pipes', () => {
    let writer: ReturnType<typeof spawn> | undefined;
    /** A pipe with something that writes a good image into it as soon as it is read. */
    const pipe = (name: string, content = ':0410000001020304E2\n:00000001FF\n') => {
      write('good.txt', content);
      execFileSync('mkfifo', [path(name)]);
      writer = spawn('sh', ['-c', 'cat "$1" > "$2"', 'sh', path('good.txt'), path(name)], { stdio: 'ignore' });
    };
    afterEach(() => {
      writer?.kill('SIGKILL');
    });
    const states = async (...names: readonly string[]) => {
      const { text, notes } = await runCommand(['check', ...names.map(path), '--json']);
      const all: readonly { readonly file: string; readonly unread?: string }[] = JSON.parse(text || notes).files;
      return Object.fromEntries(all.map(({ file, unread }) => [file.replace(`${root()}/`, ''), unread === undefined]));
    };

    it('are read where they are named, in a folder that is named too or not', async () => {
      mkdirSync(path('in'));
      pipe('in/piped.hex');
      assert.deepEqual(await states('in/piped.hex'), { 'in/piped.hex': true });
      rmSync(path('in/piped.hex'));
      pipe('in/piped.hex');
      assert.deepEqual(await states('in/piped.hex', 'in'), { 'in/piped.hex': true });
    });

    it('are read where a retrofit is one', async () => {
      pipe('a.retrofit.json', JSON.stringify({ format: 1, title: 'A', changes: [{ profile: PROFILE, set: {} }] }));
      const planned = await runCommand(['plan', path('a.retrofit.json'), path(REAR)]);
      assert.doesNotMatch(planned.notes, /no regular file/);
    });

    it('are not waited for where they only lie in a folder', async () => {
      for (const folder of ['in', 'other']) mkdirSync(path(folder));
      write('other/a.hex', ':00000001FF\n');
      pipe('in/piped.hex');
      assert.deepEqual(await states('other', 'in'), { 'in/piped.hex': false, 'other/a.hex': true });
    });
  });

  describe('whose options are set', () => {
    it('and all that they name are never replaced by the result, with --force either', async () => {
      write(REAR, RIGHT);
      const set = ['set', REAR, 'trailer-socket=none', '--force', '--out'] as const;
      await refused(/is one of the files that this result was made from|is the profile or the backup/, ...set, PROFILE);
      await refused(/sealed|is one of the files|is the profile or the backup/, ...set, FOUND);
    });

    it('may leave out what only lies beside it, which may be replaced', async () => {
      profile('q', [{ id: 'b', title: 'B', ...BYTE }]);
      profile('p', [
        { id: 'a', title: 'A', ...BYTE, needs: [{ profile: 'q.dump-profile.json', option: 'b', in: [0] }] },
      ]);
      write('q.cfgdump', `@profile q.dump-profile.json\n${VIN}1: 00\n`);
      write('p.cfgdump', `@profile p.dump-profile.json\n${VIN}1: 01\n`);
      await refused(/A|needs/, 'set', 'q.cfgdump', 'b=yes', '--out', 'new.cfgdump');
      write('p.cfgdump', `@profile p.dump-profile.json\n${VIN}1: 00\n`);
      const made = await run('set', 'q.cfgdump', 'b=yes', '--out', 'p.cfgdump', '--force');
      assert.equal(made.status, 0, made.notes);
      assert.match(readFileSync(path('p.cfgdump'), 'utf8'), /@profile q\.dump-profile\.json[\s\S]*1: 01/);
      assert.ok(files().has('q.cfgdump'));
    });
  });
});
