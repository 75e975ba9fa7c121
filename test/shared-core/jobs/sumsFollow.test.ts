import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { compareDumps } from '../../../shared-core/src/compare/index.js';
import { changedByThemselves, wrongTotalsOf } from '../../../shared-core/src/jobs/verify/sumsFollow.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { image, lines, profileOf } from '../../support/smallDumps.js';

const hex = (value: number, digits = 2) => value.toString(16).toUpperCase().padStart(digits, '0');
const sumOf = (bytes: readonly number[]) => bytes.reduce((all, byte) => all + byte, 0);
const SUMMED = { lines: { from: 1, to: 3, data: 3, sum: 1 }, lineSum: { method: 'add', over: ['data'] } };
type Bytes = readonly [number, number, number];

/** Three lines with right sums of their own, and what follows them. */
const dumpOf = (json: object, data: readonly [Bytes, Bytes, Bytes], rest = '') =>
  lines(
    profileOf({ ...SUMMED, ...json }),
    data
      .map((bytes, i) => `${i + 1}: ${bytes.map((byte) => hex(byte)).join(' ')} | ${hex(sumOf(bytes) & 0xff)}\n`)
      .join('') + rest,
  );
/** The labels of the lines that are put aside in what was read. */
const aside = (planned: Dump, read: Dump) =>
  changedByThemselves(read, compareDumps(planned, read)).map(({ label }) => label);
const sums = (planned: Dump, read: Dump) => {
  const { changed, asPlanned } = wrongTotalsOf(read, compareDumps(planned, read));
  return [changed, asPlanned].map((all) => all.map((one) => say(one)));
};

const VOLATILE = { volatile: [{ line: 1, byte: 2, why: 'counter' }] };
const PLAN: readonly [Bytes, Bytes, Bytes] = [
  [1, 2, 3],
  [4, 5, 6],
  [7, 8, 9],
];
const COUNTED: readonly [Bytes, Bytes, Bytes] = [[1, 0x20, 3], PLAN[1], PLAN[2]];

describe('a line that changes by itself', () => {
  const of = (data: readonly [Bytes, Bytes, Bytes], from = '', to = '') => {
    const dump = dumpOf(VOLATILE, data);
    return from === '' ? dump : lines(dump.profile, dump.rows.map(({ text }) => text.replace(from, to)).join(''));
  };
  const plan = of(PLAN);

  it('is put aside where nothing but such a place and the sum of the line differ', () => {
    assert.deepEqual(aside(plan, of(COUNTED)), [1]);
    assert.deepEqual(aside(plan, plan), []);
  });

  it('is not put aside where any other byte of it differs', () => {
    assert.deepEqual(aside(plan, of([[2, 0x20, 3], PLAN[1], PLAN[2]])), []);
    assert.deepEqual(aside(plan, of([[1, 2, 4], PLAN[1], PLAN[2]])), []);
    assert.deepEqual(aside(plan, of([COUNTED[0], [5, 5, 6], PLAN[2]])), [1]);
  });

  it('is not put aside where its sum is wrong, whether or not the sum differs', () => {
    assert.deepEqual(aside(plan, of(COUNTED, '| 24', '| 06')), []);
    assert.deepEqual(aside(plan, of(COUNTED, '| 24', '| 25')), []);
  });

  it('is not put aside where only its sum differs', () => {
    assert.deepEqual(aside(plan, of(PLAN, '| 06', '| 07')), []);
    assert.deepEqual(aside(of(PLAN, '| 06', '| 07'), plan), []);
  });

  it('is put aside without a sum that can be checked, where only such places differ', () => {
    const bare = { ...VOLATILE, lineSum: undefined, lines: { ...SUMMED.lines, sum: 0 } };
    const bareOf = (byte: number) => lines(profileOf(bare), `1: 01 ${hex(byte)} 03\n2: 04 05 06\n3: 07 08 09\n`);
    assert.deepEqual(aside(bareOf(2), bareOf(9)), [1]);
  });
});

describe('a file sum that follows what changes by itself', () => {
  const record = { name: 'file sum', label: 'total', method: 'add', bits: 16, over: ['data'] };
  const of = (data: readonly [Bytes, Bytes, Bytes], total: number, more: object = {}) =>
    dumpOf({ ...VOLATILE, totals: [{ ...record, ...more }] }, data, `total: ${hex(total >> 8)} ${hex(total & 0xff)}\n`);
  const all = (data: readonly Bytes[]) => sumOf(data.flat());
  const plan = of(PLAN, all(PLAN));

  it('is put aside with it where it is right', () => {
    assert.deepEqual(aside(plan, of(COUNTED, all(COUNTED))), [1, 'total']);
    assert.deepEqual(sums(plan, of(COUNTED, all(COUNTED))), [[], []]);
  });

  it('is not put aside where it is wrong, which is said', () => {
    assert.deepEqual(aside(plan, of(COUNTED, all(COUNTED) + 1)), [1]);
    const wrong = 'The file sum is wrong in what was read: it is 004C, its bytes make 004B.';
    assert.deepEqual(sums(plan, of(COUNTED, all(COUNTED) + 1)), [[wrong], []]);
    const left = 'The file sum is wrong in what was read: it is 002D, its bytes make 004B.';
    assert.deepEqual(sums(plan, of(COUNTED, all(PLAN))), [[left], []]);
  });

  it('is not put aside where something else differs too, or nothing that changes by itself does', () => {
    const other: typeof PLAN = [COUNTED[0], [5, 5, 6], PLAN[2]];
    assert.deepEqual(aside(plan, of(other, all(other))), [1]);
    assert.deepEqual(aside(of(PLAN, all(PLAN) + 1), of(PLAN, all(PLAN))), []);
  });

  it('is not put aside where it does not cover what differs', () => {
    const second = { lines: '2-2', over: ['data'] };
    const right = sumOf(PLAN[1]);
    assert.deepEqual(aside(of(PLAN, right + 1, second), of(COUNTED, right, second)), [1]);
    assert.deepEqual(
      aside(of(PLAN, sumOf(PLAN[0]), { lines: '1-1' }), of(COUNTED, sumOf(COUNTED[0]), { lines: '1-1' })),
      [1, 'total'],
    );
  });

  it('is wrong as in the plan where it covers and holds nothing that differs', () => {
    const second = { lines: '2-2', over: ['data'] };
    const said = 'The file sum is wrong, as in the plan: it is 0010, its bytes make 000F.';
    assert.deepEqual(sums(of(PLAN, 16, second), of(COUNTED, 16, second)), [[], [said]]);
    const stored = 'The file sum is wrong in what was read: it is 0010, its bytes make 000F.';
    assert.deepEqual(sums(of(PLAN, 15, second), of(PLAN, 16, second)), [[stored], []]);
    assert.deepEqual(sums(of(PLAN, 0x110, second), of(PLAN, 16, second)), [[stored], []]);
    assert.deepEqual(sums(of(PLAN, 15, second), of(COUNTED, 15, second)), [[], []]);
  });
});

describe('several file sums in one line', () => {
  // The first covers line 1, the second line 2; both are kept in line 3, whose last byte is neither.
  const of = (data: readonly [Bytes, Bytes], first: number, second: number, last = 9) =>
    dumpOf(
      {
        ...VOLATILE,
        totals: [
          { name: 'first', method: 'add', bits: 8, over: ['data'], lines: '1-1', line: 3, byte: 1 },
          { name: 'second', method: 'add', bits: 8, over: ['data'], lines: '2-2', line: 3, byte: 2 },
        ],
      },
      [...data, [first, second, last]],
    );
  const [one, two, counted] = [PLAN[0], PLAN[1], COUNTED[0]];
  const plan = of([one, two], 6, 15);

  it('follow each for itself', () => {
    assert.deepEqual(aside(plan, of([counted, two], 0x24, 15)), [1, 3]);
    assert.deepEqual(aside(plan, of([counted, two], 0x25, 15)), [1]);
    assert.deepEqual(aside(plan, of([counted, two], 0x24, 16)), [1]);
    // Right, and yet it follows nothing that changed by itself.
    assert.deepEqual(aside(of([one, two], 6, 16), of([counted, two], 0x24, 15)), [1]);
    assert.deepEqual(aside(plan, of([counted, two], 0x24, 15, 8)), [1]);
  });

  it('follow each for itself, also where another in the same place of another line is wrong', () => {
    const apart = (counter: number, first: number) =>
      dumpOf(
        {
          ...VOLATILE,
          totals: [
            { name: 'first', method: 'add', bits: 8, over: ['data'], lines: '1-1', line: 3, byte: 1 },
            { name: 'second', method: 'add', bits: 8, over: ['data'], lines: '2-2', line: 2, byte: 1 },
          ],
        },
        [
          [1, counter, 3],
          [0x77, 5, 6],
          [first, 8, 9],
        ],
      );
    assert.deepEqual(aside(apart(2, 6), apart(0x20, 0x24)), [1, 3]);
  });

  it('that cover each other are not put aside where nothing changed by itself', () => {
    const nested = (first: number) =>
      dumpOf(
        {
          ...VOLATILE,
          totals: [
            { name: 'first', method: 'add', bits: 8, over: ['data'], lines: '1-1', line: 3, byte: 1 },
            { name: 'outer', label: 'total', method: 'add', bits: 8, over: ['data'], lines: '3-3' },
          ],
        },
        [one, two, [first, 8, 9]],
        `total: ${hex(first + 17)}\n`,
      );
    assert.deepEqual(aside(nested(7), nested(6)), []);
  });

  it('are wrong in what was read, or as in the plan, each for itself', () => {
    const wrong = (name: string, is: string, makes: string, as: string) =>
      `The ${name} is wrong${as}: it is ${is}, its bytes make ${makes}.`;
    assert.deepEqual(sums(of([one, two], 7, 16), of([one, two], 7, 17)), [
      [wrong('second', '11', '0F', ' in what was read')],
      [wrong('first', '07', '06', ', as in the plan')],
    ]);
    assert.deepEqual(sums(of([one, two], 7, 16), of([one, two], 8, 16)), [
      [wrong('first', '08', '06', ' in what was read')],
      [wrong('second', '10', '0F', ', as in the plan')],
    ]);
    assert.deepEqual(sums(of([one, two], 7, 16), of([one, two], 7, 16, 8)), [
      [],
      [wrong('first', '07', '06', ', as in the plan'), wrong('second', '10', '0F', ', as in the plan')],
    ]);
  });
});

describe('a file sum over a stretch of addresses', () => {
  // Two stretches of one record of eight bytes; the sum is kept in the last one.
  const of = (at: number | undefined, stored: number) => {
    const data = [1, 1, 1, 1, 1, 1, 1].map((byte, i) => (i === at ? 3 : byte));
    const profile = profileOf({
      addresses: { from: 0, to: 7 },
      totals: [
        {
          name: 's',
          method: 'add',
          bits: 8,
          over: [
            { from: 1, to: 2 },
            { from: 4, to: 5 },
          ],
          address: 7,
        },
      ],
      volatile: [{ address: 0, bytes: 7 }],
    });
    const bytes = [8, 0, 0, 0, ...data, stored];
    return image(profile, `:${[...bytes, -sumOf(bytes) & 0xff].map((byte) => hex(byte)).join('')}`, ':00000001FF');
  };

  for (const [at, isCovered] of [
    [0, false],
    [1, true],
    [2, true],
    [3, false],
    [4, true],
    [5, true],
    [6, false],
  ] as const)
    it(`follows what it covers and nothing else: address ${at}`, () => {
      const right = isCovered ? 6 : 4;
      assert.deepEqual(aside(of(undefined, right === 4 ? 5 : 4), of(at, right)), isCovered ? ['0000'] : []);
      const [changed, asPlanned] = sums(of(undefined, 9), of(at, 9));
      assert.deepEqual([changed?.length, asPlanned?.length], isCovered ? [1, 0] : [0, 1]);
    });
});
