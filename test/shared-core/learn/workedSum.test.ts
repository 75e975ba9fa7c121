import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/phrase.js';
import { totalInWords } from '../../../shared-core/src/learn/ruleInWords.js';
import { workedSum } from '../../../shared-core/src/learn/workedSum.js';
import { bindText } from '../../../shared-core/src/model/dump.js';
import { readProfile } from '../../../shared-core/src/profile/readProfile.js';
import { profileOf } from '../../support/smallDumps.js';

const worked = (profile: object, text: string) => {
  const { profile: read } = readProfile(JSON.stringify({ format: 1, ...profile }));
  const sum = workedSum(bindText('a.cfgdump', text, read));
  return sum && [say(sum.of), say(sum.steps), sum.hint && say(sum.hint)];
};
const lines = { from: 1, to: 2, data: 3, sum: 1 };

it('a file sum is said to be in a line as the dump calls it', () => {
  const profile = profileOf({
    notation: { pattern: 'k{label:hex}={data}' },
    lines: { from: 16, to: 17, data: 2 },
    totals: [{ name: 'file sum', method: 'add', bits: 8, line: 17, byte: 2, over: ['data'] }],
  });
  const bound = bindText('a.cfgdump', 'k10=01 02\nk11=03 06\n', profile);
  const [total] = profile.totals;
  assert.ok(total);
  assert.match(say(totalInWords(total, bound)), /; in line k11 from byte 2$/);
});

describe('one sum of a dump, worked out', () => {
  it('is that of the first line that is right and shows something, with each part that it covers', () => {
    const lineSum = { method: 'add', complement: 'ones', over: ['module', 'label', 'length', 'data'] };
    const text = '1: 00 00 00 | EE\n2: 08 03 21 | C1\n';
    assert.deepEqual(worked({ module: '0x0508', lines, lineSum }, text), [
      'Line 2, module number 0508: 05 08; line number: 02; number of data bytes: 03; data: 08 03 21; its sum as written: C1',
      '05 + 08 + 02 + 03 + 08 + 03 + 21 = 3E → FF − 3E = C1',
      undefined,
    ]);
  });

  it('is never that of a line whose sum is wrong', () => {
    const lineSum = { method: 'xor', over: ['data'] };
    assert.deepEqual(worked({ lines, lineSum }, '1: 01 02 04 | 08\n2: 10 20 40 | 70\n'), [
      'Line 2, data: 10 20 40; its sum as written: 70',
      '10 xor 20 xor 40 = 70',
      undefined,
    ]);
    assert.equal(worked({ lines, lineSum }, '1: 01 02 04 | 08\n2: 10 20 40 | 71\n'), undefined);
  });

  it('ends in the bytes as they are stored', () => {
    const wide = { from: 1, to: 1, data: 3, sum: 2 };
    const lineSum = { method: 'add', bits: 16, order: 'little', over: ['data'] };
    assert.deepEqual(worked({ lines: wide, lineSum }, '1: FF 80 81 | 00 02\n')?.[1], 'FF + 80 + 81 = 0200 → 00 02');
  });

  it('of a CRC says what goes in and what comes out', () => {
    const lineSum = { method: 'crc', model: 'CRC-8/SMBUS', over: ['data'] };
    // The check value of the catalogue, over "123456789".
    const text = '1: 31 32 33 34 35 36 37 38 39 | F4\n';
    const [of, steps, hint] = worked({ lines: { from: 1, to: 1, data: 9, sum: 1 }, lineSum }, text) ?? [];
    assert.equal(of, 'Line 1, data: 31 32 33 34 35 36 37 38 39; its sum as written: F4');
    assert.equal(steps, '31 32 33 34 35 36 37 38 39 → CRC-8/SMBUS → F4');
    assert.match(hint ?? '', /not worked out by hand/);
  });

  it('is the file sum where lines have none, and none where nothing is right', () => {
    const totals = [{ name: 'file sum', label: 'total', method: 'add', bits: 8, over: ['data'] }];
    const bare = { lines: { ...lines, sum: 0 }, totals };
    const text = '1: 01 02 03\n2: 04 05 06\ntotal: 15\n';
    assert.deepEqual(worked(bare, text)?.slice(0, 2), [
      'The file sum, over 6 bytes; as written: 15',
      '01 + 02 + 03 + 04 + 05 + 06 = 15',
    ]);
    assert.equal(worked(bare, text.replace('15', '16')), undefined);
    assert.equal(worked({ lines }, '1: 01 02 03 04\n'), undefined);
  });
});
