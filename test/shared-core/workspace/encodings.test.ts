// Texts in other encodings, compared with the decoders of the platform.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { decodeText, encodeText, encodingOf } from '../../../shared-core/src/workspace/encodings.js';

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
});
