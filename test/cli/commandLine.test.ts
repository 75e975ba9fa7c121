import assert from 'node:assert/strict';
import { readdirSync } from 'node:fs';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';
import { NAMED, NAMED_TEXT } from '../support/namedLines.js';

describe('the command line', () => {
  const { callWith, folder, path, read, write, ...on } = bench();
  const call = (args: readonly string[], input?: string) =>
    input === undefined ? on.call(...args) : callWith({ input }, ...args);
  const json = (args: readonly string[]) => JSON.parse(call([...args, '--json']).stdout);

  it('check: status 0 for a good dump, 1 with problems', () => {
    assert.equal(call(['check', 'rear-body.as-found.cfgdump']).status, 0);
    assert.equal(call(['check', 'rear-body.cfgdump']).status, 1);
  });

  it('check --json: places from 1, expected and found in upper-case hex', () => {
    const { files, errors, warnings } = json(['check', 'rear-body.cfgdump']);
    assert.deepEqual([errors, warnings], [2, 0]);
    assert.deepEqual(
      [files[0].file, files[0].notation, files[0].profile],
      ['rear-body.cfgdump', 'dump-text', 'rear-body.dump-profile.json'],
    );
    const { message, ...problem } = files[0].problems[0];
    assert.match(message, /Line 4/);
    assert.deepEqual(problem, {
      code: 'line-sum',
      severity: 'error',
      label: '4',
      line: 12,
      column: 26,
      endLine: 12,
      endColumn: 28,
      expected: 'A8',
      found: '88',
    });
  });

  it('check walks folders', () => {
    assert.deepEqual(
      json(['check', '.']).files.map(({ file }: { file: string }) => file),
      readdirSync(folder())
        .filter((name) => /\.(?:cfgdump|dump-profile\.json|retrofit\.json)$/.test(name))
        .sort(),
    );
  });

  it('check holds the modules of a vehicle against each other where they lie in one folder', () => {
    const shown = read('cluster.cfgdump').replace('0210 3800 | 60', '1210 3800 | 50');
    write('cluster.cfgdump', shown);
    assert.doesNotMatch(call(['check', 'cluster.cfgdump']).stdout, /option-needs/);
    write('rear-body.cfgdump', read('rear-body.cfgdump').replace('08 03 21', '08 03 01'));
    assert.match(
      call(['check', 'cluster.cfgdump']).stdout,
      /option-needs: Trailer tell-tale "shown" needs Trailer socket at .* in rear-body\.cfgdump; it is "none" there/,
    );
  });

  it('fix rebalances kept totals, prints the text and writes nothing unless asked', () => {
    const before = read('rear-body.cfgdump');
    const { stdout, status } = call(['fix', 'rear-body.cfgdump']);
    assert.equal(status, 0);
    assert.match(stdout, /^17: 10 00 FF 00 {2}FF 3C \| 55$/m);
    assert.equal(read('rear-body.cfgdump'), before);
    assert.equal(call(['fix', 'rear-body.cfgdump', '--write']).status, 0);
    assert.equal(read('rear-body.cfgdump'), stdout);
    assert.equal(call(['check', 'rear-body.cfgdump']).status, 0);
  });

  it('fix --balance, --retotal and --lines do what they say', () => {
    const lines = (flags: readonly string[]) => {
      const before = read('rear-body.cfgdump').split('\n');
      return call(['fix', 'rear-body.cfgdump', ...flags])
        .stdout.split('\n')
        .filter((line, i) => line !== before[i]);
    };
    assert.deepEqual(lines(['--lines']), [' 4: 08 03 21 7F  00 FF | A8']);
    assert.deepEqual(lines(['--retotal']), [' 4: 08 03 21 7F  00 FF | A8', 'total: 21 D2']);
    assert.deepEqual(lines(['--balance', '14']).at(-1), '14: 00 00 14 10  A7 08 | DB');
  });

  it('fix --balance with addresses of a memory image, and says whether that is the only way', () => {
    const totals = [{ name: 'image sum', method: 'add', bits: 16, over: [{ from: 0x10, to: 0x15 }], address: '0x16' }];
    const profile = {
      format: 1,
      addresses: { from: 0x10, to: 0x17 },
      totals: totals.map((sum) => ({ ...sum, keep: true })),
    };
    write('p.dump-profile.json', JSON.stringify(profile));
    write('a.hex', ':080010000102030405060016BD\n:00000001FF\n; @profile p.dump-profile.json\n');
    const { edits, unique, fewest } = json(['fix', 'a.hex', '--balance', '0x14']);
    assert.deepEqual([unique, fewest], [true, true]);
    assert.deepEqual(edits, [
      { label: '16', byte: 5, address: '0014', before: '05', after: '06', reason: 'balance' },
      { label: '16', byte: 9, before: 'BD', after: 'BC', reason: 'line-sum' },
    ]);
    assert.match(call(['fix', 'a.hex', '--balance', '10..11']).stderr, /balanced by one byte; this is one way/);
    assert.equal(call(['fix', 'a.hex', '--balance', '16']).status, 2);
    assert.equal(call(['check', 'a.hex']).status, 1);
  });

  it('fix rights the sums of records without any profile, and nothing else', () => {
    write('a.hex', ':0100000001ff\r\n:00000001FF\r\n');
    const { status, stdout } = call(['fix', 'a.hex']);
    assert.deepEqual([status, stdout], [0, ':0100000001fe\r\n:00000001FF\r\n']);
  });

  it('set takes words, and gives each changed byte with its reason', () => {
    const { edits } = json(['set', 'rear-body.as-found.cfgdump', 'trailer-socket=13-pin']);
    assert.deepEqual(edits, [
      { label: '4', byte: 3, before: '01', after: '21', reason: 'option' },
      { label: '4', byte: 7, before: '88', after: 'A8', reason: 'line-sum' },
      { label: '17', byte: 6, before: '5C', after: '3C', reason: 'balance' },
      { label: '17', byte: 7, before: '75', after: '55', reason: 'line-sum' },
    ]);
  });

  it('fix and set never go by half a profile', () => {
    const sound = read('rear-body.as-found.cfgdump').replace(/^@seal.*\n/m, '');
    const profile = read('rear-body.dump-profile.json');
    write('sound.cfgdump', sound);
    for (const [from, to] of [
      ['"0x2041"', '"20F1"'],
      ['"from": 1, "to": 18', '"from": 19, "to": 18'],
      ['"data": 6', '"data": 0'],
    ] as const) {
      assert.ok(profile.includes(from));
      write('rear-body.dump-profile.json', profile.replace(from, to));
      for (const flags of [[], ['--lines'], ['--retotal']]) {
        for (const command of [
          ['fix', 'sound.cfgdump'],
          ['set', 'sound.cfgdump', 'trailer-socket=13-pin'],
        ]) {
          const { stdout, stderr, status } = call([...command, ...flags]);
          assert.deepEqual([status, stdout], [2, ''], `${to} ${command} ${flags}`);
          assert.match(stderr, /The profile has problems/);
        }
      }
    }
  });

  it('fix leaves what nobody can tell, and says so; set changes nothing then', () => {
    const sound = read('rear-body.as-found.cfgdump').replace(/^@seal.*\n/m, '');
    const changes: readonly (readonly [string | RegExp, string])[] = [
      ['9: 00 00', '9: 0x 00'],
      [/^total.*\n/m, ''],
      // Line 4 with the number of another: its sum is the one clue to the mistake.
      [/^ 4:/m, '14:'],
    ];
    for (const [from, to] of changes) {
      const text = sound.replace(from, to);
      assert.notEqual(text, sound);
      write('torn.cfgdump', text);
      const fixed = call(['fix', 'torn.cfgdump']);
      assert.deepEqual([fixed.status, fixed.stdout], [1, text]);
      assert.match(fixed.stderr, /The file sum (cannot be checked|is missing)/);
      const { status, stderr } = call(['set', 'torn.cfgdump', 'trailer-socket=13-pin', '--write']);
      assert.equal(status, 2);
      assert.match(stderr, /The file sum cannot be kept|its line is missing/);
      assert.equal(read('torn.cfgdump'), text);
    }
  });

  it('check: one line with a wrong number is one line out of order', () => {
    const text = read('rear-body.as-found.cfgdump').replace(/^ 4:/m, '14:');
    write('torn.cfgdump', text);
    const { problems } = json(['check', 'torn.cfgdump']).files[0];
    const order = problems.filter(({ code }: { code: string }) => code === 'line-order');
    assert.deepEqual(
      order.map(({ line }: { line: number }) => text.split('\n')[line - 1]?.slice(0, 3)),
      ['14:'],
    );
  });

  it('set wants one value for each option', () => {
    assert.match(call(['set', 'rear-body.cfgdump', 'trailer-socket']).stderr, /"trailer-socket" has no value/);
    const twice = call(['set', 'rear-body.cfgdump', 'trailer-socket=none', 'trailer-socket=13-pin']);
    assert.match(twice.stderr, /Trailer socket is given twice/);
  });

  it('compare explains each byte', () => {
    call(['set', 'rear-body.as-found.cfgdump', 'trailer-socket=7-pin', '--out', 'planned.cfgdump']);
    const result = json(['compare', 'rear-body.as-found.cfgdump', 'planned.cfgdump']);
    assert.equal(result.identical, false);
    assert.deepEqual(
      result.lines.map(({ label, bytes }: { label: string; bytes: { reason: string }[] }) => [
        label,
        bytes.map(({ reason }) => reason),
      ]),
      [
        ['4', ['option', 'line-sum']],
        ['17', ['balance', 'line-sum']],
      ],
    );
    assert.deepEqual(result.options, [
      { id: 'trailer-socket', title: 'Trailer socket', before: 'none', after: '7-pin' },
    ]);
    assert.equal(call(['compare', 'planned.cfgdump', 'planned.cfgdump']).status, 0);
  });

  it('reads standard input', () => {
    assert.equal(call(['check', '-'], read('rear-body.as-found.cfgdump')).status, 0);
  });

  describe('refuses with one line and status 2, and writes nothing', () => {
    const cases: readonly [string, readonly string[], RegExp][] = [
      ['no command', [], /No command/],
      ['an unknown command', ['frobnicate', 'x'], /no command "frobnicate"/],
      ['an unknown flag', ['check', 'rear-body.cfgdump', '--loud'], /--loud/],
      ['a file that is not there', ['check', 'gone.cfgdump'], /gone\.cfgdump cannot be read: no such file/],
      ['an unknown option', ['set', 'rear-body.cfgdump', 'trailer-sockt=1', '--write'], /is "trailer-socket" meant/],
      [
        'an unknown value',
        ['set', 'rear-body.cfgdump', 'trailer-socket=12-pin', '--write'],
        /It takes none \(0\), 7-pin \(1\), 13-pin \(2\)\./,
      ],
      [
        'a value that is too big',
        ['set', 'rear-body.cfgdump', 'trailer-socket=16', '--write'],
        /does not know what Trailer socket means with the value 0x10/,
      ],
      ['a line that is not there', ['fix', 'rear-body.cfgdump', '--balance', '99', '--write'], /no line 99/],
      [
        'a line that cannot take up the difference',
        ['fix', 'rear-body.cfgdump', '--balance', '1', '--write'],
        /No byte is free/,
      ],
      [
        'a comparison with another module',
        ['compare', 'cluster.cfgdump', 'rear-body.cfgdump'],
        /These dumps are of two modules: "@part"/,
      ],
      [
        'a profile that is not there',
        ['check', 'rear-body.cfgdump', '--profile', 'gone.json'],
        /gone\.json cannot be read/,
      ],
    ];
    for (const [what, args, words] of cases) {
      it(what, () => {
        const before = readdirSync(folder()).map((name) => [name, read(name)]);
        const { status, stderr, stdout } = call(args);
        assert.equal(status, 2, stderr);
        assert.match(stderr, words);
        assert.equal(stderr.trim().split('\n').length, 1);
        assert.equal(stdout, '');
        assert.deepEqual(
          readdirSync(folder()).map((name) => [name, read(name)]),
          before,
        );
      });
    }
  });

  it('keeps a byte-order mark, mixed line ends and a missing last line end', () => {
    const odd = `\ufeff${read('rear-body.cfgdump').replace('@vehicle stock no. 2041\n', '@vehicle stock no. 2041\r\n').trimEnd()}`;
    write('odd.cfgdump', odd);
    call(['fix', 'odd.cfgdump', '--write']);
    assert.equal(read('odd.cfgdump'), odd.replace('| 88', '| A8').replace('FF 5C | 75', 'FF 3C | 55'));
  });

  it('fix: a text of another program is read by the pattern of its profile, and changed in its own spelling', () => {
    const profile = {
      format: 1,
      notation: { pattern: '[{label:hex}] {data} ;{sum}', otherwise: 'report' },
      lines: { from: 10, to: 11, data: 2, sum: 1 },
      lineSum: { method: 'add', bits: 8, over: ['data'] },
    };
    write('own.dump-profile.json', JSON.stringify(profile));
    const text = '@profile own.dump-profile.json\r\n[000a] 1a 01 ;ff\r\n[000b]0102;03\r\n';
    write('own.txt', text);
    const found = json(['check', 'own.txt']).files[0];
    assert.deepEqual([found.notation, found.problems.length], ['pattern', 1]);
    assert.deepEqual([found.problems[0].code, found.problems[0].line, found.problems[0].column], ['line-sum', 2, 15]);
    assert.equal(call(['fix', 'own.txt']).stdout, text.replace(';ff', ';1b'));
  });

  it('convert: an image to dump text and back; what has no place there is said beside the answer', () => {
    write('a.hex', '; bench\r\n:0300300002337A1E\r\n:04000005000000CD2A\r\n:00000001FF\r\n');
    assert.equal(call(['convert', 'a.hex', '--to', 'dump-text', '--out', 'a.cfgdump']).status, 0);
    assert.equal(read('a.cfgdump'), '@start 0x00CD\r\n# bench\r\n0x0030: 02 33 7A\r\n');
    const { stdout, stderr } = call(['convert', 'a.cfgdump', '--to', 's-record', '--width', '2']);
    assert.equal(stdout, 'S1050030023395\r\nS10400327A4F\r\nS5030002FA\r\nS90300CD2F\r\n');
    assert.match(stderr, /^a\.cfgdump: .*bench/);
  });

  it('convert: refuses where the profile that is named cannot be read or has problems, of images as well', () => {
    write('torn.dump-profile.json', '{ "format": 1, "lines": { "from": 1, "to": 3, ');
    write('odd.dump-profile.json', '{ "format": 1, "more": 1 }');
    for (const profile of ['torn', 'missing', 'odd']) {
      const head = `@profile ${profile}.dump-profile.json\n`;
      write('lines.cfgdump', `${head}1: 31\n2: 32\n3: 33\n`);
      write('image.hex', `:0100000001FE\n:00000001FF\n; ${head}`);
      for (const args of [
        ['convert', 'lines.cfgdump', '--to', 'intel-hex'],
        ['convert', 'image.hex', '--to', 'dump-text'],
      ]) {
        const { status, stdout, stderr } = call(args);
        assert.deepEqual([status, stdout], [2, ''], `${profile} ${args.join(' ')}`);
        assert.match(stderr, /The profile has problems.*Nothing was written/);
      }
    }
  });

  it('convert: refuses what it cannot keep, and names the row', () => {
    const { status, stderr } = call(['convert', 'rear-body.cfgdump', '--to', 'intel-hex']);
    assert.equal(status, 2);
    assert.match(stderr, /Nothing was written/);
    assert.equal(call(['convert', 'rear-body.cfgdump']).status, 2);
  });

  it('learn: a draft profile that the same file opens with, and nothing written unless asked', () => {
    const before = readdirSync(folder());
    const printed = call(['learn', 'cluster.as-found.cfgdump']);
    const titled = (title: string) =>
      json(['learn', 'cluster.as-found.cfgdump', '--title', title]).candidates[0].profile.title;
    assert.equal(printed.status, 0);
    assert.deepEqual(readdirSync(folder()), before);
    assert.match(
      printed.stderr,
      /^12 of 12 lines explained; (?:practically certain|the line sums are practically certain; the file sum could be chance: 1 in \d+|the line sums could be chance: 1 in \d+; the file sum (?:is practically certain|too: 1 in \d+))(?: \(chance \S+\))?\. The file sum is explained too\.$/m,
    );
    assert.match(
      printed.stderr,
      /^Line 1, line number: 01; .*; worked out: 01 \+ 08 \+ .* = 47D → 7D → 100 − 7D = 83$/m,
    );
    assert.deepEqual(
      [JSON.parse(printed.stdout).title, titled('Cluster, demo')],
      ['Cluster (IC-2041-02)', 'Cluster, demo'],
    );
    assert.equal(call(['learn', 'cluster.as-found.cfgdump', '--out', 'learned.dump-profile.json']).status, 0);
    assert.equal(read('learned.dump-profile.json'), printed.stdout);
    // The draft locks nothing, so it is for dumps that name no profile with locks of its own.
    const undescribed = read('cluster.as-found.cfgdump').replace(/^@(?:profile|seal).*\n/gm, '');
    write('undescribed.cfgdump', undescribed);
    const { errors, warnings } = json(['check', 'undescribed.cfgdump', '--profile', 'learned.dump-profile.json']);
    assert.deepEqual([errors, warnings], [0, 0]);
    const lifted = call(['check', 'cluster.as-found.cfgdump', '--profile', 'learned.dump-profile.json']);
    assert.deepEqual([lifted.status, /leaves byte 1 of line 1 open/.test(lifted.stderr)], [2, true], lifted.stderr);
  });

  it('learn --json: candidates with what they explain; a damaged line is named', () => {
    const { candidates } = json(['learn', 'rear-body.cfgdump', 'rear-body.as-found.cfgdump']);
    const [{ profile, chance, chances, worked, ...best }] = candidates;
    assert.match(worked.steps, /^FA \+ [0-9A-F]{2} \+ .* = [0-9A-F]{3} → [0-9A-F]{2}$/);
    assert.deepEqual(profile.lineSum, { method: 'add', bits: 8, start: '0xFA', over: ['label', 'data'] });
    // One file sum of two bytes, among all that were tried.
    assert.ok(chance < 0.05);
    assert.ok(chances.lines < 1e-20 && chances.total > 1e-3, 'the file sum alone is in doubt');
    const damaged = [{ file: 'rear-body.cfgdump', label: '4' }];
    assert.deepEqual(best, {
      lines: 19,
      linesExplained: 18,
      totalExplained: true,
      damaged,
      unread: [],
      unmarked: [],
      undecided: false,
      eitherEnd: false,
    });
  });

  it('learn: lines that cannot be read are counted and named, and the check by the draft finds them', () => {
    const lines = Array.from({ length: 40 }, (_, i) => {
      const bytes = [(i * 77 + 5) & 0xff, (i * i) & 0xff, (i * 13 + 5) & 0xff];
      const sum = bytes.reduce((all, byte) => all + byte, i) & 0xff;
      return `0${i} <${[...bytes, sum].map((byte) => byte.toString(16).padStart(2, '0')).join(',')}>`;
    });
    lines[16] = (lines[16] as string).slice(0, -2);
    lines[32] = (lines[32] as string).replace(/..,/, '');
    write('saved.txt', `${lines.join('\n')}\n`);
    const { status, stderr } = call(['learn', 'saved.txt', '--out', 'saved.dump-profile.json']);
    assert.equal(status, 0);
    assert.match(stderr, /saved\.txt: 38 lines read, 2 not read: 17, 33 \(rows of the file\)\./);
    const { errors } = json(['check', 'saved.txt', '--profile', 'saved.dump-profile.json']);
    assert.ok(errors >= 2);
  });

  it('learn: where other rules fit as well it says so, and gives no chance', () => {
    // No sum reaches 256, so that the byte before it could be its high byte or data.
    const lines = Array.from({ length: 20 }, (_, i) => {
      const bytes = [(i * 7) % 50, (i * i) % 47, (i * 13 + 5) % 41, (i * i * i) % 43];
      return [...bytes, 0, bytes.reduce((sum, byte) => sum + byte, 0)].map((byte) =>
        byte.toString(16).padStart(2, '0'),
      );
    });
    const text = lines.map((bytes, i) => `${i + 1}: ${bytes.join(' ')}\n`).join('');
    const { stderr } = call(['learn', '-'], text);
    assert.match(stderr, /^20 of 20 lines explained, but undecided: other rules fit as well\.$/m);
    assert.doesNotMatch(stderr, /chance/);
    assert.match(stderr, /would tell the first two rules apart: it ends in/);
  });

  it('learn: status 1 and the reason where nothing can be learned', () => {
    const { status, stdout, stderr } = call(['learn', '-'], 'no dump\n');
    assert.deepEqual([status, stdout], [1, '']);
    assert.match(stderr, /No lines of a dump were found/);
  });

  it('find-option: the bit that tells two groups apart, sums learned and left out', () => {
    const names = Array.from({ length: 12 }, (_, i) => `car-${i}.cfgdump`);
    names.forEach((name, i) => {
      const lines = [0x10 + (i >> 1), 0x20 * (i % 2), ((i >> 1) * 37) % 256, 7].map((byte, line) => {
        const sum = (byte + (i % 3) + line + 1) & 0xff;
        return `${line + 1}: ${[byte, i % 3, sum].map((number) => number.toString(16).padStart(2, '0')).join(' ')}\n`;
      });
      write(name, lines.join(''));
    });
    const odd = names.filter((_, i) => i % 2 === 1);
    const even = names.filter((_, i) => i % 2 === 0);
    const { candidates, nextDump } = json(['find-option', '--with', ...odd, '--without', ...even]);
    const [{ p, q, ...best }] = candidates;
    assert.ok(p < 0.003 && q >= p);
    assert.deepEqual(best, {
      line: 2,
      byte: 1,
      bits: '5',
      with: ['1'],
      without: ['0'],
      separates: true,
      exceptions: [],
      sameAs: [],
      digit: { line: 2, byte: 1, bits: '7-4', with: ['2'], without: ['0'] },
    });
    assert.ok(nextDump === null || typeof nextDump === 'object');
    assert.ok(candidates.every(({ byte }: { byte?: number }) => byte !== 3));
  });

  it('find-option: groups by headers, a sheet of trials, the option in the profile, and a single pair', () => {
    const profile = {
      format: 1,
      lines: { from: 1, to: 3, data: 2, sum: 1 },
      lineSum: { method: 'add', over: ['data'] },
    };
    const text = `// measured\n${JSON.stringify(profile, null, 2)}\n`;
    write('seats.dump-profile.json', text);
    const names = Array.from({ length: 12 }, (_, i) => `seats-${i}.cfgdump`);
    names.forEach((name, i) => {
      const seats = i % 2 === 0 ? 0x40 : 0;
      const lines = [(i >> 1) * 7, seats, i >> 1].map(
        (byte, line) =>
          `${line + 1}: ${[byte, 1, byte + 1].map((number) => number.toString(16).padStart(2, '0')).join(' ')}\n`,
      );
      const header = seats === 0 ? '@absent' : '@fitted';
      write(name, `@profile seats.dump-profile.json\n${header} seats\n${lines.join('')}`);
    });
    const [best] = json(['find-option', '--tag', 'seats', ...names]).candidates;
    assert.deepEqual([best.line, best.byte, best.bits], [2, 1, '6']);
    const sheet = call(['find-option', '--tag', 'seats', ...names, '--trials', 'seats-1.cfgdump']);
    assert.equal(sheet.status, 0);
    assert.match(sheet.stdout, /Trial 1: line 2, byte 1, bit 6 from 0 to 1/);
    const shown = call(['find-option', '--tag', 'seats', ...names, '--add', 'seats']);
    assert.equal(read('seats.dump-profile.json'), text);
    assert.equal(call(['find-option', '--tag', 'seats', ...names, '--add', 'seats', '--write']).status, 0);
    assert.equal(read('seats.dump-profile.json'), shown.stdout);
    assert.match(shown.stdout, /^\/\/ measured\n/);
    assert.equal(json(['check', 'seats-0.cfgdump']).errors, 0);
    const { pair } = json(['find-option', '--with', 'seats-0.cfgdump', '--without', 'seats-1.cfgdump']);
    assert.deepEqual(pair, [{ line: 2, byte: 1, before: '00', after: '40', role: 'option' }]);
  });
  it('find-option: bytes that were changed since the backup are no evidence, which is said', () => {
    const seats = (byte: string) => `@profile seats.dump-profile.json\n1: 07 01 08\n2: ${byte} 01 ${byte.charAt(0)}1\n`;
    const profile = {
      format: 1,
      lines: { from: 1, to: 2, data: 2, sum: 1 },
      lineSum: { method: 'add', over: ['data'] },
    };
    write('seats.dump-profile.json', JSON.stringify(profile));
    for (let i = 0; i < 6; i++) write(`seats-${i}.cfgdump`, seats(i % 2 === 0 ? '40' : '00'));
    const of = (...rest: readonly string[]) => [
      '--with',
      ...[0, 2, 4].map((i) => `seats-${i}.cfgdump`),
      '--without',
      ...rest,
    ];
    const others = ['seats-1.cfgdump', 'seats-3.cfgdump', 'seats-5.cfgdump'];
    write('found.cfgdump', seats('00'));
    write('work.cfgdump', seats('40').replace('\n', '\n@backup found.cfgdump\n'));
    const found = call(['find-option', ...of(...others, 'work.cfgdump')]);
    assert.equal(found.stdout, call(['find-option', ...of(...others, 'found.cfgdump')]).stdout);
    assert.match(
      found.stderr,
      /work\.cfgdump: It was changed since its backup\. The backup is compared in its place\./,
    );
    const both = call(['find-option', ...of(...others, 'work.cfgdump', 'found.cfgdump')]);
    assert.equal(both.stdout, found.stdout);
    assert.match(both.stderr, /Not compared: work\.cfgdump\. It was changed since its backup\./);
    const pair = call(['find-option', '--with', 'work.cfgdump', '--without', 'found.cfgdump']);
    assert.match(pair.stdout, /line 2, byte 1: 00 to 40/);
    assert.match(pair.stderr, /work\.cfgdump: It was changed since its backup\./);
  });

  it('find-option: places of a pair by what the dumps call their lines, or by addresses', () => {
    write('named.dump-profile.json', JSON.stringify({ format: 1, ...NAMED }));
    const header = '@profile named.dump-profile.json\n';
    write('a.cfgdump', header + NAMED_TEXT);
    write('b.cfgdump', header + NAMED_TEXT.replace('r0A  01 10  s=11', 'r0A  00 10  s=10').replace('00BB', '00BA'));
    assert.match(
      call(['find-option', '--with', 'a.cfgdump', '--without', 'b.cfgdump']).stdout,
      /^line r0A, byte 1: 00 to 01, /,
    );
    // The two's complement of all bytes (Intel, Hexadecimal Object File Format, 1988).
    write('a.hex', ':02002000A1B28B\n:00000001FF\n');
    write('b.hex', ':02002000A1B38A\n:00000001FF\n');
    assert.match(call(['find-option', '--with', 'a.hex', '--without', 'b.hex']).stdout, /^address 0021: B3 to B2, /);
  });

  it('find-option --add: never in the place of an option that a person wrote, nor over bits that hold another', () => {
    const text = (value: string, other: string) =>
      `@profile p.dump-profile.json\n1: 00 ${value} ${other}\n2: 07 07 ${other}\n`;
    const names = Array.from({ length: 12 }, (_, i) => `d${i}.cfgdump`);
    names.forEach((name, i) => {
      const label = i % 2 === 0 ? '@fitted' : '@absent';
      write(name, `${label} tow\n${text(i % 2 === 0 ? '20' : '00', `0${i % 5}`)}`);
    });
    const profile = (option: object) =>
      write(
        'p.dump-profile.json',
        JSON.stringify({ format: 1, lines: { from: 1, to: 2, data: 3, sum: 0 }, options: [option] }),
      );
    const add = () => call(['find-option', '--tag', 'tow', ...names, '--add', 'tow', '--write']);
    for (const [option, why] of [
      [{ id: 'tow', line: 2, byte: 1, bits: '0', values: { 0: 'a' }, hazard: 'security' }, /which a person wrote/],
      [{ id: 'x', title: 'X', line: 1, byte: 2, values: { 0: 'a', 32: 'b' } }, /hold the same bits/],
    ] as const) {
      profile(option);
      const before = read('p.dump-profile.json');
      const { status, stderr } = add();
      assert.equal(status, 2, stderr);
      assert.match(stderr, why);
      assert.equal(read('p.dump-profile.json'), before);
    }
    const evidence = 'With: 2, without: 2; p = 0.33, q = 0.33 over 6 places.';
    profile({ id: 'tow', line: 2, byte: 1, bits: '0', values: { 0: 'a' }, confidence: 'guess', evidence });
    assert.equal(add().status, 0);
    assert.match(read('p.dump-profile.json'), /"confidence": "likely"/);
  });

  it('find-option: status 2 for a file in both groups, or none in any', () => {
    const file = 'cluster.cfgdump';
    assert.equal(call(['find-option', '--with', file, '--without', `./${file}`]).status, 2);
    assert.equal(call(['find-option', '--with', file, '--without', file]).status, 2);
    assert.equal(call(['find-option', file]).status, 2);
  });
});
