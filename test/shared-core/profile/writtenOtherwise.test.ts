import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { hexBytes, say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/checkDump.js';
import { editsOf } from '../../../shared-core/src/model/byteWrite.js';
import { bindText } from '../../../shared-core/src/model/dump.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { rightLineSums } from '../../../shared-core/src/repair/lineSums.js';
import { loaded } from '../../support/loaded.js';

const LINES = { from: 1, to: 3, data: 3, sum: 1 };

function dump(text: string, profile: object) {
  const reading = readProfile(JSON.stringify({ format: 1, lines: LINES, ...profile }));
  assert.deepEqual(
    reading.problems.map(({ message }) => say(message)),
    [],
  );
  return bindText('a.txt', text, reading.profile);
}

const problems = (text: string, profile: object) =>
  checkDump(loaded(dump(text, profile), { kind: 'read' })).map(({ row, code }) => `${row + 1} ${code}`);

const wrongs = (profile: object) =>
  readProfile(JSON.stringify({ format: 1, lines: LINES, ...profile })).problems.map(({ message }) => say(message));

describe('a sum before the data of its line', () => {
  const front = { lineSum: { method: 'add', bits: 8, over: ['data'], sumAt: 'front' } };
  const text = '1: 06 01 02 03\n2: 60 10 20 30\n3: FF FF 00 00\n';

  it('is checked, and its data are the bytes behind it', () => {
    assert.deepEqual(problems(text, front), []);
    assert.deepEqual(problems(text.replace('03', '04'), front), ['1 line-sum']);
    const [row] = dump(text, front).rows;
    assert.equal(row?.kind === 'record' && hexBytes(row.store.subarray(row.from, row.from + row.count)), '01020306');
  });

  it('is made right where it is written', () => {
    const wrong = dump(text.replace('03', '04'), front);
    assert.deepEqual(editsOf(wrong, rightLineSums(wrong)), [{ row: 0, start: 4, end: 5, text: '7' }]);
  });

  it('is read by a pattern too, before a field of its own or without', () => {
    const lineSum = { method: 'add', bits: 8, over: ['data'] };
    const lines = '1 [06] 01 02 03\n2 [60] 10 20 30\n3 [FF] FF 00 00\n';
    assert.deepEqual(problems(lines, { notation: { pattern: '{label} [{sum}] {data}' }, lineSum }), []);
    const bare = lines.replace(/[[\]]/g, '');
    assert.deepEqual(problems(bare, { notation: { pattern: '{label} {data}' }, lineSum: front.lineSum }), []);
  });

  it('is said once: by the pattern or by "sumAt"', () => {
    const notation = { pattern: '{label} [{sum}] {data}' };
    assert.deepEqual(wrongs({ notation, ...front }), [
      'The pattern says where the sum is by {sum}: leave "sumAt" out.',
    ]);
  });
});

describe('a sum over some of the data', () => {
  const over = (data: string) => ({ lineSum: { method: 'add', bits: 8, over: ['data'], data } });
  const text = '1: 01 02 03 05\n2: 10 20 30 50\n3: FF 01 02 03\n';

  it('covers the bytes that are named, and no others', () => {
    assert.deepEqual(problems(text, over('2-end')), []);
    assert.deepEqual(problems(text, over('2-3')), []);
    assert.deepEqual(problems(text.replace('FF', '00'), over('2-end')), []);
    assert.deepEqual(problems(text.replace('FF 01', 'FF 02'), over('2-end')), ['3 line-sum']);
    assert.deepEqual(problems('1: 01 02 03 04\n2: 10 20 30 40\n3: FF 01 02 01\n', over('1,3')), []);
    assert.deepEqual(problems('1: 01 02 03 03\n2: 10 20 30 30\n3: FF 01 02 00\n', over('1-end-1')), []);
  });

  it('is refused where a line has no such bytes, or it is unclear which', () => {
    assert.deepEqual(wrongs(over('2-4')), ['A line has 3 data bytes, too few for "2-4".']);
    assert.deepEqual(wrongs(over('1-end-3')), ['A line has 3 data bytes, too few for "1-end-3".']);
    for (const unclear of ['3-2', '2,1', '1-2,2-3', '0-2', '', '2-end,3'])
      assert.match(wrongs(over(unclear))[0] ?? '', /^Data bytes are written/);
  });
});

describe('lines whose numbers rise by a step', () => {
  const lines = { from: 0, to: 32, step: 16, data: 2, sum: 0 };

  it('are all wanted, and no others', () => {
    assert.deepEqual(problems('0: 01 02\n16: 01 02\n32: 01 02\n', { lines }), []);
    assert.deepEqual(problems('0: 01 02\n32: 01 02\n', { lines }), ['2 line-missing']);
    assert.deepEqual(problems('0: 01 02\n8: 01 02\n16: 01 02\n32: 01 02\n', { lines }), ['2 line-unknown']);
  });

  it('come to the last one', () => {
    assert.deepEqual(wrongs({ lines: { ...lines, to: 40 } }), ['Lines from 0 in steps of 16 do not come to 40.']);
  });
});

describe('a total whose line is written unlike the others', () => {
  const total = (pattern: string) => ({
    totals: [{ label: 'total', pattern, method: 'add', bits: 16, over: ['data'] }],
  });
  const lines = { from: 1, to: 2, data: 2, sum: 0 };
  const text = '1: 01 02\n2: 10 20\nChecksum = 0033 (all)\n';

  it('is read and checked', () => {
    const profile = { lines, ...total('Checksum = {data} ({skip})') };
    assert.deepEqual(problems(text, profile), []);
    assert.deepEqual(problems(text.replace('0033', '0034'), profile), ['3 total-sum']);
  });

  it('is never passed over where it is damaged or missing', () => {
    const profile = { lines, ...total('Checksum = {data} ({skip})') };
    assert.ok(problems(text.replace('0033', '003'), profile).includes('3 odd-digits'));
    assert.notDeepEqual(problems(text.replace('Checksum', 'Check'), profile), []);
    assert.notDeepEqual(problems('1: 01 02\n2: 10 20\n', profile), []);
  });

  it('is known by some text, and has one place for the sum', () => {
    assert.deepEqual(wrongs({ lines, ...total('{data}') }), [
      'The pattern of a total needs some text by which its line is known.',
    ]);
    assert.deepEqual(wrongs({ lines, ...total('Sum {skip}') }), ['The pattern of a total needs {data} once.']);
  });
});
