import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { FORMS } from '../../shared-core/src/format/index.js';
import { bench } from '../support/commandLine.js';

const PROFILE = {
  format: 1,
  addresses: { from: 0, to: 0x23 },
  options: [{ id: 'wiper', title: 'Rear wiper', address: '0x11', bits: 0, values: { 0: 'no', 1: 'yes' } }],
  locked: [{ address: 0 }],
  totals: [{ name: 'image sum', method: 'add', bits: 16, order: 'big', over: [{ from: 0, to: 0x21 }], address: 0x22 }],
};
/** 34 bytes from 5A on, each one more than that before, and their sum. */
const DATA = Array.from({ length: 34 }, (_, i) => 0x5a + i);
const SUM = DATA.reduce((all, byte) => all + byte, 0);
const BYTES = [...DATA, SUM >> 8, SUM & 0xff].map((byte) => byte.toString(16).padStart(2, '0'));
const TEXT = `0x0000: ${BYTES.join(' ')}\n`;

describe('every written form on the command line', () => {
  const { write, read, call } = bench('empty');

  for (const form of FORMS.filter(({ image }) => image !== undefined)) {
    for (const name of [`dump.${form.endings[0]}`, 'saved.dat']) {
      it(`${form.id} under the name ${name} is checked, set, compared, restored and converted, and else stays as it is`, () => {
        const from = name === 'saved.dat' ? ['--from', form.id] : [];
        const good = (...args: readonly string[]) => {
          const answer = call(...args);
          assert.equal(answer.status, 0, answer.stdout + answer.stderr);
          return answer.stdout;
        };
        write('p.dump-profile.json', JSON.stringify(PROFILE));
        write('a.cfgdump', TEXT);
        good('convert', 'a.cfgdump', '--to', form.id, '--out', `found${name}`);
        good('check', `found${name}`, '--profile', 'p.dump-profile.json', ...from);
        write(
          name,
          `${read(`found${name}`)}${form.headers === 'none' ? '' : `${form.commentSign} @backup found${name}\n`}`,
        );
        const before = read(name);
        good('set', name, 'wiper=no', '--profile', 'p.dump-profile.json', '--write', ...from);
        assert.notEqual(read(name), before);
        good('check', name, '--profile', 'p.dump-profile.json', ...from);
        const compared = call('compare', `found${name}`, name, '--profile', 'p.dump-profile.json', '--json', ...from);
        assert.equal(compared.status, 1, compared.stdout + compared.stderr);
        const { lines } = JSON.parse(compared.stdout) as {
          lines: readonly { bytes: readonly { address: string }[] }[];
        };
        assert.deepEqual(
          lines.flatMap(({ bytes }) => bytes.flatMap(({ address }) => address ?? [])),
          ['0011', '0023'],
        );
        const set = read(name);
        good('set', name, 'wiper=yes', '--profile', 'p.dump-profile.json', '--write', ...from);
        assert.equal(read(name), before);
        write(name, set);
        if (from.length === 0 && form.headers !== 'none') {
          good('restore', name, '--profile', 'p.dump-profile.json', '--write', ...from);
          assert.equal(read(name), before);
        }
        const back = good('convert', name, '--to', 'dump-text', ...from);
        const digits = back
          .split('\n')
          .flatMap((line) => (/^0x/.test(line) ? (line.split(': ')[1] ?? '').split(' ') : []));
        assert.equal(digits.length, BYTES.length);
      });
    }
  }

  it('a text that may be in several forms is refused with their names, and read in the one that is said', () => {
    write('a.txt', '@0100\n31 32 33\n');
    const { status, stderr } = call('check', 'a.txt');
    assert.equal(status, 2);
    assert.match(stderr, /^countersum: a\.txt cannot be read: .*ti-txt, verilog.*--from FORM/);
    const { stdout } = call('convert', 'a.txt', '--to', 'dump-text', '--from', 'verilog');
    assert.equal(stdout, '0x0100: 31 32 33\n');
  });

  it('a text that is surely in another form than its name says is refused with both, and read in the one that is said', () => {
    write('v.hexlist', '000000 03 02 06 11\n000004\n');
    const { status, stderr } = call('check', 'v.hexlist');
    assert.equal(status, 2);
    assert.match(stderr, /v\.hexlist cannot be read: .*hex-list.*hex-view.*--from FORM/);
    assert.equal(call('convert', 'v.hexlist', '--to', 'binary', '--out', 'v.bin').status, 2);
    const said = call('convert', 'v.hexlist', '--to', 'dump-text', '--from', 'hex-view');
    assert.equal(said.stdout, '0x0000: 03 02 06 11\n');
    write('w.hexlist', '03 02 06 11\n');
    assert.equal(call('convert', 'w.hexlist', '--to', 'dump-text').stdout, '0x0000: 03 02 06 11\n');
  });
});
