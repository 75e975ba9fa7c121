import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/phrase.js';
import { finish } from '../../../shared-core/src/base/steps.js';
import { afterWrites } from '../../../shared-core/src/model/byteWrite.js';
import { bindText, type Dump } from '../../../shared-core/src/model/dump.js';
import { wrongTotals } from '../../../shared-core/src/model/totalReading.js';
import { readProfile } from '../../../shared-core/src/profile/readProfile.js';
import { balanceGroups } from '../../../shared-core/src/repair/freeCells.js';
import { independentParts } from '../../../shared-core/src/repair/independentParts.js';
import { rebalance, rebalanceByFirst } from '../../../shared-core/src/repair/rebalance.js';
import type { Budget } from '../../../shared-core/src/repair/solver/system.js';
import { profileOf } from '../../support/smallDumps.js';

const TEXT = ['1: 10 20 30', '2: 01 02 03', '3: 0A 0B 0C', '4: 07 08 09', 'a: 00 77', 'b: 00 25', 'c: 00 19'].join(
  '\n',
);

/** Sums of 16 bits over lines, all kept, by the labels of the lines that hold them; bytes of lines that balance. */
function dumpOf(
  over: Readonly<Record<string, string>>,
  balance: readonly object[],
  text = TEXT,
  options: readonly object[] = [],
): Dump {
  const totals = Object.entries(over).map(([label, lines]) => ({
    ...{ name: `sum ${label}`, label, lines, over: ['data'], method: 'add', bits: 16, keep: true },
  }));
  const { profile, problems } = readProfile(
    JSON.stringify({ format: 1, lines: { from: 1, to: 4, data: 3, sum: 0 }, totals, balance, options }),
  );
  assert.deepEqual(problems, []);
  return bindText('a.cfgdump', text, profile);
}

const partsOf = (dump: Dump) =>
  independentParts(dump, balanceGroups(dump), wrongTotals(dump), [...dump.totals.keys()])?.map((part) => part.totals);
const lines = (...all: readonly number[]) => all.map((line) => ({ line, bytes: '1-3' }));

describe('sums that are kept', () => {
  it('are parts of their own where no balance place moves two of them', () => {
    assert.deepEqual(partsOf(dumpOf({ a: '1-1', b: '2-2', c: '3-3' }, lines(1, 2, 3))), [[0], [1], [2]]);
    assert.deepEqual(partsOf(dumpOf({ a: '1-2', b: '2-3', c: '4-4' }, lines(1, 2, 4))), [[0, 1], [2]]);
    assert.deepEqual(partsOf(dumpOf({ a: '1-2', b: '2-3', c: '4-4' }, lines(1, 3, 4))), [[0], [1], [2]]);
  });

  it('are all one where some balance place moves all of them, and where none moves one that is wrong', () => {
    assert.equal(partsOf(dumpOf({ a: '1-4', b: '2-2', c: '3-3' }, lines(1, 2, 3))), undefined);
    assert.equal(partsOf(dumpOf({ a: '1-1', b: '2-2', c: '3-3' }, lines(1, 2))), undefined);
  });

  it('are balanced part by part with the same claims as all at once', () => {
    const single = [1, 2, 3].map((line) => ({ line, bytes: '2-2' }));
    for (const balance of [lines(1, 2, 3), [...lines(1, 2), { line: 3, bytes: '2-2' }], single]) {
      const dump = dumpOf({ a: '1-1', b: '2-2', c: '3-3' }, balance);
      const groups = balanceGroups(dump);
      const byParts = finish(rebalanceByFirst(dump, groups, wrongTotals(dump)));
      const atOnce = rebalance(dump, groups.flat(), wrongTotals(dump));
      assert.ok(byParts.ok && atOnce.ok);
      assert.deepEqual(byParts.value, atOnce.value);
      assert.deepEqual([byParts.value.unique, byParts.value.fewest], [balance === single, true]);
    }
  });

  it('are refused with the line that cannot balance its own', () => {
    const far = TEXT.replace('b: 00 25', 'b: 7F 25');
    const refused = finish(
      rebalanceByFirst(
        dumpOf({ a: '1-1', b: '2-2', c: '3-3' }, lines(1, 2, 3), far),
        balanceGroups(dumpOf({ a: '1-1', b: '2-2', c: '3-3' }, lines(1, 2, 3), far)),
        [0, 1, 2],
      ),
    );
    assert.equal(refused.ok ? '' : say(refused.why), 'Line 2 can take up −06 to +2F7 (hex), needed is +7F1F.');
  });

  it('are refused where one that was asked for cannot be read, though each of the others could be balanced', () => {
    const short = dumpOf({ a: '1-1', b: '2-2', c: '3-4' }, lines(1, 2, 3), TEXT.replace('4: 07 08 09\n', ''));
    assert.deepEqual(wrongTotals(short), [0, 1]);
    const balancedFor = (asked: readonly number[]) => finish(rebalanceByFirst(short, balanceGroups(short), asked));
    assert.equal(balancedFor([0, 1]).ok, true);
    const refused = balancedFor([0, 1, 2]);
    assert.match(refused.ok ? '' : say(refused.why), /^The sum c cannot be balanced: a line it covers is missing/);
  });

  it('take no more work where one is stored in a line that another covers: neither is rewritten', () => {
    const workWith = (stored: object, ...others: readonly object[]) => {
      const sum = { lines: '1-1', over: ['data'], method: 'add', bits: 8, keep: true };
      const profile = profileOf({
        lines: { from: 1, to: 3, data: 3, sum: 0 },
        totals: [{ ...sum, name: 'first', ...stored }, { ...sum, name: 'second', lines: '2-2', label: 'b' }, ...others],
        balance: [1, 2].map((line) => ({ line, bytes: '2-3' })),
      });
      const dump = bindText('a.cfgdump', '1: 10 20 30\n2: 77 02 03\na: 77\nb: 99\nc: DC\n', profile);
      const wrong = wrongTotals(dump);
      assert.equal(wrong.length, 2);
      const allowance = { left: 2 ** 40 };
      assert.ok(finish(rebalanceByFirst(dump, balanceGroups(dump), wrong, { steps: 16_000_000, allowance })).ok);
      return 2 ** 40 - allowance.left;
    };
    const work = workWith({ label: 'a' });
    for (const keep of [true, false]) assert.equal(workWith({ line: 2, byte: 1, keep }), work);
    // Nor where another is rewritten that neither of them covers, or where one that they cover is kept and cannot be read.
    const third = { name: 'third', over: ['data'], method: 'add', bits: 8 };
    assert.equal(workWith({ label: 'a' }, { ...third, lines: '1-2', label: 'c' }), work);
    assert.equal(workWith({ label: 'a' }, { ...third, lines: '3-3', line: 2, byte: 1, keep: true }), work);
  });

  it('that are right stay as they are beside others that are wrong', () => {
    const right = TEXT.replace('b: 00 25', 'b: 00 06');
    const dump = dumpOf({ a: '1-1', b: '2-2', c: '3-3' }, lines(1, 2, 3), right);
    assert.deepEqual(wrongTotals(dump), [0, 2]);
    const balanced = finish(rebalanceByFirst(dump, balanceGroups(dump), wrongTotals(dump)));
    assert.ok(balanced.ok);
    assert.deepEqual([...new Set(balanced.value.writes.map(({ row }) => row))], [0, 2]);
  });

  it('come right as well where they were not asked for, each in its part', () => {
    const dump = dumpOf({ a: '1-1', b: '2-2', c: '3-3' }, lines(1, 2, 3));
    const groups = balanceGroups(dump);
    for (const asked of [[0, 1], [2], [1, 2]]) {
      const balanced = finish(rebalanceByFirst(dump, groups, asked));
      assert.ok(balanced.ok, `${asked}`);
      assert.deepEqual(wrongTotals(afterWrites(dump, balanced.value.writes)), []);
    }
  });

  it('are balanced by bytes that hold an option only in the parts where the others cannot do it', () => {
    // 200 and 100 more are wanted of the first two lines. In the first, two bytes without an option can rise by 150 each.
    const text = TEXT.replace('1: 10 20 30', '1: 00 69 69')
      .replace('2: 01 02 03', '2: 00 FF FF')
      .replace('a: 00 77', 'a: 01 9A')
      .replace('b: 00 25', 'b: 02 62');
    const option = (line: number) => ({ id: `o${line}`, title: `O${line}`, line, byte: 1, number: {} });
    const dump = dumpOf({ a: '1-1', b: '2-2', c: '3-3' }, lines(1, 2, 3), text, [option(1), option(2), option(3)]);
    const balanced = finish(rebalanceByFirst(dump, balanceGroups(dump), [0, 1, 2]));
    assert.ok(balanced.ok);
    assert.deepEqual(
      balanced.value.alsoChanged.map(({ id }) => id),
      ['o2'],
    );
    assert.deepEqual(wrongTotals(afterWrites(dump, balanced.value.writes)), []);
  });

  it('are balanced in no only way where a byte that holds an option could do it in one of them', () => {
    const option = { id: 'o', title: 'O', line: 1, byte: 1, number: {} };
    for (const [bytes, claims] of [
      ['1-2', [false, true]],
      ['2-2', [true, true]],
    ] as const) {
      const balance = [{ line: 1, bytes }, ...[2, 3].map((line) => ({ line, bytes: '2-2' }))];
      const dump = dumpOf({ a: '1-1', b: '2-2', c: '3-3' }, balance, TEXT, [option]);
      const balanced = finish(rebalanceByFirst(dump, balanceGroups(dump), [0, 1, 2]));
      assert.ok(balanced.ok);
      assert.deepEqual([balanced.value.unique, balanced.value.fewest], claims, bytes);
    }
  });

  it('claim nothing where the work is shared with others', () => {
    const dump = dumpOf({ a: '1-1', b: '2-2', c: '3-3' }, lines(1, 2, 3), TEXT, [
      { id: 'o', title: 'O', line: 1, byte: 1, number: {} },
    ]);
    const claims = (left?: number) => {
      const allowance = left === undefined ? undefined : { left };
      const balanced = finish(rebalanceByFirst(dump, balanceGroups(dump), [0, 1, 2], { steps: 16_000_000, allowance }));
      return balanced.ok && [balanced.value.unique, balanced.value.fewest];
    };
    assert.deepEqual(claims(), [false, true]);
    assert.deepEqual(claims(100_000_000), [false, false]);
  });

  it('are given up where all together take sixteen times what a single one may', () => {
    const isBalanced = (count: number, budget: Budget, data = '00', sum = '01') => {
      const all = Array.from({ length: count }, (_, i) => i + 1);
      const own = { method: 'add', bits: 8, over: ['data'], keep: true };
      const profile = profileOf({
        lines: { from: 1, to: count, data: data.split(' ').length, sum: 0 },
        totals: all.map((line) => ({ ...own, name: `sum ${line}`, label: `a${line}`, lines: `${line}-${line}` })),
        balance: all.map((line) => ({ line, bytes: data === '00' ? '1-1' : '1-2' })),
      });
      const dump = bindText('a.cfgdump', all.map((line) => `${line}: ${data}\na${line}: ${sum}\n`).join(''), profile);
      return finish(rebalanceByFirst(dump, balanceGroups(dump), wrongTotals(dump), budget)).ok;
    };
    // Four steps for each of them, and sixteen times 20 in all.
    assert.deepEqual(
      [80, 81].map((count) => isBalanced(count, { steps: 20 })),
      [true, false],
    );
    // 128 more, by two bytes that rise or by one that falls: where only the first could be looked at, nothing is said.
    for (const left of [4, 8, 12, 15, 16])
      assert.equal(isBalanced(2, { steps: 100, allowance: { left } }, '80 80', '80'), left === 16, `${left}`);
    // Of work that is shared with others they take no more than is left.
    for (const left of [0, 3, 4, 11, 12, 13])
      assert.equal(isBalanced(3, { steps: 20, allowance: { left } }), left >= 12);
  });
});
