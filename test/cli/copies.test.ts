import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';

const PROFILE = {
  format: 1,
  lines: { from: 1, to: 6, data: 4, sum: 1 },
  lineSum: { method: 'add', over: ['label', 'data'] },
  copies: [{ name: 'set', lines: '1-2', at: ['3-4', '5-6'] }],
  options: [{ id: 'opt', title: 'Opt', line: 2, byte: 1, number: {} }],
};
const SAME =
  '@profile p.dump-profile.json\n1: 01 02 03 04 0B\n2: 05 06 07 08 1C\n3: 01 02 03 04 0D\n' +
  '4: 05 06 07 08 1E\n5: 01 02 03 04 0F\n6: 05 06 07 08 20\n';
const TORN = SAME.replace('4: 05 06 07 08 1E', '4: 05 06 07 09 1F');

describe('copies that disagree, on the command line', () => {
  const { call, write } = bench('empty');
  const put = (text: string) => {
    write('p.dump-profile.json', JSON.stringify(PROFILE));
    write('a.cfgdump', text);
  };

  it('are told by fix, which ends with status 1 and calls nothing good', () => {
    put(TORN);
    const { status, stdout, stderr } = call('fix', 'a.cfgdump', '--out', 'b.cfgdump');
    assert.equal(status, 1);
    assert.equal(stdout, 'a.cfgdump: nothing to change in the sums, and yet copies disagree\n');
    assert.match(stderr, /^a\.cfgdump: Byte 4 of line 4 holds 09; by its copy \("set"\) it would be 08/m);
    const json = call('fix', 'a.cfgdump', '--json');
    assert.equal(json.status, 1);
    assert.equal(JSON.parse(json.stdout).copies.length, 1);
  });

  it('are not made up for by a file sum that is wrong as well', () => {
    const total = { name: 'file sum', method: 'add', bits: 16, over: ['data'], label: 'total' };
    write('p.dump-profile.json', JSON.stringify({ ...PROFILE, totals: [total] }));
    write('a.cfgdump', `${TORN}total: 00 00\n`);
    const { status, stdout } = call('fix', 'a.cfgdump', '--lines', '--json');
    const { left, copies } = JSON.parse(stdout);
    assert.deepEqual([left.length, copies.length, status], [1, 1, 1]);
  });

  it('are not told where all agree', () => {
    put(SAME);
    const { status, stdout, stderr } = call('fix', 'a.cfgdump', '--out', 'b.cfgdump');
    assert.deepEqual([status, stdout, stderr], [0, 'a.cfgdump: all sums are right, nothing to change\n', '']);
    assert.deepEqual(JSON.parse(call('fix', 'a.cfgdump', '--json').stdout).copies, []);
  });

  it('keep an option from being set, and it is said what makes them the same', () => {
    put(TORN);
    const { status, stderr } = call('set', 'a.cfgdump', 'opt=9');
    assert.equal(status, 2);
    assert.match(stderr, /First make them the same: the editor has quick fixes for that at this byte\./);
  });
});
