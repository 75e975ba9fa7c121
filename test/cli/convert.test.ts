// What a conversion makes of a dump, and what it says is not in it; each in this process.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { describe, it } from 'mocha';
import { demoBench } from '../support/demoBench.js';

describe('a conversion', () => {
  const { path, read, write, run, refused, files } = demoBench([]);
  const IMAGE = ':0410000001020304E2\n:0400000500001000E7\n:00000001FF\n';
  const WORDS = '0000: 0201 0403 0605 0807\n';
  const bytesOf = (name: string) => [...readFileSync(path(name))];

  it('has as many bytes in a line as are said, one or more', async () => {
    write('a.hex', IMAGE);
    const records = async (...words: readonly string[]) =>
      (await run('convert', 'a.hex', '--to', 's-record', ...words)).text.match(/^S1.*$/gm)?.length;
    assert.deepEqual([await records(), await records('--width', '1'), await records('--width', '3')], [1, 4, 2]);
    await refused(
      /"--width": "0" was given; a number from 1 to 250 is wanted/,
      'convert',
      'a.hex',
      '--to',
      's-record',
      '--width',
      '0',
    );
    await refused(/"--to" is missing/, 'convert', 'a.hex');
  });

  it('stores words as they are said where the dump knows none, and says so beside them', async () => {
    write('a.hex', IMAGE);
    const to = ['--to', 'binary', '--offset', '0x1000'] as const;
    assert.equal((await run('convert', 'a.hex', ...to, '--out', 'a.bin')).status, 0);
    assert.deepEqual([bytesOf('a.bin'), files().has('a.bin.dump-headers')], [[1, 2, 3, 4], false]);
    assert.equal((await run('convert', 'a.hex', ...to, '--word', '2le', '--out', 'b.bin')).status, 0);
    assert.deepEqual([bytesOf('b.bin'), read('b.bin.dump-headers')], [[2, 1, 4, 3], '@word 2le\n']);
    write('w.txt', WORDS);
    assert.equal((await run('convert', 'w.txt', '--to', 'binary', '--word', '2le', '--out', 'w.bin')).status, 0);
    assert.deepEqual([bytesOf('w.bin'), files().has('w.bin.dump-headers')], [[1, 2, 3, 4, 5, 6, 7, 8], false]);
  });

  it('of raw bytes into raw bytes is none', async () => {
    write('a.bin', Uint8Array.of(1, 2, 3, 4));
    await refused(
      /This file is written in that form already/,
      'convert',
      'a.bin',
      '--from',
      'binary',
      '--to',
      'binary',
    );
  });

  it('names what is not in it: comments, and in raw bytes a start address', async () => {
    write('a.hex', `${IMAGE}; @part A\n; hello\n`);
    const lost = async (name: string, ...words: readonly string[]) =>
      (await run('convert', name, ...words)).notes
        .replaceAll(`${path(name)}: not in the converted file: `, '')
        .split('\n');
    assert.deepEqual(await lost('a.hex', '--to', 's-record'), ['Row 5: the comment "; hello"']);
    assert.deepEqual((await lost('a.hex', '--to', 'binary', '--offset', '0x1000', '--out', 'a.bin')).sort(), [
      'Row 2: the start address 1000',
      'Row 5: the comment "; hello"',
    ]);
  });

  it('into S-records takes the shortest that hold the highest address for all, and the end that goes with them', async () => {
    const kinds = async (...addresses: readonly string[]) => {
      write('a.cfgdump', addresses.map((address) => `${address}: 01\n`).join(''));
      const { text, notes } = await run('convert', 'a.cfgdump', '--to', 's-record');
      return text === '' ? notes : text.match(/^S[1-36-9]/gm)?.join(' ');
    };
    assert.equal(await kinds('0x0', '0xFFFF'), 'S1 S1 S9');
    assert.equal(await kinds('0xFFFF', '0x10000'), 'S2 S2 S8');
    assert.equal(await kinds('0xFFFFFF'), 'S2 S8');
    assert.equal(await kinds('0x1000000'), 'S3 S7');
    assert.equal(await kinds('0x10', '0xFFFFFFFF'), 'S3 S3 S7');
  });
});
