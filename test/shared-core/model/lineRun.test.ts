// Where each byte of a line counts in the sum of the line: by this a repair knows how the sum moves with the byte.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { hexBytes } from '../../../shared-core/src/base/index.js';
import { valueOver } from '../../../shared-core/src/checksum/checksum.js';
import { bytesOf } from '../../../shared-core/src/format/index.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { computeLineSum, readLineSum } from '../../../shared-core/src/model/lineSum.js';
import { END, image, lines, profileOf } from '../../support/smallDumps.js';

const part = fc.constantFrom('module', 'label', 'length', 'data');
const ranges = fc.constantFrom(undefined, '1-2', '2-3', '1,3-4', '3-end', '2-3,5-end', '1-end-1', '2,4-end-1');

describe('the run of a line sum', () => {
  it('holds each byte that is covered at its place, the parts in the order of the profile, and no other byte', () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(part, { minLength: 1, maxLength: 4 }).filter((over) => over.includes('data')),
        fc.uint8Array({ minLength: 5, maxLength: 5 }),
        fc.constantFrom(1, 2),
        fc.integer({ min: 1, max: 300 }),
        (over, data, labelBytes, label) => {
          const profile = profileOf({
            module: 0x1234,
            lines: { from: 1, to: 300, data: 5, sum: 2 },
            lineSum: { method: 'crc', model: 'CRC-16/ARC', over, ...(over.includes('label') && { labelBytes }) },
          });
          const dump = lines(profile, `${label}: ${hexBytes(data)} 00 00\n`);
          const [record] = dump.rows;
          assert.ok(dump.rule && record?.kind === 'record');
          const { bytes, placeOf } = dump.rule.runOf(record);
          const expected = over.flatMap((one) =>
            one === 'module'
              ? [0x12, 0x34]
              : one === 'length'
                ? [5]
                : one === 'label'
                  ? [label >> 8, label & 0xff].slice(2 - labelBytes)
                  : [...data],
          );
          assert.deepEqual([...bytes], expected);
          for (const [byte, value] of data.entries()) assert.equal(bytes[placeOf(byte) ?? -1], value);
          const places = Array.from(data, (_, byte) => placeOf(byte));
          assert.equal(new Set(places).size, data.length);
          // The same value in every way in which it is asked for.
          const sum = computeLineSum(dump.rule, record);
          assert.equal(BigInt(`0x${hexBytes(sum, '')}`), valueOver(dump.rule.checksum, bytes));
          assert.deepEqual(readLineSum(dump.rule, record), { stored: Uint8Array.of(0, 0), computed: sum });
          assert.equal(
            dump.rule.isRight(record),
            sum.every((one) => one === 0),
          );
          const right = lines(profile, `${label}: ${hexBytes(data)} ${hexBytes(sum)}\n`);
          assert.deepEqual(right.wrongSums, []);
        },
      ),
      { numRuns: 60 },
    );
  });

  it('comes to the same for sums of any width, stored in either order', () => {
    for (const model of ['CRC-8/SMBUS', 'CRC-16/ARC', 'CRC-24/OPENPGP', 'CRC-32/ISO-HDLC', 'CRC-40/GSM', 'CRC-64/XZ'])
      for (const order of ['big', 'little']) {
        const width = Number(model.slice(4, model.indexOf('/'))) / 8;
        const profile = profileOf({
          lines: { from: 1, to: 1, data: 4, sum: width },
          lineSum: { method: 'crc', model, over: ['data'], order },
        });
        const zero = lines(profile, `1: 01 02 03 04 ${'00 '.repeat(width)}\n`);
        const [record] = zero.rows;
        assert.ok(zero.rule && record?.kind === 'record');
        const sum = computeLineSum(zero.rule, record);
        const value = valueOver(zero.rule.checksum, Uint8Array.of(1, 2, 3, 4));
        const digits =
          value
            .toString(16)
            .padStart(2 * width, '0')
            .match(/../g) ?? [];
        assert.deepEqual(
          [...sum],
          (order === 'big' ? digits : digits.reverse()).map((pair) => Number.parseInt(pair, 16)),
          `${model} ${order}`,
        );
        assert.deepEqual(lines(profile, `1: 01 02 03 04 ${hexBytes(sum)}\n`).wrongSums, [], `${model} ${order}`);
        for (const at of sum.keys()) {
          const wrong = sum.map((byte, i) => (i === at ? byte ^ 1 : byte));
          assert.deepEqual(
            lines(profile, `1: 01 02 03 04 ${hexBytes(wrong)}\n`).wrongSums,
            [0],
            `${model} ${order} ${at}`,
          );
        }
      }
  });

  it('leaves out the bytes that the profile leaves out', () => {
    fc.assert(
      fc.property(ranges, fc.uint8Array({ minLength: 5, maxLength: 5 }), fc.boolean(), (covered, data, withLabel) => {
        const profile = profileOf({
          lines: { from: 1, to: 1, data: 5, sum: 1 },
          lineSum: {
            method: 'add',
            over: withLabel ? ['label', 'data'] : ['data'],
            ...(covered && { data: covered }),
          },
        });
        const dump = lines(profile, `1: ${hexBytes(data)} 00\n`);
        const [record] = dump.rows;
        assert.ok(dump.rule && record?.kind === 'record');
        const { bytes, placeOf } = dump.rule.runOf(record);
        const isCovered = (byte: number) =>
          covered === undefined ||
          covered.split(',').some((range) => {
            const [first = '', last = first, spare = '0'] = range.split('-');
            return byte + 1 >= Number(first) && byte + 1 <= (last === 'end' ? 5 - Number(spare) : Number(last));
          });
        assert.deepEqual([...bytes], [...(withLabel ? [1] : []), ...[...data].filter((_, byte) => isCovered(byte))]);
        for (const [byte, value] of data.entries())
          assert.equal(
            placeOf(byte) === undefined ? undefined : bytes[placeOf(byte) as number],
            isCovered(byte) ? value : undefined,
          );
      }),
      { numRuns: 40 },
    );
  });

  it('of a record of an image is its length, address, type and data', () => {
    // By hand (Intel, Hexadecimal Object File Format, 1988).
    const dump = image(profileOf({ addresses: { from: 0x0110, to: 0x0112 } }), ':03011000AABBCCBB', END);
    const [record] = dump.rows;
    assert.ok(dump.rule && record?.kind === 'record');
    const { bytes, placeOf } = dump.rule.runOf(record);
    assert.deepEqual([...bytes], [3, 0x01, 0x10, 0, 0xaa, 0xbb, 0xcc]);
    assert.deepEqual(
      [0, 1, 2].map((byte) => bytes[placeOf(byte) ?? -1]),
      [0xaa, 0xbb, 0xcc],
    );
    // By its rule, which is what a repair goes by, as in the record.
    assert.equal(valueOver(dump.rule.checksum, bytes), 0xbbn);
    assert.deepEqual([bytesOf(record)[3], ...computeLineSum(dump.rule, record)], [0xbb, 0xbb]);
  });

  it('is none where nobody says how lines are summed', () => {
    assert.equal(
      bindText('a.cfgdump', '1: 01 02 03\n', profileOf({ lines: { from: 1, to: 1, data: 2, sum: 1 } })).rule,
      undefined,
    );
    const noSum = profileOf({ lines: { from: 1, to: 1, data: 3, sum: 0 } });
    const [record] = lines(noSum, '1: 01 02 03\n').rows;
    assert.deepEqual(record?.kind === 'record' && [...bytesOf(record)], [1, 2, 3]);
  });
});
