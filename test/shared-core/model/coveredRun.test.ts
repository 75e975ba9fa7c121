import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { bindText, checkDump, type Problem, readProfile, say, wrongTotals } from '../../../shared-core/src/index.js';
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
});
