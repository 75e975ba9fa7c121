// Texts in other encodings, compared with the decoders of the platform.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import {
  decodeText,
  encodeText,
  encodingOf,
  isCutOff,
  isMostlyText,
} from '../../../shared-core/src/workspace/encodings.js';

/** Bytes that are characters of UTF-8, parts of them, or wrong for them. */
const bytes = fc
  .array(
    fc.oneof(
      fc.string({ unit: 'binary', minLength: 1, maxLength: 3 }).map((text) => [...Buffer.from(text)]),
      fc.array(fc.integer({ min: 0x7f, max: 0xff }), { maxLength: 4 }),
    ),
    { maxLength: 12 },
  )
  .map((parts) => Uint8Array.from(parts.flat().filter((byte) => byte >= 0x20)));

const marked = (given: Uint8Array) =>
  (given[0] === 0xff && given[1] === 0xfe) || (given[0] === 0xfe && given[1] === 0xff);

describe('the encoding of a text', () => {
  it('is UTF-8 where the platform decodes it as that, of which the last character may be cut off', () => {
    fc.assert(
      fc.property(bytes, (given) => {
        fc.pre(!marked(given));
        let isUtf8 = true;
        try {
          new TextDecoder('utf-8', { fatal: true }).decode(given, { stream: true });
        } catch {
          isUtf8 = false;
        }
        assert.equal(encodingOf(given), isUtf8 ? 'utf-8' : 'windows-1252');
      }),
      { numRuns: 3000 },
    );
  });

  it('is UTF-8 at each border between what is a character and what is not', () => {
    const decoder = (given: Uint8Array) => {
      try {
        new TextDecoder('utf-8', { fatal: true }).decode(given, { stream: true });
        return 'utf-8';
      } catch {
        return 'windows-1252';
      }
    };
    const firsts = [0x7f, 0xc0, 0xc1, 0xc2, 0xdf, 0xe0, 0xe1, 0xec, 0xed, 0xee, 0xef, 0xf0, 0xf1, 0xf3, 0xf4, 0xf5];
    const more = [0x41, 0x7f, 0x80, 0x8f, 0x90, 0x9f, 0xa0, 0xbf, 0xc0];
    for (const first of firsts)
      for (const second of more)
        for (const third of more)
          for (const fourth of [0x41, 0x80, 0xbf]) {
            const given = Uint8Array.of(first, second, third, fourth, 0x41);
            for (let length = 1; length <= given.length; length++) {
              const part = given.subarray(0, length);
              assert.equal(encodingOf(part), decoder(part), [...part].join());
            }
          }
  });

  it('is decoded as the platform does it, and encoded to the same bytes again', () => {
    const codes = fc.uint8Array({ maxLength: 40_000, minLength: 0 });
    for (const encoding of ['utf-16le', 'utf-16be'] as const)
      fc.assert(
        fc.property(codes, (given) => {
          const even = given.subarray(0, given.length & ~1);
          const text = decodeText(even, encoding);
          assert.deepEqual(encodeText(text, encoding), Uint8Array.from(even));
          const swapped = encoding === 'utf-16be' ? Buffer.from(even).swap16() : Buffer.from(even);
          assert.equal(text, swapped.toString('utf16le'));
        }),
        { numRuns: 30 },
      );
    const all = Uint8Array.from({ length: 256 }, (_, i) => i);
    const text = decodeText(all, 'windows-1252');
    // https://encoding.spec.whatwg.org/index-windows-1252.txt
    assert.equal(text.slice(0x80, 0x8a), '€\u0081‚ƒ„…†‡ˆ‰');
    assert.equal(text.slice(0xa0), Buffer.from(all.subarray(0xa0)).toString('latin1'));
    assert.deepEqual(encodeText(text, 'windows-1252'), all);
    assert.equal(encodeText('ő', 'windows-1252'), undefined);
  });

  it('is UTF-16 only by its mark, and none where a byte is no character of a text', () => {
    assert.equal(encodingOf(Uint8Array.of(0xff, 0xfe)), 'utf-16le');
    assert.equal(encodingOf(Uint8Array.of(0xfe, 0xff, 0, 0)), 'utf-16be');
    for (const other of [[0xff], [0xfe], [0xff, 0xff], [0xfe, 0xfe], [0x41, 0xfe], [0x41, 0xff]])
      assert.equal(encodingOf(Uint8Array.from(other)), 'windows-1252', other.join());
    assert.equal(encodingOf(Uint8Array.of()), 'utf-8');
    const allowed = [...'\t\n\f\r\x1a'].map((sign) => sign.charCodeAt(0));
    for (let byte = 0; byte < 0x20; byte++)
      assert.equal(encodingOf(Uint8Array.of(0x41, byte)), allowed.includes(byte) ? 'utf-8' : undefined, String(byte));
    for (const byte of [0x20, 0x7e, 0x7f]) assert.equal(encodingOf(Uint8Array.of(byte)), 'utf-8');
  });

  it('is told from the beginning of a file, as no one reads all of a large one for that', () => {
    const large = new Uint8Array(0x10001).fill(0x41);
    large[0x10000] = 0;
    assert.equal(encodingOf(large), 'utf-8');
    large[0xffff] = 0;
    assert.equal(encodingOf(large), undefined);
  });

  it('has a character that is cut off wherever the platform waits for more bytes of it', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', minLength: 1, maxLength: 3 }), (text) => {
        const whole = Buffer.from(text);
        for (let count = 0; count <= whole.length; count++) {
          const part = whole.subarray(0, count);
          let isWhole = true;
          try {
            new TextDecoder('utf-8', { fatal: true }).decode(part);
          } catch {
            isWhole = false;
          }
          assert.equal(isCutOff(part, 'utf-8'), !isWhole, part.toString('hex'));
        }
      }),
    );
    for (const text of ['é', '€', '\u0800', '\uffff', '\u{10000}', '\u{10ffff}', '\u007f', '\u0080', '\u07ff'])
      for (let count = 1; count < Buffer.from(text).length; count++)
        assert.ok(isCutOff(Buffer.from(`a${text}`).subarray(0, 1 + count), 'utf-8'), text);
    assert.ok(!isCutOff(Buffer.from([0x80, 0x80, 0x80, 0x80]), 'utf-8'));
    const pair = Buffer.from('a\u{1f600}', 'utf16le');
    const [le, be] = [pair, Buffer.from(pair).swap16()];
    for (const [bytes, encoding] of [
      [le, 'utf-16le'],
      [be, 'utf-16be'],
    ] as const)
      assert.deepEqual(
        [0, 1, 2, 3, 4, 5, 6].map((count) => isCutOff(bytes.subarray(0, count), encoding)),
        [false, true, false, true, true, true, false],
      );
    for (const [code, isHigh] of [
      [0xd7ff, false],
      [0xd800, true],
      [0xdbff, true],
      [0xdc00, false],
    ] as const)
      assert.equal(isCutOff(Uint8Array.of(code & 0xff, code >> 8), 'utf-16le'), isHigh);
    assert.ok(!isCutOff(Uint8Array.of(0xe2, 0x82, 0xc3), 'windows-1252'));
  });

  it('is refused for a character that it does not have, whichever it is', () => {
    const known = new Set(
      decodeText(
        Uint8Array.from({ length: 256 }, (_, i) => i),
        'windows-1252',
      ),
    );
    assert.equal(known.size, 256);
    for (let code = 0; code < 0x10000; code++) {
      const sign = String.fromCharCode(code);
      assert.equal(encodeText(sign, 'windows-1252') !== undefined, known.has(sign), code.toString(16));
    }
  });

  it('is that of a text where at least half of its bytes are printable, whatever the others are', () => {
    const isText = (...given: readonly number[]) => isMostlyText(Uint8Array.from(given));
    assert.ok(isText());
    assert.ok(isText(0x20, 0));
    assert.ok(isText(0x7e, 0));
    assert.ok(isText(0x0a, 0, 0x41, 0xff));
    assert.ok(!isText(0x1f));
    assert.ok(!isText(0x7f));
    assert.ok(!isText(0x41, 0, 0));
    const large = new Uint8Array(0x20000).fill(0x41, 0, 0x8000);
    assert.ok(isMostlyText(large));
    large[0] = 0;
    assert.ok(!isMostlyText(large));
  });
});
