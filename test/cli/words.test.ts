// Views of words and swapped memories on the command line: read with the words that are said, written in the form they came in.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';

const PROFILE = {
  format: 1,
  addresses: { from: 0, to: 0x23 },
  options: [{ id: 'wiper', title: 'Rear wiper', address: '0x11', bits: 0, values: { 0: 'no', 1: 'yes' } }],
  totals: [{ name: 'image sum', method: 'add', bits: 16, order: 'big', over: [{ from: 0, to: 0x21 }], address: 0x22 }],
};
const DATA = Array.from({ length: 34 }, (_, i) => (0x5a + 5 * i) & 0xfe);
const bytesWith = (wiper: number) => {
  const data = DATA.map((byte, i) => (i === 0x11 ? byte | wiper : byte));
  const sum = data.reduce((all, byte) => all + byte, 0);
  return Uint8Array.from([...data, sum >> 8, sum & 0xff]);
};
const [OFF, ON] = [bytesWith(0), bytesWith(1)];
const swapped = (bytes: Uint8Array) => bytes.map((_, i) => bytes[i ^ 1] as number);
const view = (bytes: Uint8Array, command: string, ...args: readonly string[]) =>
  spawnSync(command, args, { input: bytes }).stdout.toString('latin1');
const LITTLE = JSON.stringify({ ...PROFILE, word: { bytes: 2, order: 'little' } });

describe('words on the command line', () => {
  const { write, read, call, path } = bench('empty');
  const bytesOf = (name: string) => new Uint8Array(readFileSync(path(name)));
  const good = (...args: readonly string[]) => {
    const answer = call(...args);
    assert.equal(answer.status, 0, answer.stdout + answer.stderr);
    return answer.stdout;
  };

  it('a view of words is refused with the choices and a sample of each, and so is an octal one', () => {
    write('saved.txt', view(OFF, 'hexdump'));
    const { status, stdout, stderr } = call('check', 'saved.txt');
    assert.equal(status, 2, stdout);
    assert.match(stderr, /"--from hex-view --word 2le" \(0000: 5A 5E 64/);
    assert.match(stderr, /"--from hex-view --word 2be" \(0000: 5E 5A 68/);
    write('named.hexdump', view(OFF, 'hexdump'));
    assert.equal(call('check', 'named.hexdump').status, 2);
    write('octal.txt', view(OFF, 'od'));
    const octal = call('check', 'octal.txt');
    assert.equal(octal.status, 2);
    assert.match(octal.stderr, /octal words.*5A 5E 64.*od -A x -t x1/s);
    write('other.txt', view(OFF, 'od', '-x'));
    assert.match(call('check', 'other.txt').stderr, /addresses of this listing are octal or decimal/);
  });

  it('each view becomes the bytes that were printed, by its words alone or with the form', () => {
    for (const [word, ...viewer] of [
      ['2le', 'hexdump'],
      ['4le', 'xxd', '-e'],
      ['2be', 'xxd', '-g2'],
      ['2le', 'od', '-A', 'x', '-t', 'x2'],
      ['4be', 'od', '-A', 'x', '-t', 'x4', '--endian=big'],
    ] as const) {
      write('saved.txt', view(OFF, ...(viewer as readonly [string, ...string[]])));
      for (const from of [[], ['--from', 'hex-view']]) {
        good('convert', 'saved.txt', ...from, '--word', word, '--to', 'binary', '--out', 'back.bin', '--force');
        assert.deepEqual(bytesOf('back.bin'), OFF, viewer.join(' '));
      }
      const plain = good('convert', 'saved.txt', '--word', word, '--to', 'hex-view');
      assert.equal(plain, view(OFF, 'xxd', '-g1'));
    }
  });

  it('sums and options go by addresses, and what is set is written in the form it came in', () => {
    write('p.dump-profile.json', LITTLE);
    for (const [name, ...viewer] of [
      ['a.hexdump', 'hexdump'],
      ['a.xxd', 'xxd', '-e', '-g2'],
      ['a.txt', 'od', '-A', 'x', '-t', 'x2z'],
    ] as const) {
      write(name, view(OFF, ...(viewer as readonly [string, ...string[]])));
      write(`${name}.dump-headers`, '@profile p.dump-profile.json\n');
      assert.match(good('check', name), /all good/);
      good('set', name, 'wiper=yes', '--write');
      assert.equal(read(name), view(ON, ...(viewer as readonly [string, ...string[]])));
    }
    assert.match(good('check', '.'), /Files checked: 4, all good|Files checked: 3, all good/);
  });

  it('so it is in Verilog memory, lists of hex and lines by a pattern, by their profile, their headers or "--word"', () => {
    const pairs = (bytes: Uint8Array) =>
      Array.from({ length: bytes.length / 2 }, (_, i) => bytes.subarray(2 * i, 2 * i + 2));
    const words = (bytes: Uint8Array) => pairs(swapped(bytes)).map((pair) => Buffer.from(pair).toString('hex'));
    const rows = (bytes: Uint8Array) => Array.from({ length: 5 }, (_, i) => words(bytes).slice(4 * i, 4 * i + 4));
    const array = (bytes: Uint8Array) =>
      `uint16_t ee[18] = {\n${words(bytes)
        .map((word) => `0x${word}, `)
        .join('')}\n};\n`;
    const lines = (bytes: Uint8Array) =>
      rows(bytes)
        .map((row, i) => `EE ${(8 * i).toString(16).padStart(2, '0')} = ${row.join(' ')}\n`)
        .join('');
    const forms = [
      { name: 'a.vmem', sign: '//', text: (bytes: Uint8Array) => `@0 ${words(bytes).join(' ')}\n` },
      { name: 'a.hexlist', sign: '//', text: (bytes: Uint8Array) => `${words(bytes).join(' ')}\n` },
      { name: 'a.txt', sign: '//', text: array },
      { name: 'a.cfgdump', sign: '#', text: lines, notation: { pattern: 'EE {label:hex} = {data}' } },
    ];
    for (const { name, sign, text, notation } of forms) {
      const from = name === 'a.txt' ? ['--from', 'hex-list'] : [];
      for (const said of ['profile', 'header', 'call']) {
        const profile = { ...PROFILE, notation, ...(said === 'profile' && { word: { bytes: 2, order: 'little' } }) };
        write('p.dump-profile.json', JSON.stringify(profile));
        const header = said === 'header' ? `${sign} @word 2le\n` : '';
        write(name, text(OFF) + header);
        const call = ['--profile', 'p.dump-profile.json', ...from, ...(said === 'call' ? ['--word', '2le'] : [])];
        // What a person says of the words of a pattern is said in its profile.
        if (said === 'call' && notation !== undefined) continue;
        assert.match(good('check', name, ...call), /all good/, `${name} ${said}`);
        good('set', name, 'wiper=yes', '--write', ...call);
        assert.equal(read(name), text(ON) + header, `${name} ${said}`);
      }
    }
  }).timeout(120_000);

  it('the headers of a file may say its words, in place of its profile', () => {
    write('p.dump-profile.json', JSON.stringify(PROFILE));
    write('a.hexdump', view(OFF, 'hexdump'));
    write('a.hexdump.dump-headers', '@profile p.dump-profile.json\n@word 2le\n');
    assert.match(good('check', 'a.hexdump'), /all good/);
    good('set', 'a.hexdump', 'wiper=yes', '--write');
    assert.equal(read('a.hexdump'), view(ON, 'hexdump'));
    write('a.hexdump.dump-headers', '@profile p.dump-profile.json\n@word 3le\n');
    assert.match(call('check', 'a.hexdump').stdout + call('check', 'a.hexdump').stderr, /--word|header-value/);
  });

  it('raw bytes that are saved swapped are read in the order of addresses by their profile, and stay swapped', () => {
    write('p.dump-profile.json', LITTLE);
    write('ee.bin', swapped(OFF));
    write('ee.bin.dump-headers', '@profile p.dump-profile.json\n');
    assert.match(good('check', 'ee.bin'), /all good/);
    good('set', 'ee.bin', 'wiper=yes', '--write');
    assert.deepEqual(bytesOf('ee.bin'), swapped(ON));
    // With the same word on the command line they are not turned twice.
    assert.match(good('check', 'ee.bin', '--word', '2le'), /all good/);
    good('convert', 'ee.bin', '--to', 'intel-hex', '--out', 'ee.hex');
    assert.match(good('check', 'ee.hex'), /all good/);
  });

  it('what is converted has each byte at its address in every form, and no word that would turn it again', () => {
    write('p.dump-profile.json', LITTLE);
    write(
      'n.dump-profile.json',
      JSON.stringify({ ...PROFILE, notation: 'hex-view', word: { bytes: 2, order: 'little' } }),
    );
    write('h.hexdump', view(OFF, 'hexdump'));
    write('h.hexdump.dump-headers', '@vin 1\n@word 2le\n');
    write('plain.bin', OFF);
    good('convert', 'plain.bin', '--to', 'intel-hex', '--out', 'said.hex');
    write('said.hex', `${read('said.hex')}; @word 2le\n`);
    write('named.hex', `${read('said.hex')}; @profile p.dump-profile.json\n`);
    write('view.txt', view(OFF, 'hexdump'));
    write('ee.bin', swapped(OFF));
    write('ee.bin.dump-headers', '@profile p.dump-profile.json\n');
    let count = 0;
    for (const source of [
      ['h.hexdump'],
      ['said.hex'],
      ['named.hex'],
      ['view.txt', '--profile', 'n.dump-profile.json'],
      ['ee.bin'],
    ])
      for (const to of ['dump-text', 's-record', 'binary']) {
        if (source[0] === 'ee.bin' && to === 'binary') continue;
        const out = `out${count++}.${to === 'binary' ? 'bin' : 'txt'}`;
        good('convert', ...source, '--to', to, '--out', out);
        const beside = existsSync(path(`${out}.dump-headers`)) ? read(`${out}.dump-headers`) : '';
        assert.doesNotMatch(read(out) + beside, /@word/, `${source} ${to}`);
        if (to === 'binary') assert.deepEqual(bytesOf(out), OFF, `${source} ${to}`);
        else {
          const form = to === 'dump-text' || to === 'hex-list' ? ['--from', to] : [];
          const again = `again${count++}.bin`;
          good('convert', out, ...form, '--to', 'binary', '--out', again);
          assert.deepEqual(bytesOf(again), OFF, `${source} ${to}`);
        }
      }
  }).timeout(120_000);

  it('a profile that would turn the bytes of a result is not named by it, which is said', () => {
    write('p.dump-profile.json', LITTLE);
    write('ee.bin', swapped(OFF));
    write('ee.bin.dump-headers', '@profile p.dump-profile.json\n');
    const { status, stdout, stderr } = call('convert', 'ee.bin', '--to', 'dump-text');
    assert.equal(status, 0, stderr);
    assert.doesNotMatch(stdout, /@profile/);
    assert.match(
      stderr,
      /not in the converted file: Row 1: the header "@profile p\.dump-profile\.json", whose profile/,
    );
    // Words are none of Intel HEX, so there the profile explains the bytes as they are.
    assert.match(good('convert', 'ee.bin', '--to', 'intel-hex'), /@profile p\.dump-profile\.json/);
  });

  it('a wrong "@word" is an error that stops what writes, proves or converts', () => {
    const plain = JSON.stringify(PROFILE);
    write('p.dump-profile.json', plain);
    write('good.bin', swapped(OFF));
    write('good.bin.dump-headers', '@profile p.dump-profile.json\n@word 2le\n');
    for (const [i, words] of [
      '@word 2Le',
      '@word',
      '@wrod 2le',
      '@Word 2le',
      '@ word 2le',
      '@word 2le\n@word 2be',
    ].entries()) {
      const [bin, text] = [`a${i}.bin`, `a${i}.cfgdump`];
      write(bin, OFF);
      write(`${bin}.dump-headers`, `@profile p.dump-profile.json\n${words}\n`);
      write(text, `@profile p.dump-profile.json\n${words}\n0: ${Buffer.from(OFF).toString('hex')}\n`);
      write(`${i}.hex`, `; ${words.replace('\n', '\n; ')}\n:0400000001020304F2\n:00000001FF\n`);
      for (const name of [bin, text]) {
        const checked = call('check', name);
        assert.notEqual(checked.status, 0, words);
        assert.match(checked.stdout, /header-word|header-repeated/, words);
        const before = bytesOf(name);
        assert.notEqual(call('set', name, 'wiper=yes', '--write').status, 0, words);
        assert.notEqual(call('fix', name, '--write').status, 0, words);
        assert.deepEqual(bytesOf(name), before, words);
        assert.notEqual(call('compare', name, name).status, 0, words);
        const { status, stderr } = call('convert', name, '--to', 'intel-hex');
        assert.equal(status, 2, words);
        assert.match(stderr, /@.*word|@wrod/i);
      }
      // Behind the sign of a comment, an "@" by itself is one.
      const isComment = words.startsWith('@ ');
      assert.equal(call('convert', `${i}.hex`, '--to', 'binary').status, isComment ? 0 : 2, words);
    }
  }).timeout(120_000);

  it('"--word" that contradicts the headers or the profile of a file is refused, naming both', () => {
    write('view.txt', view(OFF, 'hexdump'));
    for (const [profile, why] of [
      [{ ...PROFILE, notation: 'hex-view', word: { bytes: 2, order: 'little' } }, /"--word 2be".*2le/],
      [{ ...PROFILE, word: { bytes: 2, order: 'little' } }, /"--word 2be".*2le/],
      [{ ...PROFILE, notation: 'hex-view' }, /"--word 2be".*hex-view/],
    ] as const) {
      write('p.dump-profile.json', JSON.stringify(profile));
      const { status, stderr } = call('check', 'view.txt', '--profile', 'p.dump-profile.json', '--word', '2be');
      assert.equal(status, 2, JSON.stringify(profile));
      assert.match(stderr, why);
    }
    write('p.dump-profile.json', LITTLE);
    assert.match(good('check', 'view.txt', '--profile', 'p.dump-profile.json', '--word', '2le'), /all good/);
    write('ee.bin', swapped(OFF));
    write('ee.bin.dump-headers', '@word 2le\n');
    write('view.txt.dump-headers', '@word 2le\n');
    for (const name of ['ee.bin', 'view.txt']) {
      const { status, stderr } = call('check', name, '--word', '2be');
      assert.equal(status, 2, name);
      assert.match(stderr, /"--word 2be" contradicts its header "@word 2le"/);
      assert.equal(call('convert', name, '--word', '2be', '--to', 's-record').status, 2, name);
      assert.equal(call('convert', name, '--word', '2le', '--to', 's-record').status, 0, name);
    }
  });

  it('words that a form does not know are refused', () => {
    write('a.hex', ':0400000001020304F2\n:00000001FF\n');
    const { status, stderr } = call('check', 'a.hex', '--word', '2le');
    assert.equal(status, 2);
    assert.match(stderr, /Intel HEX has no words\. Leave "--word" out/);
    write(
      'p.dump-profile.json',
      JSON.stringify({ ...PROFILE, notation: 's-record', word: { bytes: 2, order: 'big' } }),
    );
    assert.match(call('check', 'p.dump-profile.json').stdout, /has no words/);
  });
});
