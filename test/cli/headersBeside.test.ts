import assert from 'node:assert/strict';
import { rmSync } from 'node:fs';
import { describe, it } from 'mocha';
import { thisMachine } from '../../server/src/files/machine.js';
import { bench } from '../support/commandLine.js';
import { runCommand } from '../support/inProcess.js';

const PROFILE = {
  format: 1,
  appliesTo: { part: ['A-1'] },
  addresses: { from: 0, to: 0x23 },
  options: [{ id: 'wiper', title: 'Rear wiper', address: '0x11', bits: 0, values: { 0: 'no', 1: 'yes' } }],
  totals: [{ name: 'image sum', method: 'add', bits: 16, over: [{ from: 0, to: 0x21 }], address: 0x22 }],
};
const DATA = Array.from({ length: 34 }, (_, i) => (0x5a + 5 * i) & 0xfe);
const SUM = DATA.reduce((all, byte) => all + byte, 0);
const BYTES = [...DATA, SUM >> 8, SUM & 0xff];
const HEADERS = '# as read\n@profile p.dump-profile.json\n@part A-1\n';

/** With other values of some bytes. */
function changed(bytes: readonly number[], values: Readonly<Record<number, number>>): number[] {
  return bytes.map((byte, at) => values[at] ?? byte);
}

/** As `xxd -g1` prints it. */
function viewOf(bytes: readonly number[]): string {
  const rows = Array.from({ length: Math.ceil(bytes.length / 16) }, (_, i) => bytes.slice(16 * i, 16 * i + 16));
  const hex = (value: number, digits: number) => value.toString(16).padStart(digits, '0');
  const shown = (byte: number) => (byte >= 0x20 && byte < 0x7f ? String.fromCharCode(byte) : '.');
  return rows
    .map((row, i) => {
      const pairs = row.map((byte) => hex(byte, 2)).join(' ');
      return `${hex(16 * i, 8)}: ${pairs.padEnd(47)}  ${row.map(shown).join('')}\n`;
    })
    .join('');
}

describe('a file whose form has its headers in its own text', () => {
  const { write, read, call } = bench('empty');
  const IMAGE = '@0000\n01 02 03 04\nq\n';

  it('is read by no command with headers beside it, which nobody would see', () => {
    write('p.dump-profile.json', JSON.stringify({ format: 1, addresses: { from: 0, to: 3 } }));
    const beside = '@seal sha256:00\n@profile p.dump-profile.json\n';
    for (const [name, text, form] of [
      ['ee.txt', `${IMAGE}; @use comparison\n`, 'TI-TXT'],
      ['ee.titxt', IMAGE, 'TI-TXT'],
      ['ee.hex', ':0400000001020304F2\n:00000001FF\n', 'Intel HEX'],
      ['ee.cfgdump', '1: 01 02\n', 'Dump text'],
    ] as const) {
      write(name, text);
      const alone = call('check', name).status;
      assert.ok(alone !== null && alone < 2, name);
      write(`${name}.dump-headers`, beside);
      for (const words of [
        ['check', name],
        ['fix', name, '--write'],
      ]) {
        const { status, stdout, stderr } = call(...words);
        assert.equal(status, 2, stdout + stderr);
        const why = `${name} cannot be read: ${form} has its headers in its own text, so those in ${name}.dump-headers would not be read.`;
        assert.ok((stdout + stderr).toLowerCase().includes(why.toLowerCase()), stdout + stderr);
      }
      assert.equal(read(name), text);
    }
  });
});

describe('a hex view with its headers in a file beside it', () => {
  const { write, read, call, names, path } = bench('empty');
  const layOut = (bytes = BYTES) => {
    write('p.dump-profile.json', JSON.stringify(PROFILE));
    write('ee.xxd', viewOf(bytes));
    write('ee.xxd.dump-headers', HEADERS);
  };

  it('is checked by their profile, and is for its module', () => {
    layOut();
    const { status, stdout } = call('check', 'ee.xxd');
    assert.equal(status, 0, stdout);
    layOut(changed(BYTES, { 3: 0 }));
    assert.match(call('check', 'ee.xxd').stdout, /^ee\.xxd:3:\d+: error total-sum/m);
  });

  it('has the problems of its headers in that file, at their rows', () => {
    layOut();
    write('ee.xxd.dump-headers', `\n${HEADERS}@taken yesterday\n`);
    const place = /^ee\.xxd\.dump-headers:5:8: /m;
    assert.match(call('check', 'ee.xxd').stdout, place);
    const [file] = JSON.parse(call('check', 'ee.xxd', '--json').stdout).files;
    assert.deepEqual(
      file.problems.map(({ file: named, line }: { file: string; line: number }) => [named, line]),
      [['ee.xxd.dump-headers', 5]],
    );
    assert.match(call('check', 'ee.xxd', '--format', 'github').stdout, /file=ee\.xxd\.dump-headers,line=5,/);
    assert.match(
      call('check', 'ee.xxd', '--format', 'sarif').stdout,
      /"uri": "ee\.xxd\.dump-headers"[\s\S]*"startLine": 5/,
    );
    assert.match(call('check', 'ee.xxd', '--format', 'junit').stdout, /ee\.xxd\.dump-headers:5:8: /);
  });

  it('is one dump where its headers are named too, as by a pattern of the shell', () => {
    layOut();
    const one = call('check', 'ee.xxd');
    for (const names of [['ee.xxd', 'ee.xxd.dump-headers'], ['ee.xxd.dump-headers', 'ee.xxd'], ['ee.xxd.dump-headers']])
      assert.deepEqual([call('check', ...names).status, call('check', ...names).stdout], [0, one.stdout]);
    assert.match(call('show', 'ee.xxd.dump-headers').stdout, /Rear wiper/);
    write('gone.bin.dump-headers', HEADERS);
    const { status, stdout, stderr } = call('check', 'ee.xxd', 'gone.bin.dump-headers');
    assert.equal(status, 2);
    assert.match(`${stdout}${stderr}`, /gone\.bin cannot be read/);
  });

  it('has its headers beside each copy for others, so that the copy is checked as it was', () => {
    layOut();
    const { status, stderr } = call('share', 'ee.xxd', '--out', 'out');
    assert.equal(status, 0, stderr);
    assert.match(read('out/ee.xxd.dump-headers'), /^@profile p\.dump-profile\.json$/m);
    const checked = call('check', 'out/ee.xxd');
    assert.deepEqual([checked.status, checked.stdout.replaceAll('out/', '')], [0, call('check', 'ee.xxd').stdout]);
  });

  it('is what is read and written, never the headers alone', () => {
    layOut();
    for (const words of [
      ['set', 'ee.xxd.dump-headers', 'wiper=yes', '--write'],
      ['fix', 'ee.xxd.dump-headers', '--write'],
      ['compare', 'ee.xxd', 'ee.xxd.dump-headers'],
      ['compare', 'ee.xxd', 'ee.xxd', 'ee.xxd.dump-headers'],
      ['verify', 'ee.xxd', 'ee.xxd.dump-headers'],
      ['card', 'ee.xxd', 'ee.xxd.dump-headers'],
    ]) {
      const { status, stderr } = call(...words);
      assert.equal(status, 2, stderr);
      assert.match(
        stderr,
        /ee\.xxd\.dump-headers holds the headers of ee\.xxd and is no dump by itself\. Name ee\.xxd\./,
      );
    }
    assert.equal(call('compare', 'ee.xxd', 'ee.xxd.dump-headers').status, 2);
  });

  it('is set and written back as a hex view; its headers stay where they are', () => {
    layOut();
    assert.equal(call('set', 'ee.xxd', 'wiper=yes', '--write').status, 0);
    assert.equal(read('ee.xxd'), viewOf(changed(BYTES, { 17: (BYTES[0x11] ?? 0) | 1, 35: (BYTES[0x23] ?? 0) + 1 })));
    assert.equal(read('ee.xxd.dump-headers'), HEADERS);
    assert.deepEqual(names(), ['ee.xxd', 'ee.xxd.dump-headers', 'p.dump-profile.json']);
  });

  it('comes back byte for byte, whatever its line ends are and those of its headers', () => {
    for (const view of [viewOf(BYTES).trimEnd(), viewOf(BYTES).replaceAll('\n', '\r\n')])
      for (const headers of [
        `\n\n${HEADERS}`,
        HEADERS.trimEnd(),
        HEADERS.replaceAll('\n', '\r\n'),
        `\ufeff${HEADERS}`,
      ]) {
        layOut();
        write('ee.xxd', view);
        write('ee.xxd.dump-headers', headers);
        assert.equal(call('set', 'ee.xxd', 'wiper=yes', '--write').status, 0);
        assert.equal(call('set', 'ee.xxd', 'wiper=no', '--write').status, 0);
        assert.equal(read('ee.xxd'), view);
        assert.equal(read('ee.xxd.dump-headers'), headers);
      }
  });

  it('takes its headers with it to another file', () => {
    layOut();
    assert.equal(call('set', 'ee.xxd', 'wiper=yes', '--out', 'copy.xxd').status, 0);
    assert.equal(read('copy.xxd.dump-headers'), HEADERS);
    assert.equal(call('check', 'copy.xxd').status, 0);
  });

  it('is known under any name, and where the profile says its form', () => {
    layOut();
    write('ee.txt', viewOf(BYTES));
    write('ee.txt.dump-headers', HEADERS);
    assert.equal(call('check', 'ee.txt').status, 0);
    write('p.dump-profile.json', JSON.stringify({ ...PROFILE, notation: 'hex-view' }));
    assert.equal(call('check', 'ee.txt').status, 0);
    assert.equal(call('check', 'ee.txt', '--from', 'hex-view').status, 0);
    assert.equal(call('set', 'ee.txt', 'wiper=yes', '--write').status, 0);
  });

  it('is not the same as one that only the headers say to be of another part', () => {
    layOut();
    write('other.xxd', viewOf(BYTES));
    write('other.xxd.dump-headers', HEADERS.replace('A-1', 'A-2'));
    assert.equal(call('compare', 'ee.xxd', 'other.xxd').status, 2);
  });

  it('goes to raw bytes and comes back, with its headers', () => {
    layOut();
    assert.equal(call('convert', 'ee.xxd', '--to', 'binary', '--out', 'ee.bin').status, 0);
    assert.match(read('ee.bin.dump-headers'), /@profile p\.dump-profile\.json\n@part A-1\n/);
    assert.equal(call('convert', 'ee.bin', '--to', 'hex-view', '--out', 'back.xxd').status, 0);
    const printed = call('convert', 'ee.bin', '--to', 'hex-view');
    assert.equal(printed.stdout, viewOf(BYTES));
    assert.match(printed.stderr, /headers/);
    assert.equal(read('back.xxd'), viewOf(BYTES));
    assert.match(read('back.xxd.dump-headers'), /@profile p\.dump-profile\.json\n@part A-1\n/);
    assert.equal(call('check', 'back.xxd').status, 0);
  });

  it('is learned as it is without them', () => {
    layOut();
    write('alone.xxd', viewOf(BYTES));
    // Only the module's name is taken from the headers, where nobody gives it.
    const learned = (file: string) => call('learn', file, '--title', 'Body').stdout;
    assert.equal(learned('ee.xxd'), learned('alone.xxd'));
    assert.match(learned('ee.xxd'), /"notation": "hex-view"/);
  });

  it('is refused where one of its own rows looks like a header or a comment, as programs take digits in it for data', () => {
    layOut();
    const view = viewOf(BYTES);
    write('ee.xxd', view.replace('00000010:', '# 00000010:'));
    const { status, stdout, stderr } = call('check', 'ee.xxd');
    assert.equal(status, 2, stdout + stderr);
    assert.match(stdout + stderr, /row 2 begins with/);
  });

  it('is refused where the file beside it holds anything but headers', () => {
    layOut();
    write('ee.xxd.dump-headers', `${HEADERS}00000024: 11\n`);
    const { status, stdout, stderr } = call('check', 'ee.xxd');
    assert.equal(status, 2, stdout + stderr);
    assert.match(stdout + stderr, /headers/);
  });

  it('goes into another file with them, or nothing is left wherever a call of the system fails', async () => {
    const own = thisMachine();
    const begin = () => {
      layOut();
      for (const name of ['new.xxd', 'new.xxd.dump-headers']) rmSync(path(name), { force: true });
    };
    const set = (machine = own) =>
      runCommand(['set', path('ee.xxd'), 'wiper=yes', '--unconfirmed', '--out', path('new.xxd')], machine);
    let failed = 0;
    for (const name of ['openSync', 'writeSync', 'fsyncSync', 'renameSync'] as const)
      for (let good = 0; ; good++) {
        begin();
        let [made, isHit] = [0, false];
        const failing = (...args: readonly unknown[]): unknown => {
          if (made++ !== good) return Reflect.apply(own.fs[name], own.fs, args);
          isHit = true;
          throw Object.assign(new Error(), { code: 'ENOSPC' });
        };
        const { status } = await set({ ...own, fs: { ...own.fs, [name]: failing } });
        if (!isHit) break;
        const left = names().filter((file) => file.includes('new') || file.includes('.countersum'));
        // A folder that cannot be flushed holds what was written all the same.
        if (status !== 2) continue;
        failed++;
        assert.deepEqual(left, [], `${name}, after ${good}`);
      }
    assert.ok(failed >= 6, `${failed}`);
    begin();
    assert.equal((await set()).status, 0);
    assert.equal(read('new.xxd.dump-headers'), HEADERS);
  });
});
