import assert from 'node:assert/strict';
import { crc8 } from 'crc';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { hexBytes, say } from '../../shared-core/src/base/index.js';
import { checkDump } from '../../shared-core/src/checks/index.js';
import { afterWrites } from '../../shared-core/src/model/byteWrite.js';
import { bindText } from '../../shared-core/src/model/index.js';
import { repairAll } from '../../shared-core/src/repair/repairAll.js';
import { loaded, SOUND } from '../support/loaded.js';
import { profileOf } from '../support/smallDumps.js';
import { times } from '../support/times.js';

type Run = readonly number[];

/** Fletcher's sum of 16 bits, as its definition has it. */
function fletcher(run: Run): Run {
  let [first, second] = [0, 0];
  for (const byte of run) {
    first = (first + byte) % 255;
    second = (second + first) % 255;
  }
  return [second, first];
}

/** Sums worked out here or by another implementation, as the bytes that are stored. */
const SUMS = {
  add: { spec: { method: 'add', bits: 8 }, of: (run: Run) => [run.reduce((a, b) => (a + b) & 0xff, 0)] },
  xor: { spec: { method: 'xor', bits: 8 }, of: (run: Run) => [run.reduce((a, b) => a ^ b, 0)] },
  crc: { spec: { method: 'crc', model: 'CRC-8/SMBUS' }, of: (run: Run) => [crc8(Buffer.from(run))] },
  fletcher: { spec: { method: 'fletcher', bits: 16 }, of: fletcher },
} as const;
type SumName = keyof typeof SUMS;
const anySum = fc.constantFrom<SumName>('add', 'xor', 'crc', 'fletcher');
const byte = fc.oneof(fc.constantFrom(0, 0xff), fc.nat(255));

const anyCase = fc.record({
  isInverted: fc.boolean(),
  copies: fc.integer({ min: 1, max: 2 }),
  line: fc.option(fc.constantFrom<SumName>('add', 'xor', 'crc'), { nil: undefined }),
  kept: fc.uniqueArray(anySum, { minLength: 1, maxLength: 2 }),
  data: fc.tuple(byte, byte),
  lone: byte,
  changed: byte,
});

describe('balance places that have copies', () => {
  it('move with all of them, whenever some value of the bytes makes the sums right', () => {
    fc.assert(
      fc.property(anyCase, ({ isInverted, copies, line, kept, data, lone, changed }) => {
        const withSum = (run: Run) => (line === undefined ? run : [...run, ...SUMS[line].of(run)]);
        /** Line 1, a lone line behind it, and the copies of line 1. */
        const linesOf = (own: Run, other: number) => {
          const copy = isInverted ? own.map((one) => one ^ 0xff) : own;
          return [own, [other, 0x5a], ...Array.from({ length: copies }, () => copy)].map(withSum);
        };
        const sumsOf = (lines: readonly Run[]) => kept.map((name) => SUMS[name].of(lines.flat()));
        const wanted = sumsOf(linesOf(data, lone));
        const text = [
          ...linesOf(data, changed).map((run, i) => `${i + 1}: ${hexBytes(run, ' ')}`),
          ...kept.map((name, i) => `${name}: ${hexBytes(wanted[i] ?? [], ' ')}`),
        ].join('\n');
        const profile = profileOf({
          lines: { from: 1, to: 2 + copies, data: 2, sum: line === undefined ? 0 : 1 },
          ...(line !== undefined && { lineSum: { ...SUMS[line].spec } }),
          copies: [
            { name: 'set', lines: '1-1', at: ['3-3', '4-4'].slice(0, copies), as: isInverted ? 'inverted' : 'same' },
          ],
          totals: kept.map((name) => ({
            ...{ name, label: name, keep: true, ...SUMS[name].spec },
            over: line === undefined ? ['data'] : ['data', 'sums'],
          })),
          balance: [{ line: 1, bytes: '1-2' }],
        });
        const dump = bindText('a.cfgdump', text, profile);
        const values = Array.from({ length: 256 }, (_, value) => value);
        // One sum after the other, as most values are out after the first.
        const isRight = (own: Run) => {
          const run = linesOf(own, changed).flat();
          return kept.every((name, i) => `${SUMS[name].of(run)}` === `${wanted[i]}`);
        };
        const solvable = values.some((first) => values.some((second) => isRight([first, second])));
        const repair = repairAll(dump, { totals: 'keep' });
        assert.equal(repair.ok, solvable, repair.ok ? text : `${say(repair.why)}\n${text}`);
        if (!repair.ok) return;
        assert.deepEqual(checkDump(loaded(afterWrites(dump, repair.value.writes), SOUND)), []);
      }),
      times(10),
    );
  }).timeout(300_000);
});
