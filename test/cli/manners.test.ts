import assert from 'node:assert/strict';
import { mkdirSync, readFileSync, rmSync, symlinkSync } from 'node:fs';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';

const REAR = 'rear-body.cfgdump';
const FOUND = 'rear-body.as-found.cfgdump';

describe('the manners of the command line', () => {
  const { call, callWith, shell, read, write, path, names } = bench();

  /** Refused with status 2, one line, and nothing on standard output. */
  function refused(args: readonly string[], words: RegExp): void {
    const { status, stdout, stderr } = call(...args);
    assert.deepEqual([status, stdout], [2, ''], `${args.join(' ')}: ${stderr}`);
    assert.match(stderr, words);
    assert.equal(stderr.trimEnd().split('\n').length, 1, stderr);
  }

  describe('each command takes its own options only', () => {
    for (const [args, words] of [
      [['check', REAR, '--write'], /"check" has no option "--write"/],
      [['check', REAR, '--with', 'a'], /"check" has no option "--with"/],
      [['check', REAR, '--balance', '3'], /"check" has no option "--balance"/],
      [['compare', FOUND, REAR, '--out', 'x'], /"compare" has no option "--out"/],
      [['verify', FOUND, REAR, '--write'], /"verify" has no option "--write"/],
      [['plan', 'trailer-socket.retrofit.json', '--profile', 'x'], /"plan" has no option "--profile"/],
      [['convert', REAR, '--to', 'intel-hex', '--write'], /"convert" has no option "--write"/],
      [['learn', REAR, '--retotal'], /"learn" has no option "--retotal"/],
      [['fix', REAR, '--despite', 'x'], /"fix" has no option "--despite"/],
      [['check', REAR, '--profil', 'x'], /"check" has no option "--profil"; "--profile" is probably meant/],
      [['set', REAR, 'trailer-socket=none', '--wirte'], /"set" has no option "--wirte"; "--write" is probably meant/],
      [['check', REAR, '--constructor'], /"check" has no option "--constructor"/],
      [['check', REAR, '--__proto__=1'], /"check" has no option "--__proto__"/],
      [['check', REAR, '-w'], /"check" has no option "-w"/],
    ] as const)
      it(args.join(' '), () => refused(args, words));
  });

  describe('an option is given as it is declared', () => {
    for (const [args, words] of [
      [['fix', REAR, '--out'], /"--out" needs a value: --out FILE/],
      [['fix', REAR, '--out', '--json'], /"--out" needs a value: --out FILE/],
      [['fix', REAR, '--out='], /"--out" needs a value: --out FILE/],
      [['fix', REAR, '--out', ''], /"--out" needs a value: --out FILE/],
      [['fix', REAR, '--write=yes'], /"--write" takes no value/],
      [['fix', REAR, '--out', 'a', '--out', 'b'], /"--out" is given twice/],
      [['check', REAR, '--profile', 'a', '--profile=b'], /"--profile" is given twice/],
      [['convert', REAR, '--to', 'intelhex'], /"--to": .*dump-text, intel-hex, s-record/],
      [['convert', REAR, '--to', 'intel-hex', '--width', '0'], /"--width": .* from 1 to 250/],
      [['convert', REAR, '--to', 'intel-hex', '--width', '1e1'], /"--width": .* from 1 to 250/],
      [['fix', REAR, '--lines', '--retotal'], /"--retotal" or "--lines", not both/],
      [['fix', REAR, '--balance', '3', '--retotal'], /"--balance" or "--retotal", not both/],
      [['fix', REAR, '--write', '--out', 'x'], /"--write" or "--out", not both/],
    ] as const)
      it(args.join(' '), () => refused(args, words));

    it('a value may begin with a dash after "=", and a switch may be repeated', () => {
      assert.equal(call('fix', REAR, '--out=-odd.cfgdump', '--json', '--json').status, 0);
      assert.ok(names().includes('-odd.cfgdump'));
    });

    it('"--" ends the options', () => {
      write('--json', read(FOUND));
      const { status, stdout } = call('check', '--', '--json');
      assert.deepEqual([status, /^\{/.test(stdout)], [0, false]);
      refused(['check', '--json', '--'], /Use: countersum check FILE…/);
      // Before it they ask for help, behind it they name a file.
      assert.match(call('check', '--help', '--', 'x').stdout, /^Use: countersum check FILE…/);
      write('--help', read(FOUND));
      assert.doesNotMatch(call('check', '--', '--help').stdout, /Use:/);
    });
  });

  describe('a command gets what it asks for', () => {
    for (const [args, words] of [
      [['check'], /Use: countersum check FILE…/],
      [['fix'], /Use: countersum fix FILE/],
      [['fix', REAR, FOUND], /Use: countersum fix FILE/],
      [['set', REAR], /Use: countersum set FILE OPTION=VALUE…/],
      [['compare', REAR], /Use: countersum compare BEFORE AFTER/],
      [['verify', REAR], /Use: countersum verify PLANNED READBACK/],
      [['record'], /Use: countersum record FOLDER/],
      [['record', '.', '.'], /Use: countersum record FOLDER/],
      [['plan'], /Use: countersum plan RETROFIT/],
      [['card', REAR], /Use: countersum card BEFORE AFTER/],
      [['learn'], /Use: countersum learn FILE…/],
      [['convert', REAR], /"--to" is missing/],
      [['check', ''], /name of a file is empty/],
      [['serve'], /countersum serve --stdio/],
      [['share', '-', '--out', 'copies'], /Standard input has no name for a copy/],
    ] as const)
      it(args.join(' ') || 'nothing', () => refused(args, words));
  });

  it('--version is that of the package', () => {
    const { status, stdout } = call('--version');
    const { version } = JSON.parse(readFileSync('package.json', 'utf8'));
    assert.deepEqual([status, stdout], [0, `countersum ${version}\n`]);
  });

  it('options before the name of a command are those behind it', () => {
    assert.equal(call('--json', 'check', FOUND).stdout, call('check', FOUND, '--json').stdout);
    assert.equal(call('--help', 'check').stdout, call('check', '--help').stdout);
    assert.equal(call('--version', 'check', 'gone').stdout, call('--version').stdout);
    refused(['check', FOUND, '--version'], /"check" has no option "--version"/);
    refused(['--write', 'check', FOUND], /"check" has no option "--write"/);
    refused(['--json'], /No command was given/);
  });

  it('what is no command has no help, and one word of two has that of its family alone', () => {
    refused(['frobnicate', '--help'], /There is no command "frobnicate"/);
    refused(['frobnicate', 'check', '--help'], /There is no command "frobnicate"/);
    refused(['profile', 'check', REAR], /There is no command "profile"/);
    const named = [...call('profile', '--help').stdout.matchAll(/^ {2}countersum (\S+ \S+)/gm)].map(([, name]) => name);
    const family = ['profile list', 'profile test', 'profile export', 'profile import', 'profile merge'];
    assert.deepEqual(named, [...family, 'COMMAND --help']);
  });

  it('--help names every command, and of one command every option', () => {
    const { status, stdout } = call('--help');
    assert.equal(status, 0);
    for (const name of ['check', 'fix', 'set', 'compare', 'plan', 'card', 'verify', 'restore', 'record', 'convert'])
      assert.match(stdout, new RegExp(`^ {2}countersum ${name} `, 'm'));
    const commands = [...stdout.matchAll(/^ {2}countersum ([a-z][a-z-]*)/gm)].map(([, name]) => name ?? '');
    assert.ok(commands.length > 12);
    const help = call('set', '--help');
    assert.equal(help.status, 0);
    assert.match(help.stdout, /^Use: countersum set FILE OPTION=VALUE…$/m);
    const options = [...help.stdout.matchAll(/^ {2}(--[a-z]+)/gm)].map(([, name]) => name).sort();
    assert.deepEqual(options, [
      '--balance',
      '--despite',
      '--force',
      '--from',
      '--json',
      '--lines',
      '--offset',
      '--out',
      '--profile',
      '--profiles',
      '--retotal',
      '--unconfirmed',
      '--word',
      '--write',
    ]);
    assert.equal(call('-h').stdout, stdout);
    assert.equal(call('set', 'x', '-h').stdout, help.stdout);
  });

  it('ends quietly where nobody reads on', () => {
    write('big.hex', `${':10000000000102030405060708090A0B0C0D0E0F77\n'.repeat(20000)}:00000001FF\n`);
    const record = (address: number) => {
      const bytes = [1, address >> 8, address & 0xff, 0, 7];
      const sum = -bytes.reduce((total, byte) => total + byte) & 0xff;
      return `:${[...bytes, sum].map((byte) => byte.toString(16).padStart(2, '0')).join('')}\n`;
    };
    write('good.hex', `${Array.from({ length: 0x8000 }, (_, i) => record(i)).join('')}:00000001FF\n`);
    for (const command of [
      'check big.hex',
      'check big.hex --json',
      'convert good.hex --to s-record --width 1',
      'fix good.hex',
    ]) {
      const { stdout, stderr } = shell(
        `"$@" ${command} 2>errors | head -c 1 >/dev/null; echo \${PIPESTATUS[0]}; cat errors`,
      );
      // What was not checked is said beside the answer.
      const quiet = /^(?:0|141)\n(?:good\.hex: no profile explains it, [^\n]*\n)?$/;
      assert.match(stdout, quiet, `${command}: ${stdout} ${stderr}`);
    }
  });

  it('output on a full disk is status 2, in one line', () => {
    for (const command of ['check .', 'fix rear-body.cfgdump', 'convert a.hex --to s-record', '--help', '--version']) {
      write('a.hex', ':0100000000FF\n:00000001FF\n');
      const { status, stderr } = shell(`"$@" ${command} >/dev/full`);
      assert.equal(status, 2, command);
      assert.match(stderr, /^countersum: The output cannot be written: no space is left\.\n$/m);
    }
  });

  it('counts many files on a terminal alone, and leaves nothing of the count there', () => {
    mkdirSync(path('many'));
    for (let i = 0; i < 50; i++) write(`many/${i}.cfgdump`, '1: 00\n');
    const onTerminal = () => shell(`script -qec "'$1' '$2' check many" /dev/null`).stdout;
    const counted = onTerminal();
    const counts = Array.from({ length: 50 }, (_, i) => `\r${i} of 50`).join('');
    assert.ok(counted.startsWith(`${counts}\r\u001b[K`), counted.slice(0, 100));
    assert.equal(counted.match(/ of 50/g)?.length, 50);
    assert.doesNotMatch(call('check', 'many').stderr, / of 50/);
    rmSync(path('many/0.cfgdump'));
    assert.doesNotMatch(onTerminal(), / of 49/, 'so few are there at once');
  });

  it('says the same where nobody hears what goes beside the answer', () => {
    const { status, stdout } = shell(`"$@" fix ${REAR} 2>/dev/full`);
    assert.deepEqual([status, stdout], [0, call('fix', REAR).stdout]);
  });

  describe('shows control characters escaped, and in JSON as JSON has them', () => {
    const EVIL = 'Tow\u001b[31m\u0007bar\u202e\u009b5n\u007f';
    const SHOWN = 'Tow\\x1b[31m\\x07bar\\u202e\\x9b5n\\x7f';

    it('in a title of the profile', () => {
      const profile = JSON.parse(read('rear-body.dump-profile.json'));
      for (const option of profile.options) if (option.id === 'trailer-socket') option.title = `${EVIL}\nline`;
      write('rear-body.dump-profile.json', JSON.stringify(profile));
      call('set', FOUND, 'trailer-socket=13-pin', '--out', 'planned.cfgdump');
      const { stdout, stderr } = call('compare', FOUND, 'planned.cfgdump');
      assert.ok(stdout.includes(`${SHOWN}\\nline`), stdout + stderr);
      assert.doesNotMatch(stdout, /[^\P{Cc}\n]|\u202e/u);
      const { options } = JSON.parse(call('compare', FOUND, 'planned.cfgdump', '--json').stdout);
      assert.equal(options[0].title, `${EVIL}\nline`);
    });

    it('in the name of a file and in what is refused', () => {
      write('odd\u001b[2J.cfgdump', read(REAR));
      assert.match(call('check', 'odd\u001b[2J.cfgdump').stdout, /^odd\\x1b\[2J\.cfgdump:12:26: error line-sum: /m);
      const { stdout } = call('check', 'odd\u001b[2J.cfgdump', '--json');
      assert.equal(JSON.parse(stdout).files[0].file, 'odd\u001b[2J.cfgdump');
      refused(['check', 'gone\n\u001b[2J'], /gone\\n\\x1b\[2J cannot be read/);
      refused(['fix\u0007'], /fix\\x07/);
      refused(['set', FOUND, '\u001b[1m=3'], /"\\x1b\[1m"/);
    });

    it('in a dump only on a terminal, as the dump itself is what was asked for', () => {
      const text = read(FOUND)
        .replace(/^@seal.*\n/m, '')
        .replace('@part', '# \u001b[31m\n@part');
      write('odd.cfgdump', text);
      assert.equal(call('fix', 'odd.cfgdump').stdout, text);
      const { stdout } = shell(`script -qec "'$1' '$2' fix odd.cfgdump" /dev/null`);
      assert.match(stdout, /# \\x1b\[31m/);
      assert.ok(!stdout.includes('\u001b'));
    });
  });

  describe('a file is a file, and once', () => {
    it('a folder where a file is needed, and an empty folder, are status 2', () => {
      mkdirSync(path('empty'));
      for (const args of [
        ['fix', '.'],
        ['set', '.', 'a=1'],
        ['compare', '.', REAR],
        ['restore', '.'],
        ['convert', '.', '--to', 'intel-hex'],
        ['plan', '.'],
      ])
        refused(args, /it is a folder/);
      for (const args of [
        ['check', 'empty'],
        ['check', REAR, 'empty'],
        ['learn', 'empty'],
        ['find-option', '--with', REAR, '--without', 'empty'],
      ])
        refused(args, /empty: no dump was found there/);
      refused(['record', REAR], /rear-body\.cfgdump cannot be listed: it is no folder/);
    });

    it('a device is no file', () => {
      for (const device of ['/dev/zero', '/dev/null'])
        for (const args of [
          ['check', device],
          ['fix', device],
          ['learn', device],
          ['convert', device, '--to', 'dump-text'],
        ]) {
          const { status, stderr } = callWith({ timeout: 10_000 }, ...args);
          assert.equal(status, 2, args.join(' '));
          assert.match(stderr, /cannot be read: it is no regular file/);
        }
    });

    it('one file under several names is checked once', () => {
      symlinkSync(path(REAR), path('link.cfgdump'));
      mkdirSync(path('sub'));
      symlinkSync(path('.'), path('sub/up'));
      const { files } = JSON.parse(call('check', REAR, `./${REAR}`, 'link.cfgdump', `sub/up/${REAR}`, '--json').stdout);
      assert.deepEqual(
        files.map(({ file }: { file: string }) => file),
        [REAR],
      );
    });

    it('a file from a pipe is read once, and whole', () => {
      const good = ':0300300002337A1E\n:00000001FF\n';
      write('bad.hex', good.replace('1E\n', '1F\n'));
      const { status, stdout } = shell(`"$@" check <(cat bad.hex)`);
      assert.equal(status, 1, stdout);
      assert.match(stdout, /line-sum/);
      write('good.hex', good);
      assert.equal(shell(`"$@" convert <(cat good.hex) --to dump-text`).stdout, '0x0030: 02 33 7A\n');
      assert.equal(shell(`cat good.hex | "$@" compare - good.hex`).status, 0);
    });
  });

  it('what comes from a pipe goes to another file, also to one that is called as standard input is', () => {
    write('bad.hex', ':0300300002337A1F\n:00000001FF\n');
    const fixed = ':0300300002337A1E\n:00000001FF\n';
    const input = read('bad.hex');
    for (const name of ['there.cfgdump', '-']) {
      write(name, 'own');
      const { status, stderr } = shell(`"$@" fix <(cat bad.hex) --out ./${name} --force`);
      assert.deepEqual([status, read(name)], [0, fixed], stderr);
      write(name, 'own');
      assert.equal(callWith({ input }, 'fix', '-', '--out', `./${name}`).status, 2);
      assert.equal(read(name), 'own');
      const forced = callWith({ input }, 'fix', '-', '--out', `./${name}`, '--force');
      assert.deepEqual([forced.status, read(name)], [0, fixed], forced.stderr);
    }
  });

  describe('check says what it checked', () => {
    it('a profile, with the place of each problem', () => {
      const text = read('rear-body.dump-profile.json').replace('"hazard"', '"hazrad"');
      assert.notEqual(text, read('rear-body.dump-profile.json'));
      write('odd.dump-profile.json', text);
      const { status, stdout } = call('check', 'odd.dump-profile.json');
      assert.equal(status, 1);
      assert.match(stdout, /^odd\.dump-profile\.json:\d+:\d+: error profile-invalid: .*hazrad/m);
      const [file] = JSON.parse(call('check', 'odd.dump-profile.json', '--json').stdout).files;
      const row = text.split('\n').findIndex((line) => line.includes('hazrad'));
      const { line, column, endLine, endColumn } = file.problems[0];
      assert.deepEqual([line, endLine], [row + 1, row + 1]);
      assert.equal(text.split('\n')[row]?.slice(column - 1, endColumn - 1), '"hazrad"');
      assert.equal(call('check', 'rear-body.dump-profile.json', 'trailer-socket.retrofit.json').status, 0);
    });

    it('a retrofit, also against the profiles that it names', () => {
      const text = read('trailer-socket.retrofit.json').replace('"trailer-socket":', '"trailer-sockets":');
      write('odd.retrofit.json', text);
      const { status, stdout } = call('check', 'odd.retrofit.json');
      assert.equal(status, 1);
      assert.match(stdout, /^odd\.retrofit\.json:\d+:\d+: error retrofit-invalid: .*trailer-sockets/m);
      write('torn.retrofit.json', text.slice(0, 200));
      assert.match(call('check', 'torn.retrofit.json').stdout, /retrofit-unreadable/);
    });

    it('all of a folder, profiles and retrofits too', () => {
      const { files } = JSON.parse(call('check', '.', '--json').stdout);
      const checked = files.map(({ file }: { file: string }) => file);
      for (const name of names().filter((one) => /\.(?:cfgdump|dump-profile\.json|retrofit\.json)$/.test(one)))
        assert.ok(checked.includes(name), name);
    });

    it('never "all good" of a dump that no profile explains, nor of a file without a record', () => {
      write('plain.cfgdump', '1: 00 00\n');
      const { stdout } = call('check', 'plain.cfgdump');
      assert.doesNotMatch(stdout, /all good/);
      for (const text of ['', '\n', '# nothing\n', '@profile rear-body.dump-profile.json\n']) {
        write('nothing.cfgdump', text);
        const checked = call('check', 'nothing.cfgdump');
        assert.equal(checked.status, 2, JSON.stringify(text));
        assert.match(checked.stdout, /nothing\.cfgdump: .*so nothing was checked/);
        assert.doesNotMatch(checked.stdout, /all good/);
      }
    });
  });
});
