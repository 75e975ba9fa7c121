import assert from 'node:assert/strict';
import { crc32 } from 'node:zlib';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { compareDumps } from '../../../shared-core/src/compare/index.js';
import { convert } from '../../../shared-core/src/convert/index.js';
import { readRows, replaceText, textAfter, textOfRows } from '../../../shared-core/src/format/index.js';
import {
  bind,
  bindText,
  byteAt,
  formatRows,
  presentCells,
  rebind,
  SPACINGS,
} from '../../../shared-core/src/model/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { rebalanceAt } from '../../../shared-core/src/repair/rebalanceAt.js';
import { loaded } from '../../support/loaded.js';

const DATA = Uint8Array.of(1, 2, 3, 4, 5, 6, 7, 8);
const crc = crc32(DATA).toString(16).padStart(8, '0').toUpperCase();
const TEXT = `0x0100: 01 02 03 04\n0x0104: 05 06 07 08\n0x0108: ${crc}\n`;
const { profile } = readProfile(
  JSON.stringify({
    format: 1,
    addresses: { from: 0x100, to: 0x10b },
    totals: [
      {
        name: 'image sum',
        method: 'crc',
        model: 'CRC-32/ISO-HDLC',
        over: [{ from: 0x100, to: 0x107 }],
        address: 0x108,
        keep: true,
      },
    ],
    options: [{ id: 'x', title: 'X', address: 0x105, values: { 6: 'yes', 7: 'no' } }],
  }),
);
const status = { kind: 'read' } as const;
const codes = (text: string) =>
  checkDump(loaded(bindText('a.cfgdump', text, profile), status, { kind: 'none' })).map(({ code }) => code);

describe('dump text whose labels are addresses', () => {
  it('has the places and sums that a profile names by address', () => {
    const dump = bindText('a.cfgdump', TEXT, profile);
    assert.deepEqual(codes(TEXT), []);
    const [cell] = presentCells(dump.layout, { kind: 'address', address: 0x105, count: 1 });
    assert.equal(cell && byteAt(dump.rows, cell), 6);
    assert.deepEqual(codes(TEXT.replace('05 06', '05 07')), ['total-sum']);
    assert.deepEqual(codes(TEXT.replace('05 06', '05 09')), ['option-value', 'total-sum']);
  });

  it('names addresses that two lines hold', () => {
    assert.deepEqual(codes(TEXT.replace('0x0104:', '0x0103:')).includes('overlap'), true);
  });

  it('is balanced by address, and is the same as the image that it is converted to', () => {
    const dump = bindText('a.cfgdump', TEXT.replace('05 06', '05 07'), profile);
    assert.equal(rebalanceAt(dump, { from: 0x100, to: 0x103 }, [0]).ok, true);
    const image = convert(bindText('a.cfgdump', TEXT, profile), 'intel-hex');
    assert.ok(image.ok);
    const other = bindText('a.hex', image.value.text, profile);
    assert.deepEqual(compareDumps(bindText('a.cfgdump', TEXT, profile), other).identical, true);
    const [line] = compareDumps(other, dump).lines;
    assert.deepEqual(
      line?.bytes.map(({ address, reason }) => [address, reason]),
      [[0x105, 'option']],
    );
  });

  it('an edit binds as the whole text would', () => {
    const dump = bindText('a.cfgdump', TEXT, profile);
    const start = { row: 1, column: 8 };
    for (const text of ['0F', '0', '05 06 07']) {
      const { rows, change } = replaceText(dump.rows, { start, end: { row: 1, column: 10 }, text }, dump.notation);
      const { layout, ...moved } = rebind(dump, rows, change);
      const { layout: fresh, ...whole } = bind(
        readRows(rows.map((row) => row.text).join(''), dump.notation),
        dump.notation,
        profile,
      );
      assert.deepEqual([...layout.keys], [...fresh.keys]);
      assert.deepEqual([...layout.dataCount], [...fresh.dataCount]);
      assert.deepEqual(moved.states, whole.states);
    }
  });

  it('whatever is typed where, in single bytes and in words: bound by difference = bound from scratch', () => {
    const piece = fc.constantFrom('0', 'F', '7', 'x', '', ' ', '#', ':', '\n', '@', '00 11', '0x0104: 01 02\n');
    const edit = fc.tuple(fc.nat(), fc.nat(), fc.nat(3), piece);
    fc.assert(
      fc.property(
        fc.array(edit, { minLength: 1, maxLength: 5 }),
        fc.constantFrom(undefined, '2le' as const, '4be' as const),
        (edits, word) => {
          const by = { ...profile, word };
          let dump = bindText('a.cfgdump', TEXT, by);
          const { notation } = dump;
          for (const [a, b, count, text] of edits) {
            const row = a % dump.rows.length;
            const length = (dump.rows[row]?.text ?? '').replace(/[\r\n]+$/, '').length;
            const column = b % (length + 1);
            const end = { row, column: Math.min(length, column + count) };
            const next = replaceText(dump.rows, { start: { row, column }, end, text }, notation);
            dump = rebind(dump, next.rows, next.change);
            const whole = bind(readRows(textOfRows(next.rows), notation), notation, by);
            const problems = (one: typeof dump) => checkDump(loaded(one, status, { kind: 'none' }));
            assert.deepEqual(problems(dump), problems(whole));
            assert.deepEqual(dump.states, whole.states);
          }
        },
      ),
      { numRuns: 400 },
    );
  });

  it('in words is formatted as it stands, each byte at its address', () => {
    const text = '0x0100:   01 02   03 04\n0x0104: 05 06 07   08\n';
    for (const word of ['2le', '4le'] as const) {
      const dump = bindText('a.cfgdump', text, { ...profile, word });
      for (const spacing of SPACINGS) {
        const after = textAfter(dump.rows, formatRows(dump, 0, dump.rows.length, { spacing, letterCase: 'upper' }));
        assert.equal(after.replace(/\s/g, ''), text.replace(/\s/g, ''), spacing);
      }
    }
  });
});
