// What differs between many dumps, held against all pairs and against a plain look at each byte.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { compareDumps, compareMany } from '../../../shared-core/src/compare/index.js';
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

  describe('are told by an option or a sum', () => {
    const summed = {
      lines: { from: 1, to: 3, data: 2, sum: 1 },
      lineSum: { method: 'add', over: ['data'] },
      totals: [{ name: 'file sum', method: 'add', bits: 8, over: ['data'], label: 'total' }],
      options: [OPTION],
    };
    const [RIGHT, SET] = [
      '1: 01 02 03\n2: 00 04 04\n3: 05 06 0B\ntotal: 12\n',
      '1: 01 02 03\n2: 01 04 05\n3: 05 06 0B\ntotal: 13\n',
    ];
    /** Whether each place is told, and why it differs, in every order of the dumps: it must be one answer. */
    const told = (json: object, ...texts: readonly string[]) => {
      const by = profileOf(json);
      const answers = texts.flatMap((_, turn) => {
        const turned = [...texts.slice(turn), ...texts.slice(0, turn)];
        return [turned, [...turned].reverse()].map((all) => {
          const [first, ...others] = all.map((text) => lines(by, text));
          assert.ok(first);
          return compareMany(first, others).bytes.map(({ label, byte, reason, isTold }) => [
            label,
            byte,
            reason,
            isTold,
          ]);
        });
      });
      for (const answer of answers) assert.deepEqual(answer, answers[0]);
      return answers[0];
    };

    it('where the option is among those that differ and the sums are right in each', () => {
      assert.deepEqual(told(summed, RIGHT, SET, RIGHT), [
        [2, 1, 'option', true],
        [2, 3, 'line-sum', true],
        ['total', 1, 'total', true],
      ]);
    });

    it('and not where a sum is wrong in one of them', () => {
      assert.deepEqual(told(summed, RIGHT, RIGHT, RIGHT.replace('3: 05 06 0B', '3: 05 06 0C')), [
        [3, 3, 'line-sum', false],
      ]);
      assert.deepEqual(told(summed, RIGHT, SET, SET.replace('total: 13', 'total: 14')), [
        [2, 1, 'option', true],
        [2, 3, 'line-sum', true],
        ['total', 1, 'total', false],
      ]);
    });

    it('and not where one differs beside the bits of the option', () => {
      assert.deepEqual(
        told(
          { ...GEOMETRY, options: [OPTION] },
          '1: 00 00\n2: 00 00\n',
          '1: 00 00\n2: 01 00\n',
          '1: 00 00\n2: 11 00\n',
        ),
        [[2, 1, 'unexplained', false]],
      );
    });

    it('and not where copies differ', () => {
      const copied = {
        lines: { from: 1, to: 4, data: 1, sum: 0 },
        copies: [{ name: 'set', lines: '1', at: ['2', '3'] }],
      };
      const same = '1: 01\n2: 01\n3: 01\n4: 01\n';
      assert.deepEqual(told(copied, same, same, same.replace('2: 01', '2: 02')), [[2, 1, 'unexplained', false]]);
      const option = { options: [{ id: 'a', title: 'A', line: 1, byte: 1, number: {} }] };
      assert.deepEqual(told({ ...copied, ...option }, same, same, same.replace(/(?<=[123]: )01/g, '02')), [
        [1, 1, 'option', true],
        [2, 1, 'copy', false],
        [3, 1, 'copy', false],
      ]);
    });
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
