import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { writesFor } from '../../../shared-core/src/actions/settings.js';
import { hex, say } from '../../../shared-core/src/base/index.js';
import { finish } from '../../../shared-core/src/base/steps.js';
import { textOfRows } from '../../../shared-core/src/format/index.js';
import { afterWrites } from '../../../shared-core/src/model/byteWrite.js';
import { lineCell } from '../../../shared-core/src/model/cell.js';
import { addressCell, bindText, type Dump, wrongTotals } from '../../../shared-core/src/model/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { balanceGroups, freeCells, freeCellsAt } from '../../../shared-core/src/repair/freeCells.js';
import { rebalance } from '../../../shared-core/src/repair/rebalance.js';
import { type RepairPlan, repairAll, rightSums } from '../../../shared-core/src/repair/repairAll.js';
import { rewriteTotal, rewriteTotals } from '../../../shared-core/src/repair/totals.js';
import { dumpOf } from '../../support/demo.js';

/** Three lines of four bytes with a sum; a block sum over the first two lines in the third; a file sum at the end. */
const TEXT = '1: 10 20 30 40 | A0\n2: 01 02 03 04 | 0A\n3: 05 06 07 AA | BC\ntotal: 01 66\n';
const block = { name: 'block sum', method: 'add', bits: 8, lines: '1-2', over: ['data'], line: 3, byte: 4 };
const file = { name: 'file sum', method: 'add', bits: 16, over: ['data'], label: 'total', keep: true };

function dumpWith(parts: object, text = TEXT): Dump {
  const { profile, problems } = readProfile(
    JSON.stringify({
      format: 1,
      lines: { from: 1, to: 3, data: 4, sum: 1 },
      lineSum: { method: 'add', bits: 8, over: ['data'] },
      ...parts,
    }),
  );
  assert.deepEqual(problems, []);
  return dumpOf(text, profile);
}

const textAfter = (dump: Dump, plan: RepairPlan = { totals: 'keep' }) => {
  const repair = repairAll(dump, plan);
  return repair.ok ? textOfRows(afterWrites(dump, repair.value.writes).rows) : say(repair.why);
};
const byteChanged = (text = TEXT) => text.replace('1: 10', '1: 12');

/** The profile parts that protect the place of the block sum, each with what is said of it. */
const PROTECTED = [
  [
    { locked: [{ line: 3, byte: 4, why: 'factory' }] },
    'The block sum is stored in a locked place (factory), so it is never rewritten.',
  ],
  [
    { volatile: [{ line: 3, byte: 4, why: 'clock' }] },
    'The block sum is stored in bytes that change by themselves in the module (clock), so it is never rewritten.',
  ],
] as const;

describe('a sum that is stored in a protected place', () => {
  it('is never rewritten, and the reason is said', () => {
    for (const [parts, why] of PROTECTED) {
      const dump = dumpWith({ totals: [block], ...parts }, byteChanged());
      assert.deepEqual(wrongTotals(dump), [0]);
      assert.deepEqual(rewriteTotal(dump, 0), []);
      assert.deepEqual(
        rewriteTotals(dump, () => true),
        [],
      );
      assert.equal(textAfter(dump), `${why} Choose a line to balance with.`);
      assert.equal(textAfter(dump, { totals: 'rewrite' }), `${why} Choose a line to balance with.`);
    }
  });

  it('is rewritten where nothing protects it', () => {
    const dump = dumpWith({ totals: [block] }, byteChanged());
    assert.match(textAfter(dump), /1: 12 20 30 40 \| A2\n.*\n3: 05 06 07 AC \| BE/);
  });

  it('is also a record of its own whose number is locked', () => {
    const { profile } = readProfile(
      JSON.stringify({
        format: 1,
        totals: [{ name: 'file sum', method: 'add', bits: 8, over: ['data'], label: 9 }],
        locked: [{ line: 9, byte: 1, why: 'factory' }],
      }),
    );
    const dump = dumpOf('1: 01 02\n9: 00\n', profile);
    assert.match(textAfter(dump), /stored in a locked place \(factory\)/);
  });

  it('does not keep the line sums from being righted alone, nor what is saved in the editor', () => {
    const dump = dumpWith({ totals: [block], locked: [{ line: 3, byte: 4 }] }, byteChanged());
    assert.match(
      textAfter(dump, { totals: 'none' }),
      /^1: 12 20 30 40 \| A2\n2: 01 02 03 04 \| 0A\n3: 05 06 07 AA \| BC\n/,
    );
    const saved = rightSums(dump);
    assert.ok(saved.ok);
    assert.deepEqual(
      saved.value.map(({ row, byte }) => [row, byte]),
      [[0, 4]],
    );
  });

  it('is balanced where a line is chosen, or where it is to be kept, also when all sums are rewritten', () => {
    const locked = [{ line: 3, byte: 4 }];
    const balance = [{ line: 2, byte: 1 }];
    const chosen = dumpWith({ totals: [block], locked }, byteChanged());
    assert.match(
      textAfter(chosen, { totals: 'keep', using: { row: 1 } }),
      /2: 01 00 03 04 \| 08\n3: 05 06 07 AA \| BC/,
    );
    const kept = dumpWith(
      { totals: [{ ...block, keep: true }], locked, balance },
      byteChanged().replace('2: 01', '2: 09').replace('| 0A', '| 12').replace('AA | BC', 'B2 | C4'),
    );
    for (const totals of ['keep', 'rewrite'] as const)
      assert.match(textAfter(kept, { totals }), /2: 07 02 03 04 \| 10\n3: 05 06 07 B2 \| C4/, totals);
  });

  it('stays right when another sum is balanced, or balancing is refused and names it', () => {
    const parts = { totals: [block, file], locked: [{ line: 3, byte: 4 }] };
    // The file sum is 2 too low; line 3 is not covered by the block sum, lines 1 and 2 are.
    const dump = dumpWith(parts, TEXT.replace('total: 01 66', 'total: 01 68'));
    const right = rebalance(dump, freeCells(dump, 2), [1]);
    assert.ok(right.ok);
    assert.match(textOfRows(afterWrites(dump, right.value.writes).rows), /3: 07 06 07 AA \| BE/);
    const wrong = rebalance(dump, [{ row: 1, byte: 0 }], [1]);
    assert.ok(!wrong.ok);
    assert.match(say(wrong.why), /These must stay right too: block sum\.$/);
  });

  it('refuses an option that would make it wrong', () => {
    const options = [{ id: 'o', title: 'It', line: 1, byte: 1, number: {} }];
    const dump = dumpWith({ totals: [block], locked: [{ line: 3, byte: 4, why: 'factory' }], options });
    const [option] = dump.profile.options;
    assert.ok(option);
    const set = finish(writesFor(dump, [{ option, raw: 0x12n }], { totals: 'keep' }));
    assert.ok(!set.ok);
    assert.match(say(set.why), /The block sum is stored in a locked place \(factory\), so it is never rewritten/);
  });
});

describe('a kept sum beside the one that is balanced', () => {
  it('stays right too, whichever comes first', () => {
    const second = { name: 'second sum', method: 'xor', bits: 8, over: ['data'], label: 'x', keep: true };
    const text = `${TEXT.replace('total: 01 66', 'total: 01 68')}x: ${(0x10 ^ 0x20 ^ 0x30 ^ 0x40 ^ 1 ^ 2 ^ 3 ^ 4 ^ 5 ^ 6 ^ 7 ^ 0xaa).toString(16)}\n`;
    for (const totals of [
      [file, second],
      [second, file],
    ]) {
      const dump = dumpWith({ totals }, text);
      const wrong = totals.indexOf(file);
      assert.deepEqual(wrongTotals(dump), [wrong]);
      const repair = rebalance(dump, freeCells(dump, 1), [wrong]);
      assert.ok(repair.ok, repair.ok ? '' : say(repair.why));
      assert.deepEqual(wrongTotals(afterWrites(dump, repair.value.writes)), []);
      const one = rebalance(dump, [{ row: 1, byte: 0 }], [wrong]);
      assert.ok(!one.ok);
      assert.match(say(one.why), /These must stay right too: second sum\./);
    }
  });
});

describe('two kept sums that are wrong', () => {
  it('are both brought back, also where one is asked for: no kept value is ever written over', () => {
    const first = { ...file, name: 'first sum', lines: '1-2', label: 'f' };
    const dump = dumpWith(
      { totals: [first, file] },
      `${TEXT.replace('2: 01 02 03 04 | 0A', '2: 03 02 03 04 | 0C')}f: 00 AA\n`,
    );
    assert.deepEqual(wrongTotals(dump), [0, 1]);
    for (const asked of [0, 1]) {
      const repair = rebalance(dump, freeCells(dump, 0), [asked]);
      assert.ok(repair.ok);
      const after = afterWrites(dump, repair.value.writes);
      assert.deepEqual(wrongTotals(after), []);
      assert.match(textOfRows(after.rows), /total: 01 66\nf: 00 AA\n$/);
    }
  });
});

describe('a sum that is not kept', () => {
  it('is rewritten, and does not stand in the way of balancing', () => {
    const second = { name: 'second sum', method: 'xor', bits: 8, over: ['data'], label: 'x' };
    const xor = (0x10 ^ 0x20 ^ 0x30 ^ 0x40 ^ 1 ^ 2 ^ 3 ^ 4 ^ 5 ^ 6 ^ 7 ^ 0xaa).toString(16);
    const dump = dumpWith({ totals: [second, file] }, `${TEXT.replace('total: 01 66', 'total: 01 68')}x: ${xor}\n`);
    assert.deepEqual(wrongTotals(dump), [1]);
    const repair = rebalance(dump, [{ row: 1, byte: 0 }], [1]);
    assert.ok(repair.ok);
    assert.deepEqual(
      repair.value.writes.map(({ reason }) => reason),
      ['balance', 'line-sum', 'total'],
    );
    assert.deepEqual(wrongTotals(afterWrites(dump, repair.value.writes)), []);
  });

  it('is not written where it is right, or cannot be told', () => {
    assert.deepEqual(rewriteTotal(dumpWith({ totals: [block] }), 0), []);
    assert.deepEqual(rewriteTotal(dumpWith({ totals: [block] }, TEXT.replace('1: 10', '1: 1x')), 0), []);
    assert.deepEqual(rewriteTotal(dumpWith({ totals: [block] }), 7), []);
  });
});

describe('a sum that cannot be told', () => {
  it('is not balanced', () => {
    const dump = dumpWith({ totals: [file] }, TEXT.replace('1: 10 20', '1: 10 2x'));
    const repair = rebalance(dump, freeCells(dump, 1), [0]);
    assert.equal(
      repair.ok ? '' : say(repair.why),
      'The file sum cannot be balanced: a line it covers is missing or cannot be read.',
    );
  });

  it('does not keep others from being balanced', () => {
    const broken = { ...block, label: 'b', line: undefined, byte: undefined, lines: '1-1', keep: true };
    const second = { ...file, lines: '2-3' };
    const text = `${TEXT.replace('1: 10 20', '1: 10 2x').replace('01 66', '00 C7')}b: A0\n`;
    const dump = dumpWith({ totals: [broken, second] }, text);
    assert.deepEqual(wrongTotals(dump), [1]);
    const repair = rebalance(dump, freeCells(dump, 1), [1]);
    assert.ok(repair.ok);
    assert.deepEqual(wrongTotals(afterWrites(dump, repair.value.writes)), []);
  });
});

describe('correcting line sums alone', () => {
  const overSums = { ...file, over: ['data', 'sums'] };
  /** The file sum is right over a line sum that is wrong. */
  const text = '1: 10 20 30 40 | A1\n2: 01 02 03 04 | 0A\n3: 05 06 07 AA | BC\ntotal: 02 CD\n';

  it('is refused where a sum that is right covers them', () => {
    const dump = dumpWith({ totals: [overSums] }, text);
    assert.deepEqual([dump.wrongSums, wrongTotals(dump)], [[0], []]);
    const why =
      'The file sum is right and covers sums that would change. Correct all checksums together, not these alone.';
    assert.equal(textAfter(dump, { totals: 'none' }), why);
    const saved = rightSums(dump);
    assert.equal(saved.ok ? '' : say(saved.why), why);
  });

  it('is refused where a sum that is right covers one that is rewritten', () => {
    const stored = { ...file, lines: '3-3' };
    const dump = dumpWith({ totals: [block, stored] }, TEXT.replace('1: 10', '1: 12').replace('01 66', '00 BC'));
    assert.deepEqual(wrongTotals(dump), [0]);
    const saved = rightSums(dump);
    assert.match(saved.ok ? '' : say(saved.why), /^The file sum is right and covers sums that would change/);
  });

  it('is done where that sum is wrong anyway, and where it is rewritten with them', () => {
    const wrong = dumpWith({ totals: [overSums] }, text.replace('02 CD', '02 C0'));
    assert.match(textAfter(wrong, { totals: 'none' }), /\| A0\n[\s\S]*total: 02 C0/);
    const saved = rightSums(dumpWith({ totals: [{ ...overSums, keep: false }] }, text));
    assert.ok(saved.ok && saved.value.length > 1);
  });
});

describe('the bytes that may balance', () => {
  const cellsIn = (dump: Dump, ...rows: number[]) =>
    rows.flatMap((row) =>
      freeCells(dump, row).map(
        ({ byte, mask }) => `${row + 1}.${byte + 1}${mask === undefined ? '' : `/${hex(mask)}`}`,
      ),
    );

  it('are those that no lock, no sum and nothing that changes by itself is in, and the bits beside those of options', () => {
    const immo = {
      id: 'i',
      title: 'Immobiliser',
      line: 1,
      byte: 3,
      bits: '0',
      values: { 0: 'no' },
      hazard: 'security',
    };
    const dump = dumpWith({
      totals: [block],
      locked: [{ line: 1, byte: 1 }],
      volatile: [{ line: 1, byte: 2 }],
      options: [immo, { id: 'o', title: 'It', line: 2, byte: 2, bits: '0', values: { 0: 'no' } }],
    });
    assert.deepEqual(cellsIn(dump, 0, 1, 2), ['1.4', '1.3/FE', '2.1', '2.3', '2.4', '2.2/FE', '3.1', '3.2', '3.3']);
  });

  it('are listed bytes first, bytes with an option last, and bits of options only where the profile lists them', () => {
    const options = [1, 2].map((byte) => ({ id: `o${byte}`, line: 2, byte, bits: '0', values: { 0: 'no' } }));
    const dump = dumpWith({
      options,
      balance: [
        { line: 2, byte: 2 },
        { line: 2, byte: 4 },
      ],
    });
    assert.deepEqual(cellsIn(dump, 1), ['2.4', '2.3', '2.1/FE', '2.2']);
  });

  it('are never locked, though bytes beside them are missing', () => {
    const text = '1: 10 20 30 40 | A0\n2: 01 02\n3: 05 06 07 AA | BC\ntotal: 01 66\n';
    const dump = dumpWith({ locked: [{ line: 2, bytes: '1-4' }] }, text);
    assert.deepEqual(cellsIn(dump, 1), []);
    assert.deepEqual(freeCells(dumpWith({}, TEXT.replace('1: 10', '1: 1x')), 0), [], 'a line that cannot be read');
    assert.deepEqual(freeCellsAt(dump, { from: 1, to: 3 }), [], 'a dump in lines has no addresses');
    const image = (absent: string) => {
      const { profile } = readProfile(
        JSON.stringify({
          format: 1,
          addresses: { from: 0, to: 7 },
          locked: [{ address: 2, bytes: 4 }],
          balance: [{ address: 1 }],
        }),
      );
      return bindText('a.hex', absent, profile);
    };
    // 0000 to 0003, and 0006 to 0007: of the locked bytes 0004 and 0005 are missing.
    const dumpWithGap = image(':0400000001020304F2\n:0200060007080A\n:00000001FF\n'.replace('0A', 'E9'));
    assert.deepEqual(
      freeCellsAt(dumpWithGap, { from: 0, to: 7 }).map(({ row, byte }) => [row, byte]),
      [
        [0, 1],
        [0, 0],
        [1, 0],
        [1, 1],
      ],
    );
    assert.deepEqual(balanceGroups(dumpWithGap), [[addressCell(dumpWithGap.layout, 1)]]);
  });

  it('are none of a sum: not the one of the record before, where addresses begin behind its data', () => {
    const image = bindText(
      'a.hex',
      ':0400000001020304F2\n:0200060007080A\n:00000001FF\n'.replace('0A', 'E9'),
      readProfile('{ "format": 1 }').profile,
    );
    assert.deepEqual(freeCellsAt(image, { from: 4, to: 5 }), []);
    assert.deepEqual(freeCellsAt(image, { from: 4, to: 6 }), [{ row: 1, byte: 0 }]);
    assert.deepEqual(freeCellsAt(image, { from: 8, to: 9 }), []);
  });

  it('of a balance place are only those that its line has', () => {
    const dump = dumpWith({ balance: [{ line: 2, bytes: '2-4' }] }, TEXT.replace('01 02 03 04 | 0A', '01 02'));
    assert.deepEqual(balanceGroups(dump), [[{ row: 1, byte: 1 }]]);
  });

  it('of a balance place are none where its copy holds something else, or is missing: nobody can tell what it is', () => {
    const profile = { copies: [{ name: 'set', lines: '2-2', at: ['3-3'] }], balance: [{ line: 2, byte: 1 }] };
    const groups = (third: string) => {
      const text = `1: 10 20 30 40 | A0\n2: 01 02 03 04 | 0A\n${third}total: 01 66\n`;
      return balanceGroups(dumpWith({ totals: [], ...profile }, text)).length;
    };
    assert.equal(groups('3: 01 02 03 04 | 0A\n'), 1);
    assert.equal(groups('3: 05 02 03 04 | 0E\n'), 0);
    assert.equal(groups('3: 0x 02 03 04 | 0E\n'), 0);
    assert.equal(groups(''), 0);
  });

  it('of the balance places leave out what is protected or fixed, whatever the profile lists', () => {
    const dump = dumpWith({
      totals: [block],
      balance: [
        { line: 2, byte: 1 },
        { line: 2, byte: 2 },
        { line: 1, byte: 1 },
      ],
    });
    const at = (line: number, byte: number) => lineCell(dump.layout, line, byte);
    assert.deepEqual(balanceGroups(dump), [[at(2, 1), at(2, 2)], [at(1, 1)]]);
    assert.deepEqual(
      balanceGroups(dump, [
        { row: 1, byte: 0 },
        { row: 0, byte: 0 },
      ]),
      [[at(2, 2)]],
    );
    const place = { kind: 'line', line: 2, byte: 1, count: 1 } as const;
    const source = { start: 0, end: 0 };
    for (const part of ['locked', 'volatile'] as const) {
      const profile = { ...dump.profile, [part]: [{ place, why: undefined, source }] };
      assert.deepEqual(balanceGroups({ ...dump, profile }), [[at(2, 2)], [at(1, 1)]], part);
    }
    const sums = [...dump.profile.balance, { place: { kind: 'line', line: 3, byte: 4, count: 2 } as const, source }];
    assert.deepEqual(balanceGroups({ ...dump, profile: { ...dump.profile, balance: sums } }).length, 2, 'no sums');
  });
});
