import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { verifyReadBack } from '../../../shared-core/src/jobs/index.js';
import { lines, profileOf } from '../../support/smallDumps.js';

type Row = readonly number[];
const hex = (value: number) => value.toString(16).toUpperCase().padStart(2, '0');
const JSON_OF = {
  lines: { from: 1, to: 4, data: 4, sum: 1 },
  lineSum: { method: 'add', over: ['data'] },
};
const OPTIONS = [
  { id: 'a', title: 'A', line: 2, byte: 1, values: { 16: 'no', 17: 'yes' } },
  { id: 'b', title: 'B', line: 2, byte: 2, values: { 32: 'low', 33: 'high' } },
];
const PLAN: readonly Row[] = [
  [0x01, 0x02, 0x03, 0x04],
  [0x10, 0x20, 0x30, 0x40],
  [0x11, 0x22, 0x33, 0x44],
  [0x55, 0x55, 0x55, 0x55],
];

/** Each line with the sum that its bytes make, or another one where one is given as a fifth number. */
const textOf = (rows: readonly Row[]) =>
  rows
    .map((row, i) => {
      const data = row.slice(0, 4);
      const sum = row[4] ?? data.reduce((all, byte) => all + byte, 0) & 0xff;
      return `${i + 1}: ${data.map(hex).join(' ')} | ${hex(sum)}\n`;
    })
    .join('');
const withLine = (line: number, row: Row, of = PLAN) => of.map((old, i) => (i === line - 1 ? row : old));

/** The cause of the first line that is other than planned. */
function cause(read: readonly Row[], found?: readonly Row[], more: object = {}): string {
  const profile = profileOf({ ...JSON_OF, ...more });
  const dumpOf = (rows: readonly Row[]) => lines(profile, textOf(rows));
  const [line] = verifyReadBack(dumpOf(PLAN), dumpOf(read), found && dumpOf(found)).lines;
  return line === undefined ? 'none' : say(line.cause);
}
const UNCLEAR = 'The cause is unclear. Read the module once more and compare the two.';
const OF_ITS_OWN = 'Its sum fits: the module put in bytes of its own, its default perhaps.';

describe('the likely cause of a line that is other than planned', () => {
  it('is that it was not written, where each byte that differs is as it was before', () => {
    const found = withLine(2, [0x10, 0x21, 0x31, 0x40]);
    assert.equal(cause(found, found), 'Not written: it still holds what it held before.');
    assert.equal(cause(withLine(2, [0x10, 0x21, 0x30, 0x40]), found), OF_ITS_OWN);
    const torn = cause(withLine(2, [0x10, 0x21, 0x30, 0x40, 0xa2]), found);
    assert.equal(torn, 'Written in part: byte 2, 5 still holds what it held before.');
    assert.doesNotMatch(cause(withLine(2, [0x10, 0x22, 0x31, 0x40]), found), /ritten/);
    assert.doesNotMatch(cause(withLine(2, [0x11, 0x21, 0x31, 0x40]), found), /ritten/);
    assert.doesNotMatch(cause(withLine(2, [0x10, 0x21, 0x31, 0x40])), /ritten/);
    assert.doesNotMatch(cause(withLine(3, [0x11, 0x22, 0x33, 0x45]), found), /ritten/);
  });

  it('goes by what the work changes, by itself or not: what changes by itself anyway makes no line one written in part', () => {
    const volatile = { volatile: [{ line: 2, byte: 1 }] };
    const found = withLine(2, [0x12, 0x21, 0x30, 0x40]);
    const NOT_WRITTEN = 'Not written: it still holds what it held before.';
    assert.equal(cause(found, found, volatile), NOT_WRITTEN);
    assert.equal(cause(withLine(2, [0x10, 0x21, 0x30, 0x40, 0xa3]), found, volatile), NOT_WRITTEN);
    // A sum that was left behind says nothing of what was written.
    assert.match(
      cause(withLine(2, [0x13, 0x20, 0x30, 0x40, 0xa0]), found, volatile),
      /^Only places differ that change/,
    );
  });

  it('is that it has another length, whichever of the two is the shorter', () => {
    const profile = profileOf(JSON_OF);
    const short = textOf(PLAN).replace('40 | A0', '| 60');
    for (const [planned, read] of [
      [textOf(PLAN), short],
      [short, textOf(PLAN)],
    ] as const) {
      const [line] = verifyReadBack(lines(profile, planned), lines(profile, read), undefined).lines;
      assert.match(line === undefined ? '' : say(line.cause), /^It is longer or shorter than planned/);
    }
  });

  it('is that it has the bytes of another line, unless all of them are alike', () => {
    assert.equal(
      cause(withLine(2, PLAN[2] ?? [])),
      'It has the bytes planned for line 3: they were entered in the wrong line.',
    );
    assert.doesNotMatch(cause(withLine(2, PLAN[3] ?? [])), /wrong line/);
    assert.doesNotMatch(cause(withLine(2, [0x10, 0x20, 0x30, 0x40, 0x00])), /wrong line/);
    assert.doesNotMatch(cause(withLine(2, [0x99, 0x22, 0x33, 0x44, 0xaa])), /wrong line/);
  });

  it('is that it is empty, where all its bytes are FF or 00 and most of them differ', () => {
    for (const byte of [0xff, 0x00])
      assert.equal(
        cause(withLine(2, [byte, byte, byte, byte])),
        `All its bytes are ${hex(byte)}: it was erased, or could not be read.`,
      );
    assert.doesNotMatch(cause(withLine(2, [0x77, 0x77, 0x77, 0x77])), /erased/);
    const almost = { lines: { ...JSON_OF.lines, sum: 0 }, lineSum: undefined };
    const profile = profileOf({ ...JSON_OF, ...almost });
    const plain = (rows: readonly Row[]) =>
      lines(profile, rows.map((row, i) => `${i + 1}: ${row.map(hex).join(' ')}\n`).join(''));
    const of = (planned: Row, read: Row) => {
      const [line] = verifyReadBack(plain(withLine(2, planned)), plain(withLine(2, read)), undefined).lines;
      return line === undefined ? '' : say(line.cause);
    };
    assert.doesNotMatch(of([0, 0, 1, 2], [0, 0, 0, 0]), /erased/);
    assert.match(of([0, 3, 1, 2], [0, 0, 0, 0]), /erased/);
  });

  it('is a wrong sum alone, or one that was left behind by what changes by itself', () => {
    assert.equal(
      cause(withLine(2, [0x10, 0x20, 0x30, 0x40, 0xa1])),
      'Only its sum differs, and it is wrong: mistyped.',
    );
    const volatile = { volatile: [{ line: 2, byte: 1 }] };
    const LEFT = 'Only places differ that change by themselves, but its sum is wrong: mistyped, or badly read.';
    assert.equal(cause(withLine(2, [0x12, 0x20, 0x30, 0x40, 0xa0]), undefined, volatile), LEFT);
    assert.equal(cause(withLine(2, [0x12, 0x20, 0x30, 0x40, 0xa1]), undefined, volatile), LEFT);
    assert.notEqual(cause(withLine(2, [0x12, 0x21, 0x30, 0x40, 0xa1]), undefined, volatile), LEFT);
    assert.notEqual(cause(withLine(2, [0x12, 0x21, 0x30, 0x40]), undefined, volatile), LEFT);
  });

  it('is of a file sum that it is not taken back either, where it is right for the bytes that were read', () => {
    const more = { totals: [{ name: 'file sum', method: 'add', bits: 8, over: ['data'], label: 'total' }] };
    const profile = profileOf({ ...JSON_OF, ...more });
    const dumpOf = (rows: readonly Row[], total: string) => lines(profile, `${textOf(rows)}total: ${total}\n`);
    const causes = (total: string, found: readonly Row[], was: string) => {
      const [backup, read] = [dumpOf(PLAN, 'A8'), dumpOf(withLine(3, [0x11, 0x22, 0x33, 0x54]), total)];
      return verifyReadBack(backup, read, dumpOf(found, was)).lines.map((line) => say(line.cause));
    };
    const right = causes('B8', PLAN, 'A8');
    assert.equal(right.length, 2);
    for (const said of right) assert.match(said, /^The dump has it as the backup has it, and the module has not/);
    assert.match(causes('B9', PLAN, 'A8')[1] ?? '', /^The file sum d/);
    // Of a change that is to be written, it is another matter.
    assert.match(causes('B8', withLine(2, [0x10, 0x21, 0x30, 0x40]), 'A9')[1] ?? '', /^The file sum differs/);
  });

  it('is the file sum only where nothing else of the line differs', () => {
    const totals = [{ name: 'file sum', method: 'add', bits: 8, over: ['data'], line: 4, byte: 4 }];
    const more = { totals };
    const says = /^The file sum differs/;
    assert.match(cause(withLine(4, [0x55, 0x55, 0x55, 0x56, 0x54]), undefined, more), says);
    assert.doesNotMatch(cause(withLine(4, [0x55, 0x55, 0x66, 0x57]), undefined, more), says);
  });

  it("is a digit that was mistyped, or two in each other's place", () => {
    const SAYS = ' The sum of the line, which is wrong now, says so too.';
    assert.equal(
      cause(withLine(2, [0x10, 0x20, 0x38, 0x40, 0xa0])),
      `A digit was mistyped: byte 3 is 38 instead of 30.${SAYS}`,
    );
    assert.equal(
      cause(withLine(2, [0x10, 0x20, 0x03, 0x40, 0xa0])),
      `Two digits stand in each other's place: 03 instead of 30, from byte 3 on.${SAYS}`,
    );
    assert.equal(
      cause(withLine(3, [0x11, 0x23, 0x23, 0x44, 0xaa])),
      `Two digits stand in each other's place: 2323 instead of 2233, from byte 2 on.${SAYS}`,
    );
    const volatile = { volatile: [{ line: 2, byte: 1 }] };
    for (const row of [
      [0x10, 0x20, 0x38, 0x40, 0xa1],
      [0x12, 0x20, 0x38, 0x40, 0xa0],
    ])
      assert.equal(
        cause(withLine(2, row), undefined, volatile),
        `A digit was mistyped: byte 3 is 38 instead of 30.${SAYS}`,
      );
    const badly = 'Its sum is wrong as well: mistyped, or badly read. Read the module once more and compare the two.';
    for (const row of [
      [0x10, 0x20, 0x45, 0x40, 0xa0],
      [0x10, 0x20, 0x04, 0x40, 0xa0],
      [0x40, 0x20, 0x30, 0x10, 0xa1],
      [0x11, 0x21, 0x31, 0x40, 0xa0],
      [0x20, 0x10, 0x31, 0x40, 0xa0],
      [0x10, 0x02, 0x03, 0x40, 0xa0],
      [0x10, 0x20, 0x13, 0x40, 0xa0],
    ])
      assert.equal(cause(withLine(2, row)), badly, row.map(hex).join(' '));
    assert.equal(cause(withLine(2, [0x10, 0x20, 0x38, 0x40])), OF_ITS_OWN);
  });

  it('is a byte that no work changes: of security first, then a locked one', () => {
    const locked = [{ line: 2, byte: 2, why: 'identity' }];
    const options = [{ id: 'k', title: 'Key', line: 2, byte: 1, values: {}, hazard: 'security' }];
    const both = withLine(2, [0x77, 0x66, 0x55, 0x44]);
    assert.match(cause(both, undefined, { locked, options }), /^Byte 1 concerns the security of the vehicle/);
    assert.match(cause(both, undefined, { locked }), /^Byte 2 is locked and never changed by the work/);
  });

  it('is another value of an option, where the sum fits and nothing else differs', () => {
    const options = { options: OPTIONS };
    assert.equal(
      cause(withLine(2, [0x11, 0x20, 0x30, 0x40]), undefined, options),
      'A is "yes", not "no"; its sum fits. The module replaced the value, perhaps with its default: it may not allow this one.',
    );
    assert.match(
      cause(withLine(2, [0x11, 0x21, 0x30, 0x40]), undefined, options),
      /^A is "yes", not "no"; B is "high", not "low"; its sum fits/,
    );
    assert.equal(cause(withLine(2, [0x11, 0x20, 0x35, 0x47]), undefined, options), OF_ITS_OWN);
    assert.doesNotMatch(cause(withLine(2, [0x11, 0x21, 0x30, 0x40, 0x00]), undefined, options), /its sum fits/);
  });

  it('is the module itself, where the work does not touch the line and its sum fits', () => {
    const found = withLine(3, [0x10, 0x22, 0x33, 0x44]);
    assert.match(cause(withLine(2, [0x12, 0x23, 0x34, 0x40]), found), /^The work does not touch it/);
    assert.equal(cause(withLine(3, [0x19, 0x28, 0x37, 0x46]), found), OF_ITS_OWN);
    const both = withLine(2, [0x10, 0x20, 0x31, 0x40], found);
    assert.equal(cause(withLine(3, [0x19, 0x28, 0x37, 0x46]), both), OF_ITS_OWN);
    assert.match(
      cause(withLine(3, [0x19, 0x28, 0x37, 0x46]), PLAN),
      /^The dump has it as the backup has it, and the module has not/,
    );
    assert.match(cause(withLine(2, [0x12, 0x23, 0x34, 0x40, 0x00]), found), /^Its sum is wrong as well/);
  });

  it('is unclear where no sum tells anything', () => {
    const profile = profileOf({ lines: { from: 1, to: 1, data: 3, sum: 0 } });
    const [line] = verifyReadBack(lines(profile, '1: 01 02 03\n'), lines(profile, '1: 17 28 39\n'), undefined).lines;
    assert.equal(line && say(line.cause), UNCLEAR);
  });
});
