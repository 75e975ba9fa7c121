import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { checkDump } from '../../shared-core/src/checks/index.js';
import { hexView } from '../../shared-core/src/format/hexView.js';
import { textAfter } from '../../shared-core/src/format/index.js';
import { inWords } from '../../shared-core/src/format/inWords.js';
import { recognise } from '../../shared-core/src/format/notationOf.js';
import { readRows, textOfRows } from '../../shared-core/src/format/rows.js';
import { WORDS, type Word } from '../../shared-core/src/format/word.js';
import type { Dump } from '../../shared-core/src/model/dump.js';
import { changeDump } from '../../shared-core/src/model/gate.js';
import { bind } from '../../shared-core/src/model/index.js';
import { lastIndexUpTo } from '../../shared-core/src/model/layout.js';
import { EMPTY_PROFILE } from '../../shared-core/src/profile/index.js';
import { bytesAt } from '../support/images.js';
import { loaded } from '../support/loaded.js';
import { whyNotStarted } from '../support/programs.js';

const NONE = { kind: 'none' } as const;

function run(input: Uint8Array, [command = '', ...args]: readonly string[]): string {
  const { status, stdout, stderr, error } = spawnSync(command, args, { input });
  assert.equal(status, 0, whyNotStarted(command, error) ?? String(stderr));
  return stdout.toString('latin1');
}

const VIEWERS: readonly (readonly [Word, ...string[]])[] = [
  ['4le', 'xxd', '-e'],
  ['2le', 'xxd', '-e', '-g2'],
  ['2le', 'xxd', '-e', '-g2', '-c', '8', '-u'],
  ['2be', 'xxd', '-g2'],
  ['4be', 'xxd', '-g4'],
  ['2le', 'hexdump'],
  ['2le', 'hexdump', '-x', '-v'],
  ['2le', 'od', '-A', 'x', '-t', 'x2'],
  ['2le', 'od', '-A', 'x', '-t', 'x2z', '-v'],
  ['4le', 'od', '-A', 'x', '-t', 'x4'],
  ['4le', 'od', '-A', 'x', '-t', 'x4z'],
  ['2be', 'od', '-A', 'x', '-t', 'x2', '--endian=big'],
  ['4be', 'od', '-A', 'x', '-t', 'x4z', '--endian=big'],
];

/** All lengths of a last row, all values, text that looks like words, and stretches that repeat. */
const SAMPLES: readonly Uint8Array[] = [
  ...Array.from({ length: 35 }, (_, count) => Uint8Array.from({ length: count + 1 }, (_, i) => (i * 37 + 0x31) & 0xff)),
  Uint8Array.from({ length: 300 }, (_, i) => (i * 37 + (i >> 3)) & 0xff),
  Buffer.from(' 65   31  3231 and blanks: 41 42  ABCD  33 34 at its end  65  3132    65  '),
  new Uint8Array(171),
  Uint8Array.from([...new Uint8Array(64).fill(0x41), 0x31, 2, 3, ...new Uint8Array(61), ...new Uint8Array(160)]),
];

function read(text: string, word: Word): Dump {
  const form = inWords(hexView, word);
  return bind(readRows(text, form), form, EMPTY_PROFILE);
}

const errorsOf = (dump: Dump) => checkDump(loaded(dump, NONE, NONE)).filter(({ severity }) => severity === 'error');

describe('views of words', () => {
  const views = new Map<string, string>();
  /** What a viewer prints of some bytes; each is asked once. */
  const view = (bytes: Uint8Array, viewer: readonly string[]): string => {
    const key = `${viewer.join(' ')} ${bytes}`;
    const known = views.get(key) ?? run(bytes, viewer);
    views.set(key, known);
    return known;
  };

  for (const [word, ...viewer] of VIEWERS) {
    const name = viewer.join(' ');
    it(`what "${name}" prints is read in ${word} as the bytes that it was given, at their addresses`, () => {
      for (const bytes of SAMPLES) {
        const text = view(bytes, viewer);
        const dump = read(text, word);
        assert.equal(textOfRows(dump.rows), text);
        assert.deepEqual(bytesAt(dump), new Map(Array.from(bytes, (byte, i) => [i, byte])), text);
        assert.deepEqual(errorsOf(dump), [], text);
      }
    });

    it(`a byte that is changed in what "${name}" prints gives what that prints of the changed bytes`, () => {
      for (const bytes of SAMPLES.filter((_, i) => i % 3 === 0)) {
        const text = view(bytes, viewer);
        if (text.includes('*')) continue;
        const dump = read(text, word);
        for (const address of [0, bytes.length >> 1, bytes.length - 1]) {
          const value = (bytes[address] as number) ^ 0x15;
          const at = lastIndexUpTo(dump.layout, address);
          const cell = { row: dump.layout.order[at] as number, byte: address - (dump.layout.keys[at] as number) };
          const change = changeDump(dump, { writes: [{ ...cell, value, reason: 'option' }] });
          assert.ok(change.ok, text);
          const changed = bytes.map((one, i) => (i === address ? value : one));
          assert.equal(textAfter(dump.rows, change.value.edits), view(changed, viewer));
        }
      }
    });
  }

  it('are asked for, with the words that fit their digits, and never read without', () => {
    const [bytes = new Uint8Array(0)] = SAMPLES.slice(35);
    const choices = (...viewer: readonly string[]) => {
      const found = recognise('saved.txt', view(bytes, viewer));
      return found.kind === 'unclear' ? found.forms.map(({ id, word }) => `${id} ${word}`) : found.form.id;
    };
    assert.deepEqual(choices('hexdump'), ['hex-view 2le', 'hex-view 2be']);
    assert.deepEqual(choices('od', '-A', 'x', '-t', 'x4'), ['hex-view 4le', 'hex-view 4be']);
    assert.deepEqual(choices('xxd', '-e'), ['hex-view 4le']);
    assert.deepEqual(choices('od', '-A', 'x', '-t', 'x2z'), ['hex-view 2le']);
    assert.deepEqual(choices('xxd'), 'hex-view');
    for (const viewer of [['od'], ['od', '-x'], ['od', '-A', 'd', '-t', 'x2'], ['hexdump', '-o']])
      assert.deepEqual(choices(...viewer), [], viewer.join(' '));
  });

  it('whose addresses may be those of "od -x", which are octal, are in doubt', () => {
    const [asHex, asOctal] = [run(new Uint8Array(101), ['hexdump']), run(new Uint8Array(53), ['od', '-x'])];
    assert.equal(asHex.replace(/ +$/gm, ''), asOctal);
    assert.deepEqual(
      errorsOf(read(asHex, '2le')).map(({ code }) => code),
      ['address-unknown'],
    );
  });

  it('in another order than the characters beside them show are in doubt', () => {
    const [bytes = new Uint8Array(0)] = SAMPLES.slice(35);
    for (const [right, ...viewer] of VIEWERS.filter((one) => /xxd|z/.test(one.join(' '))))
      for (const word of WORDS.filter((one) => one !== right))
        assert.notEqual(errorsOf(read(view(bytes, viewer), word)).length, 0, `${viewer.join(' ')} as ${word}`);
  });

  it('cut off behind any line are never good where a length ends them', () => {
    for (const [word, ...viewer] of VIEWERS.filter(([, tool]) => tool !== 'xxd'))
      for (const bytes of SAMPLES.slice(30)) {
        const lines = view(bytes, viewer).split(/(?<=\n)/);
        for (let count = 1; count < lines.length - 1; count++)
          assert.notEqual(errorsOf(read(lines.slice(0, count).join(''), word)).length, 0, lines[count]);
      }
  });

  it('single bytes of a memory that is saved swapped are read in the order of addresses as well', () => {
    const bytes = Uint8Array.from({ length: 64 }, (_, i) => i);
    const swapped = bytes.map((_, i) => bytes[i ^ 1] as number);
    for (const viewer of [
      ['xxd', '-g1'],
      ['hexdump', '-C'],
      ['od', '-A', 'x', '-t', 'x1z'],
    ]) {
      const dump = read(run(swapped, viewer), '2le');
      assert.deepEqual(bytesAt(dump), new Map(Array.from(bytes, (byte, i) => [i, byte])));
      assert.deepEqual(errorsOf(dump), []);
    }
  });

  it('read what they print by themselves, any number of bytes', () => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 1, maxLength: 70 }), fc.constantFrom(...WORDS), (bytes, word) => {
        const form = inWords(hexView, word);
        const lines = Array.from({ length: Math.ceil(bytes.length / 16) }, (_, i) =>
          form.print({ label: 16 * i, type: 0, data: bytes.subarray(16 * i, 16 * i + 16), sum: new Uint8Array(0) }),
        );
        assert.deepEqual(
          bytesAt(read(lines.join('\n'), word)),
          new Map(Array.from(bytes, (byte, i) => [i, byte])),
          lines.join('\n'),
        );
      }),
    );
  });
});
