import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import {
  bind,
  checkDump,
  EMPTY_PROFILE,
  intelHex,
  type Notation,
  readRows,
  scanImage,
  sRecord,
} from '../../shared-core/src/index.js';
import { imageText } from '../support/images.js';

const NONE = { kind: 'none' } as const;
const decode = (bytes: Uint8Array) => Buffer.from(bytes).toString('utf8');

/** The text as a file that is read through one small buffer over and over, as real files are. */
function* chunks(text: string, size: number): Generator<Uint8Array> {
  const bytes = Buffer.from(text);
  const buffer = Buffer.alloc(size);
  for (let at = 0; at < bytes.length; at += size) {
    buffer.fill(0);
    const length = bytes.copy(buffer, 0, at, at + size);
    yield buffer.subarray(0, length);
  }
}

for (const [name, notation] of Object.entries<Notation>({ 'Intel HEX': intelHex, 'S-records': sRecord })) {
  describe(`laws of reading ${name} by bytes`, () => {
    it('whatever the text and the chunks, all problems are those of reading it row by row', () => {
      fc.assert(
        fc.property(imageText(notation), fc.integer({ min: 1, max: 200 }), (text, size) => {
          const scanned = scanImage(() => chunks(text, size), notation, decode);
          const whole = bind(readRows(decode(Buffer.from(text)), notation), notation, EMPTY_PROFILE);
          assert.ok(scanned);
          assert.equal(scanned.rows.length, whole.rows.length);
          assert.deepEqual(checkDump(scanned, NONE, NONE), checkDump(whole, NONE, NONE));
        }),
        { numRuns: 1000 },
      );
    });

    it('a header that names a profile asks for the whole dump', () => {
      const text = `; @profile a.dump-profile.json\n${notation === intelHex ? ':00000001FF' : 'S9030000FC'}\n`;
      assert.equal(
        scanImage(() => chunks(text, 7), notation, decode),
        undefined,
      );
    });
  });
}
