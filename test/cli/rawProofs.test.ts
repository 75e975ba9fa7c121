import assert from 'node:assert/strict';
import { createHash } from 'node:crypto';
import { copyFileSync, cpSync, mkdirSync, readFileSync, symlinkSync } from 'node:fs';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';

describe('raw bytes and what is said of them', () => {
  const { folder, path, write, call, names } = bench('empty');
  const seat = () => cpSync('examples/seat-heater', folder(), { recursive: true });
  const all = (...args: readonly string[]) => {
    const { status, stdout, stderr } = call(...args);
    return { status, said: stdout + stderr };
  };

  it('have on the card the digest that any tool gives of their file', () => {
    seat();
    const card = call('card', 'seat.as-found.bin', 'seat.bin').stdout;
    for (const name of ['seat.as-found.bin', 'seat.bin']) {
      const digest = createHash('sha256')
        .update(readFileSync(path(name)))
        .digest('hex');
      assert.ok(card.includes(`${name}; its bytes alone, as a file of raw bytes: \`${digest}\``), card);
    }
  });

  it('of more than a chunk are read in order, byte for byte', () => {
    const size = (1 << 20) + (1 << 19) + 3;
    const bytes = Buffer.from(Uint8Array.from({ length: size }, (_, i) => (i * 7 + (i >> 8) * 13 + (i >> 16)) & 0xff));
    write('m.bin', bytes);
    const other = Buffer.from(bytes);
    other[0x1000] = (other[0x1000] ?? 0) ^ 1;
    write('e.bin', other);
    assert.equal(all('compare', 'm.bin', 'e.bin').status, 1);
    assert.equal(call('convert', 'm.bin', '--to', 'intel-hex', '--out', 'm.hex').status, 0);
    assert.equal(call('convert', 'm.hex', '--to', 'binary', '--out', 'back.bin').status, 0);
    assert.ok(readFileSync(path('back.bin')).equals(bytes));
    const view = call('convert', 'm.bin', '--to', 'hex-view').stdout;
    assert.ok(
      view.startsWith(
        `00000000: ${bytes
          .subarray(0, 16)
          .toString('hex')
          .replace(/..(?!$)/g, '$& ')}`,
      ),
    );
  });

  it('have headers that cannot be read where the link to them leads nowhere', () => {
    seat();
    mkdirSync(path('other'));
    copyFileSync(path('seat.as-found.bin'), path('other/s.bin'));
    symlinkSync('gone', path('other/s.bin.dump-headers'));
    const { status, said } = all('check', 'other/s.bin');
    assert.equal(status, 2, said);
    assert.match(said, /headers in the file beside it cannot be read: the link leads nowhere/);
  });

  it('are not converted to beside headers of another file', () => {
    seat();
    write('raw.bin', readFileSync(path('seat.as-found.bin')));
    write('n.xxd.dump-headers', '@vehicle another car\n');
    const before = names();
    const { status, said } = all('convert', 'raw.bin', '--to', 'hex-view', '--out', 'n.xxd');
    assert.equal(status, 2, said);
    assert.deepEqual(names(), before);
  });

  it('prove nothing against themselves, by whatever name', () => {
    seat();
    symlinkSync('seat.as-found.bin', path('l.bin'));
    for (const other of ['seat.as-found.bin', './seat.as-found.bin', 'l.bin'])
      assert.match(all('verify', 'seat.as-found.bin', other).said, /are the same file/);
  });

  it('are restored line by line by any name of the line; what is no line is told from what does not differ', () => {
    seat();
    const found = readFileSync(path('seat.as-found.bin'));
    for (const line of ['0020', '0x0020', '0x20', '20']) {
      seat();
      assert.equal(all('fix', 'seat.bin', '--write').status, 0);
      const { status, said } = all('restore', 'seat.bin', line, '--write');
      assert.equal(status, 0, `${line}: ${said}`);
      assert.equal(readFileSync(path('seat.bin'))[0x28], found[0x28]);
    }
    assert.match(all('restore', 'seat.bin', '0x0050').said, /line 0x0050 does not differ/);
    for (const line of ['99', 'foo', '0x0200']) assert.match(all('restore', 'seat.bin', line).said, /there is no line/);
  });

  it('whose locked byte is not as in the backup is never good, whatever its sums', () => {
    seat();
    const bytes = readFileSync(path('seat.as-found.bin'));
    bytes[5] = (bytes[5] ?? 0) ^ 1;
    write('seat.bin', bytes);
    for (const args of [
      ['set', 'seat.bin', 'lumbar-support=0', '--write'],
      ['fix', 'seat.bin', '--write'],
    ]) {
      const { status, said } = all(...args);
      assert.equal(status, 1, said);
      assert.match(said, /locked/i);
    }
  });

  it('are as planned and not good where the plan itself is wrong', () => {
    seat();
    copyFileSync(path('seat.bin'), path('back.bin'));
    write('back.bin.dump-headers', readFileSync(path('seat.bin.dump-headers'), 'utf8').replace(/^@backup.*\n/m, ''));
    const { status, said } = all('verify', 'seat.bin', 'back.bin');
    assert.match(said, /as in the plan/);
    assert.equal(status, 1, said);
  });

  it('are as planned where a hex view of them is read back, each sum of a line too', () => {
    const line = (first: number) => {
      const data = Array.from({ length: 15 }, (_, i) => (first + 7 * i) & 0xff);
      return [...data, -data.reduce((sum, byte) => sum + byte, 0) & 0xff];
    };
    const bytes = Buffer.from([line(0x52), line(0x0e)].flat());
    const sums = { method: 'add', bits: 8, complement: 'twos', over: ['data'] };
    const lines = { from: 0, to: 16, step: 16, data: 15, sum: 1 };
    write('roof.dump-profile.json', JSON.stringify({ format: 1, lines, lineSum: sums }));
    write('roof.bin', bytes);
    write('roof.bin.dump-headers', '@profile roof.dump-profile.json\n');
    const view = (of: Buffer) => {
      write('other.bin', of);
      return write('back.txt', call('convert', 'other.bin', '--from', 'binary', '--to', 'hex-view').stdout);
    };
    view(bytes);
    const same = all('verify', 'roof.bin', 'back.txt');
    assert.equal(same.status, 0, same.said);
    for (const at of [3, 15, 31]) {
      const other = Buffer.from(bytes);
      other[at] = (other[at] ?? 0) ^ 1;
      view(other);
      const { status, said } = all('verify', 'roof.bin', 'back.txt');
      assert.equal(status, 1, said);
      assert.match(said, /NOT what was planned/);
    }
    view(bytes.subarray(0, 31));
    assert.notEqual(all('verify', 'roof.bin', 'back.txt').status, 0);
    const wrong = Buffer.from(bytes);
    wrong[15] = (wrong[15] ?? 0) ^ 1;
    write('roof.bin', wrong);
    view(wrong);
    const both = all('verify', 'roof.bin', 'back.txt');
    assert.equal(both.status, 1, both.said);
    assert.match(both.said, /as in the plan/);
  });
});
