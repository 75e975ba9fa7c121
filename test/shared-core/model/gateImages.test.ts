import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { dumpText } from '../../../shared-core/src/format/dumpText.js';
import { readRows, textAfter } from '../../../shared-core/src/format/index.js';
import { changeDump, type Permit, type Wish } from '../../../shared-core/src/model/gate.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { sealOf } from '../../../shared-core/src/model/seal.js';
import { EMPTY_PROFILE, readProfile } from '../../../shared-core/src/profile/index.js';
import { profileOf } from '../../support/smallDumps.js';

/** What becomes of a wish: the text after it, or why not. */
function outcome(dump: Dump, wish: Wish, permit: Permit = {}): string {
  const result = changeDump(dump, wish, permit);
  return result.ok ? textAfter(dump.rows, result.value.edits) : say(result.why);
}
const set = (row: number, byte: number, value: number) => ({ row, byte, value, reason: 'option' }) as const;

describe('the gate and records that share addresses', () => {
  const profile = profileOf({
    addresses: { from: 0x0e, to: 0x15 },
    locked: [{ address: 0x12, bytes: 2, why: 'identity' }],
  });
  // Addresses 12 and 13 are in the last two records; the first one ends before them.
  const image = bindText(
    'a.hex',
    ':04000E0001020304E4\n:0400100001020304E2\n:0400120003040506D8\n:00000001FF\n',
    profile,
  );
  // Each record keeps its sum where one byte rises as another falls.
  const moved = (row: number, up: number, down: number) => {
    const value = (byte: number) => [1, 2, 3, 4, 1, 2, 3, 4, 3, 4, 5, 6][4 * row + byte] ?? 0;
    return { writes: [set(row, up, value(up) + 1), set(row, down, value(down) - 1)] };
  };

  it('each copy of a locked byte stays, and no other byte is taken for one', () => {
    for (const [wish, locked] of [
      [moved(1, 2, 0), '0012'],
      [moved(1, 3, 0), '0013'],
      [moved(2, 0, 2), '0012'],
      [moved(2, 1, 2), '0013'],
    ] as const)
      assert.match(outcome(image, wish), new RegExp(`Address ${locked} is locked`));
    assert.match(outcome(image, moved(1, 0, 1)), /\n:040010000201/);
    assert.match(outcome(image, moved(2, 2, 3)), /\n:0400120003040605/);
    assert.match(outcome(image, { writes: [set(0, 3, 0x05), set(0, 4, 0xe3)] }), /^:04000E0001020305E3/);
    assert.match(outcome(image, { writes: [set(1, 1, 0x03), set(1, 4, 0xe1)] }), /\n:0400100001030304E1/);
  });
});

describe('the gate and records that hold the same addresses', () => {
  const first = ':020010000102EB';
  const twins = bindText(
    'a.hex',
    `:020000000506F3\n${first}\n${first}\n:00000001FF\n`,
    profileOf({
      addresses: { from: 0, to: 0x11 },
      locked: [
        { address: 0, bytes: 1, why: 'identity' },
        { address: 0x10, bytes: 1, why: 'number' },
      ],
    }),
  );

  it('the first byte of either is locked', () => {
    for (const row of [1, 2])
      assert.match(outcome(twins, { writes: [set(row, 0, 0x02), set(row, 1, 0x01)] }), /Address 0010 is locked/);
  });

  it('a record before them does not go with its locked byte', () => {
    assert.match(outcome(twins, { edits: [{ row: 0, start: 0, end: 15, text: '' }] }), /Address 0000 is locked/);
  });
});

describe('the gate and rows that cannot be read', () => {
  const profile = profileOf({ lines: { from: 1, to: 2, data: 2, sum: 0 }, locked: [{ line: 1, bytes: '1-2' }] });
  const torn = bindText('a.cfgdump', '1: 0x 02\n2: 03 04\n', profile);

  it('a locked byte that nobody knows gets no value, and may stay unknown', () => {
    assert.match(outcome(torn, { edits: [{ row: 0, start: 4, end: 5, text: '1' }] }), /Byte 1 of line 1 is locked/);
    assert.match(outcome(torn, { edits: [{ row: 0, start: 4, end: 5, text: '0' }] }), /Byte 1 of line 1 is locked/);
    assert.equal(outcome(torn, { edits: [{ row: 0, start: 4, end: 5, text: 'y' }] }), '1: 0y 02\n2: 03 04\n');
    assert.equal(outcome(torn, { writes: [set(1, 0, 0x05)] }), '1: 0x 02\n2: 05 04\n');
    const known = bindText('a.cfgdump', '1: 01 02\n2: 03 04\n', profile);
    assert.match(outcome(known, { edits: [{ row: 0, start: 4, end: 5, text: 'x' }] }), /is locked/);
  });

  it('a row that cannot be read is a record too: nothing is done to it by a profile with a problem', () => {
    const { profile: flawed } = readProfile('{ "format": 1, "lines": { "from": 1, "to": 2, "data": 2 }, "lockd": [] }');
    const dump = bindText('a.cfgdump', '1: 0x 02\n2: 03 04\n', flawed);
    assert.match(outcome(dump, { edits: [{ row: 0, start: 4, end: 5, text: 'y' }] }), /The profile has problems/);
    assert.match(outcome(dump, { edits: [{ row: 1, start: 0, end: 9, text: '' }] }), /The profile has problems/);
  });
});

describe('the gate and what is there twice', () => {
  const lines = { from: 1, to: 3, data: 2, sum: 0 };

  it('a second copy of one line is none of another', () => {
    const profile = profileOf({ lines, locked: [{ line: 1, byte: 1 }] });
    const dump = bindText('a.cfgdump', '1: 01 02\n2: 03 04\n2: 03 04\n3: 05 06\n', profile);
    assert.match(outcome(dump, { writes: [set(2, 0, 0x09)] }), /^1: 01 02\n2: 03 04\n2: 09 04/);
  });

  it('a line with a wrong sum may move, as it was wrong before', () => {
    const profile = profileOf({
      lines: { ...lines, data: 1, sum: 1 },
      lineSum: { method: 'add', bits: 8, over: ['data'] },
    });
    const dump = bindText('a.cfgdump', '1: 01 01\n2: 02 09\n3: 03 03\n', profile);
    const remark = { row: 0, start: 0, end: 0, text: '# a remark\n' };
    const right = { row: 2, start: 3, end: 8, text: '04 04' };
    assert.match(outcome(dump, { edits: [remark, right] }), /^# a remark\n1: 01 01\n2: 02 09\n3: 04 04/);
    assert.match(outcome(dump, { edits: [remark, { ...right, text: '04 05' }] }), /The sum of line 3 would be wrong/);
    // In whatever order they are asked for, the edits come in the order of the text.
    const result = changeDump(dump, { edits: [right, remark], writes: [set(1, 0, 0x09)] });
    assert.deepEqual(result.ok && result.value.edits.map(({ row, start }) => `${row}:${start}`), ['0:0', '1:4', '2:3']);
  });

  it('a volatile byte goes back to the backup of this dump, sealed or not, and nowhere else', () => {
    const profile = profileOf({ lines, volatile: [{ line: 1, byte: 1, why: 'counter' }] });
    const dump = bindText('a.cfgdump', '1: 01 02\n2: 03 04\n3: 05 06\n', profile);
    const backup = bindText('b.cfgdump', '1: 09 02\n2: 03 04\n3: 05 06\n', profile);
    assert.match(outcome(dump, { writes: [set(0, 0, 0x09)] }, { backup }), /^1: 09 02/);
    assert.match(outcome(dump, { writes: [set(0, 0, 0x08)] }, { backup }), /changes by itself/);
    assert.match(outcome(dump, { writes: [set(0, 0, 0x09)] }), /changes by itself/);
  });
});

describe('the gate and hex views', () => {
  const profile = profileOf({ addresses: { from: 0, to: 0x3f } });
  const zeros = `${'00 '.repeat(8)} ${'00 '.repeat(8)} |${'.'.repeat(16)}|`;
  const view = (last = zeros) => `00000000  ${zeros}\n*\n00000020  ${last}\n00000030  ${zeros}\n00000040\n`;
  const dump = bindText('a.hexdump', view(`45 ${zeros.slice(3).replace('|.', '|E')}`), profile);

  it('the bytes that "*" leaves out change neither alone nor with the row that it repeats', () => {
    assert.match(outcome(dump, { writes: [set(0, 0, 0x41)] }), /^The bytes of row 1 are also those of the rows that/);
    assert.match(outcome(dump, { writes: [set(1, 0, 0x41)] }), /^The bytes of row 2 are also those/);
    assert.match(outcome(dump, { edits: [{ row: 0, start: 10, end: 12, text: '41' }] }), /^The bytes of row 1/);
    const spaced = bindText('a.hexdump', view().replace('*', '\n*'), profile);
    assert.match(outcome(spaced, { writes: [set(0, 0, 0x41)] }), /^The bytes of row 1 are also those/);
    assert.equal(outcome(dump, { writes: [set(0, 0, 0)] }), view(`45 ${zeros.slice(3).replace('|.', '|E')}`));
  });

  it('an empty row before "*" changes, the row before it does not', () => {
    const spaced = bindText('a.hexdump', view().replace('*', '\n\n*'), profile);
    assert.match(outcome(spaced, { writes: [set(0, 0, 0x41)] }), /^The bytes of row 1 are also those/);
    assert.match(outcome(spaced, { edits: [{ row: 2, start: 0, end: 0, text: ' ' }] }), /\n\n \n\*/);
  });

  it('rows of one byte each may be left out too', () => {
    const bytes = bindText('a.xxd', '00000000: 41  A\n*\n00000002: 42  B\n', EMPTY_PROFILE);
    assert.match(outcome(bytes, { writes: [set(1, 0, 0x43)] }), /^The bytes of row 2 are also those/);
  });

  it('a byte that stays as it is is no change of a row whose characters go against its bytes', () => {
    const doubtful = bindText('a.hexdump', view(`45 ${zeros.slice(3)}`), profile);
    assert.match(outcome(doubtful, { writes: [set(2, 0, 0x46)] }), /^Row 3 shows characters that go against its bytes/);
    assert.match(outcome(doubtful, { writes: [set(2, 0, 0x45), set(3, 0, 0x46)] }), /00000030 {2}46 00/);
  });

  it('all other rows change, with the characters beside their bytes', () => {
    assert.match(outcome(dump, { writes: [set(2, 0, 0x46)] }), /00000020 {2}46 00.*\|F\.{15}\|/);
    assert.match(outcome(dump, { writes: [set(3, 1, 0x46)] }), /00000030 {2}00 46.*\|\.F\.{14}\|/);
  });

  it('words whose order no row shows get no byte, and none is written after which no row shows it', () => {
    const words = (text: string) => bindText('a.xxd', text, EMPTY_PROFILE);
    const unclear = words('00000000: 00000001  ....\n');
    assert.match(outcome(unclear, { writes: [set(0, 0, 1)] }), /^Row 1: These digits are words whose order nobody/);
    const clear = words('00000000: 41000001  A...\n');
    assert.match(outcome(clear, { writes: [set(0, 0, 0)] }), /^Row 1: These digits are words whose order nobody/);
    assert.equal(outcome(clear, { writes: [set(0, 0, 0x42)] }), '00000000: 42000001  B...\n');
    // Whole lines: what was in doubt may stay so, and what was not may not come to be.
    const digit = { edits: [{ row: 0, start: 16, end: 18, text: '02' }] };
    assert.equal(outcome(unclear, digit), '00000000: 00000002  ....\n');
    assert.match(outcome(clear, { edits: [{ row: 0, start: 10, end: 24, text: '00000001  ....' }] }), /^Row 1: These/);
  });
});

describe('the gate and a backup that does not say which module it is of', () => {
  const profile = profileOf({ lines: { from: 1, to: 1, data: 2, sum: 0 }, locked: [{ line: 1, byte: 1 }] });
  const sealed = (headers: string, text: string) =>
    bindText(
      'b.cfgdump',
      `${headers}@seal ${sealOf({ rows: readRows(text, dumpText), notation: dumpText })}\n${text}`,
      profile,
    );

  it('lifts no lock, and the reason names what it does not say', () => {
    const dump = bindText('a.cfgdump', '@part A1\n1: 09 02\n', profile);
    const told = (backup: Dump) => outcome(dump, { writes: [set(1, 0, 0x01)] }, { backup });
    assert.match(told(sealed('@part A1\n', '1: 01 02\n')), /^@part A1\n1: 01 02/);
    assert.match(told(sealed('', '1: 01 02\n')), /is locked.*"@part"/);
    for (const other of [sealed('@part B2\n', '1: 01 02\n'), bindText('b.cfgdump', '1: 01 02\n', profile)]) {
      assert.match(told(other), /is locked/);
      assert.doesNotMatch(told(other), /"@part"/);
    }
    const twoHeaders = bindText('a.cfgdump', '@part A1\n@vin ONE\n1: 09 02\n', profile);
    const back = outcome(twoHeaders, { writes: [set(2, 0, 0x01)] }, { backup: sealed('@part B2\n', '1: 01 02\n') });
    assert.match(back, /is locked/);
    assert.doesNotMatch(back, /"@vin"/);
  });
});

describe('the gate and a profile that was given by hand', () => {
  const lines = { from: 1, to: 2, data: 2, sum: 0 };
  const text = '1: 09 02\n2: 03 04\n';
  const given = profileOf({ lines });
  const named = profileOf({ lines, locked: [{ line: 1, byte: 1, why: 'identity' }] });

  it('what the dump names itself protects, and lets go back to the sealed backup', () => {
    const [dump, own] = [bindText('a.cfgdump', text, given), bindText('a.cfgdump', text, named)];
    const found = text.replace('09', '01');
    const seal = sealOf({ rows: readRows(found, dump.notation), notation: dump.notation });
    const sealed = bindText('b.cfgdump', `@seal ${seal}\n${found}`, given);
    const back = { writes: [set(0, 0, 0x01)] };
    assert.match(
      outcome(dump, back, { own }),
      /^By the profile that the dump names itself: Byte 1 of line 1 is locked/,
    );
    assert.match(outcome(dump, back, { own, backup: sealed }), /^1: 01 02/);
    assert.match(outcome(dump, { writes: [set(0, 0, 0x07)] }, { own, backup: sealed }), /is locked/);
  });

  it('its places are those of the profile that the dump names, in the backup too', () => {
    const asLines = profileOf({ lines: { from: 16, to: 18, data: 2, sum: 0 } });
    const asAddresses = profileOf({ addresses: { from: 16, to: 19 }, locked: [{ address: 16, bytes: 1 }] });
    const changed = '16: 09 02\n18: 03 04\n';
    const found = changed.replace('09', '01');
    const [dump, own] = [bindText('a.cfgdump', changed, asLines), bindText('a.cfgdump', changed, asAddresses)];
    const backup = bindText(
      'b.cfgdump',
      `@seal ${sealOf({ rows: readRows(found, dump.notation), notation: dump.notation })}\n${found}`,
      asLines,
    );
    const back = { writes: [set(0, 0, 0x01)] };
    assert.match(outcome(dump, back, { own }), /names itself: Address 0010 is locked/);
    assert.equal(outcome(dump, back, { own, backup }), found);
  });

  it('a sum that is right by the profile that the dump names stays right', () => {
    const summed = profileOf({
      lines: { from: 1, to: 2, data: 1, sum: 1 },
      lineSum: { method: 'add', bits: 8, over: ['data'] },
    });
    const right = '1: 09 09\n2: 03 03\n';
    const [dump, own] = [bindText('a.cfgdump', right, given), bindText('a.cfgdump', right, summed)];
    const why = outcome(dump, { writes: [set(0, 0, 0x08)] }, { own });
    assert.match(why, /^By the profile that the dump names itself: The sum of line 1 would be wrong/);
    assert.match(outcome(dump, { writes: [set(0, 0, 0x08), set(0, 1, 0x08)] }, { own }), /^1: 08 08/);
  });
});
