import assert from 'node:assert/strict';
import { mkdirSync, readFileSync } from 'node:fs';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';

const PROFILE = {
  format: 1,
  addresses: { from: 0, to: 0x23 },
  options: [{ id: 'wiper', title: 'Rear wiper', address: '0x11', bits: 0, values: { 0: 'no', 1: 'yes' } }],
  totals: [{ name: 'image sum', method: 'add', bits: 16, order: 'big', over: [{ from: 0, to: 0x21 }], address: 0x22 }],
};
const DATA = Array.from({ length: 34 }, (_, i) => (i === 5 ? 0 : 0x5a + 5 * i) & 0xff);
const SUM = DATA.reduce((all, byte) => all + byte, 0);
const BYTES = Uint8Array.from([...DATA, SUM >> 8, SUM & 0xff]);

describe('raw bytes on the command line', () => {
  const { write, read, call, path, names, shell } = bench('empty');
  const bytesOf = (name: string) => new Uint8Array(readFileSync(path(name)));
  const good = (...args: readonly string[]) => {
    const answer = call(...args);
    assert.equal(answer.status, 0, answer.stdout + answer.stderr);
    return answer.stdout;
  };

  it('are known by their content, checked by the headers beside them, set, compared, restored, and written back byte for byte', () => {
    write('p.dump-profile.json', JSON.stringify(PROFILE));
    write('ee.bin', BYTES);
    write('found.bin', BYTES);
    write('ee.bin.dump-headers', '@profile p.dump-profile.json\n@backup found.bin\n');
    assert.match(good('check', 'ee.bin'), /all good/);
    assert.equal(JSON.parse(good('check', 'ee.bin', '--json')).files[0].notation, 'binary');
    const on = (BYTES[0x11] as number) & 1;
    good('set', 'ee.bin', `wiper=${on ? 'no' : 'yes'}`, '--write');
    const changed = BYTES.slice();
    changed[0x11] = (changed[0x11] as number) ^ 1;
    const sum = SUM + (on ? -1 : 1);
    changed.set([sum >> 8, sum & 0xff], 0x22);
    assert.deepEqual(bytesOf('ee.bin'), changed);
    assert.match(call('compare', 'found.bin', 'ee.bin').stdout, /0011|17/);
    const copied = (name: string) =>
      call('set', 'ee.bin', `wiper=${on ? 'no' : 'yes'}`, '--out', name).stderr.match(/^.*promises.*$/m)?.[0];
    assert.equal(copied('copy.bin'), undefined);
    for (const [name, form] of Object.entries({ 'copy.hex': 'intel-hex', 'copy.cfgdump': 'dump-text' }))
      assert.equal(copied(name), `${name}: its name promises ${form}, and what it contains is raw bytes.`);
    good('restore', 'ee.bin', '--write');
    assert.deepEqual(bytesOf('ee.bin'), BYTES);
    write('wrong.bin', Uint8Array.from(BYTES.slice(0, -1)));
    write('wrong.bin.dump-headers', '@profile p.dump-profile.json\n');
    assert.equal(call('check', 'wrong.bin').status, 1);
  });

  it('of a picture are no dump to any command: status 2', () => {
    const picture = Uint8Array.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, ...BYTES]);
    for (const name of ['photo.png', 'other.png']) write(name, picture);
    for (const args of [
      ['check', 'photo.png'],
      ['compare', 'photo.png', 'other.png'],
      ['verify', 'photo.png', 'other.png'],
      ['learn', 'photo.png'],
      ['convert', 'photo.png', '--to', 'hex-list'],
    ]) {
      const { status, stdout, stderr } = call(...args);
      assert.equal(status, 2, args.join(' '));
      assert.match(stdout + stderr, /photo\.png.*is a picture \(PNG\), not a dump/i, args.join(' '));
    }
    assert.equal(call('check', 'photo.png', '--from', 'binary').status, 0);
  });

  it('that are all hex digits are asked for, as they may be text in hex, whatever their name', () => {
    const digits = '0123456789ABCDEF'.repeat(2);
    for (const name of ['d.eep', 'd.bin', 'd', 'd.dat']) {
      write(name, digits);
      const { status, stdout, stderr } = call('convert', name, '--to', 's-record');
      assert.equal(status, 2, name);
      assert.equal(stdout, '');
      assert.match(stderr, /may be raw bytes or text in hex.*--from binary.*--from hex-list/);
      assert.equal(call('check', name).status, 2);
      // "0" is 30 as a byte, and half a byte in hex.
      assert.match(good('convert', name, '--from', 'binary', '--to', 's-record'), /3031323334353637/);
      assert.match(good('convert', name, '--from', 'hex-list', '--to', 's-record'), /0123456789ABCDEF/);
    }
    // A line end, or a name that promises text, says that it is text.
    write('lines', `${digits}\n${digits}\n`);
    assert.equal(call('convert', 'lines', '--to', 's-record').status, 0);
  });

  it('are said to be a guess before a file sum that is one is written over', () => {
    write(
      'guess.dump-profile.json',
      JSON.stringify({ ...PROFILE, totals: [{ ...PROFILE.totals[0], confidence: 'guess' }] }),
    );
    write('ee.bin', Uint8Array.from([...DATA, 0, 1]));
    write('ee.bin.dump-headers', '@profile guess.dump-profile.json\n');
    const guess = /the image sum is a sum of these bytes is a guess, and it is written over/;
    const { stderr } = call('fix', 'ee.bin', '--out', 'fixed.bin');
    assert.match(stderr, guess);
    assert.match(
      JSON.parse(
        good(
          'set',
          'fixed.bin',
          'wiper=no',
          '--profile',
          'guess.dump-profile.json',
          '--out',
          'set.bin',
          '--json',
          '--force',
        ),
      ).cautions.join(),
      guess,
    );
  });

  it('are learned from and compared by their addresses, also where they look like text', () => {
    const cars = Array.from({ length: 16 }, (_, car) => `car${car}.bin`);
    for (const [car, name] of cars.entries()) {
      const bytes = Uint8Array.from({ length: 48 }, (_, i) => (i % 5 === 0 ? 0 : 0x41 + ((i * 7) % 20)));
      bytes[0x21] = car < 8 ? 0x52 : 0x51;
      bytes[0x2a] = car;
      write(name, bytes);
    }
    const groups = ['--from', 'binary', '--with', ...cars.slice(0, 8), '--without', ...cars.slice(8)];
    assert.match(good('find-option', ...groups), /^address 0021, bits 1-0; with: 2, without: 1/);
    const [best] = JSON.parse(call('learn', '--from', 'binary', ...cars.slice(0, 2), '--json').stdout).candidates;
    assert.deepEqual(best.profile.addresses, { from: '0x0', to: '0x2F' });
  }).timeout(60_000);

  it('are not thrown at a screen', () => {
    write('ee.bin', BYTES);
    write('p.dump-profile.json', JSON.stringify(PROFILE));
    write('ee.bin.dump-headers', '@profile p.dump-profile.json\n');
    const set = shell(`script -qec "'$1' '$2' set ee.bin wiper=yes" /dev/null`);
    assert.match(set.stdout, /raw bytes, which are not shown on a terminal\. Give --out FILE/);
  });

  it('go to another file with their headers beside it', () => {
    write('p.dump-profile.json', JSON.stringify(PROFILE));
    write('ee.bin', BYTES);
    write('ee.bin.dump-headers', '@profile p.dump-profile.json\n');
    const wish = (BYTES[0x11] as number) & 1 ? 'no' : 'yes';
    good('set', 'ee.bin', `wiper=${wish}`, '--out', 'copy.bin');
    assert.equal(read('copy.bin.dump-headers'), '@profile p.dump-profile.json\n');
    assert.match(good('check', 'copy.bin'), /all good/);
    assert.deepEqual(bytesOf('ee.bin'), BYTES);
  });

  it('never become their own profile or backup, as the headers beside them name these', () => {
    write('p.dump-profile.json', JSON.stringify(PROFILE));
    write('ee.bin', BYTES);
    write('found.bin', BYTES);
    write('ee.bin.dump-headers', '@profile p.dump-profile.json\n@backup found.bin\n');
    for (const out of ['p.dump-profile.json', 'found.bin']) {
      const before = read(out);
      assert.equal(call('convert', 'ee.bin', '--to', 'intel-hex', '--out', out, '--force').status, 2);
      assert.equal(read(out), before);
    }
  });

  it('that are text by chance are raw bytes where it is said, at the address that is said', () => {
    write('a.bin', 'ABCDEFGH');
    assert.equal(
      good('convert', 'a.bin', '--from', 'binary', '--offset', '0x1234', '--to', 'dump-text'),
      '0x1234: 41 42 43 44 45 46 47 48\n',
    );
    assert.equal(
      good('convert', 'a.bin', '--from', 'binary', '--word', '2le', '--to', 'dump-text'),
      '0x0000: 42 41 44 43 46 45 48 47\n',
    );
    assert.equal(
      good('convert', 'a.bin', '--from', 'binary', '--word', '4le', '--to', 'dump-text'),
      '0x0000: 44 43 42 41 48 47 46 45\n',
    );
    assert.equal(call('convert', 'a.bin', '--from', 'binary', '--offset', '0xFFFFFFFF', '--to', 'dump-text').status, 2);
    write('c.cfgdump', '1: 00\n');
    assert.match(call('check', 'c.cfgdump', '--offset', '0x10').stderr, /is for raw bytes, and none were read/);
    write('b.bin', 'ABC');
    assert.match(
      call('check', 'b.bin', '--from', 'binary', '--word', '2be').stderr,
      /3 bytes, which are no whole words of 2/,
    );
  });

  it('are raw bytes where it is said, whatever form their name promises', () => {
    write('a.hex', 'ABCDEFGH');
    assert.equal(
      good('convert', 'a.hex', '--from', 'binary', '--to', 'dump-text'),
      '0x0000: 41 42 43 44 45 46 47 48\n',
    );
  });

  it('are raw bytes where headers are beside them, however much of them looks like text', () => {
    write('a.bin', 'ABCDEFG\0');
    write('a.bin.dump-headers', '@part A-1\n');
    assert.equal(good('convert', 'a.bin', '--to', 'dump-text'), '@part A-1\n0x0000: 41 42 43 44 45 46 47 00\n');
  });

  it('whose headers are there and cannot be read are refused', () => {
    write('ee.bin', BYTES);
    mkdirSync(path('ee.bin.dump-headers'));
    const { status, stdout, stderr } = call('check', 'ee.bin');
    assert.equal(status, 2, stdout);
    assert.match(stdout + stderr, /the headers in the file beside it cannot be read: it is a folder/);
  });

  it('become every form and come back as they were, in words as well', () => {
    write('ee.bin', BYTES);
    for (const [form, word] of [
      ['intel-hex', '2le'],
      ['hex-view', '2be'],
      ['hex-list', '4le'],
    ] as const) {
      good('convert', 'ee.bin', '--to', form, '--word', word, '--out', 'as.txt', '--force');
      good('convert', 'as.txt', '--from', form, '--to', 'binary', '--word', word, '--out', `${form}.bin`);
      assert.deepEqual(bytesOf(`${form}.bin`), BYTES, form);
    }
    write('gap.cfgdump', '0x10: 01\n0x12: 02\n');
    assert.match(call('convert', 'gap.cfgdump', '--to', 'binary').stderr, /begin at 0010.*--offset 0x0010/);
    assert.match(call('convert', 'gap.cfgdump', '--to', 'binary', '--offset', '0x10').stderr, /go on at 0012/);
  });

  it('are never written where they would lose anything: headers that are there, files that changed, plans', () => {
    write('p.dump-profile.json', JSON.stringify(PROFILE));
    write('ee.bin', BYTES);
    write('ee.bin.dump-headers', '@profile p.dump-profile.json\n');
    write('copy.bin.dump-headers', '@vin 1\n');
    const wish = (BYTES[0x11] as number) & 1 ? 'no' : 'yes';
    assert.equal(call('set', 'ee.bin', `wiper=${wish}`, '--out', 'copy.bin').status, 2);
    assert.ok(!names().includes('copy.bin'));
    assert.equal(read('copy.bin.dump-headers'), '@vin 1\n');
  });
});

describe('what is neither text nor raw bytes for sure', () => {
  const { write, call } = bench('empty');
  const hex = ':10000000000102030405060708090A0B0C0D0E0F78\n:00000001FF\n';

  for (const [name, bytes] of Object.entries<string | Buffer>({
    'text with one zero byte': hex.replace('0405', '04\x0005'),
    'text with one control character': hex.replace('0405', '04\x0105'),
    'text with zero bytes behind it': `${hex}\0\0\0`,
    'UTF-16 without its mark': Buffer.from(hex, 'utf16le'),
    'UTF-16 without its mark, turned round': Buffer.from(hex, 'utf16le').swap16(),
    'a dump with a zero byte behind it': '1: 31 32\n2: 33 34\n\0',
  })) {
    it(`${name} is refused, and its codes are never taken for the data`, () => {
      write('a.txt', bytes);
      for (const command of [
        ['check', 'a.txt'],
        ['convert', 'a.txt', '--to', 'dump-text'],
      ]) {
        const { status, stdout, stderr } = call(...command);
        assert.equal(status, 2, stdout + stderr);
        assert.match(stdout + stderr, /Most of it is text.*--from binary/);
      }
      assert.equal(call('convert', 'a.txt', '--from', 'binary', '--to', 'dump-text').status, 0);
    });
  }
});

describe('a text with a control character in a file whose name promises a form', () => {
  const { write, call } = bench('empty');
  it('is read as that form, and never as raw bytes', () => {
    write('a.hex', ':10000000000102030405060708090A0B0C0D0E0F78\n\x01\n:00000001FF\n');
    const { stdout } = call('check', 'a.hex', '--json');
    assert.equal(JSON.parse(stdout).files[0].notation, 'intel-hex');
  });
});

describe('text in other encodings on the command line', () => {
  const { write, call, path } = bench('empty');
  const bytesOf = (name: string) => readFileSync(path(name));
  const TEXT = '# K\u00e4fer \u20ac\n@profile p.dump-profile.json\n1: 00 00\n';
  const lines = {
    format: 1,
    lines: { from: 1, to: 1, data: 2 },
    options: [{ id: 'fog', title: 'Fog', line: 1, byte: 1, values: { 0: 'no', 1: 'yes' } }],
  };
  const swap = (bytes: Buffer) => Buffer.from(bytes).swap16();

  it('UTF-8 that is cut off inside a character is refused, whatever its size', () => {
    for (const [name, text] of [
      ['a.cfgdump', '1: 00 00\n# \u{1F600}'],
      ['a.hex', `:0100000001FE\n:00000001FF\n${'; a comment\n'.repeat(1e5)}; é`],
    ] as const) {
      const whole = Buffer.from(text);
      write(name, whole);
      assert.equal(call('check', name).status, 0);
      for (const cut of name === 'a.hex' ? [1] : [1, 2, 3]) {
        write(name, whole.subarray(0, whole.length - cut));
        const { status, stdout, stderr } = call('check', name);
        assert.equal(status, 2, stdout);
        assert.match(stdout + stderr, /cut off inside a character/);
      }
      write(name, whole.subarray(0, whole.length - (name === 'a.hex' ? 2 : 4)));
      assert.equal(call('check', name).status, 0);
    }
  });

  it('UTF-16 that is cut off inside a character is refused', () => {
    const whole = Buffer.from('\ufeff1: 00 00\n# \u{1F600}', 'utf16le');
    write('a.cfgdump', whole);
    assert.equal(call('check', 'a.cfgdump').status, 0);
    for (const [bytes, cut] of [whole, swap(whole)].flatMap((all) => [1, 2, 3].map((less) => [all, less] as const))) {
      write('a.cfgdump', bytes.subarray(0, bytes.length - cut));
      const { status, stdout, stderr } = call('check', 'a.cfgdump');
      assert.equal(status, 2, stdout);
      assert.match(stdout + stderr, /cut off inside a character/);
    }
  });

  for (const [name, encode] of Object.entries<(text: string) => Buffer>({
    'UTF-8': (text) => Buffer.from(text),
    'UTF-8 with its mark': (text) => Buffer.from(`\ufeff${text}`),
    'UTF-16 LE': (text) => Buffer.from(`\ufeff${text}`, 'utf16le'),
    'UTF-16 BE': (text) => swap(Buffer.from(`\ufeff${text}`, 'utf16le')),
    'Windows-1252': (text) => Buffer.from(text.replaceAll('\u20ac', '\x80'), 'latin1'),
  })) {
    it(`${name} is read, and kept where the dump is changed`, () => {
      write('p.dump-profile.json', JSON.stringify(lines));
      write('a.cfgdump', encode(TEXT));
      assert.equal(call('check', 'a.cfgdump').status, 0);
      const set = call('set', 'a.cfgdump', 'fog=yes', '--write');
      assert.equal(set.status, 0, set.stderr);
      assert.deepEqual(bytesOf('a.cfgdump'), encode(TEXT.replace('1: 00', '1: 01')));
      assert.equal(call('set', 'a.cfgdump', 'fog=no', '--write').status, 0);
      assert.deepEqual(bytesOf('a.cfgdump'), encode(TEXT));
    });
  }
});
