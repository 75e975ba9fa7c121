import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';
import { BY_PATTERN, BY_PATTERN_TEXT, SEVERAL, SEVERAL_TEXT } from '../support/severalNumbers.js';

const { call, read, write } = bench('empty');

const CASES = [
  { what: 'dump text', profile: SEVERAL, text: SEVERAL_TEXT, name: 'a.cfgdump' },
  { what: 'a pattern', profile: BY_PATTERN, text: BY_PATTERN_TEXT, name: 'a.txt' },
] as const;

for (const { what, profile, text, name } of CASES) {
  describe(`labels of several numbers in ${what}, on the command line`, () => {
    const setUp = (changed = text) => {
      write('p.dump-profile.json', JSON.stringify({ format: 1, ...profile }));
      write(`whole.${name}`, `@profile p.dump-profile.json\n@vehicle 1\n${text}`);
      assert.equal(call('check', `whole.${name}`).status, 0, call('check', `whole.${name}`).stdout);
      write(name, `@profile p.dump-profile.json\n@vehicle 1\n${changed}`);
    };
    const json = (...args: readonly string[]) => JSON.parse(call(...args, '--json').stdout);
    /** The dump with a line of other bytes, whose sum is right. */
    const changed = text.replace(/(B?2.0?1): 10 00 (\| )?13/, '$1: 11 00 $214');

    it('a check names the lines that are wrong or missing by their labels', () => {
      setUp(text.replace(/B?2.0?1:.*\n/, '').replace(/0C\n/, '0D\n'));
      const { problems } = json('check', name).files[0];
      const found = problems.map(({ code, label }: { code: string; label?: string }) => `${code} ${label}`);
      assert.ok(found.includes('line-sum 1-11'), found.join());
      assert.ok(found.includes('line-missing 2-1'), found.join());
    });

    it('a dump is balanced with such a line, however it is written', () => {
      for (const line of ['2-2', '2.02', '2/0x2']) {
        setUp(changed);
        assert.equal(call('check', name).status, 1);
        const fixed = call('fix', name, '--balance', line, '--write');
        assert.equal(fixed.status, 0, fixed.stdout + fixed.stderr);
        assert.match(read(name), /2.0?2: 00 04 (\| )?08/);
        assert.equal(call('check', name).status, 0);
      }
      setUp(changed);
      const none = call('fix', name, '--balance', '2-3');
      assert.equal(none.status, 2);
      assert.match(none.stderr, /There is no line 2-3 to balance with/);
    });

    it('an option in such a line is set, and the places that change are named', () => {
      setUp();
      const set = call('set', name, 'fog=no', '--write', '--json');
      assert.equal(set.status, 0, set.stdout + set.stderr);
      const { edits } = JSON.parse(set.stdout);
      assert.deepEqual([...new Set(edits.map(({ label }: { label: string }) => label))].sort(), ['1-10', '2-2']);
      assert.match(read(name), /1.(10|0A): 00 10 00 (\| )?1B/);
      assert.equal(call('check', name).status, 0);
    });

    it('what differs is compared, verified, planned on a card and restored line by line', () => {
      setUp(changed.replace(/00 05 (\| )?09/, '00 04 $108'));
      const compared = json('compare', `whole.${name}`, name);
      assert.deepEqual(
        compared.lines.map(({ label }: { label: string }) => label),
        ['2-1', '2-2'],
      );
      const verified = call('verify', `whole.${name}`, name);
      assert.equal(verified.status, 1);
      // As the dump itself calls its lines.
      const called = read(name).includes('B2/01') ? 'B2/01' : '2-1';
      assert.match(verified.stdout, new RegExp(`Line ${called}: .*byte 1`));
      assert.ok(call('card', `whole.${name}`, name).stdout.includes(`**${called}**`));
    });

    it('what was read back without headers is verified by the profile of the plan, and what it does not say is said', () => {
      setUp();
      const unsaid =
        /^What was read is what was planned, byte for byte\.\nWhat was read does not say when it was read, so it may be from before the work\.\nWhat was read does not say of which vehicle it is\.\n$/;
      write('bare.txt', text);
      assert.match(call('verify', `whole.${name}`, 'bare.txt').stdout, unsaid);
      assert.equal(call('verify', `whole.${name}`, 'bare.txt').status, 0);
      write('wrong.txt', changed);
      assert.equal(call('verify', `whole.${name}`, 'wrong.txt').status, 1);
      write('dated.txt', `@taken 2026-03-02T10:00:00Z\n${text}`);
      assert.doesNotMatch(call('verify', `whole.${name}`, 'dated.txt').stdout, /does not say when/);
      write('a.to-load.txt', text);
      const toLoad = call('verify', `whole.${name}`, 'a.to-load.txt');
      assert.deepEqual([toLoad.stdout, toLoad.status], ['', 2]);
      assert.match(toLoad.stderr, /a\.to-load\.txt is named as a file to load/);
    });
  });
}

describe('lines with labels of several numbers, restored from a sealed backup', () => {
  it('are named by their numbers, and a missing line goes back to its place', () => {
    write('p.dump-profile.json', JSON.stringify({ format: 1, ...SEVERAL }));
    const head = '@profile p.dump-profile.json\n@vehicle 1\n';
    write('b.cfgdump', `${head}${SEVERAL_TEXT}`);
    const changed = SEVERAL_TEXT.replace('10 00 | 13', '11 00 | 14').replace(/1-11:.*\n/, '');
    write('a.cfgdump', `${head}@backup b.cfgdump\n${changed}`);
    const one = call('restore', 'a.cfgdump', '2.1', '--write');
    assert.deepEqual([one.status, /The file sum cannot be checked/.test(one.stderr)], [1, true], one.stdout);
    assert.match(read('a.cfgdump'), /2-1: 10 00 \| 13/);
    const all = call('restore', 'a.cfgdump', '--write');
    assert.equal(all.status, 0, all.stdout + all.stderr);
    assert.ok(read('a.cfgdump').endsWith(SEVERAL_TEXT));
    for (const [line, words] of [
      ['2-1', /line 2-1 does not differ from the backup/],
      ['3-1', /there is no line 3-1/],
    ] as const) {
      const none = call('restore', 'a.cfgdump', line);
      assert.equal(none.status, 2);
      assert.match(none.stderr, words);
    }
  });
});

describe('finding an option among lines with labels of several numbers', () => {
  it('names the place by its label, in words, in JSON and in the profile', () => {
    write('p.dump-profile.json', JSON.stringify({ format: 1, ...SEVERAL, options: [], locked: [] }));
    const files = Array.from({ length: 10 }, (_, i) => {
      const fitted = i % 2;
      const line = `10-0: 0${i} 0${fitted}`;
      const tag = fitted === 1 ? '@fitted hook' : '@absent hook';
      const head = `@profile p.dump-profile.json\n@vehicle ${i}\n${tag}\n`;
      write(`${i}.cfgdump`, head + SEVERAL_TEXT.replace('10-0: 07 08', line));
      return `${i}.cfgdump`;
    });
    const found = call('find-option', ...files, '--tag', 'hook', '--json');
    const { candidates } = JSON.parse(found.stdout);
    assert.equal(candidates[0]?.line ?? candidates[0]?.place?.line, '10-0', found.stdout.slice(0, 600));
    assert.match(call('find-option', ...files, '--tag', 'hook').stdout, /line 10-0, byte 2, bit 0/);
    const added = call('find-option', ...files, '--tag', 'hook', '--add', 'hook', '--write');
    assert.equal(added.status, 0, added.stdout + added.stderr);
    assert.match(read('p.dump-profile.json'), /"line": "10-0"/);
  });
});
