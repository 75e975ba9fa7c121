// Memories of words in forms without a column of addresses for each byte: Verilog memory, lists of hex, and patterns of a user's own.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, it } from 'mocha';
import { checkDump } from '../../shared-core/src/checks/index.js';
import { hexList } from '../../shared-core/src/format/hexList.js';
import { textAfter } from '../../shared-core/src/format/index.js';
import { inWords } from '../../shared-core/src/format/inWords.js';
import type { Notation } from '../../shared-core/src/format/notation.js';
import { recognise } from '../../shared-core/src/format/notationOf.js';
import { compilePattern } from '../../shared-core/src/format/pattern.js';
import { readRows, textOfRows } from '../../shared-core/src/format/rows.js';
import { verilog } from '../../shared-core/src/format/verilog.js';
import { WORDS, type Word } from '../../shared-core/src/format/word.js';
import type { Dump } from '../../shared-core/src/model/dump.js';
import { changeDump } from '../../shared-core/src/model/gate.js';
import { bind } from '../../shared-core/src/model/index.js';
import { lastIndexUpTo } from '../../shared-core/src/model/layout.js';
import { EMPTY_PROFILE, readProfile } from '../../shared-core/src/profile/index.js';
import { makeFolder } from '../support/folder.js';
import { bytesAt } from '../support/images.js';
import { loaded } from '../support/loaded.js';
import { whyNotStarted } from '../support/programs.js';

const NONE = { kind: 'none' } as const;
const BY_ADDRESS = readProfile('{ "format": 1, "addresses": { "from": 0, "to": "0xFFFFFF" } }').profile;

const read = (text: string, form: Notation, word: Word, profile = EMPTY_PROFILE): Dump => {
  const notation = inWords(form, word);
  return bind(readRows(text, notation), notation, profile);
};
const errorsOf = (dump: Dump) => checkDump(loaded(dump, NONE, NONE)).filter(({ severity }) => severity === 'error');
const rowErrors = (dump: Dump) => errorsOf(dump).filter(({ code }) => code !== 'address-missing');
const mapOf = (bytes: Uint8Array, from = 0) => new Map(Array.from(bytes, (byte, i) => [from + i, byte]));
const turned = (bytes: Uint8Array, size: number) =>
  bytes.map((_, i) => bytes[i - (i % size) + size - 1 - (i % size)] as number);

/** Lengths of whole words, all values, and text that looks like digits. */
const SAMPLES: readonly Uint8Array[] = [
  ...Array.from({ length: 9 }, (_, i) => Uint8Array.from({ length: 8 * i + 8 }, (_, j) => (j * 37 + 0x31 + i) & 0xff)),
  Buffer.from('0x3132, 33 34 35 and 36373839 in it, 3132'.padEnd(48)),
];

/** A tool that writes bytes in words of an order. */
interface Writer {
  readonly name: string;
  readonly word: Word;
  readonly write: (bytes: Uint8Array) => string;
}

describe('memories of words', () => {
  const folder = makeFolder();
  const made = (bytes: Uint8Array, command: string, ...args: readonly string[]): string => {
    const [source, target] = [join(folder.path, 'in.bin'), join(folder.path, 'out.txt')];
    writeFileSync(source, bytes);
    const words = args.map((word) => (word === 'IN' ? source : word === 'OUT' ? target : word));
    const { status, stdout, stderr, error } = spawnSync(command, words);
    assert.equal(status, 0, whyNotStarted(command, error) ?? String(stderr));
    return words.includes(target) ? readFileSync(target, 'latin1') : stdout.toString('latin1');
  };
  const srecord =
    (...args: readonly string[]) =>
    (bytes: Uint8Array) =>
      made(bytes, 'srec_cat', 'IN', '-binary', ...args);
  const objcopy = (bytes: Uint8Array, size: number) =>
    made(bytes, 'objcopy', '-I', 'binary', '-O', 'verilog', `--verilog-data-width=${size}`, 'IN', 'OUT');

  const vmem: readonly Writer[] = [
    ...([2, 4] as const).flatMap((size): Writer[] => [
      { name: `srec_cat -vmem ${8 * size}`, word: `${size}be`, write: srecord('-o', '-', '-vmem', String(8 * size)) },
      {
        name: `srec_cat -byte-swap ${size} -vmem ${8 * size}`,
        word: `${size}le`,
        write: srecord('-byte-swap', String(size), '-o', '-', '-vmem', String(8 * size)),
      },
      { name: `objcopy --verilog-data-width=${size}`, word: `${size}be`, write: (bytes) => objcopy(bytes, size) },
      {
        name: `objcopy --verilog-data-width=${size} of swapped bytes`,
        word: `${size}le`,
        write: (bytes) => objcopy(turned(bytes, size), size),
      },
      {
        name: `objcopy --verilog-data-width=1 of bytes that are saved in words of ${size}`,
        word: `${size}le`,
        write: (bytes) => objcopy(turned(bytes, size), 1),
      },
    ]),
  ];
  const numbers = (text: string) =>
    `${text.trim().replace(/\S+/g, '0x$&,').replace(/ *0x/g, ' 0x').replace(/^ +/gm, '')}\n`;
  const lists: readonly Writer[] = [
    {
      name: 'srec_cat -C-Array -output-word',
      word: '2le',
      write: (bytes) => srecord('-o', '-', '-C-Array', 'a', '-output-word')(bytes).replace(/(?<=\};\n)[\s\S]*/, ''),
    },
    { name: 'od -A n -t x2', word: '2le', write: (bytes) => made(bytes, 'od', '-v', '-A', 'n', '-t', 'x2', 'IN') },
    {
      name: 'od -A n -t x4 --endian=big',
      word: '4be',
      write: (bytes) => made(bytes, 'od', '-v', '-A', 'n', '-t', 'x4', '--endian=big', 'IN'),
    },
    {
      name: 'od -A n -t x4 as numbers',
      word: '4le',
      write: (bytes) => numbers(made(bytes, 'od', '-v', '-A', 'n', '-t', 'x4', 'IN')),
    },
    {
      name: 'od -A n -t x2 as an array',
      word: '2le',
      write: (bytes) =>
        `uint16_t a[${bytes.length / 2}] = {\n${numbers(made(bytes, 'od', '-v', '-A', 'n', '-t', 'x2', 'IN'))}};\n`,
    },
    { name: 'xxd -p of swapped bytes', word: '2le', write: (bytes) => made(turned(bytes, 2), 'xxd', '-p', 'IN') },
    {
      name: 'xxd -i of bytes that are saved in words of 4',
      word: '4le',
      write: (bytes) => made(turned(bytes, 4), 'xxd', '-i', 'IN'),
    },
  ];

  for (const [form, writers, profile] of [
    [verilog, vmem, EMPTY_PROFILE],
    [hexList, lists, EMPTY_PROFILE],
  ] as const)
    for (const { name, word, write } of writers)
      it(`what "${name}" writes is read in ${word} as the bytes that it was given, and a byte that is changed gives what it writes of that`, () => {
        for (const bytes of SAMPLES) {
          const text = write(bytes);
          const dump = read(text, form, word, profile);
          assert.equal(textOfRows(dump.rows), text);
          assert.deepEqual(bytesAt(dump), mapOf(bytes), text);
          assert.deepEqual(errorsOf(dump), [], text);
          for (const address of [0, bytes.length >> 1, bytes.length - 1]) {
            const value = (bytes[address] as number) ^ 0x15;
            const changed = bytes.map((byte, i) => (i === address ? value : byte));
            assert.equal(textWith(dump, address, value).toLowerCase(), write(changed).toLowerCase(), text);
          }
        }
      });

  function textWith(dump: Dump, address: number, value: number): string {
    const at = lastIndexUpTo(dump.layout, address);
    const cell = { row: dump.layout.order[at] as number, byte: address - (dump.layout.keys[at] as number) };
    const change = changeDump(dump, { writes: [{ ...cell, value, reason: 'option' }] });
    assert.ok(change.ok, textOfRows(dump.rows));
    return textAfter(dump.rows, change.value.edits);
  }

  const [bytes = new Uint8Array(0)] = SAMPLES.slice(5);

  it('by a pattern have the bytes of each group, or those that are saved turned, at their addresses, and so the characters beside them', () => {
    const listing = (line: (at: number, part: Uint8Array) => string) =>
      Array.from({ length: Math.ceil(bytes.length / 16) }, (_, i) =>
        line(16 * i, bytes.subarray(16 * i, 16 * i + 16)),
      ).join('');
    const hexOf = (part: Uint8Array, size: number) =>
      Buffer.from(part)
        .toString('hex')
        .toUpperCase()
        .match(new RegExp(`.{${2 * size}}`, 'g')) ?? [];
    const charactersOf = (part: Uint8Array) =>
      Array.from(part, (byte) => (byte > 0x20 && byte < 0x7f ? String.fromCharCode(byte) : '.')).join('');
    const at = (address: number) => address.toString(16).padStart(4, '0');
    for (const [pattern, size, line] of [
      [
        'EE {label:hex} = {data}',
        2,
        (a: number, part: Uint8Array) => `EE ${at(a)} = ${hexOf(turned(part, 2), 2).join(' ')}\n`,
      ],
      [
        'EE {label:hex} = {data}',
        2,
        (a: number, part: Uint8Array) => `EE ${at(a)} = ${hexOf(turned(part, 2), 1).join(' ')}\n`,
      ],
      ['{label:hex};{data:;}', 4, (a: number, part: Uint8Array) => `${at(a)};${hexOf(turned(part, 4), 4).join(';')}\n`],
      [
        '{label:hex};{data:0x,}',
        4,
        (a: number, part: Uint8Array) => `${at(a)};0x${hexOf(turned(part, 4), 4).join(',0x')}\n`,
      ],
      [
        '{label:hex}: {data} {characters}',
        2,
        (a: number, part: Uint8Array) => `${at(a)}: ${hexOf(turned(part, 2), 2).join(' ')}  ${charactersOf(part)}\n`,
      ],
      [
        '{label:hex}: {data} [{characters}]',
        4,
        (a: number, part: Uint8Array) => `${at(a)}: ${hexOf(turned(part, 4), 4).join(' ')} [${charactersOf(part)}]\n`,
      ],
      [
        '{label:hex}: {data} {characters}',
        2,
        (a: number, part: Uint8Array) =>
          `${at(a)}: ${hexOf(turned(part, 2), 1).join(' ')}  ${charactersOf(turned(part, 2))}\n`,
      ],
    ] as const) {
      const compiled = compilePattern(pattern, 'report');
      assert.ok(compiled.ok, pattern);
      const text = listing(line);
      const dump = read(text, compiled.value, `${size}le`, BY_ADDRESS);
      assert.deepEqual(bytesAt(dump), mapOf(bytes), text);
      assert.deepEqual(rowErrors(dump), [], text);
      const changed = textWith(dump, 5, 0x41);
      const again = read(changed, compiled.value, `${size}le`, BY_ADDRESS);
      assert.deepEqual(bytesAt(again), mapOf(bytes.map((byte, i) => (i === 5 ? 0x41 : byte))), changed);
      assert.deepEqual(rowErrors(again), [], changed);
      assert.equal(textWith(again, 5, bytes[5] as number), text);
    }
  });

  it('whose digits are no whole words are wrong where they are, and nothing is written', () => {
    for (const [text, form, word] of [
      ['@0 3132 3334\n', verilog, '4le'],
      ['@0 31323334\n', verilog, '2be'],
      ['@1 31 32\n', verilog, '2le'],
      ['@1\n31 32\n', verilog, '2le'],
      ['31 32 33\n', verilog, '2le'],
      ['0x3132, 0x33343536,\n', hexList, '2le'],
      ['0x3132, 0x33,\n', hexList, '2le'],
      ['0x3132, 0x3334,\n0x35, 0x36,\n', hexList, '2le'],
      ['0x31, 0x32, 0x33,\n', hexList, '2le'],
      ['313233\n', hexList, '2le'],
      ['uint32_t a[] = { 0x3132, 0x3334 };\n', hexList, '2le'],
      ['unsigned char a[] = { 0x3132, 0x3334 };\n', hexList, '2le'],
      ['long long a[] = { 0x31323334 };\n', hexList, '4le'],
      ['uint16_t *a[] = { 0x3132 };\n', hexList, '2le'],
      ['uint16_t a[3] = { 0x3132, 0x3334 };\n', hexList, '2le'],
      ['uint16_t a[2] = { 0x31, 0x33 };\n', hexList, '2le'],
      ['uint16_t a[] = { 3132, 3334 };\n', hexList, '2le'],
    ] as const) {
      const dump = read(text, form, word);
      assert.notDeepEqual(errorsOf(dump), [], text);
      const row = dump.rows.findIndex((one) => one.kind === 'record' && one.count > 0);
      if (row >= 0)
        assert.equal(changeDump(dump, { writes: [{ row, byte: 0, value: 0, reason: 'option' }] }).ok, false, text);
    }
    for (const [text, form, word] of [
      ['@3 3132 3334\n', verilog, '2le'],
      ['@2\n31 32\n', verilog, '2le'],
      ['const unsigned short a[2] = { 0x3132, 0x3334 };\n', hexList, '2le'],
      ['int a[0x1] = {\n0x31323334\n};\n', hexList, '4be'],
      ['unsigned char a[4] = { 0x31, 0x32, 0x33, 0x34 };\n', hexList, '2le'],
    ] as const)
      assert.deepEqual(errorsOf(read(text, form, word)), [], text);
  });

  it('in a list are asked for, with the words that fit, and never read without', () => {
    const choices = (name: string, text: string) => {
      const found = recognise(name, text);
      return found.kind === 'unclear' ? found.forms.map(({ id, word }) => `${id} ${word ?? ''}`.trim()) : found.form.id;
    };
    for (const name of ['saved.txt', 'saved.hexlist']) {
      assert.deepEqual(choices(name, '0x3132, 0x3334,\n'), ['hex-list 2le', 'hex-list 2be']);
      assert.deepEqual(choices(name, 'uint32_t a[] = {\n0x31323334, 0x35363738\n};\n'), [
        'hex-list 4le',
        'hex-list 4be',
      ]);
    }
    assert.deepEqual(choices('saved.txt', '3132 3334\n'), ['verilog', 'hex-list', 'hex-list 2le', 'hex-list 2be']);
    assert.deepEqual(choices('saved.hexlist', '3132 3334\n'), ['hex-list 2le', 'hex-list 2be']);
    assert.deepEqual(choices('saved.vmem', '3132 3334\n'), 'verilog');
    for (const text of ['0x3132, 0x3334,\n', '3132 3334\n', '3132, 3334\n'])
      assert.notDeepEqual(errorsOf(bind(readRows(text, hexList), hexList, EMPTY_PROFILE)), [], text);
  });

  it('are read as they are printed', () => {
    for (const word of WORDS)
      for (const form of [verilog, hexList]) {
        const notation = inWords(form, word);
        const type = form === verilog ? 9 : 0;
        const text = notation.print({ label: 0, type, data: bytes, sum: new Uint8Array(0) });
        assert.deepEqual(bytesAt(read(text, form, word)), mapOf(bytes), text);
      }
  });
});
