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
  rebind,
  replaceText,
  sRecord,
  textOfRows,
} from '../../shared-core/src/index.js';
import { imageText } from '../support/images.js';

const NONE = { kind: 'none' } as const;

for (const [name, notation] of Object.entries<Notation>({ 'Intel HEX': intelHex, 'S-records': sRecord })) {
  describe(`laws of editing ${name}`, () => {
    it('whatever is typed where, checks by difference = checks from scratch', () => {
      const edit = fc.tuple(
        fc.nat(),
        fc.nat(),
        fc.nat(3),
        fc.constantFrom('0', 'F', 'x', '', ' ', ';', 'S1', ':', '\n'),
      );
      fc.assert(
        fc.property(imageText(notation), fc.array(edit, { minLength: 1, maxLength: 5 }), (text, edits) => {
          let rows = readRows(text, notation);
          let dump = bind(rows, notation, EMPTY_PROFILE);
          for (const [a, b, count, put] of edits) {
            const row = a % rows.length;
            const length = (rows[row]?.text ?? '').replace(/[\r\n]+$/, '').length;
            const column = b % (length + 1);
            const end = { row, column: Math.min(length, column + count) };
            const next = replaceText(rows, { start: { row, column }, end, text: put }, notation);
            rows = next.rows;
            dump = rebind(dump, rows, next.change);
            const whole = bind(readRows(textOfRows(rows), notation), notation, EMPTY_PROFILE);
            assert.deepEqual(checkDump(dump, NONE, NONE), checkDump(whole, NONE, NONE));
          }
        }),
        { numRuns: 500 },
      );
    });
  });
}
