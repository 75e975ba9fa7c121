import assert from 'node:assert/strict';
import { crc16ccitt, crc32 } from 'crc';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { setOptions } from '../../shared-core/src/actions/setOptions.js';
import { type Dump, wrongTotals } from '../../shared-core/src/model/index.js';
import { readTotal } from '../../shared-core/src/model/totalReading.js';
import { imageOf } from '../support/copies.js';
import { bytesAt } from '../support/images.js';
import { loaded, SOUND } from '../support/loaded.js';
import { lines, profileOf } from '../support/smallDumps.js';

const SIZE = 0x80;
const PLACE = 0x70;

/** Parts of a sum over an image, as a profile writes them and as bytes. */
interface Part {
  readonly json: object;
  readonly bytesOf: (at: (address: number) => number) => readonly number[];
}

const constant: fc.Arbitrary<Part> = fc.oneof(
  fc.uint8Array({ minLength: 1, maxLength: 5 }).map((bytes) => ({
    json: { bytes: Buffer.from(bytes).toString('hex').replace(/../g, '$& ').trim().toUpperCase() },
    bytesOf: () => [...bytes],
  })),
  fc
    .tuple(fc.constantFrom('address-of', 'length-of'), fc.integer({ min: 1, max: 0x40 }), fc.boolean())
    .map(([key, number, isLittle]) => ({
      json: {
        [key]: { address: key === 'address-of' ? number : 0, length: key === 'length-of' ? number : 1 },
        bytes: 2,
        order: isLittle ? 'little' : 'big',
      },
      bytesOf: () => (isLittle ? [number, 0] : [0, number]),
    })),
);

/** A range within sixteen bytes of its own, without some of them. */
const range = (index: number): fc.Arbitrary<Part> =>
  fc.tuple(fc.nat(15), fc.nat(15), fc.uniqueArray(fc.nat(15), { maxLength: 4 })).map(([a, b, out]) => {
    const [from, to] = [16 * index + Math.min(a, b), 16 * index + Math.max(a, b)];
    const all = Array.from({ length: to - from + 1 }, (_, i) => from + i);
    const except = out.map((one) => 16 * index + one).filter((one) => one > from && one <= to);
    return {
      json: { from, to, ...(except.length > 0 && { except: except.map((address) => ({ address })) }) },
      bytesOf: (at) => all.filter((address) => !except.includes(address)).map(at),
    };
  });

const parts = fc
  .shuffledSubarray([0, 1, 2, 3, 4, 5, 6], { minLength: 1 })
  .chain((indexes) =>
    fc.tuple(
      ...indexes.map((index) => fc.tuple(fc.array(constant, { maxLength: 1 }), range(index))),
      fc.array(constant, { maxLength: 1 }),
    ),
  )
  .map((all) => all.flat(2) as readonly Part[]);

function dumpOf(all: readonly Part[], method: object, seed: number): Dump {
  return imageOf(
    {
      addresses: { from: 0, to: SIZE - 1 },
      totals: [{ ...method, address: PLACE, over: all.map(({ json }) => json) }],
      options: [{ id: 'a', title: 'A', address: 0x02, number: {} }],
    },
    (at) => (at * 31 + seed) & 0xff,
    SIZE,
  );
}

describe('a sum over parts in order, some bytes left out and others put in', () => {
  it('is what another implementation makes of these bytes, also after an option was set', () => {
    const methods = fc.constantFrom(
      [{ method: 'crc', model: 'CRC-16/IBM-3740' }, (bytes: Buffer) => crc16ccitt(bytes)] as const,
      [{ method: 'crc', model: 'CRC-32/ISO-HDLC' }, (bytes: Buffer) => crc32(bytes)] as const,
    );
    fc.assert(
      fc.property(parts, methods, fc.nat(255), fc.nat(255), (all, [method, other], seed, value) => {
        const wanted = (dump: Dump) => {
          const bytes = bytesAt(dump);
          return BigInt(other(Buffer.from(all.flatMap(({ bytesOf }) => bytesOf((at) => bytes.get(at) ?? -1)))));
        };
        const dump = dumpOf(all, method, seed);
        assert.equal(readTotal(dump, 0)?.computed, wanted(dump));
        const result = setOptions(loaded(dump, SOUND), [{ id: 'a', to: { raw: BigInt(value) } }]);
        assert.ok(result.ok);
        assert.deepEqual(wrongTotals(result.value.after), []);
        assert.equal(readTotal(result.value.after, 0)?.stored, wanted(result.value.after));
      }),
    );
  });
});

describe('a sum over parts of lines', () => {
  const PROFILE = { lines: { from: 1, to: 4, data: 4, sum: 1 }, lineSum: { method: 'xor', data: '1-2,4' } };
  const text = (a: string, total: string) =>
    `1: ${a} 02 03 04 | 07\n2: 11 12 13 14 | 17\n3: 21 22 23 24 | 27\n4: 31 32 33 34 | 37\ntotal: ${total}\n`;
  const total = (over: unknown, more: object = {}) =>
    lines(
      profileOf({ ...PROFILE, totals: [{ method: 'crc', model: 'CRC-16/IBM-3740', label: 'total', over, ...more }] }),
      text('01', '00 00'),
    );
  const computed = (dump: Dump) => Number(readTotal(dump, 0)?.computed);
  const crc = (hex: string) => crc16ccitt(Buffer.from(hex.replaceAll(' ', ''), 'hex'));

  it('runs over lines in the order that is given, without what is taken out, with bytes put in', () => {
    const over = [
      { bytes: '01 F4' },
      { lines: '3-4', except: [{ line: 4, bytes: '2-3' }] },
      { bytes: 'AA' },
      { lines: 1 },
    ];
    assert.equal(computed(total(over)), crc('01F4 21222324 3134 AA 01020304'));
    assert.equal(computed(total(['data', { bytes: '00' }], { lines: '1-2' })), crc('01020304 11121314 00'));
    assert.equal(computed(total([{ lines: '1-3', except: [2] }, 'sums'])), crc('0102030407 2122232427'));
    assert.equal(
      computed(
        total([
          { line: 2, bytes: '2-3' },
          { line: 1, byte: 4 },
        ]),
      ),
      crc('1213 04'),
    );
  });

  it('may run over other sums only', () => {
    const [first, second] = [
      { method: 'add', bits: 8, line: 1, byte: 4, lines: '1-2' },
      { method: 'xor', bits: 8, line: 3, byte: 4, lines: '3' },
    ];
    const over = [
      { line: 1, byte: 4 },
      { line: 3, byte: 4 },
    ];
    const dump = lines(
      profileOf({
        ...PROFILE,
        totals: [{ method: 'add', bits: 16, label: 'total', over }, first, second],
        options: [{ id: 'a', title: 'A', line: 1, byte: 1, number: {} }],
      }),
      text('01', '00 00'),
    );
    const result = setOptions(loaded(dump, SOUND), [{ id: 'a', to: { raw: 0x55n } }]);
    assert.ok(result.ok);
    assert.deepEqual(wrongTotals(result.value.after), []);
    const line = (label: number) => result.value.after.rows[label - 1]?.text.split(' ').slice(1, 5) ?? [];
    const sum = Number.parseInt(line(1)[3] ?? '', 16) + Number.parseInt(line(3)[3] ?? '', 16);
    assert.equal(Number(readTotal(result.value.after, 2)?.stored), sum);
  });
});
