// What differs between many dumps, held against all pairs and against a plain look at each byte.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { compareDumps, compareMany } from '../../../shared-core/src/index.js';
import { image, lines, profileOf } from '../../support/smallDumps.js';

const GEOMETRY = { lines: { from: 1, to: 3, data: 2, sum: 0 } };
const OPTION = { id: 'fog', title: 'Fog lamps', line: 2, byte: 1, bits: '3-0', values: { 0: 'no', 1: 'yes' } };
const profile = profileOf({ ...GEOMETRY, options: [OPTION] });
const dumpOf = (bytes: readonly number[]) =>
  lines(profile, [0, 1, 2].map((i) => `${i + 1}: 0${bytes[2 * i]} 0${bytes[2 * i + 1]}\n`).join(''));
const bytes = fc.array(fc.nat(2), { minLength: 6, maxLength: 6 });

describe('many dumps compared', () => {
  it('differ in just the places in which two of them differ', () => {
    fc.assert(
      fc.property(fc.array(bytes, { minLength: 2, maxLength: 5 }), (all) => {
        const [first, ...others] = all.map(dumpOf);
        assert.ok(first);
        const many = compareMany(first, others);
        const differing = [0, 1, 2, 3, 4, 5].filter((at) => all.some((one) => one[at] !== all[0]?.[at]));
        assert.deepEqual(
          many.bytes.map(({ label, byte, values }) => [label, byte, values]),
          differing.map((at) => [Math.floor(at / 2) + 1, (at % 2) + 1, all.map((one) => one[at])]),
        );
        const pairs = [first, ...others].flatMap((a, i, list) => list.slice(i + 1).map((b) => [a, b] as const));
        assert.equal(
          many.identical,
          pairs.every(([a, b]) => compareDumps(a, b).identical),
        );
        assert.equal(many.options.length, differing.includes(2) ? 1 : 0);
      }),
    );
  });

  it('are never the same where one was not read whole', () => {
    const whole = dumpOf([1, 1, 1, 1, 1, 1]);
    const cut = lines(profile, '1: 01 01\n2: 01 01\n');
    const many = compareMany(whole, [whole, cut]);
    assert.deepEqual(
      [many.identical, many.isUnread, many.unmatched.map(({ length }) => length > 0)],
      [false, true, [false, false, true]],
    );
  });

  it('are compared address by address, however their records are cut', () => {
    const open = profileOf({ addresses: { from: 0x10, to: 0x13 } });
    // Sums: the two's complement of all bytes (Intel, Hexadecimal Object File Format, 1988).
    const one = image(open, ':0400100001020304E2', ':00000001FF');
    const other = image(open, ':020010000102EB', ':020012000305E4', ':00000001FF');
    const { bytes: found } = compareMany(one, [one, other]);
    assert.deepEqual(
      found.map(({ address, values }) => [address, values]),
      [[0x13, [4, 4, 5]]],
    );
  });
});
