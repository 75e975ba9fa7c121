import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { finish } from '../../../shared-core/src/base/steps.js';
import { claimsOf, rebalanceByFirst } from '../../../shared-core/src/repair/rebalance.js';
import { balanceCount } from '../../../shared-core/src/repair/repaired.js';
import { lines, profileOf } from '../../support/smallDumps.js';

/** How many changes of so many of these bytes make their sum rise by this much, each byte by other than nothing. */
function ways(bytes: readonly number[], count: number, rise: number): number {
  if (count === 0) return rise === 0 ? 1 : 0;
  const [first, ...others] = bytes;
  if (first === undefined) return 0;
  let found = ways(others, count, rise);
  const [from, to] = [Math.max(-first, rise - 255 * (count - 1)), Math.min(255 - first, rise + 255 * (count - 1))];
  for (let by = from; by <= to; by++) if (by !== 0) found += ways(others, count - 1, rise - by);
  return found;
}

/** Lines of data without sums of their own, and a sum over all of it that is to stay, so much higher than it is. */
function dumpWith(data: readonly (readonly number[])[], higher: number, more: object = {}) {
  const profile = profileOf({
    lines: { from: 1, to: data.length, data: data[0]?.length ?? 0, sum: 0 },
    totals: [{ name: 'sum', label: 'total', method: 'add', bits: 16, over: ['data'], keep: true }],
    ...more,
  });
  const hex = (value: number) => value.toString(16).padStart(2, '0');
  const sum = (data.flat().reduce((all, byte) => all + byte, 0) + higher) & 0xffff;
  const text = data.map((bytes, i) => `${i + 1}: ${bytes.map(hex).join(' ')}\n`).join('');
  return lines(profile, `${text}total: ${hex(sum >> 8)} ${hex(sum & 0xff)}\n`);
}
const cellsOf = (groups: readonly (readonly number[])[]) =>
  groups.map((bytes, row) => bytes.map((_, byte) => ({ row, byte })));

describe('what is claimed of bytes that balance', () => {
  const value = fc.oneof(fc.constantFrom(0, 1, 0x7f, 0xfe, 0xff), fc.nat(0xff));
  const group = fc.tuple(value, value);

  it('holds for all bytes of all groups that were allowed, whichever was tried first', () => {
    fc.assert(
      fc.property(
        fc.array(group, { minLength: 1, maxLength: 3 }),
        fc.integer({ min: -500, max: 500 }),
        (data, rise) => {
          fc.pre(rise !== 0);
          const repair = finish(rebalanceByFirst(dumpWith(data, rise), cellsOf(data), [0]));
          const fewest = ways(data.flat(), 1, rise) > 0 ? 1 : ways(data.flat(), 2, rise) > 0 ? 2 : undefined;
          if (!repair.ok) return assert.equal(fewest, undefined);
          const used = balanceCount(repair.value.writes);
          if (fewest === undefined) return assert.ok(used > 2);
          assert.ok(used >= fewest);
          if (repair.value.fewest) assert.equal(used, fewest);
          if (repair.value.unique) assert.deepEqual([used, ways(data.flat(), used, rise)], [fewest, 1]);
          else assert.ok(used > fewest || ways(data.flat(), used, rise) > 1);
        },
      ),
      { numRuns: 150 },
    );
  });

  it('is no only way where a place that was tried before could have helped', () => {
    // 300 more: the second line alone by 150 and 150; with the first line, which cannot alone, in other ways too.
    const data = [
      [0x64, 0xff],
      [0x69, 0x69],
    ];
    const repair = finish(rebalanceByFirst(dumpWith(data, 300), cellsOf(data), [0]));
    assert.ok(repair.ok);
    assert.deepEqual([balanceCount(repair.value.writes), repair.value.unique, repair.value.fewest], [2, false, true]);
    const alone = finish(rebalanceByFirst(dumpWith(data, 300), cellsOf(data).slice(1), [0]));
    assert.ok(!alone.ok || alone.value.unique);
  });

  it('is nothing where the work is shared with others, as not all of it was looked at', () => {
    const data = [[0x10, 0x20]];
    const dump = dumpWith(data, 1);
    const repair = finish(
      rebalanceByFirst(
        dump,
        cellsOf(data).map((cells) => cells.slice(0, 1)),
        [0],
      ),
    );
    assert.ok(repair.ok);
    assert.deepEqual([repair.value.unique, repair.value.fewest], [true, true]);
    const cells = cellsOf(data).flat().slice(0, 1);
    const claims = (left?: number) =>
      finish(claimsOf(dump, repair.value.writes, cells, [0], left === undefined ? undefined : { left }));
    assert.deepEqual(claims(), { unique: true, fewest: true });
    assert.deepEqual(claims(1_000_000), { unique: false, fewest: false });
  });

  it('takes bytes without an option before all that hold one, several together before one', () => {
    const data = [
      [0x00, 0x05],
      [0x00, 0x05],
      [0x00, 0x05],
    ];
    const options = [{ id: 'o', title: 'O', line: 3, byte: 1, number: {} }];
    const groups = [[{ row: 2, byte: 0 }], [{ row: 0, byte: 0 }], [{ row: 1, byte: 0 }]];
    const used = (rise: number) => {
      const repair = finish(rebalanceByFirst(dumpWith(data, rise, { options }), groups, [0]));
      assert.ok(repair.ok);
      return repair.value.writes
        .filter(({ reason }) => reason === 'balance')
        .map(({ row }) => row + 1)
        .sort();
    };
    assert.deepEqual(used(0x80), [1]);
    assert.deepEqual(used(0x180), [1, 2]);
    assert.deepEqual(used(0x280), [1, 2, 3]);
    const single = finish(rebalanceByFirst(dumpWith(data, 0x80, { options }), groups.slice(0, 1), [0]));
    assert.deepEqual(single.ok && single.value.alsoChanged.map(({ id }) => id), ['o']);
  });
});
