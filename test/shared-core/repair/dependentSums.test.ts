import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { finish } from '../../../shared-core/src/base/steps.js';
import { textOfRows } from '../../../shared-core/src/format/index.js';
import { afterWrites } from '../../../shared-core/src/model/byteWrite.js';
import type { Cell } from '../../../shared-core/src/model/cell.js';
import { bind, bindText, type Dump, wrongTotals } from '../../../shared-core/src/model/index.js';
import { freeCells } from '../../../shared-core/src/repair/freeCells.js';
import { rebalance, rebalanceByFirst, rowsThatCould } from '../../../shared-core/src/repair/rebalance.js';
import { type RepairPlan, repairAll, rightSums } from '../../../shared-core/src/repair/repairAll.js';
import { optionsBalanced } from '../../../shared-core/src/repair/repaired.js';
import { certaintyInWords } from '../../../shared-core/src/repair/repairInWords.js';
import { rewriteTotals } from '../../../shared-core/src/repair/totals.js';
import { lines, profileOf } from '../../support/smallDumps.js';

/** Three lines of two bytes with sums of their own, a sum over the first line in the third, and a kept file sum. */
const inner = { name: 'inner', method: 'xor', bits: 8, lines: '1-1', line: 3, byte: 2 };
const file = { name: 'file', method: 'add', bits: 16, over: ['data'], label: 'f', keep: true };
const PARTS = {
  lines: { from: 1, to: 3, data: 2, sum: 1 },
  lineSum: { method: 'add', bits: 8, over: ['data'] },
  totals: [inner, file],
};
const TEXT = '1: 10 20 | 30\n2: 40 50 | 90\n3: 05 30 | 35\nf: 00 F5\n';
const dumpWith = (text: string, more: object = {}) => lines(profileOf({ ...PARTS, ...more }), text);
const afterBalancing = (dump: Dump, ...cells: readonly Cell[]) => {
  const repair = rebalance(dump, cells, [1]);
  return repair.ok ? textOfRows(afterWrites(dump, repair.value.writes).rows) : say(repair.why);
};
const [SECOND, THIRD] = [
  { row: 1, byte: 0 },
  { row: 2, byte: 0 },
];

describe('a sum that depends on what balances', () => {
  it('is made right with it, though it was wrong before: that of the line', () => {
    const dump = dumpWith(TEXT.replace('| 90', '| 91').replace('00 F5', '00 F7'));
    assert.equal(afterBalancing(dump, SECOND), TEXT.replace('40 50 | 90', '42 50 | 92').replace('00 F5', '00 F7'));
  });

  it('is made right with it, though it was wrong before: a sum that is rewritten, and that of the line that holds it', () => {
    // Rewriting the inner sum from 32 to 30 takes 2 from the file sum.
    const dump = dumpWith(TEXT.replace('05 30 | 35', '05 32 | 37'));
    assert.equal(afterBalancing(dump, SECOND), TEXT);
    const line = dumpWith(TEXT.replace('| 35', '| 36').replace('00 F5', '00 F7'));
    assert.equal(afterBalancing(line, SECOND), TEXT.replace('40 50 | 90', '42 50 | 92').replace('00 F5', '00 F7'));
  });

  it('is left as it is where nothing of it is concerned: the line of a sum that is never rewritten', () => {
    const locked = { locked: [{ line: 3, byte: 2, why: 'factory' }] };
    const dump = dumpWith(TEXT.replace('| 35', '| 36').replace('00 F5', '00 F7'), locked);
    const after = TEXT.replace('40 50 | 90', '42 50 | 92').replace('00 F5', '00 F7').replace('| 35', '| 36');
    assert.equal(afterBalancing(dump, SECOND), after);
  });

  it('that is never rewritten and is wrong already need not come right', () => {
    const locked = { locked: [{ line: 3, byte: 2, why: 'factory' }] };
    const dump = dumpWith(TEXT.replace('05 30 | 35', '05 31 | 36').replace('00 F5', '00 F7'), locked);
    assert.deepEqual(wrongTotals(dump), [0, 1]);
    const after = TEXT.replace('40 50 | 90', '41 50 | 91').replace('05 30 | 35', '05 31 | 36');
    assert.equal(afterBalancing(dump, SECOND), after.replace('00 F5', '00 F7'));
  });

  it('comes to the value that keeps another one right which covers nothing else', () => {
    const first = { ...file, method: 'xor', bits: 8, lines: '1-1', label: 'g', name: 'first' };
    const sum = { ...inner, method: 'add' };
    const over = { ...file, lines: '3-3', label: 'h', name: 'over' };
    const dump = dumpWith('1: 18 18 | 30\n2: 40 50 | 90\n3: 05 30 | 35\ng: 20\nh: 00 35\n', {
      totals: [sum, first, over],
    });
    assert.deepEqual(wrongTotals(dump), [1]);
    const cells = [0, 1].map((byte) => ({ row: 0, byte }));
    const repair = rebalance(dump, cells, [1]);
    assert.ok(repair.ok, repair.ok ? '' : say(repair.why));
    const after = afterWrites(dump, repair.value.writes);
    assert.deepEqual(wrongTotals(after), []);
    // The sum of both bytes stays, and with it the byte that holds it.
    assert.equal(textOfRows(after.rows).split('\n')[2], '3: 05 30 | 35');
  });

  it('is made right after those that it covers', () => {
    const second = { ...inner, name: 'second', lines: '3-3', line: 2, byte: 2 };
    const dump = dumpWith('1: 10 21 | 31\n2: 40 35 | 75\n3: 05 30 | 35\n', { totals: [inner, second] });
    assert.deepEqual(wrongTotals(dump), [0]);
    const after = afterWrites(
      dump,
      rewriteTotals(dump, () => true),
    );
    assert.equal(textOfRows(after.rows), '1: 10 21 | 31\n2: 40 34 | 74\n3: 05 31 | 36\n');
  });
});

describe('a sum that is stored in two records', () => {
  it('is written over with the sums of both, of which one has changed with another sum before', () => {
    const sum = (from: number) => ({ method: 'add', over: [{ from, to: from + 1 }] });
    const profile = profileOf({
      addresses: { from: 0x10, to: 0x17 },
      totals: [
        { ...sum(0x10), name: 'first', address: 0x12, bits: 8 },
        { ...sum(0x15), name: 'second', address: 0x13, bits: 16 },
      ],
    });
    const dump = bindText('a.hex', ':0400100080C10000AB\n:0400140000F23400C2\n:00000001FF\n', profile);
    const repair = repairAll(dump, { totals: 'keep' });
    assert.ok(repair.ok);
    const after = afterWrites(dump, repair.value.writes);
    assert.deepEqual([dump.wrongSums.length, after.wrongSums.length], [0, 0]);
    assert.equal(textOfRows(after.rows), ':0400100080C1410169\n:0400140026F234009C\n:00000001FF\n');
  });
});

describe('sums whose algebra is not theirs', () => {
  it('are found out: only what comes right from scratch is handed on, and no sum is rewritten instead', () => {
    const xor = profileOf({ ...PARTS, totals: [{ ...file, method: 'xor' }] }).totals[0];
    const other = { ...file, name: 'other', lines: '3-3', label: 'g' };
    assert.ok(xor);
    for (const keep of [true, false]) {
      const dump = dumpWith(`${TEXT.replace('00 F5', '00 F4')}g: 00 35\n`, { totals: [{ ...file, keep }, other] });
      const [total, ...others] = dump.profile.totals;
      assert.ok(total);
      const lying = { ...total, checksum: { ...total.checksum, law: xor.checksum.law } };
      const profile = { ...dump.profile, totals: [lying, ...others] };
      const repair = rebalance(bind(dump.rows, dump.notation, profile), [{ row: 1, byte: 1 }], [0]);
      assert.equal(
        repair.ok ? '' : say(repair.why),
        'The file cannot be kept: it covers another sum that changes with it.',
      );
    }
  });
});

describe('bytes over which a sum does not run', () => {
  it('cannot take up anything, and that is said', () => {
    const dump = dumpWith(TEXT.replace('00 F5', '00 62'), { totals: [{ ...file, lines: '1-1' }] });
    const repair = rebalance(dump, [THIRD], [0]);
    assert.equal(repair.ok ? '' : say(repair.why), 'Line 3 can take up +00 to +00 (hex), needed is +32.');
  });

  it('at their highest take up less than nothing or nothing', () => {
    const dump = dumpWith(TEXT.replace('2: 40 50 | 90', '2: FF 50 | 4F'), { totals: [{ ...file, lines: '2-2' }] });
    const high = lines(dump.profile, textOfRows(dump.rows).replace('f: 00 F5', 'f: 01 50'));
    const repair = rebalance(high, [SECOND], [0]);
    assert.equal(repair.ok ? '' : say(repair.why), 'Line 2 can take up −FF to +00 (hex), needed is +01.');
  });
});

describe('the work that several repairs share', () => {
  it('says nothing once it is used up, whatever could be said at once', () => {
    const dump = dumpWith(TEXT.replace('00 F5', '0F 00'));
    const repair = finish(rebalanceByFirst(dump, [[SECOND], [THIRD]], [1], { steps: 1000, allowance: { left: -1 } }));
    assert.match(repair.ok ? '' : say(repair.why), /^No solution was found in the time allowed/);
  });
});

describe('groups of bytes that balance', () => {
  it('are taken alone before they are taken together, though they hold options', () => {
    const profile = {
      totals: [file],
      options: [
        { id: 'a', line: 1, byte: 1, number: {} },
        { id: 'b', line: 2, bytes: '1-2', number: {} },
      ],
    };
    const text = '1: 00 00 | 00\n2: 00 00 | 00\n3: 00 00 | 00\nf: 01 20\n';
    const groups = [[{ row: 0, byte: 0 }], [SECOND, { row: 1, byte: 1 }]];
    const repair = finish(rebalanceByFirst(dumpWith(text, profile), groups, [0]));
    assert.ok(repair.ok);
    const used = repair.value.writes.filter(({ reason }) => reason === 'balance').map(({ row }) => row);
    assert.deepEqual(used, [1, 1]);
  });
});

describe('lines that could together with given bytes', () => {
  const totals = [{ ...file, lines: '1-3' }];
  const locked = [{ line: 3, bytes: '1-2' }];
  const given = [{ row: 0, byte: 0 }];

  it('count the given bytes once, also where these are in the line', () => {
    // The first byte can rise by 90 (hex) alone, the second line by 6E + 7F.
    const text = '1: 6F FF | 6E\n2: 91 80 | 11\n3: 00 00 | 00\nf: 03 9F\n';
    const dump = dumpWith(text, { totals, locked: [...locked, { line: 1, byte: 2 }] });
    assert.deepEqual(finish(rowsThatCould(dump, [0], 5, given)), [1]);
  });

  it('count a given byte once where it would take two bytes of the line', () => {
    // 190 (hex) more: FF by the given byte, and 91 by the other one of its line.
    const text = '1: 00 00 | 00\n2: 00 00 | 00\n3: 00 00 | 00\nf: 01 90\n';
    const dump = dumpWith(text, { totals, locked: [...locked, { line: 2, bytes: '1-2' }] });
    assert.deepEqual(finish(rowsThatCould(dump, [0], 5, given)), [0]);
  });

  it('change only one way, though a given byte is in the line', () => {
    const text = '1: 6F 00 | 6F\n2: 91 80 | 11\n3: 00 00 | 00\nf: 02 A0\n';
    assert.deepEqual(finish(rowsThatCould(dumpWith(text, { totals, locked }), [0], 5, given)), [0, 1]);
  });

  it('are those with a free byte of their own, and with one it is enough', () => {
    const text = '1: 00 00 | 00\n2: 00 00 | 00\n3: 00 00 | 00\nf: 00 10\n';
    const dump = dumpWith(text, { totals, locked: [...locked, { line: 2, byte: 2 }] });
    assert.deepEqual(freeCells(dump, 1), [SECOND]);
    assert.deepEqual(finish(rowsThatCould(dump, [0], 5, given)), [0, 1]);
  });
});

describe('what is done by a plan', () => {
  const textAfter = (dump: Dump, plan: RepairPlan) => {
    const repair = repairAll(dump, plan);
    return repair.ok ? textOfRows(afterWrites(dump, repair.value.writes).rows) : say(repair.why);
  };

  it('a kept sum is written over where all sums are to be rewritten, and only then', () => {
    const text = TEXT.replace('00 F5', '00 F7');
    const dump = dumpWith(text, { balance: [{ line: 2, byte: 1 }] });
    assert.equal(textAfter(dump, { totals: 'rewrite' }), TEXT);
    assert.equal(textAfter(dump, { totals: 'keep' }), text.replace('40 50 | 90', '42 50 | 92'));
  });

  it('a sum that is rewritten as a rule is balanced where a line is chosen', () => {
    const text = TEXT.replace('00 F5', '00 F7');
    const dump = dumpWith(text, { totals: [{ ...file, keep: false }] });
    assert.equal(textAfter(dump, { totals: 'keep' }), TEXT);
    assert.equal(textAfter(dump, { totals: 'keep', using: { row: 1 } }), text.replace('40 50 | 90', '42 50 | 92'));
  });

  it('the line that is chosen balances, whatever the balance places hold in the backup', () => {
    const balance = [{ line: 3, byte: 1 }];
    const backup = dumpWith(TEXT, { balance });
    const text = TEXT.replace('1: 10 20 | 30', '1: 12 22 | 34').replace('05 30 | 35', '01 30 | 31');
    const dump = dumpWith(text, { balance });
    assert.deepEqual(wrongTotals(dump), []);
    const wrong = dumpWith(text.replace('00 F5', '00 F6'), { balance });
    const repair = repairAll(wrong, { totals: 'keep', using: { row: 1 }, backup });
    assert.ok(repair.ok);
    assert.deepEqual([...new Set(repair.value.writes.map(({ row }) => row))], [1]);
  });

  it('a sum of one byte alone is written over too, where no line has to be', () => {
    const total = { ...file, method: 'xor', bits: 8, keep: false };
    const dump = dumpWith(TEXT.replace('00 F5', '00'), { totals: [total] });
    assert.equal(textAfter(dump, { totals: 'keep' }), TEXT.replace('00 F5', '15'));
  });

  it('claims of sums that are only rewritten that there is no other way, and that no option changes', () => {
    const repair = repairAll(dumpWith(TEXT.replace('| 90', '| 91')), { totals: 'keep' });
    assert.ok(repair.ok);
    const { unique, fewest, alsoChanged } = repair.value;
    assert.deepEqual([unique, fewest, alsoChanged], [true, true, []]);
  });
});

describe('sums that are put right at each save', () => {
  const writesOf = (text: string, more: object) => {
    const sums = rightSums(dumpWith(text, more));
    assert.ok(sums.ok);
    return sums.value.map(({ row, byte }) => `${row}.${byte}`);
  };

  it('are none that are only a guess, which may be data', () => {
    const line = TEXT.replace('| 90', '| 91');
    const guess = { confidence: 'guess' };
    assert.deepEqual(writesOf(line, {}), ['1.2']);
    assert.deepEqual(writesOf(line, { lineSum: { ...PARTS.lineSum, ...guess } }), []);
    const total = { ...file, method: 'xor', bits: 8, keep: false };
    const text = TEXT.replace('00 F5', '00');
    assert.deepEqual(writesOf(text, { totals: [total] }), ['3.0']);
    assert.deepEqual(writesOf(text, { totals: [{ ...total, ...guess }] }), []);
    assert.deepEqual(writesOf(text, { totals: [{ ...total, keep: true }] }), []);
  });
});

describe('the bytes that balance', () => {
  const sum = { row: 1, byte: 2, value: 1, reason: 'line-sum' } as const;

  it('are counted without the sums that follow them', () => {
    const one = { row: 1, byte: 0, value: 1, reason: 'balance' } as const;
    assert.equal(
      say(certaintyInWords({ writes: [one, sum], unique: true, fewest: true })),
      'balanced by one byte; no other single byte allowed here could do it',
    );
  });

  it('change options by themselves: not what was asked to be set', () => {
    const dump = dumpWith(TEXT, { options: [{ id: 'a', line: 2, byte: 1, number: {} }] });
    const written = (reason: 'option' | 'balance' | 'copy') =>
      optionsBalanced(dump, [{ ...SECOND, value: 7, reason }, sum]).map(({ id }) => id);
    assert.deepEqual([written('option'), written('balance'), written('copy')], [[], ['a'], ['a']]);
  });
});
