import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';
import { LINES, LINES_TEXT } from '../support/smallDumps.js';

const HEAD = '@profile p.dump-profile.json\n';

describe('"all sums are right" on the command line', () => {
  const { write, call } = bench('empty');
  const put = (text: string, profile: object = LINES) => {
    write('p.dump-profile.json', JSON.stringify({ format: 1, ...profile }));
    write('a.cfgdump', `${HEAD}${text}`);
  };
  const never = (args: readonly string[], words: RegExp) => {
    const { status, stdout, stderr } = call(...args);
    assert.equal(status, 1, stdout + stderr);
    assert.doesNotMatch(stdout + stderr, /all sums are right|all sums kept right/i);
    assert.match(stderr, words);
    const json = JSON.parse(call(...args, '--json').stdout);
    assert.match(json.left.join('\n'), words);
    const out = call(...args, '--out', 'b.cfgdump', '--force');
    assert.equal(out.status, 1, out.stdout + out.stderr);
    assert.doesNotMatch(out.stdout, /all sums are right/);
  };

  it('is said where all are, and then only', () => {
    put(LINES_TEXT);
    const { status, stdout } = call('fix', 'a.cfgdump', '--out', 'b.cfgdump');
    assert.deepEqual([status, stdout], [0, 'a.cfgdump: all sums are right, nothing to change\n']);
    const { left, unchecked } = JSON.parse(call('fix', 'a.cfgdump', '--json').stdout);
    assert.deepEqual([left, unchecked], [[], []]);
  });

  it('is not said of a line that is there twice, once with a wrong sum', () => {
    put(LINES_TEXT.replace('| 11', '| 12\n2: 01 10 00 | 11'), { ...LINES, totals: [] });
    never(['fix', 'a.cfgdump'], /line 2 is in it twice[\s\S]*The sum of line 2 is wrong/);
  });

  it('is not said where only line sums are righted and a file sum is wrong', () => {
    put(LINES_TEXT.replace('02 27', '02 28'));
    never(['fix', 'a.cfgdump', '--lines'], /The file sum is 0228, its bytes make 0227/);
    never(['set', 'a.cfgdump', 'fog=yes', '--lines'], /The file sum is 0228, its bytes make 0227/);
  });

  it('goes with the caution that it is by a guess, whichever byte is written for it', () => {
    const lineSum = { ...LINES.lineSum, confidence: 'guess' };
    const total = { ...LINES.totals[0], confidence: 'guess' };
    const cautioned = (profile: object, args: readonly string[], words: readonly RegExp[]) => {
      put(LINES_TEXT.replace('02 27', '02 28'), { ...LINES, ...profile });
      const { stdout, stderr } = call(...args, '--out', 'b.cfgdump', '--force');
      const { cautions } = JSON.parse(call(...args, '--json').stdout);
      assert.equal(cautions.length, words.length, stdout + stderr);
      for (const [i, word] of words.entries()) {
        assert.match(stderr, word);
        assert.match(cautions[i], word);
      }
    };
    const [KEPT, OVER] = [
      /the file sum is .* guess, and bytes are written/,
      /the file sum is .* guess, and it is written over/,
    ];
    cautioned({ totals: [total] }, ['fix', 'a.cfgdump', '--balance', '3'], [KEPT]);
    cautioned({ totals: [total] }, ['fix', 'a.cfgdump'], [OVER]);
    cautioned({ totals: [{ ...total, keep: true }] }, ['fix', 'a.cfgdump'], [KEPT]);
    cautioned({ totals: [{ ...total, keep: true }] }, ['fix', 'a.cfgdump', '--retotal'], [OVER]);
    cautioned({ totals: [total] }, ['set', 'a.cfgdump', 'fog=no', '--balance', '3'], [KEPT]);
    cautioned(
      { lineSum },
      ['fix', 'a.cfgdump', '--balance', '3'],
      [/How the lines of this dump are summed is a guess/],
    );
  });

  it('is not said where a line cannot be read', () => {
    put(LINES_TEXT.replace('3: 00', '3: 0x'), { ...LINES, totals: [] });
    never(['fix', 'a.cfgdump'], /row 4 cannot be read/);
    never(['set', 'a.cfgdump', 'fog=no'], /row 4 cannot be read/);
  });

  it('is not said where nothing describes the line sums: status 0, as nothing is known to be wrong', () => {
    put(LINES_TEXT, { ...LINES, lineSum: undefined });
    const { status, stdout, stderr } = call('fix', 'a.cfgdump', '--out', 'b.cfgdump');
    assert.deepEqual(
      [status, stdout],
      [0, 'a.cfgdump: nothing to change, and yet not all sums are known to be right\n'],
    );
    assert.match(stderr, /no line sum was checked/);
    assert.equal(JSON.parse(call('fix', 'a.cfgdump', '--json').stdout).unchecked.length, 1);
  });
});
