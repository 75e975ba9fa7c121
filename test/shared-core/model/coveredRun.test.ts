import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { intelHex } from '../../../shared-core/src/format/intelHex.js';
import { bindText, checkDump, type Problem, readProfile, say, wrongTotals } from '../../../shared-core/src/index.js';
import { printRecord } from '../../../shared-core/src/model/lineSum.js';
import { loaded } from '../../support/loaded.js';

const ranges = [0, 3, 6, 9, 12].map((from) => ({ from, to: from + 1 }));
const total = { name: 'image sum', method: 'add', bits: 16, over: ranges, address: 0x20 };
const { profile } = readProfile(JSON.stringify({ format: 1, totals: [total] }));

const DATA = ':100000000102030405060708090A0B0C0D0E0F1068';
// 01 02 04 05 07 08 0A 0B 0D 0E, added up by hand, are 4B.
const RIGHT = ':02002000004B93';
const WRONG = ':02002000004C92';
const END = ':00000001FF\n';
const imageOf = (...records: readonly string[]) => bindText('a.hex', [...records, END].join('\n'), profile);

describe('the run that a total covers', () => {
  it('has a piece for each range, also where one record holds many of them', () => {
    assert.deepEqual(wrongTotals(imageOf(DATA, RIGHT)), []);
    assert.deepEqual(wrongTotals(imageOf(DATA, WRONG)), [0]);
  });

  for (const [what, record, why] of [
    ['data overlap', ':0100070008F0', 'addresses are held by two records. Correct that first.'],
    ['addresses lack', ':01000E000FE2', '10 bytes from address 0000 on are missing.'],
  ] as const) {
    it(`is none where ${what}, and the problem says so`, () => {
      const dump = what === 'data overlap' ? imageOf(DATA, record, WRONG) : imageOf(record, WRONG);
      const status = { kind: 'read' } as const;
      const said = checkDump(loaded(dump, status, { kind: 'none' })).filter(
        ({ code }: Problem) => code === 'not-checked',
      );
      assert.deepEqual(
        said.map(({ message }: Problem) => say(message)),
        [`The image sum cannot be checked: ${why}`],
      );
    });
  }

  it('is none where addresses of the profile are missing: the first of them is named, and how many there are in all', () => {
    const whole = readProfile(
      JSON.stringify({
        format: 1,
        addresses: { from: 0x100, to: 0x11f },
        totals: [{ name: 'sum', method: 'add', bits: 8, over: ['data'], address: 0x11f }],
      }),
    ).profile;
    const text = (...records: readonly (readonly [number, number])[]) =>
      [...records.map(([address, count]) => printRecord(intelHex, address, 0, new Uint8Array(count))), END].join('\n');
    const said = (...records: readonly (readonly [number, number])[]) =>
      checkDump(loaded(bindText('a.hex', text(...records), whole), { kind: 'read' }, { kind: 'none' }))
        .filter(({ code }: Problem) => code === 'not-checked')
        .map(({ message }: Problem) => say(message));
    assert.deepEqual(said([0x100, 16], [0x110, 16]), []);
    assert.deepEqual(said([0x102, 14], [0x114, 12]), [
      'The sum cannot be checked: 6 bytes from address 0100 on are missing.',
    ]);
  });
});
