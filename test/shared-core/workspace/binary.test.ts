// Raw bytes as lines of dump text, and back to the same bytes.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { type Result, say } from '../../../shared-core/src/base/index.js';
import type { Contents } from '../../../shared-core/src/convert/contents.js';
import { dumpText } from '../../../shared-core/src/format/dumpText.js';
import { rawRow, rawText, rawTextLength } from '../../../shared-core/src/format/rawBytes.js';
import { bytesOf as bytesOfRow } from '../../../shared-core/src/format/row.js';
import { readRows } from '../../../shared-core/src/format/rows.js';
import { WORDS } from '../../../shared-core/src/format/word.js';
import {
  type BinaryView,
  binaryOfContents,
  binaryOfText,
  rawBytesOf,
  textOfBinary,
  textReadBack,
} from '../../../shared-core/src/workspace/binary.js';

const PLAIN: BinaryView = { offset: 0, word: undefined };
const bytesOf = (...given: readonly number[]) => Uint8Array.from(given);
const why = (result: Result<unknown>) => (result.ok ? 'done' : say(result.why));
const must = <T>(result: Result<T>): T => (result.ok ? result.value : assert.fail(say(result.why)));

const views = fc.record({
  offset: fc.oneof(fc.nat(40), fc.constant(0x10000), fc.constant(0xffffff00)),
  word: fc.constantFrom(undefined, ...WORDS),
});
const headers = fc.constantFrom('', '@part A\n', '# note\n@part A\n', '@part A');

describe('raw bytes', () => {
  it('of 16 MiB are a text that an editor tells its extensions of, with a length that is known before, and come back', () => {
    const size = 16 * 1024 * 1024;
    const bytes = new Uint8Array(size - 3).map((_, i) => i * 37 + (i >> 9));
    for (const offset of [0, 5]) {
      const raw = must(rawBytesOf(bytes, '@part A\n', { offset, word: undefined }));
      const text = rawText(raw);
      assert.ok(text.length < 50 * 1024 * 1024, String(text.length));
      assert.equal(rawTextLength(raw), text.length);
      const [, , line = ''] = text.slice(0, 200).split('\n');
      const row = rawRow(raw, 1);
      assert.equal(row.text, `${line}\n`);
      const read = readRows(row.text, dumpText)[0];
      assert.deepEqual(read?.kind === 'record' && bytesOfRow(read), bytesOfRow(row));
      assert.equal(Buffer.compare(must(binaryOfText(text, { offset, word: undefined })).bytes, bytes), 0);
    }
  }).timeout(120_000);

  it('come back from the lines that they are shown as, with their headers', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 40 }), headers, views, (given, head, view) => {
        const bytes = given.subarray(0, given.length - (given.length % 4));
        const text = must(textOfBinary(bytes, head, view));
        const back = must(binaryOfText(text, view));
        assert.deepEqual(back.bytes, Uint8Array.from(bytes));
        assert.equal(back.headers, head === '' || head.endsWith('\n') ? head : `${head}\n`);
        assert.equal(must(textReadBack(text, view)), text);
      }),
    );
  });

  it('of words are shown with the most significant byte first, whichever is stored first', () => {
    const shown = (word: BinaryView['word']) => [
      ...must(rawBytesOf(bytesOf(1, 2, 3, 4, 5, 6, 7, 8), '', { offset: 0, word })).bytes,
    ];
    assert.deepEqual(shown(undefined), [1, 2, 3, 4, 5, 6, 7, 8]);
    assert.deepEqual(shown('2be'), [1, 2, 3, 4, 5, 6, 7, 8]);
    assert.deepEqual(shown('2le'), [2, 1, 4, 3, 6, 5, 8, 7]);
    assert.deepEqual(shown('4be'), [1, 2, 3, 4, 5, 6, 7, 8]);
    assert.deepEqual(shown('4le'), [4, 3, 2, 1, 8, 7, 6, 5]);
  });

  it('are refused where they are no whole words, or run over the last address', () => {
    for (const word of ['2be', '2le'] as const) {
      assert.equal(
        why(textOfBinary(bytesOf(1, 2, 3), '', { offset: 0, word })),
        'it has 3 bytes, which are no whole words of 2',
      );
      assert.equal(
        why(binaryOfText('0x00: 01 02 03\n', { offset: 0, word })),
        'it has 3 bytes, which are no whole words of 2',
      );
    }
    assert.match(why(textOfBinary(bytesOf(1, 2), '', { offset: 0, word: '4le' })), /no whole words of 4/);
    const end = (offset: number) => why(textOfBinary(bytesOf(1, 2), '', { offset, word: undefined }));
    assert.deepEqual(
      [end(0xfffffffd), end(0xfffffffe), end(0xffffffff)],
      ['done', 'done', 'its bytes would run over the last address, FFFFFFFF'],
    );
  });
});

describe('lines of raw bytes', () => {
  const row = (at: number) => `row ${at} is no line of the bytes of a binary, or one is missing before it`;

  it('follow each other from the first address on: one that is missing, doubled, moved or torn is named', () => {
    const lines = ['0x0010: 01 02\n', '0x0012: 03 04\n', '0x0014: 05\n'];
    const of = (...texts: readonly string[]) => binaryOfText(texts.join(''), { offset: 0x10, word: undefined });
    const [a = '', b = '', c = ''] = lines;
    assert.deepEqual(must(of(a, b, c)).bytes, bytesOf(1, 2, 3, 4, 5));
    for (const [texts, at] of [
      [[b, c], 1],
      [[a, c], 2],
      [[a, a], 2],
      [[a, c, b], 2],
      [[a, b.replace('03', '0'), c], 2],
      [[a, 'what\n', b], 2],
      [['@part A\n', '\n', b], 3],
      [[a.replace('0010', '0000')], 1],
      [[a.replace('0x0010', 'x')], 1],
    ] as const)
      assert.equal(why(of(...texts)), row(at), texts.join(''));
    const aside = of('\n', '@part A\n', a, '# note\n', '\n', b, c, '@vin B\n');
    assert.deepEqual(must(aside), { bytes: bytesOf(1, 2, 3, 4, 5), headers: '@part A\n# note\n@vin B\n' });
    assert.deepEqual(must(of('')), { bytes: bytesOf(), headers: '' });
  });

  it('have no comment behind them, which would be lost', () => {
    assert.equal(
      why(binaryOfText('0x00: 01\n0x01: 02 # two\n', PLAIN)),
      'row 2 has a comment behind its bytes: give it a row of its own',
    );
  });
});

describe('the contents of a dump as raw bytes', () => {
  const data = (row: number, address: number, ...given: readonly number[]): Contents['parts'][number] => ({
    kind: 'data',
    row,
    address,
    bytes: { store: bytesOf(0xee, ...given, 0xee), from: 1, count: given.length },
  });
  const of = (parts: Contents['parts'], view: BinaryView) =>
    binaryOfContents({ parts, start: undefined, lineEnd: '\n' }, view);

  it('are their bytes by address, from the offset on, and their headers', () => {
    const header = { kind: 'header', row: 0, name: 'part', value: 'A' } as const;
    const made = of([header, data(2, 0x12, 3, 4), data(1, 0x10, 1, 2)], { offset: 0x10, word: '2le' });
    assert.deepEqual(must(made), { bytes: bytesOf(2, 1, 4, 3), headers: '@part A\n' });
    assert.match(why(of([data(1, 0, 1)], { offset: 0, word: '2le' })), /no whole words of 2/);
  });

  it('are refused where they begin elsewhere or have a gap, and are named where they overlap', () => {
    assert.equal(why(of([data(1, 0x100, 1)], PLAIN)), 'Its data begin at 0100. Say so with "--offset 0x0100".');
    assert.match(why(of([data(1, 0, 1)], { offset: 1, word: undefined })), /Its data begin at 0000/);
    assert.equal(
      why(of([data(1, 0, 1, 2), data(4, 3, 4)], PLAIN)),
      'Row 5: the data go on at 0003 and not at 0002, and a binary has no gaps.',
    );
    assert.match(why(of([data(1, 0, 1, 2), data(4, 1, 4)], PLAIN)), /go on at 0001 and not at 0002/);
  });
});
