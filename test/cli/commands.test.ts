// What the commands say and do, each in this process: sentences, JSON, and the files afterwards.
import assert from 'node:assert/strict';
import { chmodSync, mkdirSync, rmSync, symlinkSync } from 'node:fs';
import { describe, it } from 'mocha';
import { thisMachine } from '../../server/src/files/machine.js';
import { JOURNAL_NAME } from '../../shared-core/src/jobs/index.js';
import { bindText } from '../../shared-core/src/model/index.js';
import { sealOf } from '../../shared-core/src/model/seal.js';
import { readProfile } from '../../shared-core/src/profile/index.js';
import { demoFile } from '../support/demo.js';
import { demoBench, FOUND, PROFILE, REAR, RIGHT } from '../support/demoBench.js';
import { runCommand } from '../support/inProcess.js';

const RETROFIT = 'trailer-socket.retrofit.json';
const CLUSTER = 'cluster.cfgdump';
const CLUSTER_FILES = [CLUSTER, 'cluster.as-found.cfgdump', 'cluster.dump-profile.json'];

describe('commands', () => {
  const { path, read, write, run, refused, files, root, withoutFolder } = demoBench([
    ...[REAR, FOUND, PROFILE, RETROFIT],
    ...CLUSTER_FILES,
  ]);
  const json = async (command: string, ...words: readonly string[]) =>
    JSON.parse((await run(command, '--json', ...words)).text);
  const says = async (command: string, ...words: readonly string[]) => {
    const { text, notes } = await run(command, ...words);
    return withoutFolder(`${text}${notes}`);
  };

  describe('check', () => {
    it('names each problem by file, row and column, and counts them', async () => {
      const said = await says('check', REAR);
      assert.match(said, /^rear-body\.cfgdump:12:26: error line-sum: Line 4: its sum is 88/m);
      const { files, errors, warnings } = await json('check', REAR);
      assert.deepEqual([files.length, errors, warnings], [1, files[0].problems.length, 0]);
      const [problem] = files[0].problems;
      assert.deepEqual(
        [
          problem.code,
          problem.severity,
          problem.label,
          problem.line,
          problem.column,
          problem.endLine,
          problem.endColumn,
        ],
        ['line-sum', 'error', '4', 12, 26, 12, 28],
      );
      assert.deepEqual([problem.expected, problem.found], ['A8', '88']);
      assert.deepEqual([files[0].notation, files[0].profile, files[0].unread], ['dump-text', PROFILE, undefined]);
    });

    it('names a place in a profile or a retrofit, whatever its lines end with', async () => {
      for (const end of ['\n', '\r\n', '\r']) {
        write('odd.dump-profile.json', demoFile(PROFILE).replace('"locked"', '"loked"').replaceAll('\n', end));
        const [file] = (await json('check', 'odd.dump-profile.json')).files;
        assert.deepEqual([file.notation, file.profile], [null, null]);
        const row = demoFile(PROFILE)
          .split('\n')
          .findIndex((line) => line.includes('"locked"'));
        assert.deepEqual(
          [file.problems[0].line, file.problems[0].column, file.problems[0].endLine],
          [row + 1, 3, row + 1],
        );
      }
      write(
        'odd.retrofit.json',
        demoFile(RETROFIT).replace('13-pin"', '12-pin"').replace('trailer-lamp', 'trailer-lam'),
      );
      const [file] = (await json('check', 'odd.retrofit.json')).files;
      const lines = file.problems.map(({ line }: { line: number }) => line);
      assert.equal(lines.length, 2);
      assert.deepEqual(
        lines,
        [...lines].sort((a, b) => a - b),
      );
    });

    it('names the problems of profiles and retrofits in the order of their places, in one row or in several', async () => {
      const places = async (text: string, name = 'odd.dump-profile.json') => {
        write(name, text);
        const [file] = (await json('check', name)).files;
        return file.problems.map(({ line, column }: { line: number; column: number }) => [line, column]);
      };
      const options = [1, 2].map((byte) => ({ id: 'a', title: 'A', line: 1, byte, values: { 0: 'no' }, od: 1 }));
      const profile = {
        format: 1,
        lines: { from: 1, to: 1, data: 2, sum: 0 },
        options,
        odd: 1,
        balance: [{ line: 9 }],
      };
      for (const indent of [0, 2]) {
        const found = await places(JSON.stringify(profile, null, indent));
        assert.ok(found.length > 3);
        const rising = [...found].sort(
          ([a, b]: number[], [c, d]: number[]) => Number(a) - Number(c) || Number(b) - Number(d),
        );
        assert.deepEqual(found, rising);
      }
      assert.deepEqual(await places('{"odd": 1, "format": 1}'), [[1, 2]]);
      // What the profiles make of a retrofit comes after what is wrong with it by itself.
      const retrofit = { format: 1, title: 'A', changes: [{ profile: PROFILE, set: { none: 'yes' } }], odd: 1 };
      for (const indent of [0, 2]) {
        const [first, second, ...more] = await places(JSON.stringify(retrofit, null, indent), 'odd.retrofit.json');
        assert.ok(first !== undefined && second !== undefined && more.length === 0);
        assert.ok(indent === 0 ? first[1] < second[1] : first[0] < second[0], `${first} ${second}`);
      }
    });

    it('walks folders, and says what cannot be read while the others are checked', async () => {
      mkdirSync(path('sub'));
      write('sub/a.cfgdump', RIGHT.replace('@profile ', '@profile ../').replace('@backup ', '@backup ../'));
      const { files } = JSON.parse((await runCommand(['check', '--json', root()])).text);
      const names = files.map(({ file }: { file: string }) => file.replace(`${root()}/`, '')).sort();
      assert.deepEqual(names, [...CLUSTER_FILES, REAR, FOUND, PROFILE, RETROFIT, 'sub/a.cfgdump'].sort());
      const some = await json('check', 'gone.cfgdump', FOUND);
      assert.match(some.files[0].unread, /gone\.cfgdump cannot be read: no such file/);
      assert.deepEqual([some.files[0].problems, some.files[1].unread], [[], undefined]);
      await refused(/^gone\.cfgdump cannot be read: no such file$/, 'check', 'gone.cfgdump');
      await refused(/^gone\.cfgdump cannot be read: no such file$/, 'check', 'gone.cfgdump', 'gone2.cfgdump');
      assert.equal((await json('check', 'gone.cfgdump')).files.length, 1);
    });

    it('says how many files were left out because version control ignores them, whatever comes of the others', async () => {
      const inRoot = (...words: readonly string[]) => runCommand(['check', root(), ...words]);
      assert.doesNotMatch((await inRoot()).notes, /version control/);
      mkdirSync(path('old'));
      for (const name of ['old/a.cfgdump', 'b.cfgdump']) write(name, RIGHT);
      write('later.job-card.md', '');
      write('.gitignore', 'old/\nb.*\n*.md\n');
      const said = 'Files that version control ignores were left out: 2. Name them to have them read.';
      assert.equal((await inRoot()).notes, said);
      assert.equal((await inRoot('--json')).notes, said);
      write('.gitignore', '*\n');
      const none = await inRoot();
      assert.deepEqual([none.status, none.notes.split('\n')[0]], [2, said.replace('2', '9')]);
      assert.doesNotMatch((await run('check', 'b.cfgdump')).notes, /version control/, 'what is named is read');
    });

    it('says how many links in a folder were left out: to dumps, and to folders, which may hold some', async () => {
      mkdirSync(path('cars'));
      write('cars/a.cfgdump', RIGHT);
      mkdirSync(path('away'));
      symlinkSync(path(REAR), path('cars/link.cfgdump'));
      symlinkSync(path('away'), path('cars/linked'));
      symlinkSync(path('a.txt'), path('cars/notes.txt'));
      const { notes } = await runCommand(['check', path('cars')]);
      assert.equal(notes, 'Links in folders were left out: 2. Name what they lead to, to have it read.');
      assert.doesNotMatch((await runCommand(['check', path('cars/link.cfgdump')])).notes, /Links/);
    });

    it('tells a person of the others where the first file cannot be read', async () => {
      const said = await says('check', 'gone.cfgdump', REAR);
      assert.match(said, /gone\.cfgdump/);
      assert.match(said, /rear-body\.cfgdump:12:26: error line-sum/);
      assert.match(await says('check', REAR, 'gone.cfgdump'), /rear-body\.cfgdump:12:26: error line-sum/);
    });

    it('calls nothing good beside a plan of which nobody can tell what it changed, whatever else was not checked', async () => {
      write('right.cfgdump', RIGHT);
      write('bare.cfgdump', '1: 00\n');
      const before = (await json('check', 'right.cfgdump', 'bare.cfgdump')).files;
      write(JOURNAL_NAME, '{');
      const after = (await json('check', 'right.cfgdump', 'bare.cfgdump')).files;
      for (const [at, { unchecked }] of before.entries()) {
        assert.equal(after[at].unchecked.length, unchecked.length + 1);
        assert.deepEqual(after[at].unchecked.slice(0, -1), unchecked);
      }
      assert.doesNotMatch(await says('check', 'right.cfgdump'), /all good/);
    });

    it('says that modules of a plan that is half done are not good, and no others', async () => {
      write('right.cfgdump', RIGHT);
      const modules = [
        { file: 'right.cfgdump', before: demoFile(REAR), after: RIGHT },
        { file: CLUSTER, before: demoFile(CLUSTER), after: demoFile(CLUSTER).replace('# Demo', '# DEMO') },
      ];
      write(JOURNAL_NAME, JSON.stringify({ format: 1, host: thisMachine().host, pid: 2 ** 30, modules }));
      assert.equal((await run('check', 'right.cfgdump')).status, 1);
      const { files } = await json('check', 'right.cfgdump', FOUND);
      assert.equal(files[0].unchecked.length, 1);
      assert.deepEqual(files[1].unchecked, []);
      assert.match((await run('check', 'right.cfgdump')).notes, /The next command that writes there settles it first/);
      assert.equal((await run('compare', FOUND, FOUND)).status, 0);
      assert.equal((await run('compare', 'right.cfgdump', 'right.cfgdump')).status, 1);
    });
  });

  describe('where a plan was cut short', () => {
    const OTHER = demoFile(CLUSTER).replace('0800 0210 3800 | 60', '0800 1210 3800 | 50');
    /** Of a plan of two modules, how many had been written, in a folder of their own. */
    const leave = (written: number, under = '') => {
      if (under !== '') {
        mkdirSync(path(under), { recursive: true });
        for (const name of [REAR, FOUND, PROFILE, ...CLUSTER_FILES]) write(`${under}${name}`, demoFile(name));
      }
      write(`${under}${REAR}`, written > 0 ? RIGHT : demoFile(REAR));
      const modules = [
        { file: REAR, before: demoFile(REAR), after: RIGHT },
        { file: CLUSTER, before: demoFile(CLUSTER), after: OTHER },
      ];
      write(`${under}${JOURNAL_NAME}`, JSON.stringify({ format: 1, host: thisMachine().host, pid: 2 ** 30, modules }));
    };
    const isLeft = (under = '') => files().has(`${under}${JOURNAL_NAME}`);

    it('a command that writes a file there settles it first, and says so', async () => {
      for (const words of [['--write'], ['--out', REAR]]) {
        leave(1);
        const { notes } = await run('fix', REAR, ...words);
        assert.ok(!isLeft(), notes);
        assert.match(notes, /has been finished|finished|undone/);
        assert.equal(read(CLUSTER), OTHER);
        write(CLUSTER, demoFile(CLUSTER));
      }
    });

    it('lines that are restored, and options that are set, are of a file there, whatever they are called', async () => {
      leave(1);
      assert.match((await run('set', REAR, 'trailer-socket=none')).notes, /settles it first/);
      const { notes } = await run('restore', REAR, '4');
      assert.match(notes, /The next command that writes there settles it first/);
      const written = await run('restore', REAR, '--write');
      assert.match(written.notes, /has been finished/);
      assert.ok(!isLeft());
    });

    it('one that compares groups of dumps finds it beside each of them', async () => {
      leave(1, 'sub/');
      const found = async (...words: readonly string[]) => (await run('find-option', ...words)).notes;
      const told = /The next command that writes there settles it first/;
      assert.match(await found('--with', REAR, '--without', `sub/${FOUND}`), told);
      assert.match(await found('--with', `sub/${REAR}`, '--without', FOUND), told);
      assert.doesNotMatch(await found('--with', REAR, '--without', FOUND), told);
    });

    it('one that reads folders finds it in each that has dumps, and in the folder itself', async () => {
      const inFolder = async (name: string) => (await runCommand(['check', path(name)])).notes;
      leave(1, 'sub/');
      mkdirSync(path('sub/deep'));
      write('sub/deep/a.cfgdump', '1: 00\n');
      assert.match(await inFolder('sub'), /settles it first/);
      assert.match(await inFolder('sub/deep'), /settles it first/, 'it is above');
      write('sub/deep/b.cfgdump', RIGHT);
      mkdirSync(path('all'));
      leave(1, 'all/one/');
      assert.match(await inFolder('all'), /settles it first/, 'it is below');
    });

    it('another person left one in the folder that is read, whose dumps are all further below', async () => {
      mkdirSync(path('top/deep'), { recursive: true });
      write('top/deep/right.cfgdump', RIGHT);
      write(`top/${JOURNAL_NAME}`, '{');
      const machine = thisMachine();
      const lstatSync = ((name: string, options: object) => {
        const stat = machine.fs.lstatSync(name, options);
        return stat === undefined ? stat : Object.assign(stat, { uid: Number(stat.uid) + 1 });
      }) as typeof machine.fs.lstatSync;
      const other = { ...machine, fs: { ...machine.fs, lstatSync } };
      assert.match(
        (await runCommand(['check', path('top')], other)).notes,
        /This is no journal of a plan that can be read\. Look at the modules beside it, correct them, then delete it\.$/m,
      );
      assert.doesNotMatch((await runCommand(['check', path('top/deep')], other)).notes, /journal of a plan/);
    });

    it('a file written over by another name is one of those there, beside others that are read', async () => {
      symlinkSync(path(REAR), path('link.cfgdump'));
      leave(1);
      const { notes } = await run('fix', REAR, '--out', 'link.cfgdump');
      assert.match(notes, /has been finished/);
      assert.ok(!isLeft());
      leave(1);
      const made = await run('convert', CLUSTER, '--to', 'dump-text', '--out', 'gone/new.cfgdump');
      assert.match(made.notes, /The next command that writes there settles it first/);
      assert.ok(isLeft());
    });

    it('one that reads a file that is gone, and would write a new one, only tells of it', async () => {
      leave(1);
      const { status, notes } = await run('card', 'gone.cfgdump', REAR, '--out', 'card.md');
      assert.equal(status, 2);
      assert.match(notes, /The next command that writes there settles it first/);
      assert.ok(isLeft());
    });

    it('one of a journal that cannot be read keeps every answer there from being good', async () => {
      write(JOURNAL_NAME, '{');
      const { status, notes } = await run('compare', FOUND, FOUND);
      assert.equal(status, 1, notes);
    });

    it('one that writes elsewhere, or nothing, only tells of it', async () => {
      for (const words of [[], ['--out', 'new.cfgdump'], ['--out', 'there.cfgdump', '--force']]) {
        write('there.cfgdump', 'own');
        leave(1);
        const { notes, status } = await run('fix', REAR, ...words);
        assert.ok(isLeft(), words.join(' '));
        assert.match(notes, /The next command that writes there settles it first/);
        assert.equal(status, 1, 'a module of a plan that is half done was read');
        assert.equal(read(CLUSTER), demoFile(CLUSTER));
      }
    });

    it('one that is not half done, or not of what was read, leaves the status as it is', async () => {
      leave(0);
      assert.equal((await run('compare', REAR, REAR)).status, 0);
      leave(1, 'sub/');
      assert.equal((await run('compare', FOUND, FOUND)).status, 0);
      assert.notEqual((await runCommand(['check', path('sub')])).status, 0);
      assert.match((await runCommand(['check', root()])).notes, /settles it first/);
      assert.ok(isLeft('sub/'));
    });
  });

  describe('set and fix', () => {
    it('say each byte that changes, for a person and for scripts', async () => {
      const said = await says('fix', REAR, '--write');
      assert.equal(
        said.split('\n').slice(0, 3).join('\n'),
        [
          'Line 4, byte 7: 88 → A8 (line sum)',
          'Line 17, byte 6: 5C → 3C (balance)',
          'Line 17, byte 7: 75 → 55 (line sum)',
        ].join('\n'),
      );
      write(REAR, demoFile(REAR));
      const { edits, left, unchecked, guarded, unique, fewest } = await json('fix', REAR);
      assert.deepEqual(edits[1], { label: '17', byte: 6, before: '5C', after: '3C', reason: 'balance' });
      assert.deepEqual([left, unchecked, guarded, typeof unique, typeof fewest], [[], [], [], 'boolean', 'boolean']);
    });

    it('name addresses of an image, but for sums of its records', async () => {
      const profile = {
        format: 1,
        addresses: { from: 0x10, to: 0x13 },
        options: [{ id: 'fog', title: 'Fog', address: 0x11, values: { 2: 'no', 3: 'yes' } }],
        totals: [{ name: 'sum', method: 'add', bits: 8, over: [{ from: 0x10, to: 0x12 }], address: 0x13 }],
      };
      write('i.dump-profile.json', JSON.stringify(profile));
      write('a.hex', '; @profile i.dump-profile.json\n:0400100001020306E0\n:00000001FF\n');
      assert.match(await says('set', 'a.hex', 'fog=yes', '--out', 'b.hex'), /^Address 0011: 02 → 03 \(option\)$/m);
      write('torn.hex', '; @profile i.dump-profile.json\n:0400100001020306E1\n:00000001FF\n');
      assert.match(
        await says('fix', 'torn.hex', '--out', 'b.hex', '--force'),
        /^Record at 0010: E1 → E0 \(line sum\)$/m,
      );
      const { edits } = await json('set', 'a.hex', 'fog=yes');
      assert.deepEqual(
        edits.map(({ address, reason }: { address?: string; reason: string }) => [address, reason]),
        [
          ['0011', 'option'],
          [undefined, 'line-sum'],
          ['0013', 'total'],
        ],
      );
    });

    it('right sums as they are told to, and refuse what is no value and no option', async () => {
      assert.match(await says('fix', REAR, '--retotal'), /^total: 21 D2$|total: /m);
      assert.notEqual((await run('fix', REAR, '--retotal')).text, (await run('fix', REAR)).text);
      assert.match((await run('fix', REAR, '--balance', '16')).text, /^16: .. .. .. .. {2}.. (?!30)/m);
      await refused(/99/, 'fix', REAR, '--balance', '99');
      await refused(/^"tailgate" has no value: OPTION=VALUE is wanted\.$/, 'set', REAR, 'tailgate');
      await refused(/^"=x" has no value: OPTION=VALUE is wanted\.$/, 'set', REAR, '=x');
      await refused(/^rear-body\.cfgdump: .* Nothing was changed\.$/, 'set', REAR, 'tailgat=by hand');
      await refused(/Nothing was changed\.$/, 'set', REAR, 'tailgate=a=b');
    });

    it('take one way of righting sums, and one place to write', async () => {
      for (const command of ['fix', 'set'])
        for (const [one, other, ...words] of [
          ['balance', 'retotal', '--balance', '3', '--retotal'],
          ['balance', 'lines', '--balance', '3', '--lines'],
          ['retotal', 'lines', '--retotal', '--lines'],
          ['write', 'out', '--write', '--out', 'x.cfgdump'],
        ] as const)
          await refused(new RegExp(`^Give "--${one}" or "--${other}", not both\\.$`), command, REAR, 'a=b', ...words);
    });

    it('say beside the answer what is left and how sure it is, and are for scripts what they are for people', async () => {
      assert.match((await run('fix', REAR)).notes, /rear-body\.cfgdump: balanced by one byte; this is one way/);
      assert.match((await run('fix', REAR, '--lines')).notes, /rear-body\.cfgdump: The file sum/);
      write('bare.cfgdump', RIGHT.replace(/^total.*\n/m, ''));
      const bare = await run('fix', 'bare.cfgdump', '--lines', '--write');
      assert.match(bare.text, /bare\.cfgdump: nothing to change, and yet not all sums are known to be right$/m);
      assert.match(bare.notes, /bare\.cfgdump: /);
      write('few.cfgdump', '@profile few.dump-profile.json\n1: 00\n');
      write('few.dump-profile.json', JSON.stringify({ format: 1, lines: { from: 1, to: 1, data: 1, sum: 0 } }));
      assert.match(
        (await run('fix', 'few.cfgdump')).notes,
        /few\.cfgdump: its profile describes no sum, so none was checked/,
      );
      const keys = async (...words: readonly string[]) => Object.keys(await json('fix', ...words)).sort();
      assert.deepEqual(await keys(REAR), [
        'cautions',
        'copies',
        'edits',
        'fewest',
        'file',
        'guarded',
        'left',
        'text',
        'unchecked',
        'unique',
      ]);
      assert.deepEqual(await keys(REAR, '--retotal'), [
        'cautions',
        'copies',
        'edits',
        'file',
        'guarded',
        'left',
        'text',
        'unchecked',
      ]);
    });

    it('go by whether the file itself is written: a sealed one never is, what is made of it may be', async () => {
      assert.equal((await run('set', FOUND, 'trailer-stability=off', '--out', 'new.cfgdump')).status, 0);
      await refused(/sealed|seal/i, 'set', FOUND, 'tailgate=by hand', '--write');
    });

    it('call no problem a changed byte but one that no work changes', async () => {
      write(
        'fog.cfgdump',
        RIGHT.replace('08 03 21 7F  00 FF | A8', '08 03 20 7F  00 FF | A7').replace('21 B2', '21 B1'),
      );
      const fog = await json('fix', 'fog.cfgdump', '--lines');
      assert.deepEqual(fog.guarded, []);
      write(PROFILE, demoFile(PROFILE).replace('"hazard": "braking"', '"hazard": "security"'));
      write(
        'key.cfgdump',
        RIGHT.replace('00 10 9C 08  00 20 | D3', '01 10 9C 08  00 20 | D4').replace('21 B2', '21 B3'),
      );
      const key = await json('fix', 'key.cfgdump');
      assert.match(key.guarded.join(), /security/);
      assert.match((await run('fix', 'key.cfgdump')).notes, /key\.cfgdump: .*security/);
    });

    it('name what a person may accept, and take it', async () => {
      const broken = ['set', REAR, 'rear-fog-cutout=no'] as const;
      await refused(/To accept it: --despite rear-fog-cutout\. Nothing was changed\.$/, ...broken);
      assert.notEqual((await run(...broken, '--despite', 'rear-fog-cutout')).status, 2);
      await refused(/nothing to accept/, 'set', REAR, 'tailgate=by hand', '--despite', 'tailgate');
      write(PROFILE, demoFile(PROFILE).replace('"lines":', '"appliesTo": { "part": ["RB-*"] }, "lines":'));
      write(REAR, demoFile(REAR).replace(/^@part.*\n/m, ''));
      await refused(/To confirm it: --unconfirmed\. Nothing was changed\.$/, 'fix', REAR);
      assert.notEqual((await run('fix', REAR, '--unconfirmed')).status, 2);
    });

    it('say that nothing is to be changed, and whether all sums are right', async () => {
      write('right.cfgdump', RIGHT);
      assert.match(
        await says('fix', 'right.cfgdump', '--write'),
        /^right\.cfgdump: all sums are right, nothing to change$/m,
      );
      write('bare.cfgdump', RIGHT.replace(/^total.*\n/m, ''));
      const { status } = await run('fix', 'bare.cfgdump', '--lines', '--write');
      assert.notEqual(status, 0);
    });

    it('name locked bytes that are not as in the backup, whatever the sums are', async () => {
      write(
        'locked.cfgdump',
        RIGHT.replace('06 F4 20 41  00 01 | 57', '06 F4 20 41  00 02 | 58').replace('21 B2', '21 B3'),
      );
      const { guarded } = await json('fix', 'locked.cfgdump');
      assert.match(guarded.join(), /line 1.*locked|locked.*line 1/i);
      assert.equal((await run('fix', 'locked.cfgdump')).status, 1);
    });
  });

  describe('verify', () => {
    it('is refused where one of the two holds nothing that can be read', async () => {
      write('plan.cfgdump', RIGHT);
      write('empty.cfgdump', '@vin x\n');
      await refused(/empty\.cfgdump/, 'verify', 'plan.cfgdump', 'empty.cfgdump');
      await refused(/empty\.cfgdump/, 'verify', 'empty.cfgdump', 'plan.cfgdump');
    });
  });

  describe('use-profile', () => {
    const BARE = RIGHT.replace(/^@.*\n/gm, '');

    it('names the profile in each dump that it explains as a whole, and says why in no other', async () => {
      for (const name of ['one.cfgdump', 'two.cfgdump']) write(name, BARE);
      write('torn.cfgdump', BARE.replace(' 9: 00 00', ' 9: 00 0'));
      const dumps = ['one.cfgdump', 'two.cfgdump', 'torn.cfgdump', REAR];
      const before = files();
      const { named, left } = await json('use-profile', PROFILE, ...dumps);
      assert.deepEqual(files(), before);
      const names = (all: readonly unknown[]) => all.map((one) => withoutFolder(String(one)));
      assert.deepEqual(names(named), ['one.cfgdump', 'two.cfgdump']);
      assert.deepEqual(names(left.map(({ file }: { file: string }) => file)), ['torn.cfgdump', REAR]);
      assert.match(
        await says('use-profile', PROFILE, 'one.cfgdump'),
        /^one\.cfgdump may name rear-body\.dump-profile/m,
      );
      assert.match(
        await says('use-profile', PROFILE, ...dumps, '--write'),
        /^one\.cfgdump names rear-body[\s\S]*torn\.cfgdump stays/m,
      );
      for (const name of ['one.cfgdump', 'two.cfgdump'])
        assert.match(read(name), /^@profile rear-body\.dump-profile\.json$/m);
      assert.deepEqual(
        [files().get('torn.cfgdump'), files().get(REAR)],
        [before.get('torn.cfgdump'), before.get(REAR)],
      );
      write('three.cfgdump', BARE);
      assert.equal((await run('use-profile', PROFILE, 'three.cfgdump', 'torn.cfgdump')).status, 0);
      assert.equal((await run('use-profile', PROFILE, 'torn.cfgdump')).status, 1);
      assert.equal((await run('use-profile', PROFILE, 'one.cfgdump')).status, 1);
      await refused(/Use: countersum use-profile PROFILE FILE…/, 'use-profile', PROFILE);
      await refused(/gone\.dump-profile\.json cannot be read/, 'use-profile', 'gone.dump-profile.json', 'two.cfgdump');
      write('raw.bin', Uint8Array.of(1));
      assert.match((await run('use-profile', PROFILE, 'raw.bin')).notes, /stays as it is/);
    });
  });

  describe('card and record', () => {
    it('are of every pair of dumps, with what a retrofit says of each module', async () => {
      write('plan.cfgdump', RIGHT);
      const pairs = [FOUND, 'plan.cfgdump', 'cluster.as-found.cfgdump', CLUSTER];
      const { text } = await run('card', ...pairs, '--retrofit', RETROFIT);
      const alone = await run('card', FOUND, 'plan.cfgdump');
      assert.ok(text.length > alone.text.length);
      for (const { check } of JSON.parse(demoFile(RETROFIT)).before.slice(2)) assert.ok(text.includes(check), check);
      assert.match(text, /cluster/);
      const scripts = await json('card', FOUND, 'plan.cfgdump');
      assert.match(scripts.text, /^# /);
    });

    it('are for scripts the page too, and name each retrofit of the folder', async () => {
      const { text } = await runCommand(['record', root(), '--json']);
      assert.ok(JSON.parse(text).text.includes(JSON.parse(demoFile(RETROFIT)).title));
      assert.ok(JSON.parse(text).text.includes(RETROFIT));
    });
  });

  describe('restore', () => {
    it('brings back the lines that are named, and says how many still differ', async () => {
      write(REAR, RIGHT.replace('7F 7F 08 58  00 00 | 5F', '7F 7F 08 59  00 00 | 60'));
      const { lines, left } = await json('restore', REAR, '7');
      assert.deepEqual([lines, left], [['7'], 2]);
      assert.match(
        await says('restore', REAR, '7', '07', '--write'),
        /^rear-body\.cfgdump: lines as in the backup again: 1; lines that still differ: 2$/m,
      );
      assert.match(read(REAR), /^ 7: 7F 7F 08 58/m);
      const other = await says('restore', REAR, '--out', 'back.cfgdump');
      assert.match(other, /^back\.cfgdump: every byte is as in the backup$/m);
      assert.doesNotMatch(other, /^rear-body\.cfgdump: every byte/m);
      assert.match(await says('restore', REAR, '--write'), /^rear-body\.cfgdump: every byte is as in the backup$/m);
      assert.equal((await run('restore', REAR)).status, 0);
      await refused(/Nothing was changed\.$/, 'restore', FOUND);
    });

    it('says what stays wrong of the sums where one was wrong before, and status 1', async () => {
      write(
        REAR,
        RIGHT.replace('7F 7F 08 58  00 00 | 5F', '7F 7F 08 59  00 00 | 60').replace(
          '10: 00 6E 21 20  5D C4 | D4',
          '10: 00 6F 21 20  5D C4 | D5',
        ),
      );
      const { status, notes } = await run('restore', REAR, '7');
      assert.equal(status, 1);
      assert.match(notes, /rear-body\.cfgdump: The file sum is .* too little\.$/m);
      const { wrongSums } = await json('restore', REAR, '7');
      assert.equal(wrongSums.length, 1);
    });
  });

  describe('restore of lines by their names', () => {
    const record = (address: string, byte: string, last = '04') => {
      const body = `04${address}000102${byte}${last}`;
      const sum = (body.match(/../g) ?? []).reduce((all, pair) => all + Number.parseInt(pair, 16), 0);
      return `:${body}${((256 - (sum % 256)) % 256).toString(16).toUpperCase().padStart(2, '0')}\n`;
    };
    const END = ':00000001FF\n';
    const image = (name: string, head: string, ...records: readonly string[]) => {
      const text = `; @profile i.dump-profile.json\n${head}${records.join('')}${END}`;
      const seal = sealOf(bindText(name, text, readProfile(JSON.stringify(IMAGE)).profile));
      write(name, head === '' ? `; @seal ${seal}\n${text}` : text);
    };
    const IMAGE = { format: 1, addresses: { from: 0x1000, to: 0x1007 } };
    beforeEach(() => {
      write('i.dump-profile.json', JSON.stringify(IMAGE));
      image('old.hex', '', record('1000', '03'), record('1004', '03'));
      image('new.hex', '; @backup old.hex\n', record('1000', '05'), record('1004', '07'));
    });

    it('corrects the sum of the record that holds a file sum which follows', async () => {
      const over = [{ from: 0x1000, to: 0x1003 }];
      const total = { name: 'file sum', method: 'xor', bits: 8, over, address: 0x1007 };
      write('i.dump-profile.json', JSON.stringify({ ...IMAGE, totals: [total] }));
      image('old.hex', '', record('1000', '03'), record('1004', '03'));
      image('new.hex', '; @backup old.hex\n', record('1000', '05'), record('1004', '07', '02'));
      await says('restore', 'new.hex', '1000', '--write');
      assert.equal(
        read('new.hex').split('\n').slice(2, 4).join('\n'),
        `${record('1000', '03')}${record('1004', '07')}`.trim(),
      );
      assert.equal((await run('check', 'new.hex')).status, 0);
    });

    it('takes a line of an image by its address, as people write it, and no other', async () => {
      for (const line of ['1004', '0x1004', '0X1004', '01004']) {
        const made = await run('restore', 'new.hex', line, '--json');
        assert.equal(made.notes, '', line);
        const { lines, left } = JSON.parse(made.text);
        assert.deepEqual([lines, left], [['1004'], 1], line);
      }
      for (const line of ['1005', '4100', '0x', 'x1004', '1004h', '-1004'])
        await refused(/there is no line|needs? |no option/, 'restore', 'new.hex', line);
      image('new.hex', '; @backup old.hex\n', record('1000', '05'), record('1004', '03'));
      await refused(/line 0x1004 does not differ from the backup/, 'restore', 'new.hex', '0x1004');
    });

    it('takes a line by its label or a number that is the same, wherever it is', async () => {
      write(REAR, RIGHT);
      for (const line of ['4', '04', '0x4', '0x04']) {
        const { status, notes } = await run('restore', REAR, line);
        assert.ok(status === 0 || /there is no line/.test(notes), `${line}: ${notes}`);
      }
      const total = await run('restore', REAR, 'total');
      assert.equal(total.status, 2);
      assert.doesNotMatch(total.notes, /there is no line/);
      await refused(/there is no line tota/, 'restore', REAR, 'tota');
      await refused(/line 5 does not differ/, 'restore', REAR, '4', '5');
    });

    it('takes a line that only the dump or only its backup has, and a total by its word', async () => {
      write(REAR, `${RIGHT.replace(/^ 4: .*\n/m, '')}99: 00 00 00 00  00 00 | 00\n`);
      for (const line of ['4', '99']) {
        const { notes } = await run('restore', REAR, line);
        assert.doesNotMatch(notes, /there is no line|does not differ/, line);
      }
    });

    it('takes a line of several numbers however a person joins them', async () => {
      write(
        'two.dump-profile.json',
        JSON.stringify({ format: 1, lines: { from: '1-10', to: '1-11', data: 1, sum: 0 } }),
      );
      const text = '@profile two.dump-profile.json\n1-10: 01\n1-11: 02\n';
      const seal = sealOf(bindText('old.cfgdump', text, readProfile(read('two.dump-profile.json')).profile));
      write('old.cfgdump', `@seal ${seal}\n${text}`);
      write('two.cfgdump', text.replace('1-10: 01', '@backup old.cfgdump\n1-10: 05'));
      for (const line of ['1-10', '1.10', '1/10', '01-10', '1-0xA']) {
        const { text, notes } = await runCommand(['restore', path('two.cfgdump'), line, '--json']);
        assert.equal(notes, '', line);
        assert.deepEqual(JSON.parse(text).lines, ['1-10'], line);
      }
      await refused(/there is no line 110/, 'restore', 'two.cfgdump', '110');
      await refused(/line 1\/11 does not differ/, 'restore', 'two.cfgdump', '1/11');
    });

    it('never says that all is as in the backup while a line differs and something else as well', async () => {
      const start = (at: string, sum: string) => `:04000005000010${at}${sum}\n`;
      image('old.hex', '', record('1000', '03'), record('1004', '03'), start('00', 'E7'));
      image('new.hex', '; @backup old.hex\n', record('1000', '05'), record('1004', '07'), start('04', 'E3'));
      const { text, notes } = await run('restore', 'new.hex', '1000', '--out', 'made.hex');
      assert.match(text, /lines as in the backup again: 1; lines that still differ: 1\n.*start address still/, notes);
    });

    it('names the line that changes with the one that was named, as its copy, and none where all were meant', async () => {
      const copies = [{ name: 'c', place: { address: '0x00', length: 8 }, at: ['0x20'] }];
      const profile = JSON.stringify({ format: 1, addresses: { from: 0, to: 0x2f }, copies });
      write('c.dump-profile.json', profile);
      const rows = (third: string) =>
        [third, '00', third]
          .map((byte, row) => `0x${row}0: 00 00 ${byte} ${Array(13).fill('00').join(' ')}\n`)
          .join('');
      const text = `@profile c.dump-profile.json\n${rows('01')}`;
      write('old.cfgdump', `@seal ${sealOf(bindText('old.cfgdump', text, readProfile(profile).profile))}\n${text}`);
      write('new.cfgdump', `@backup old.cfgdump\n@profile c.dump-profile.json\n${rows('02')}`);
      const one = await run('restore', 'new.cfgdump', '0000', '--out', 'one.cfgdump');
      assert.match(one.text, /^Changed with them, as copies or sums: 0020$/m, one.notes);
      const all = await run('restore', 'new.cfgdump', '--out', 'all.cfgdump');
      assert.equal(all.status, 0, all.notes);
      assert.doesNotMatch(all.text, /Changed with them/);
      assert.match(read('all.cfgdump'), /^0x20: 00 00 01/m);
    });

    it('writes the file itself or another one, not both', async () => {
      await refused(/^Give "--write" or "--out", not both\.$/, 'restore', REAR, '--write', '--out', 'x.cfgdump');
    });

    it('ends with status 1 where all was meant and something still differs, which it names', async () => {
      const start = (at: string, sum: string) => `:04000005000010${at}${sum}\n`;
      image('old.hex', '', record('1000', '03'), record('1004', '03'), start('00', 'E7'));
      image('new.hex', '; @backup old.hex\n', record('1000', '05'), record('1004', '03'), start('04', 'E3'));
      const all = await run('restore', 'new.hex', '--out', 'made.hex');
      assert.equal(all.status, 1, all.notes);
      assert.match(
        all.text,
        /lines as in the backup again: 1; lines that still differ: 0\n.*start address still differs/,
      );
      assert.equal((await run('restore', 'new.hex', '1000')).status, 0);
      assert.equal((await run('restore', REAR)).status, 0);
    });
  });

  describe('compare', () => {
    it('tells scripts where an image begins elsewhere, what was not read, and addresses of its bytes', async () => {
      const start = (at: string, sum: string) => `:04000005${at}${sum}\n:040010000102030FD7\n:00000001FF\n`;
      write('a.hex', start('00000010', 'E7'));
      write('b.hex', start('00000014', 'E3'));
      assert.ok((await json('compare', 'a.hex', 'b.hex')).start !== undefined);
      assert.equal((await json('compare', 'a.hex', 'a.hex')).start, undefined);
      write('c.hex', start('00000010', 'E7').replace('030FD7', '0410D5'));
      const { lines, unread } = await json('compare', 'a.hex', 'c.hex');
      assert.deepEqual(
        lines
          .flatMap(({ bytes }: { bytes: readonly { address: string }[] }) => bytes.map(({ address }) => address))
          .slice(0, 2),
        ['0012', '0013'],
      );
      assert.deepEqual(
        unread.filter(({ side }: { side: string }) => side !== 'profile'),
        [],
      );
      write('torn.cfgdump', RIGHT.replace(' 9: 00 00', ' 9: 00 0'));
      const torn = await json('compare', FOUND, 'torn.cfgdump');
      assert.equal(torn.unread[0].side, 'after');
      assert.match(torn.unread[0].why, /row|Line|line/);
    });
  });

  describe('plan', () => {
    it('writes a module in which it changes a single place', async () => {
      const options = [{ id: 'a', title: 'A', line: 1, byte: 1, values: { 0: 'no', 1: 'yes' } }];
      const profile = JSON.stringify({ format: 1, lines: { from: 1, to: 1, data: 1, sum: 0 }, options });
      const text = '@profile p.dump-profile.json\n@vin 0DEM0T4X5TA020418\n1: 00\n';
      write('p.dump-profile.json', profile);
      write('old.cfgdump', `@seal ${sealOf(bindText('old.cfgdump', text, readProfile(profile).profile))}\n${text}`);
      write('now.cfgdump', `@backup old.cfgdump\n${text}`);
      const change = { profile: 'p.dump-profile.json', set: { a: 'yes' } };
      write('a.retrofit.json', JSON.stringify({ format: 1, title: 'A', changes: [change] }));
      const { status, text: said, notes } = await run('plan', 'a.retrofit.json', 'now.cfgdump', '--write');
      assert.deepEqual([status, said.trimEnd()], [0, 'now.cfgdump: set as planned (bytes changed: 1)'], notes);
      assert.match(read('now.cfgdump'), /^1: 01$/m);
    });

    const rearAlone = (more = '') =>
      JSON.stringify({
        format: 1,
        title: 'Socket',
        changes: [
          { profile: PROFILE, set: { 'trailer-socket': '13-pin' } },
          ...(more === '' ? [] : [JSON.parse(more)]),
        ],
      });

    it('writes all modules or none, and says how many bytes changed in each', async () => {
      const said = await says('plan', RETROFIT, '--write');
      assert.match(said, /^rear-body\.cfgdump: set as planned \(bytes changed: 3\)$/m);
      assert.match(said, /^cluster\.cfgdump: set as planned \(bytes changed: \d+\)$/m);
      assert.equal(read(REAR), RIGHT);
      const again = await says('plan', RETROFIT, '--write');
      assert.match(again, /^rear-body\.cfgdump: all is as planned already$/m);
      for (const name of [REAR, CLUSTER]) write(name, demoFile(name));
      write(CLUSTER, demoFile(CLUSTER).replace(/^@backup.*\n/m, ''));
      await refused(/cluster\.cfgdump: .* Nothing was changed in any module\.$/, 'plan', RETROFIT, '--write');
      assert.equal((await run('plan', RETROFIT)).status, 1);
    });

    it('is a page, or JSON, that says whether it can be done', async () => {
      const possible = await json('plan', RETROFIT);
      assert.deepEqual([possible.possible, possible.vehicle, possible.modules.length], [true, '0DEM0T4X5TA020418', 2]);
      assert.equal(possible.modules[0].edits.length, 3);
      assert.match((await run('plan', RETROFIT)).text, /^# Plan: 13-pin trailer socket \(demo\)$/m);
      const missing = await json('plan', RETROFIT, REAR);
      assert.deepEqual([missing.possible, missing.refusals[0].module], [false, 'cluster.dump-profile.json']);
      await refused(/Use: countersum plan RETROFIT/, 'plan', '-');
      await refused(/gone\.retrofit\.json cannot be read/, 'plan', 'gone.retrofit.json');
    });

    it('is not called possible where its modules cannot be written together, or one of them by itself, which alone is named then', async () => {
      mkdirSync(path('.car'));
      write(`.car/${CLUSTER}`, demoFile(CLUSTER).replace(/^@(profile|backup) /gm, '@$1 ../'));
      rmSync(path(CLUSTER));
      const words = [RETROFIT, REAR, `.car/${CLUSTER}`] as const;
      const refusals = async () => {
        const { possible, refusals } = await json('plan', ...words);
        assert.equal(possible, false);
        return refusals.map(({ module, why }: { module: string; why: string }) => `${module}: ${withoutFolder(why)}`);
      };
      const together = 'The modules of one plan must be in one folder, or in folders below it that are not hidden.';
      assert.deepEqual(await refusals(), [`${REAR}, ${CLUSTER}: ${together}`]);
      await refused(/must be in one folder/, 'plan', ...words, '--write');
      chmodSync(path(REAR), 0o444);
      assert.deepEqual(await refusals(), [`${REAR}: ${REAR} is read-only, and stays as it is.`]);
      chmodSync(path(`.car/${CLUSTER}`), 0o444);
      assert.equal((await refusals()).length, 2);
      chmodSync(path(REAR), 0o644);
      assert.deepEqual(await refusals(), [`${CLUSTER}: .car/${CLUSTER} is read-only, and stays as it is.`]);
    });

    it('says of each dump that is named why it was left aside, and of one beside it nothing', async () => {
      write('small.retrofit.json', rearAlone());
      write('bare.cfgdump', '1: 00\n');
      write(
        'other.cfgdump',
        RIGHT.replace('TA020418', 'TA020419').replace('2041\n', '2042\n').replace('rear-body.dump', 'cluster.dump'),
      );
      const named = (await json('plan', 'small.retrofit.json', REAR, FOUND, CLUSTER, 'other.cfgdump')).aside;
      const why = Object.fromEntries(named.map((one: { file: string; why: string }) => [one.file, one.why]));
      assert.deepEqual(why, {
        [FOUND]: 'It is sealed, so nothing is planned in it.',
        [CLUSTER]: 'The retrofit changes nothing in it.',
        'other.cfgdump': 'It is of another vehicle.',
      });
      const bare = await json('plan', 'small.retrofit.json', REAR, 'bare.cfgdump');
      assert.match(
        bare.refusals[0].why,
        /^bare\.cfgdump may be another dump of this module\. .* It names no profile\.$/,
      );
      rmSync(path('bare.cfgdump'));
      assert.deepEqual((await json('plan', 'small.retrofit.json')).aside, []);
      assert.match(
        (await run('plan', 'small.retrofit.json', REAR, FOUND, '--write')).notes,
        /rear-body\.as-found\.cfgdump was left aside\. It is sealed/,
      );
    });

    it('takes only what is to be accepted, and tells of readings that gave way to a dump in work', async () => {
      assert.match((await json('plan', RETROFIT, '--despite', 'tailgate')).refusals[0].why, /nothing to accept/);
      write('read.cfgdump', demoFile(FOUND).replace(/^@seal.*\n/m, ''));
      const { aside } = await json('plan', RETROFIT);
      assert.deepEqual(
        aside.map(({ file }: { file: string }) => file),
        ['read.cfgdump'],
      );
      assert.doesNotMatch((await run('plan', RETROFIT)).notes, /was left aside/);
      assert.match((await run('plan', RETROFIT, '--write')).notes, /^read\.cfgdump was left aside\./m);
    });

    it('settles what a plan before it has left half done beside the retrofit', async () => {
      write(REAR, RIGHT);
      const before = demoFile(CLUSTER);
      const after = before.replace('0800 0210 3800 | 60', '0800 1210 3800 | 50').replace('0A BB', 'FA BA');
      const modules = [
        { file: REAR, before: demoFile(REAR), after: RIGHT },
        { file: CLUSTER, before, after: after === before ? `${before} ` : after },
      ];
      write(JOURNAL_NAME, JSON.stringify({ format: 1, host: thisMachine().host, pid: 2 ** 30, modules }));
      const { notes } = await run('plan', RETROFIT);
      assert.match(notes, /The next command that writes there settles it first/);
    });

    it('is for one vehicle: of several, one is to be named', async () => {
      write('small.retrofit.json', rearAlone());
      write('other.cfgdump', RIGHT.replace('TA020418', 'TA020419').replace('2041\n', '2042\n'));
      await refused(
        /^The dumps are of several vehicles: (?:.*TA020418\), .*TA020419\)|.*TA020419\), .*TA020418\))/,
        'plan',
        'small.retrofit.json',
      );
      assert.equal((await run('plan', 'small.retrofit.json', REAR)).status, 0);
    });
  });
});
