import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import type { RecordRow } from '../../shared-core/src/format/index.js';
import { bindText } from '../../shared-core/src/model/index.js';
import { computeLineSum } from '../../shared-core/src/model/lineSum.js';
import { readProfile } from '../../shared-core/src/profile/index.js';

/** Methods whose sums have several bytes, and how many. */
const METHODS = [
  { bytes: 2, sum: { method: 'add', bits: 16 } },
  { bytes: 3, sum: { method: 'add', bits: 24 } },
  { bytes: 4, sum: { method: 'add', bits: 32, complement: 'twos' } },
  { bytes: 2, sum: { method: 'xor', bits: 16 } },
  { bytes: 4, sum: { method: 'fletcher', bits: 32 } },
  { bytes: 4, sum: { method: 'crc', model: 'CRC-32/ISO-HDLC' } },
  { bytes: 5, sum: { method: 'crc', width: 40, poly: '0x4820009', refin: false, refout: false } },
  { bytes: 8, sum: { method: 'crc', model: 'CRC-64/XZ' } },
] as const;

const hexOf = (bytes: Uint8Array) => Buffer.from(bytes).toString('hex');

describe('laws of line sums of several bytes', () => {
  it('a sum is right as it is computed, and wrong as soon as any one byte of it is another', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...METHODS),
        fc.constantFrom('big', 'little'),
        fc.constantFrom(['data'], ['label', 'data'], ['data', 'length']),
        fc.uint8Array({ minLength: 4, maxLength: 4 }),
        fc.nat(),
        fc.integer({ min: 1, max: 255 }),
        ({ bytes, sum }, order, over, data, at, change) => {
          const lines = { from: 1, to: 1, data: data.length, sum: bytes };
          const { profile } = readProfile(JSON.stringify({ format: 1, lines, lineSum: { ...sum, order, over } }));
          const dumpOf = (stored: Uint8Array) =>
            bindText('a.cfgdump', `1: ${hexOf(data)} | ${hexOf(stored)}\n`, profile);
          const { rule, rows } = dumpOf(new Uint8Array(bytes));
          assert.ok(rule);
          const right = computeLineSum(rule, rows[0] as RecordRow);
          assert.equal(right.length, bytes);
          assert.deepEqual(dumpOf(right).wrongSums, []);
          const place = at % bytes;
          const wrong = right.map((byte, i) => (i === place ? byte ^ change : byte));
          assert.deepEqual(dumpOf(wrong).wrongSums, [0]);
        },
      ),
    );
  });
});
