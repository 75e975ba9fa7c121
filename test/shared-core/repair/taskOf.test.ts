import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { bytesOfNumber } from '../../../shared-core/src/base/number.js';
import { finish } from '../../../shared-core/src/base/steps.js';
import { textOfRows } from '../../../shared-core/src/format/index.js';
import { afterWrites, type ByteWrite } from '../../../shared-core/src/model/byteWrite.js';
import { addressCell, type Cell, lineCell } from '../../../shared-core/src/model/cell.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { readTotal } from '../../../shared-core/src/model/totalReading.js';
import { byteAt } from '../../../shared-core/src/model/totals.js';
import { rightLineSums } from '../../../shared-core/src/repair/lineSums.js';
import { bringsAbout } from '../../../shared-core/src/repair/solver/sums.js';
import { taskOf } from '../../../shared-core/src/repair/taskOf.js';
import { rewriteTotals } from '../../../shared-core/src/repair/totals.js';
import { profileOf } from '../../support/smallDumps.js';

type Values = readonly (readonly [Cell | undefined, number])[];

const TEXT = '1: 10 20 30 40\n2: 01 02 03 04\n3: 05 06 07 08\n4: 00 00 00 00\n';

/** Lines of four bytes with a sum of their own under a profile, all sums right. */
function soundLines(parts: object, sumBytes = 1): Dump {
  const profile = profileOf({ lines: { from: 1, to: 4, data: 4, sum: sumBytes }, lineSum: LINE_SUM, ...parts });
  const labels = profile.totals.flatMap(({ stored, checksum }) =>
    stored.kind === 'record' ? [`${stored.label}:${' 00'.repeat(Math.ceil(checksum.bits / 8))}\n`] : [],
  );
  const text = TEXT.replace(/\n/g, ` |${' 00'.repeat(sumBytes)}\n`);
  return sound(bindText('a.cfgdump', text + labels.join(''), profile), () => true);
}

function sound(dump: Dump, which: (name: string) => boolean): Dump {
  const lined = afterWrites(dump, rightLineSums(dump));
  return afterWrites(
    lined,
    rewriteTotals(lined, ({ total }) => which(total.name)),
  );
}

const at = (dump: Dump, line: number, byte: number) => lineCell(dump.layout, line, byte);
const writes = (values: Values): readonly ByteWrite[] =>
  values.map(([cell, value]) => ({ ...(cell as Cell), value, reason: 'balance' }));

/** The dump after a change, with the sums of its lines and the totals of these names made right after it. */
function changed(dump: Dump, values: Values, follow: readonly string[]): Dump {
  return sound(afterWrites(dump, writes(values)), (name) => follow.includes(name));
}

/** A dump in which these totals have the values that a change, with all that follows it, would give them. */
function wanting(dump: Dump, indexes: readonly number[], values: Values, follow: readonly string[]): Dump {
  const [index, ...others] = indexes;
  if (index === undefined) return dump;
  const reading = readTotal(changed(dump, values, follow), index);
  assert.ok(reading);
  const bytes = bytesOfNumber(reading.computed, reading.bound.width, reading.bound.total.order);
  const stored = (dump.totals[index]?.stored ?? []).map((cell, i) => [cell, bytes[i] as number] as const);
  const text = textOfRows(afterWrites(dump, writes(stored)).rows);
  const wanted = bindText(dump.layout.kind === 'image' ? 'a.hex' : 'a.cfgdump', text, dump.profile);
  return wanting(afterWrites(wanted, rightLineSums(wanted)), others, values, follow);
}

/** Holds the task to what comes of a change, and of every change of one more bit, computed from the text. */
function assertTells(dump: Dump, indexes: readonly number[], values: Values, follow: readonly string[] = []): void {
  const cells = values.map(([cell]) => cell as Cell);
  const asked = wanting(dump, indexes, values, follow);
  const task = finish(taskOf(asked, cells, indexes));
  assert.ok(task);
  assert.deepEqual(
    task.free.map(({ value, mask }) => [value, mask]),
    cells.map((cell) => [byteAt(asked.rows, cell), 0xff]),
  );
  for (const [index, [, value]] of values.entries())
    for (const flipped of [0, 1, 0x10, 0x80]) {
      const tried = values.map(([cell, one], i) => [cell, i === index ? value ^ flipped : one] as const);
      const after = changed(asked, tried, follow);
      const isRight = indexes.every((one) => {
        const reading = readTotal(after, one);
        return reading?.stored === reading?.computed;
      });
      const change = tried.map(([, one], i) => ({ index: i, value: one }));
      assert.equal(bringsAbout(task, change), isRight, `${index + 1}: ${(value ^ flipped).toString(16)}`);
      if (flipped === 0) assert.equal(isRight, true);
    }
}

const LINE_SUM = { method: 'add', bits: 8, over: ['label', 'data'] };
const file = (more: object) => ({
  name: 'file',
  method: 'add',
  bits: 16,
  over: ['data'],
  label: 'f',
  keep: true,
  ...more,
});
const inner = (more: object) => ({ name: 'inner', method: 'xor', bits: 8, lines: '1-3', line: 4, byte: 2, ...more });

describe('what follows a change of bytes', () => {
  it('is the bytes themselves where a total covers data alone: no line sum matters to it', () => {
    const dump = soundLines({ totals: [file({})] });
    const values: Values = [
      [at(dump, 1, 2), 0x77],
      [at(dump, 3, 4), 0x19],
    ];
    assertTells(dump, [0], values);
    assert.deepEqual(finish(taskOf(dump, values.map(([cell]) => cell) as Cell[], [0]))?.dependentSums, []);
  });

  it('is the sum of each changed line where a total covers these, in as many bytes as it has', () => {
    for (const [bytes, order] of [
      [1, 'big'],
      [2, 'big'],
      [2, 'little'],
    ] as const) {
      const lineSum = {
        ...LINE_SUM,
        method: 'crc',
        bits: undefined,
        model: bytes === 1 ? 'CRC-8/SMBUS' : 'CRC-16/ARC',
      };
      const parts = { lineSum: { ...lineSum, order }, totals: [file({ over: ['data', 'sums'] })] };
      const dump = soundLines(parts, bytes);
      assertTells(
        dump,
        [0],
        [
          [at(dump, 1, 2), 0x77],
          [at(dump, 1, 3), 0x70],
          [at(dump, 3, 4), 0x19],
        ],
      );
    }
  });

  it('is nothing of a line that has no sum, or that cannot be read', () => {
    const bare = soundLines({ lineSum: undefined, totals: [file({ lines: '1-2' })] });
    assertTells(bare, [0], [[at(bare, 1, 2), 0x77]]);
  });

  it('is a total that is rewritten, and the sum of the line that holds it', () => {
    for (const over of [['data'], ['data', 'sums']]) {
      const dump = soundLines({ totals: [inner({ over }), file({ over })] });
      const values: Values = [
        [at(dump, 1, 2), 0x77],
        [at(dump, 2, 4), 0x19],
      ];
      assertTells(dump, [1], values, ['inner']);
      const low = soundLines({ totals: [inner({ over: ['data', 'sums'] }), file({ over: ['data'] })] });
      assertTells(low, [1], [[at(low, 1, 2), 0x77]], ['inner']);
    }
  });

  it('is a total over a total that is rewritten, one after the other', () => {
    const first = inner({ name: 'first', lines: '1-1', line: 2, byte: 3 });
    const second = inner({ name: 'second', method: 'add', lines: '2-2', line: 3, byte: 1 });
    const dump = soundLines({ totals: [first, second, file({ lines: '3-4' })] });
    assertTells(dump, [2], [[at(dump, 1, 2), 0x77]], ['first', 'second']);
    const summed = soundLines({ totals: [first, second, file({ lines: '3-4', over: ['data', 'sums'] })] });
    assertTells(summed, [2], [[at(summed, 1, 2), 0x77]], ['first', 'second']);
  });

  it('is no total that is kept, or that is stored where nothing is ever written', () => {
    const change = (dump: Dump): Values => [[at(dump, 1, 2), 0x77]];
    const kept = soundLines({ totals: [inner({ keep: true }), file({ over: ['data', 'sums'] })] });
    assertTells(kept, [1], change(kept));
    const locked = soundLines({
      totals: [inner({}), file({ over: ['data', 'sums'] })],
      locked: [{ line: 4, byte: 2 }],
    });
    assertTells(locked, [1], change(locked));
  });

  it('is no total that must itself come to its value', () => {
    const dump = soundLines({ totals: [inner({}), file({})] });
    assertTells(
      dump,
      [0, 1],
      [
        [at(dump, 1, 2), 0x77],
        [at(dump, 2, 1), 0x40],
      ],
    );
  });

  it('is told for each of several totals, of which one covers line sums and another does not', () => {
    const totals = [file({}), file({ name: 'second', label: 'g', over: ['data', 'sums'] })];
    const dump = soundLines({ totals });
    assertTells(dump, [0, 1], [[at(dump, 1, 2), 0x77]]);
    assertTells(dump, [1, 0], [[at(dump, 1, 2), 0x77]]);
    const apart = soundLines({ totals: [file({ lines: '3-4' }), file({ name: 'second', label: 'g', lines: '1-2' })] });
    assertTells(
      apart,
      [0, 1],
      [
        [at(apart, 1, 2), 0x77],
        [at(apart, 4, 2), 0x11],
      ],
    );
  });

  it('is told where a total is stored in the line that changes, before the byte or behind it', () => {
    const dump = soundLines({ totals: [file({ label: undefined, line: 2, byte: 2, bits: 8, lines: '1-3' })] });
    assertTells(
      dump,
      [0],
      [
        [at(dump, 2, 1), 0x77],
        [at(dump, 2, 4), 0x44],
      ],
    );
  });

  it('is not told where totals that are rewritten cover each other in a circle, whichever byte leads into it', () => {
    const totals = [
      inner({ name: 'first', lines: '3-3', line: 4, byte: 1 }),
      inner({ name: 'second', lines: '4-4', line: 3, byte: 1 }),
      file({}),
    ];
    const dump = soundLines({ totals });
    const [outside, inside] = [at(dump, 1, 1), at(dump, 3, 4)] as [Cell, Cell];
    assert.equal(finish(taskOf(dump, [inside], [2])), undefined);
    assert.equal(finish(taskOf(dump, [outside, inside], [2])), undefined);
    assert.equal(finish(taskOf(dump, [inside, outside], [2])), undefined);
    assert.ok(finish(taskOf(dump, [outside], [2])));
  });

  it('is nothing that does not matter to what must come to a value', () => {
    const dump = soundLines({ totals: [inner({ lines: '1-1', over: ['data', 'sums'] }), file({})] });
    const cells = [at(dump, 1, 1), at(dump, 3, 1)] as [Cell, Cell];
    // The sum of line 1 and the inner sum, and neither that of line 3 nor that of the line which holds the inner sum.
    assert.equal(finish(taskOf(dump, cells, [1]))?.dependentSums.length, 2);
  });

  it('is each total over any byte of one that is rewritten', () => {
    const total = (name: string, from: number, to: number, address: number, more: object) => ({
      name,
      method: 'add',
      bits: 8,
      over: [{ from, to }],
      address,
      ...more,
    });
    const profile = profileOf({
      addresses: { from: 0x10, to: 0x17 },
      totals: [
        total('low', 0x10, 0x12, 0x13, { bits: 16 }),
        total('middle', 0x14, 0x14, 0x15, {}),
        total('high', 0x15, 0x16, 0x17, { keep: true }),
      ],
    });
    const dump = sound(bindText('a.hex', ':0800100080C1020000000000A5\n:00000001FF\n', profile), () => true);
    const index = dump.profile.totals.findIndex(({ name }) => name === 'high');
    assertTells(dump, [index], [[addressCell(dump.layout, 0x10), 0xf7]], ['low', 'middle']);
  });

  it('is told of an image, where a total covers only some bytes of one that is rewritten', () => {
    const profile = profileOf({
      addresses: { from: 0x10, to: 0x17 },
      totals: [
        { name: 'low', method: 'add', bits: 16, over: [{ from: 0x10, to: 0x12 }], address: 0x13 },
        { name: 'high', method: 'add', bits: 16, over: [{ from: 0x14, to: 0x15 }], address: 0x16, keep: true },
      ],
    });
    const text = ':0800100080C1020000000000A5\n:00000001FF\n';
    const dump = sound(bindText('a.hex', text, profile), () => true);
    assertTells(dump, [1], [[addressCell(dump.layout, 0x10), 0xf7]], ['low']);
    assertTells(
      dump,
      [1],
      [
        [addressCell(dump.layout, 0x10), 0x12],
        [addressCell(dump.layout, 0x15), 0x34],
      ],
      ['low'],
    );
  });
});

describe('the task of very many bytes', () => {
  it('is made with pauses', () => {
    const total = { name: 'all', label: 'a', over: ['data'], method: 'add', bits: 16, keep: true };
    const dump = soundLines({ totals: [total] });
    const cell = at(dump, 1, 1);
    assert.ok(cell);
    const steps = taskOf(
      dump,
      Array.from({ length: 30_000 }, () => cell),
      [0],
    );
    let pauses = 0;
    while (!steps.next().done) pauses++;
    // Two steps for each place in the total, and a pause after 20,000.
    assert.equal(pauses, 3);
  });
});
