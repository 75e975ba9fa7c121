import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump, type Problem } from '../../../shared-core/src/checks/index.js';
import { intelHex } from '../../../shared-core/src/format/intelHex.js';
import { bindText, wrongTotals } from '../../../shared-core/src/model/index.js';
import { printRecord } from '../../../shared-core/src/model/lineSum.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
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

  it('is the range that the profile names, wherever the sum itself is stored', () => {
    // 3, 4, 5 and 6 come to 12h; what else is there counts for nothing, but that a sum leaves itself out.
    for (const [address, stored] of [
      [0, 0x12],
      [0x0f, 0x12],
      [0x14, 0x12],
      [0x1f, 0x12],
      [0x10, 0x0f],
      [0x13, 0x0c],
    ] as const) {
      const bytes = Uint8Array.from({ length: 32 }, (_, at) =>
        at === address ? stored : at >= 0x10 && at <= 0x13 ? at - 13 : 0x77,
      );
      const sum = { name: 'sum', method: 'add', bits: 8, over: [{ from: 0x10, to: 0x13 }], address };
      const named = readProfile(JSON.stringify({ format: 1, addresses: { from: 0, to: 31 }, totals: [sum] })).profile;
      const dump = bindText('a.hex', `${printRecord(intelHex, 0, 0, bytes)}\n${END}`, named);
      assert.deepEqual(wrongTotals(dump), [], `${address}`);
      bytes[0x11] = (bytes[0x11] ?? 0) + 1;
      assert.deepEqual(wrongTotals(bindText('a.hex', `${printRecord(intelHex, 0, 0, bytes)}\n${END}`, named)), [0]);
    }
  });
});
