import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { hexBytes } from '../../shared-core/src/base/index.js';
import { checkDump } from '../../shared-core/src/checks/index.js';
import { convert } from '../../shared-core/src/convert/index.js';
import { type Notation, readRows, replaceText, textOfRows } from '../../shared-core/src/format/index.js';
import { intelHex } from '../../shared-core/src/format/intelHex.js';
import { sRecord } from '../../shared-core/src/format/sRecord.js';
import { bind, bindText, rebind } from '../../shared-core/src/model/index.js';
import { EMPTY_PROFILE, readProfile } from '../../shared-core/src/profile/index.js';
import { imageText, record } from '../support/images.js';
import { loaded } from '../support/loaded.js';
import { times } from '../support/times.js';

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
            assert.deepEqual(checkDump(loaded(dump, NONE, NONE)), checkDump(loaded(whole, NONE, NONE)));
          }
        }),
        {
          ...times(150),
          examples: [
            [
              ':01FFF8000008',
              [
                [0, 1, 2, ''],
                [0, 0, 1, 'S1'],
                [0, 0, 0, '0'],
              ],
            ],
          ],
        },
      );
    });

    it('lines put in, taken out and cut: bound by difference = bound from scratch, sums over addresses included', () => {
      let kept = 0;
      const put = fc.oneof(
        fc.constantFrom('', '\n', '; a note\n', '; @vin 0DEM0T4X5TA020418\n'),
        fc.array(record(notation), { maxLength: 3 }).map((lines) => lines.map((line) => `${line}\n`).join('')),
      );
      const edit = fc.tuple(fc.nat(), fc.nat(2), fc.nat(), put);
      const sums = ['CRC-32/ISO-HDLC', 'CRC-16/ARC'].map((model, i) => ({
        name: 'crc',
        method: 'crc',
        model,
        address: 0x40 + 8 * i,
      }));
      const totals = [
        ...sums,
        { name: 'sum', method: 'add', bits: 16, unit: 2, address: 0x20 },
        { name: 'two', method: 'fletcher', bits: 16, address: 0x50 },
      ];
      const ranges = fc.array(fc.constantFrom([0, 0x1f], [0x10, 0x3f], [0, 0x47], [0, 0x80]), {
        minLength: 4,
        maxLength: 4,
      });
      const body = fc.tuple(fc.uint8Array({ minLength: 0x90, maxLength: 0x90 }), fc.integer({ min: 4, max: 24 }));
      fc.assert(
        fc.property(body, ranges, fc.array(edit, { minLength: 1, maxLength: 6 }), ([bytes, width], over, edits) => {
          const json = totals.map((total, i) => ({ ...total, over: [{ from: over[i]?.[0], to: over[i]?.[1] }] }));
          const { profile } = readProfile(JSON.stringify({ format: 1, totals: json }));
          const text = convert(
            bindText('a.cfgdump', `0: ${hexBytes(bytes)}`, EMPTY_PROFILE),
            notation.id as 'intel-hex',
            width,
          );
          assert.ok(text.ok);
          let rows = readRows(text.value.text, notation);
          let dump = bind(rows, notation, profile);
          for (const [a, more, column, inserted] of edits) {
            const row = a % rows.length;
            const last = Math.min(rows.length - 1, row + more);
            const lengthOf = (index: number) => (rows[index]?.text ?? '').replace(/[\r\n]+$/, '').length;
            // Now and then whole lines, else from the middle of one to the middle of another.
            const start = { row, column: column % 3 === 0 ? column % (lengthOf(row) + 1) : 0 };
            const end = {
              row: last,
              column: last === row ? start.column : column % 3 === 1 ? 0 : column % (lengthOf(last) + 1),
            };
            const next = replaceText(rows, { start, end, text: inserted }, notation);
            const moved = rebind(dump, next.rows, next.change);
            if (
              moved.layout !== dump.layout &&
              moved.totals.some((total, i) => total.run.byAddress && dump.totals[i]?.run.byAddress)
            )
              kept++;
            rows = next.rows;
            dump = moved;
            const whole = bind(readRows(textOfRows(rows), notation), notation, profile);
            const said = (one: typeof dump) => {
              const { order, keys, dataCount, imageProblems } = one.layout;
              const lists = [one.headers, one.invalidRows, one.wrongSums, one.wrongLengths];
              return [
                [...order],
                [...keys],
                [...dataCount],
                imageProblems,
                lists,
                one.states,
                checkDump(loaded(one, NONE, NONE)),
              ];
            };
            assert.deepEqual(said(dump), said(whole));
          }
        }),
        times(120),
      );
      assert.ok(kept > 10, `${kept}`);
    });
  });
}
