import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { bindText, type Dump, readProfile, rolesIn } from '../../../shared-core/src/index.js';

/** Two records of 4 bytes at 0100 and 0104, and one at 0200. */
const IMAGE = [':0401000001020304F1', ':0401040005060708DD', ':02020000AABB97', ':00000001FF', ''].join('\n');

const dump = bindText(
  'a.hex',
  IMAGE,
  readProfile(
    JSON.stringify({
      format: 1,
      addresses: { from: '0x100', to: '0x2FF' },
      options: [{ id: 'a', title: 'A', address: '0x101', bits: '3-0', values: { 0: 'no' } }],
      locked: [{ address: '0x102', bytes: 4, why: 'identity' }],
      volatile: [{ address: '0x104', bytes: 8 }],
      balance: [{ address: '0x200' }],
      totals: [{ name: 'sum', method: 'add', bits: 8, over: [{ from: '0x100', to: '0x107' }], address: '0x201' }],
    }),
  ).profile,
);

const inRow = (of: Dump, row: number, first = 0, last = of.rows.length) =>
  rolesIn(of, first, last)(row).map(({ role, from, to }) => `${role} ${from}-${to}`);

describe('what digits are for', () => {
  it('goes by addresses in a memory image, over the borders of records', () => {
    assert.deepEqual(inRow(dump, 0), ['data 0-3', 'option 3-4', 'locked 4-8', 'sum 8-10']);
    assert.deepEqual(inRow(dump, 1), ['locked 0-4', 'volatile 4-8', 'sum 8-10']);
    assert.deepEqual(inRow(dump, 2), ['balance 0-2', 'sum 2-6']);
  });

  it('is the same when only some rows are asked for', () => {
    for (const row of [0, 1, 2, 3]) assert.deepEqual(inRow(dump, row, row, row), inRow(dump, row));
  });

  it('is nothing where a row holds no record', () => {
    assert.deepEqual(inRow(dump, 4), []);
  });
});
