// Which files are read as what: text in UTF-8, text in another encoding, raw bytes, and what has its headers beside it.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { done } from '../../../shared-core/src/base/result.js';
import { codedFiles, type HowCoded, headersBeside, writtenAs } from '../../../shared-core/src/workspace/codedFiles.js';
import { fileOfBytes } from '../../../shared-core/src/workspace/wholeFile.js';
import { type MemoryFile, memoryHost, utf8 } from '../../support/memoryHost.js';

const at = (name: string) => `file:///car/${name}`;
const bytesOf = (...given: readonly number[]) => Uint8Array.from(given);
const RAW = bytesOf(0, 1, 2, 0xff);
const VIEW = '00000000: 1122 3344 5566 7788 99aa bbcc ddee ff00  ."3DUfw.........\n';

async function opened(name: string, files: Readonly<Record<string, MemoryFile>>, how: HowCoded = {}) {
  const host = memoryHost(new Map(Object.entries(files).map(([one, file]) => [at(one), file])));
  const coded = codedFiles(host, utf8, how);
  const file = await coded.open(at(name), { pipe: false });
  if (!file.ok) {
    assert.equal(host.left(), 0, 'a file that is refused is closed');
    return {
      why: say(file.why),
      text: '',
      inPieces: '',
      closed: '',
      coding: undefined,
      encode: () => 'none',
      hasRaw: false,
    };
  }
  const text = file.value.text();
  const closed = file.value.close();
  const again = await coded.open(at(name), { pipe: false });
  assert.ok(again.ok);
  const inPieces = Buffer.concat(Array.from(again.value.chunks(), (chunk) => Buffer.from(chunk))).toString();
  assert.equal(again.value.close().ok, closed.ok);
  assert.equal(host.left(), 0);
  const coding = coded.codingOf(at(name));
  return {
    why: '',
    text,
    inPieces,
    closed: closed.ok ? '' : say(closed.why),
    coding,
    hasRaw: coded.hasReadBinary(),
    encode: (whole: string) => {
      const made = coding?.encode(whole);
      if (made === undefined) return 'none';
      return made.ok ? [[...made.value.bytes], made.value.headers] : say(made.why);
    },
  };
}

describe('a file', () => {
  it('in UTF-8 is its text, and nothing is to be known of its encoding', async () => {
    const read = await opened('a.cfgdump', { 'a.cfgdump': '1: 01 # ü\n' });
    assert.deepEqual([read.text, read.coding, read.hasRaw, read.closed], ['1: 01 # ü\n', undefined, false, '']);
  });

  it('in another encoding is its text, which goes back to the same bytes or is refused', async () => {
    const bytes = bytesOf(...Buffer.from('1: 01 # '), 0xfc, 0x0a);
    const read = await opened('a.cfgdump', { 'a.cfgdump': bytes });
    assert.equal(read.text, '1: 01 # ü\n');
    assert.deepEqual(read.encode(read.text), [[...bytes], '']);
    assert.equal(read.encode('ő'), 'it holds characters that its encoding (windows-1252) does not have');
    assert.equal(read.coding?.isBinary, false);
    const wide = Uint8Array.from(Buffer.from('\ufeff1: 01\n', 'utf16le'));
    const other = await opened('a.cfgdump', { 'a.cfgdump': wide });
    assert.deepEqual([other.text, other.encode(other.text)], ['\ufeff1: 01\n', [[...wide], '']]);
  });

  it('is the same in pieces as in one', async () => {
    for (const [name, file] of Object.entries({
      'a.cfgdump': '1: 01 # ü\n',
      'a.bin': RAW,
      'b.cfgdump': bytesOf(0x23, 0xfc),
    })) {
      const read = await opened(name, { [name]: file });
      assert.equal(read.inPieces, read.text, name);
    }
  });

  it('that was raw bytes and is a text now is written as a text', async () => {
    const files = new Map<string, MemoryFile>([[at('a'), RAW]]);
    const coded = codedFiles(memoryHost(files), utf8);
    const open = async () => {
      const file = await coded.open(at('a'));
      assert.ok(file.ok && file.value.close().ok);
      return coded.codingOf(at('a'))?.isBinary;
    };
    assert.equal(await open(), true);
    files.set(at('a'), '1: 01\n');
    assert.equal(await open(), undefined);
    assert.equal(coded.hasReadBinary(), false);
  });

  it('that ends inside a character is not relied on', async () => {
    assert.match(
      (await opened('a.cfgdump', { 'a.cfgdump': bytesOf(0x31, 0xc3) })).closed,
      /cut off inside a character/,
    );
    const long = bytesOf(...Buffer.from('1: 01 # '), 0xf0, 0x9f, 0x98);
    assert.match((await opened('a.cfgdump', { 'a.cfgdump': long })).closed, /cut off inside a character/);
    const cut = bytesOf(...Buffer.from('1: 01 # '), 0xc3);
    assert.match((await opened('a.cfgdump', { 'a.cfgdump': cut })).closed, /cut off inside a character \(utf-8\)/);
    const odd = bytesOf(0xff, 0xfe, 0x31);
    assert.match((await opened('a.cfgdump', { 'a.cfgdump': odd })).why, /cut off inside a character \(utf-16le\)/);
    assert.equal((await opened('a.cfgdump', { 'a.cfgdump': '1: 01 # \ufffd' })).closed, '');
  });

  it('that is no text is raw bytes unless its name promises a text', async () => {
    const read = await opened('a.bin', { 'a.bin': RAW });
    assert.equal(read.text, '0x0000: 00 01 02 FF\n');
    assert.deepEqual([read.coding?.isBinary, read.hasRaw, read.closed], [true, true, '']);
    assert.deepEqual(read.encode('0x0000: 00 01\n'), [[0, 1], '']);
    const promised = await opened('a.cfgdump', { 'a.cfgdump': RAW });
    assert.deepEqual([promised.coding, promised.hasRaw], [undefined, false]);
    assert.equal((await opened('a.bin', { 'a.bin': bytesOf() })).coding, undefined);
    const view = { offset: 0x10, word: '2le' } as const;
    assert.equal((await opened('a.bin', { 'a.bin': RAW }, { view })).text, '0x0010: 01 00 FF 02\n');
    assert.match((await opened('a.bin', { 'a.bin': bytesOf(0, 1, 2) }, { view })).why, /no whole words of 2/);
  });

  it('that is neither UTF-8 nor mostly text is raw bytes without a zero byte too', async () => {
    const file = bytesOf(...Array<number>(20).fill(0xff), 0x41, 0xa5);
    for (const name of ['a.bin', 'a.dat', 'a']) {
      const read = await opened(name, { [name]: file });
      assert.equal(read.coding?.isBinary, true, name);
      assert.deepEqual(read.encode(read.text), [[...file], '']);
    }
    const german = bytesOf(...Buffer.from('1: 01 02 # '), 0xfc, 0x0a);
    assert.equal((await opened('a.txt', { 'a.txt': german })).coding?.isBinary, false);
  });

  it('of hex digits alone may be raw bytes or text in hex, which a person is to say', async () => {
    const why = async (text: string, name = 'a.dat') => (await opened(name, { [name]: text })).why;
    const UNSAID = /^It holds hex digits and nothing else/;
    for (const digit of ['0', '9', 'A', 'F', 'a', 'f']) assert.match(await why(`12${digit}${digit}`), UNSAID, digit);
    for (const other of ['/', ':', '@', 'G', '`', 'g', '\n', ' '])
      assert.doesNotMatch(await why(`12${other}a`), UNSAID, other);
    assert.doesNotMatch(await why('12af', 'a.cfgdump'), UNSAID);
  });

  it('that ends in ".bin" is raw bytes unless it is a text of hex', async () => {
    const read = await opened('a.BIN', { 'a.BIN': '~~~~OPQRSTUVWXYZ' });
    assert.deepEqual([read.coding?.isBinary, read.why], [true, '']);
    assert.equal((await opened('a.dat', { 'a.dat': '~~~~OPQRSTUVWXYZ' })).coding, undefined);
    for (const text of ['1: 01 02\n', ':0400000001020304F2\n:00000001FF\n', '@profile a.dump-profile.json\n'])
      assert.equal((await opened('a.bin', { 'a.bin': text })).coding, undefined, text);
  });

  it('of many raw bytes is all of them, in however many pieces it is read', async () => {
    const large = Uint8Array.from({ length: 300_000 }, (_, at) => at % 251);
    const read = await opened('a.bin', { 'a.bin': large });
    assert.deepEqual(read.encode(read.text), [[...large], '']);
  });

  it('of raw bytes that is larger than what is of use is refused before all of it is read', async () => {
    const left = { closed: 0 };
    const huge = {
      ...fileOfBytes(RAW, utf8),
      size: 3 * 2 ** 30,
      chunks: function* () {
        yield RAW;
        assert.fail('more is read than what tells what it is');
      },
      close: () => {
        left.closed++;
        return done(undefined);
      },
    };
    const coded = codedFiles({ ...memoryHost(new Map()), open: async () => done(huge) }, utf8);
    const whyOf = async (most?: number) => {
      const file = await coded.open(at('huge'), most === undefined ? undefined : { most });
      return file.ok ? 'opened' : say(file.why);
    };
    assert.equal(await whyOf(50 * 1024 * 1024), 'it is larger than 50 MB');
    assert.equal(await whyOf(), 'it is larger than 500 MB');
    assert.equal(left.closed, 2);
  });

  it('whose size is that of a text in ASCII is all of its bytes, in however many pieces', async () => {
    const text = 'ü'.repeat(300_000);
    const read = await opened('a.bin', { 'a.bin': text }, { saidForm: () => 'binary' });
    assert.deepEqual(read.encode(read.text), [[...Buffer.from(text)], '']);
  });

  it('is raw bytes where a person says so, whatever it looks like', async () => {
    const saidForm = () => 'binary';
    const cut = await opened(
      'a.cfgdump',
      { 'a.cfgdump': bytesOf(0x31, 0xc3), 'a.cfgdump.dump-headers': '@part A\n' },
      { saidForm },
    );
    assert.deepEqual([cut.text, cut.closed], ['@part A\n0x0000: 31 C3\n', '']);
    for (const name of ['a.bin', 'a.cfgdump'])
      assert.equal((await opened(name, { [name]: '12' }, { saidForm })).text, '0x0000: 31 32\n');
  });

  it('that is mostly text is no raw bytes, unless headers are beside it or a person says so', async () => {
    const mixed = bytesOf(...Buffer.from('1: 01 02\n'), 0);
    assert.match(
      (await opened('a.bin', { 'a.bin': mixed })).why,
      /^Most of it is text, .* "a\.bin\.dump-headers" beside it\.$/,
    );
    assert.equal((await opened('a.bin', { 'a.bin': mixed, 'a.bin.dump-headers': '' })).why, '');
    assert.equal((await opened('a.bin', { 'a.bin': mixed }, { saidForm: () => 'binary' })).why, '');
    assert.match(
      (await opened('a.bin', { 'a.bin': mixed, 'a.bin.dump-headers': { fails: 'EACCES' } })).why,
      /headers in the file beside it cannot be read/,
    );
  });

  it('of another kind is no dump, whatever its name, unless headers are beside it or a person says so', async () => {
    const picture = bytesOf(...Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'), 0, 0, 0, 13);
    for (const name of ['photo.png', 'a.bin', 'a.cfgdump', 'a.hex'])
      assert.match(
        (await opened(name, { [name]: picture })).why,
        new RegExp(
          `^It is a picture \\(PNG\\), not a dump\\. If .*, say so by a file "${name}\\.dump-headers" beside it\\.$`,
        ),
      );
    // What only the command line has is named there alone.
    assert.match(
      (await opened('a.bin', { 'a.bin': picture }, { hasOption: true })).why,
      /, say so by "--from binary" or a file "a\.bin\.dump-headers" beside it\.$/,
    );
    const digits = await opened('a.bin', { 'a.bin': '0102' });
    assert.match(digits.why, /^It holds hex digits and nothing else.*\. Give its name the ending of a form\.$/);
    assert.match(
      (await opened('a.cfgdump', { 'a.cfgdump': '%PDF-1.7\n1: 01 | 01\n' })).why,
      /^It is a document \(PDF\)/,
    );
    assert.equal((await opened('a.bin', { 'a.bin': picture, 'a.bin.dump-headers': '' })).why, '');
    assert.equal((await opened('a.bin', { 'a.bin': picture }, { saidForm: () => 'binary' })).why, '');
    assert.match((await opened('a.bin', { 'a.bin': picture }, { saidForm: () => 'hex-list' })).why, /^It is a picture/);
  });

  it('has its headers beside it where it is raw bytes or a form without a place for them', async () => {
    const raw = await opened('a.bin', { 'a.bin': RAW, 'a.bin.dump-headers': '@part A' });
    assert.equal(raw.text, '@part A\n0x0000: 00 01 02 FF\n');
    assert.deepEqual(raw.encode(raw.text), [[...RAW], '@part A\n']);
    const view = await opened('a.xxd', { 'a.xxd': VIEW, 'a.xxd.dump-headers': '@part A\n' });
    assert.equal(view.text, `${VIEW}@part A\n`);
    assert.deepEqual([view.coding?.isBinary, view.hasRaw], [false, false]);
    const plain = await opened('a.txt', { 'a.txt': VIEW, 'a.txt.dump-headers': '@part A\n' });
    assert.equal(plain.text, `${VIEW}@part A\n`, 'where its name promises no form');
    assert.deepEqual(view.encode(view.text.replace('A\n', 'B\n')), [[...Buffer.from(VIEW)], '@part B\n']);
    assert.match(String(view.encode(view.text.replace(VIEW, `# x\n${VIEW}\n# y\nwhat\n`))), /begins with "@" or "#"/);
    const json = { 'p.dump-profile.json': '{}', 'p.dump-profile.json.dump-headers': '1: 01\n' };
    const profile = await opened('p.dump-profile.json', json);
    assert.deepEqual([profile.text, profile.coding], ['{}', undefined]);
    assert.equal((await opened('a.xxd', { 'a.xxd': VIEW })).text, VIEW);
  });

  it('is refused where its own text has a place for headers and there are some beside it, which nobody would see', async () => {
    const latin = bytesOf(0x23, 0xfc);
    for (const [name, own, beside] of [
      ['a.cfgdump', '1: 01\n', '@part A\n'],
      ['a.cfgdump', latin, { fails: 'EACCES' }],
      ['a', '1: 01\n', '@part A\n'],
      ['a.hex', ':00000001FF\n', '@part A\n'],
    ] as const) {
      assert.equal((await opened(name, { [name]: own })).why, '');
      const { why } = await opened(name, { [name]: own, [`${name}.dump-headers`]: beside });
      assert.ok(why.includes(`those in ${name}.dump-headers would not be read`), `${name}: ${why}`);
    }
  });

  it('is refused where one of its own rows would be taken for a header, or what is beside it is none', async () => {
    const odd = { 'a.xxd': `${VIEW}# x\n`, 'a.xxd.dump-headers': '@part A\n' };
    assert.match((await opened('a.xxd', odd)).why, /^row 2 begins with "@" or "#"/);
    assert.match((await opened('a.xxd', { ...odd, 'a.xxd': `# x\n${VIEW}` })).why, /^row 1 begins with "@" or "#"/);
    const latin = bytesOf(...Buffer.from(`${VIEW}# `), 0xfc);
    assert.equal((await opened('a.xxd', { 'a.xxd': latin })).text, `${VIEW}# ü`, 'without headers beside it');
    for (const name of ['a.xxd', 'a.bin']) {
      const files = { 'a.xxd': VIEW, 'a.bin': RAW, [`${name}.dump-headers`]: '@part A\n01 02\n' };
      assert.match((await opened(name, files)).why, /^row 2 of a\.\w+\.dump-headers is no header/);
    }
  });
});

describe('the headers beside a file', () => {
  const beside = async (file?: MemoryFile) => {
    const host = memoryHost(new Map(file === undefined ? [] : [[at('a.bin.dump-headers'), file]]));
    const read = await headersBeside(host, at('a.bin'));
    assert.equal(host.left(), 0);
    return read.ok ? read.value : `! ${say(read.why)}`;
  };

  it('are its text, none where there is no such file, and refused where it cannot be read', async () => {
    assert.equal(await beside('@part A\n\n# x\n'), '@part A\n\n# x\n');
    assert.equal(await beside(), '');
    assert.match(await beside({ fails: 'EACCES' }), /^! the headers in the file beside it cannot be read: not allowed/);
    assert.match(await beside({ changing: '@part A\n' }), /^! it was changed while it was read/);
    assert.match(await beside('1: 01\n'), /^! row 1 of a\.bin\.dump-headers is no header/);
  });
});

describe('the form of a file, for people and scripts', () => {
  it('is "binary" of raw bytes and the id of its form else', async () => {
    const { coding } = await opened('a.bin', { 'a.bin': RAW });
    assert.deepEqual([writtenAs(coding, 'x'), writtenAs(undefined, 'x')], ['binary', 'x']);
  });
});
