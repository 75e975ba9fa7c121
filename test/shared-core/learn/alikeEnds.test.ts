import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { hexBytes } from '../../../shared-core/src/base/hex.js';
import { bytesOfNumber } from '../../../shared-core/src/base/number.js';
import { say } from '../../../shared-core/src/base/phrase.js';
import { valueOver } from '../../../shared-core/src/checksum/checksum.js';
import { crcModel } from '../../../shared-core/src/checksum/crcCatalogue.js';
import { checksumOf, type SumSpec } from '../../../shared-core/src/checksum/registry.js';
import { learn } from '../../../shared-core/src/learn/learn.js';
import { readProfile } from '../../../shared-core/src/profile/readProfile.js';
import { numbers } from './dumps.js';

const LINES = 12;
const DUMPS = 7;

const added = (bits: 8 | 16, start: bigint): SumSpec => ({
  ...{ method: 'add', bits, unit: 1, order: 'big', complement: 'none' },
  start,
});
const crc = (init: bigint | undefined): SumSpec => {
  const model = crcModel('CRC-16/IBM-3740') ?? assert.fail('a catalogued CRC');
  return { method: 'crc', model: undefined, ...model, init: init ?? model.init };
};
const KINDS: Readonly<Record<string, readonly [plain: SumSpec, constant: SumSpec]>> = {
  added: [added(16, 0n), added(16, 0x1234n)],
  'exclusive or': [
    { method: 'xor', bits: 16, order: 'big', start: 0n },
    { method: 'xor', bits: 16, order: 'big', start: 0x5aa5n },
  ],
  CRC: [crc(undefined), crc(0x4321n)],
};

interface DraftTotal {
  readonly lines?: string;
  readonly confidence?: string;
}

/** Dumps that differ in some lines only, with a file sum over a range of their lines. */
function learned(spec: SumSpec, [from, to]: readonly [number, number], [first, last]: readonly [number, number]) {
  const next = numbers(17);
  const base = Array.from({ length: LINES }, () => Array.from({ length: 8 }, () => (next(3) === 0 ? 0 : next(256))));
  const checksum = checksumOf(spec);
  const texts = Array.from({ length: DUMPS }, (_, dump) => {
    const lines = base.map((line, i) =>
      line.map((byte, at) => (i + 1 >= first && i + 1 <= last && (at === 3 || next(4) === 0) ? next(256) : byte)),
    );
    const value = valueOver(checksum, Uint8Array.from(lines.slice(from - 1, to).flat()));
    const rows = lines.map((line, i) => {
      const sum = -line.reduce((all, byte) => all + byte, i + 1) & 0xff;
      return `${i + 1}: ${hexBytes([...line, sum], ' ')}`;
    });
    return {
      name: `${dump}.txt`,
      text: `${rows.join('\n')}\ntotal: ${hexBytes(bytesOfNumber(value, 2, 'big'), ' ')}\n`,
    };
  });
  const { candidates, remarks } = learn(texts);
  const totals = candidates.map(({ profile }) => profile.totals?.[0] as DraftTotal | undefined);
  for (const { profile } of candidates) assert.deepEqual(readProfile(JSON.stringify(profile)).problems, []);
  return {
    ranges: totals.map((total) => total?.lines ?? 'all'),
    isUndecided: candidates.some(({ undecided }) => undecided),
    isGuess: totals[0]?.confidence === 'guess',
    remarks: remarks.map((remark) => say(remark)).filter((remark) => remark.includes('file sum')),
  };
}

describe('file sums over lines of which some are the same in all dumps', () => {
  for (const [name, [plain, constant]] of Object.entries(KINDS)) {
    it(`${name}: lines at the ends that are not covered may be what a constant stands for, and it is undecided`, () => {
      const { ranges, isUndecided, remarks } = learned(plain, [3, 12], [3, 12]);
      assert.deepEqual([ranges.slice(0, 2), isUndecided], [['3-12', 'all'], true]);
      assert.ok(
        remarks.includes(
          'A dump with other values in lines 1, 2 tells the first two rules for the file sum apart: only one of them covers these.',
        ),
        remarks.join('\n'),
      );
      const one = learned(plain, [2, 12], [2, 12]);
      assert.ok(one.isUndecided);
      assert.ok(
        one.remarks.includes(
          'A dump with another value in line 1 tells the first two rules for the file sum apart: only one of them covers it.',
        ),
        one.remarks.join('\n'),
      );
    });

    it(`${name}: with a constant of its own it may cover such lines or not, and is a guess`, () => {
      const isCrc = constant.method === 'crc';
      const { ranges, isGuess, isUndecided, remarks } = learned(constant, [1, 12], isCrc ? [3, 12] : [2, 11]);
      assert.deepEqual([ranges, isGuess, isUndecided], [['all'], true, false]);
      const lines = isCrc ? 'Lines 1, 2 are' : 'Lines 1, 12 are';
      assert.ok(
        remarks.some((remark) => remark.startsWith(`${lines} the same in all dumps`)),
        remarks.join('\n'),
      );
      const one = learned(constant, [1, 12], [2, 12]);
      assert.ok(one.isGuess && one.remarks.some((remark) => remark.startsWith('Line 1 is the same in all dumps')));
    });

    it(`${name}: where all lines differ, or it needs no constant, nothing is in doubt`, () => {
      for (const [spec, differing] of [
        [plain, [3, 10]],
        [constant, [1, 12]],
      ] as const) {
        const { ranges, isUndecided, isGuess, remarks } = learned(spec, [1, 12], differing);
        assert.deepEqual([ranges, isUndecided, isGuess, remarks], [['all'], false, false, []]);
      }
    });
  }
});
