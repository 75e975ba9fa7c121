import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { bindText, type Dump, rolesIn } from '../../../shared-core/src/model/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';

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

  it('is data and the sum behind it where the profile says nothing of a row', () => {
    const plain = bindText(
      'a.hex',
      IMAGE,
      readProfile(JSON.stringify({ format: 1, addresses: { from: 256, to: 767 } })).profile,
    );
    assert.deepEqual(
      [0, 1, 2, 3].map((row) => inRow(plain, row)),
      [['data 0-8', 'sum 8-10'], ['data 0-8', 'sum 8-10'], ['data 0-4', 'sum 4-6'], ['sum 0-2']],
    );
    const lines = bindText(
      'a.cfgdump',
      '1: 01 02\n',
      readProfile('{"format":1,"lines":{"from":1,"to":1,"data":2,"sum":0}}').profile,
    );
    assert.deepEqual(inRow(lines, 0), ['data 0-4']);
  });

  it('of one byte goes by the bits that are named, of several by all of their digits', () => {
    const profile = (more: object) =>
      readProfile(
        JSON.stringify({ format: 1, addresses: { from: 256, to: 767 }, options: [{ id: 'a', title: 'A', ...more }] }),
      ).profile;
    const digits = (more: object) => inRow(bindText('a.hex', IMAGE, profile(more)), 0)[1];
    const values = { values: { 0: 'no' } };
    assert.equal(digits({ address: '0x101', bits: '7-4', ...values }), 'option 2-3');
    assert.equal(digits({ address: '0x101', bits: '4-3', ...values }), 'option 2-4');
    assert.equal(digits({ address: '0x101', bytes: 2, number: {} }), 'option 2-6');
  });

  it('is nothing where a row holds no record', () => {
    assert.deepEqual(inRow(dump, 4), []);
  });
});
