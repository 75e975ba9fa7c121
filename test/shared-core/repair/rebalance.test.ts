import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { textOfRows } from '../../../shared-core/src/format/index.js';
import { afterWrites } from '../../../shared-core/src/model/byteWrite.js';
import { type Dump, wrongTotals } from '../../../shared-core/src/model/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { freeCells } from '../../../shared-core/src/repair/freeCells.js';
import { rightLineSums } from '../../../shared-core/src/repair/lineSums.js';
import { rebalance } from '../../../shared-core/src/repair/rebalance.js';
import { repairAll } from '../../../shared-core/src/repair/repairAll.js';
import { rewriteTotals } from '../../../shared-core/src/repair/totals.js';
import { dumpOf } from '../../support/demo.js';

const LINES = { from: 1, to: 4, data: 4, sum: 1 };
const ADD_8 = { method: 'add', bits: 8, over: ['data'] };

/** A dump of four lines of four bytes, all sums right, under a profile with these sums. */
function soundDump(profile: object, data: readonly (readonly number[])[] = DATA, sum = '00'): Dump {
  const read = readProfile(JSON.stringify({ format: 1, title: 'test', lines: LINES, ...profile })).profile;
  const rows = data.map(
    (bytes, i) => `${i + 1}: ${bytes.map((b) => b.toString(16).padStart(2, '0')).join(' ')} | ${sum}`,
  );
  const ends = read.totals.flatMap(({ stored, checksum }) =>
    stored.kind === 'record' ? [`${stored.label}: ${'00 '.repeat(Math.ceil(checksum.bits / 8)).trim()}`] : [],
  );
  const dump = dumpOf([...rows, ...ends, ''].join('\n'), read);
  const lined = afterWrites(dump, rightLineSums(dump));
  return afterWrites(
    lined,
    rewriteTotals(lined, () => true),
  );
}

const DATA = [
  [0x10, 0x20, 0x30, 0x40],
  [0xff, 0x00, 0x7f, 0x01],
  [0x05, 0xfa, 0x00, 0xff],
  [0x80, 0x81, 0x82, 0x83],
];

/** The dump with one data byte of line 1 changed, and the sum of that line righted. */
function edited(dump: Dump, value: number): Dump {
  const changed = afterWrites(dump, [{ row: 0, byte: 1, value, reason: 'option' }]);
  return afterWrites(changed, rightLineSums(changed));
}

describe('an option that concerns the security of the vehicle', () => {
  it('is never what balances, and a profile that lists it so is marked', () => {
    const secured = { id: 'immo', title: 'Immobiliser', line: 4, byte: 1, bits: '0', values: { 0: 'a', 1: 'b' } };
    const profile = (hazard: string) => ({
      lineSum: ADD_8,
      totals: [{ name: 'file sum', method: 'add', bits: 16, label: 'total', keep: true }],
      balance: [{ line: 4, byte: 1 }],
      options: [{ ...secured, hazard }],
    });
    const wrong = (hazard: string) =>
      readProfile(JSON.stringify({ format: 1, lines: LINES, ...profile(hazard) })).problems.map(({ message }) =>
        say(message),
      );
    assert.deepEqual(wrong('lighting'), []);
    assert.match(wrong('security').join(), /This balance place holds an option that concerns the security/);
    const freeIn = (hazard: string) => freeCells(soundDump(profile(hazard)), 3).find(({ byte }) => byte === 0);
    assert.deepEqual(freeIn('lighting'), { row: 3, byte: 0 });
    assert.deepEqual(freeIn('security'), { row: 3, byte: 0, mask: 0xfe }, 'bits beside it');
  });
});

const cellsOfRows = (dump: Dump, ...rows: number[]) => rows.flatMap((row) => freeCells(dump, row));
const whyOf = (repair: ReturnType<typeof rebalance>) => (!repair.ok ? say(repair.why) : undefined);
const total = (more: object) => ({ name: 'file sum', label: 'total', over: ['data'], keep: true, ...more });

/** All sums must be right afterwards, computed from the written text and by nothing that the repair used. */
function assertRight(dump: Dump, repair: ReturnType<typeof rebalance>): Dump {
  assert.equal(whyOf(repair), undefined);
  assert.ok(repair.ok);
  const after = dumpOf(textOfRows(afterWrites(dump, repair.value.writes).rows), dump.profile);
  assert.deepEqual(wrongTotals(after), []);
  assert.deepEqual(after.wrongSums, []);
  return after;
}

describe('rebalancing', () => {
  it('counts the line sum too where the total runs over it', () => {
    const sound = soundDump({ lineSum: ADD_8, totals: [total({ method: 'add', bits: 16, over: ['data', 'sums'] })] });
    const dump = edited(sound, 0x22);
    // The option raised the total by 2 twice: in the data and in the line sum.
    const after = assertRight(dump, rebalance(dump, cellsOfRows(dump, 3), [0]));
    assert.equal(textOfRows(after.rows).split('\n')[3], '4: 7E 81 82 83 | 04');
  });

  it('knows where bytes are behind a total that is stored in their line', () => {
    const totals = [total({ method: 'crc', model: 'CRC-8/SMBUS', label: undefined, line: 2, byte: 2 })];
    const dump = edited(soundDump({ lineSum: ADD_8, totals }), 0x22);
    assertRight(dump, rebalance(dump, cellsOfRows(dump, 1).slice(2), [0]));
  });

  it('counts line sums of two bytes, in the order in which they are stored', () => {
    for (const order of ['big', 'little']) {
      const profile = {
        lines: { ...LINES, sum: 2 },
        lineSum: { method: 'add', bits: 16, order, over: ['data'] },
        totals: [total({ method: 'crc', model: 'CRC-16/ARC', over: ['data', 'sums'] })],
      };
      const dump = edited(soundDump(profile, DATA, '0000'), 0x22);
      assertRight(dump, rebalance(dump, cellsOfRows(dump, 3), [0]));
    }
  });

  it('takes several lines together where one cannot take it all', () => {
    const sound = soundDump({
      lineSum: ADD_8,
      totals: [total({ method: 'crc', model: 'CRC-32/ISO-HDLC', over: ['data', 'sums'] })],
    });
    const dump = edited(sound, 0x21);
    assert.match(whyOf(rebalance(dump, cellsOfRows(dump, 2).slice(0, 3), [0])) ?? '', /need/);
    assertRight(dump, rebalance(dump, [...cellsOfRows(dump, 2).slice(0, 3), ...cellsOfRows(dump, 3)], [0]));
  });

  it('keeps a total that covers a total which is rewritten', () => {
    const totals = [
      total({ name: 'block sum', method: 'add', bits: 16, label: 'block', over: ['data'], lines: '1-3', keep: false }),
      { name: 'inner', method: 'add', bits: 8, line: 4, byte: 4, over: ['data'], lines: '1-3' },
      total({ method: 'crc', model: 'CRC-16/ARC', over: ['data', 'sums'] }),
    ];
    const dump = edited(soundDump({ lineSum: ADD_8, totals }), 0x5c);
    const repair = rebalance(dump, cellsOfRows(dump, 1), [2]);
    const after = assertRight(dump, repair);
    assert.notEqual(textOfRows(after.rows).split('\n')[3], textOfRows(dump.rows).split('\n')[3]);
  });

  it('says in numbers how far a line can go', () => {
    const totals = [total({ method: 'add', bits: 16 })];
    const data = [[0, 0, 0, 0], ...DATA.slice(1, 3), [0, 0, 0, 0xe5]];
    const dump = afterWrites(soundDump({ lineSum: ADD_8, totals }, data), [
      { row: 0, byte: 0, value: 0xff, reason: 'option' },
      { row: 0, byte: 1, value: 0xff, reason: 'option' },
    ]);
    const cells = cellsOfRows(dump, 3).slice(3);
    assert.equal(whyOf(rebalance(dump, cells, [0])), 'Line 4 can take up −E5 to +1A (hex), needed is −1FE.');
  });

  it('says by which steps a line can go', () => {
    const dump = edited(soundDump({ lineSum: ADD_8, totals: [total({ method: 'add', bits: 16, unit: 2 })] }), 0x21);
    const cells = cellsOfRows(dump, 3).filter(({ byte }) => byte % 2 === 0);
    assert.equal(whyOf(rebalance(dump, cells, [0])), 'Line 4 can take up multiples of 100 (hex) only, needed is 01.');
  });

  it('says how many more bytes have to be free', () => {
    const dump = edited(
      soundDump({ lineSum: ADD_8, totals: [total({ method: 'crc', model: 'CRC-32/ISO-HDLC' })] }),
      0x21,
    );
    assert.equal(
      whyOf(rebalance(dump, cellsOfRows(dump, 3).slice(0, 2), [0])),
      'Line 4: no values of the free bytes correct the sums. At least 2 more free bytes are needed.',
    );
  });

  const method = fc.constantFrom<object>(
    { method: 'add', bits: 8 },
    { method: 'add', bits: 16, unit: 2, order: 'little' },
    { method: 'add', bits: 16, complement: 'twos' },
    { method: 'add-end-around', bits: 16 },
    { method: 'xor', bits: 8 },
    { method: 'crc', model: 'CRC-16/ARC' },
    { method: 'crc', model: 'CRC-8/SMBUS' },
    { method: 'fletcher', bits: 16 },
  );
  const over = fc.constantFrom(['data'], ['data', 'sums']);
  const oneByte = fc.constantFrom<object>(
    { method: 'add', bits: 8, complement: 'ones' },
    { method: 'xor', bits: 8 },
    { method: 'crc', model: 'CRC-8/SMBUS' },
    { method: 'add-end-around', bits: 8 },
  );

  it('makes every sum right or says why not, whatever sums cover each other', () => {
    fc.assert(
      fc.property(
        fc.record({ line: oneByte, inner: oneByte, kept: method, over, innerOver: over }),
        fc.array(fc.array(fc.nat(255), { minLength: 4, maxLength: 4 }), { minLength: 4, maxLength: 4 }),
        fc.nat(255),
        fc.subarray([0, 1, 2], { minLength: 1, maxLength: 2 }),
        ({ line, inner, kept, over, innerOver }, data, value, rows) => {
          const totals = [
            { name: 'inner', ...inner, line: 4, byte: 2, over: innerOver, lines: '1-3' },
            total({ ...kept, over }),
          ];
          const dump = edited(soundDump({ lineSum: { ...line, over: ['label', 'data'] }, totals }, data), value);
          const repair = rebalance(dump, cellsOfRows(dump, ...rows), [1], { steps: 100_000 });
          if (repair.ok) assertRight(dump, repair);
          else assert.ok(!/it covers another sum/.test(say(repair.why)), say(repair.why));
        },
      ),
      { numRuns: 40 },
    );
  });
});

describe('making every sum right', () => {
  it('uses the balance places together where none can take it alone', () => {
    const balance = [
      { line: 3, byte: 1 },
      { line: 4, byte: 1 },
    ];
    const totals = [total({ method: 'add', bits: 16 })];
    const sound = soundDump({ lineSum: ADD_8, totals, balance });
    const dump = edited(edited(sound, 0x20), 0xa2);
    // 82 more are to be taken away: line 3 has 5, line 4 has 80.
    const after = assertRight(dump, repairAll(dump, { totals: 'keep' }));
    assert.deepEqual(
      textOfRows(after.rows)
        .split('\n')
        .slice(2, 4)
        .map((row) => row.slice(0, 5)),
      ['3: 03', '4: 00'],
    );
  });
});
