import assert from 'node:assert/strict';
import { crc8 } from 'crc';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { hexBytes, say } from '../../shared-core/src/base/index.js';
import { afterWrites } from '../../shared-core/src/model/byteWrite.js';
import { lineCell } from '../../shared-core/src/model/cell.js';
import { bindText, type Dump } from '../../shared-core/src/model/index.js';
import { wrongTotals } from '../../shared-core/src/model/totalReading.js';
import { byteAt } from '../../shared-core/src/model/totals.js';
import { repairAll } from '../../shared-core/src/repair/repairAll.js';
import { profileOf } from '../support/smallDumps.js';

/** Sums worked out here or by another implementation. */
const SUMS = {
  add: { spec: { method: 'add', bits: 8 }, of: (run: readonly number[]) => run.reduce((a, b) => (a + b) & 0xff, 0) },
  xor: { spec: { method: 'xor', bits: 8 }, of: (run: readonly number[]) => run.reduce((a, b) => a ^ b, 0) },
  crc: { spec: { method: 'crc', model: 'CRC-8/SMBUS' }, of: (run: readonly number[]) => crc8(Buffer.from(run)) },
} as const;
type SumName = keyof typeof SUMS;
const anySum = fc.constantFrom<SumName>('add', 'xor', 'crc');
const byte = fc.nat(255);

/** A range of bits, "3-1", and the same as a mask. */
const bits = fc.tuple(fc.nat(7), fc.nat(7)).map(([a, b]) => {
  const [low, high] = [Math.min(a, b), Math.max(a, b)];
  return { written: `${high}-${low}`, mask: ((1 << (high - low + 1)) - 1) << low };
});
const option = fc.record({ bits, concernsSecurity: fc.boolean() });

/** Two lines of two bytes: options in both bytes of the first one, sums over all that are to be kept. */
const anyCase = fc.record({
  options: fc.tuple(option, option),
  kept: fc.uniqueArray(anySum, { minLength: 1, maxLength: 2 }),
  line: fc.option(anySum, { nil: undefined }),
  data: fc.tuple(byte, byte, byte, byte),
  changed: byte,
});

const valueAt = (dump: Dump, line: number, at: number) =>
  byteAt(dump.rows, lineCell(dump.layout, line, at) ?? noCell());
const noCell = (): never => assert.fail('a byte is missing');

describe('bits beside those of an option', () => {
  it('balance where whole bytes are not free, whenever some value of them can, and no other bit changes', () => {
    fc.assert(
      fc.property(anyCase, ({ options, kept, line, data: [a, b, c, d], changed }) => {
        const withSum = (run: readonly number[]) => (line === undefined ? run : [...run, SUMS[line].of(run)]);
        const all = (one: readonly number[], other: readonly number[]) => [...withSum(one), ...withSum(other)];
        const wanted = kept.map((name) => SUMS[name].of(all([a, b], [c, d])));
        const text = [
          `1: ${hexBytes(Uint8Array.from(withSum([a, b])))}`,
          `2: ${hexBytes(Uint8Array.from(withSum([c, changed])))}`,
          ...kept.map((name, i) => `${name}: ${hexBytes([wanted[i] ?? 0])}`),
        ].join('\n');
        const profile = profileOf({
          lines: { from: 1, to: 2, data: 2, sum: line === undefined ? 0 : 1 },
          ...(line !== undefined && { lineSum: { ...SUMS[line].spec } }),
          totals: kept.map((name) => ({
            ...{ name, label: name, keep: true, ...SUMS[name].spec },
            over: line === undefined ? ['data'] : ['data', 'sums'],
          })),
          options: options.map(({ bits: own, concernsSecurity }, i) => ({
            ...{ id: `o${i}`, title: `O${i}`, line: 1, byte: i + 1, bits: own.written, number: {} },
            ...(concernsSecurity && { hazard: 'security' }),
          })),
        });
        const dump = bindText('a.cfgdump', text, profile);
        const free = options.map(({ bits: own }) => 0xff & ~own.mask);
        const subsets = (mask: number, was: number) =>
          Array.from({ length: 256 }, (_, value) => value).filter((value) => ((value ^ was) & ~mask) === 0);
        const [first = [], second = []] = [subsets(free[0] ?? 0, a), subsets(free[1] ?? 0, b)];
        const isRight = (one: readonly number[]) =>
          kept.every((name, i) => SUMS[name].of(all(one, [c, changed])) === wanted[i]);
        const solvable = first.some((one) => second.some((other) => isRight([one, other])));
        const repair = repairAll(dump, { totals: 'keep', using: { row: 0 } });
        assert.equal(repair.ok, solvable, repair.ok ? '' : say(repair.why));
        if (!repair.ok) return;
        const after = afterWrites(dump, repair.value.writes);
        assert.deepEqual([wrongTotals(after), after.wrongSums], [[], []]);
        for (const [i, was] of [a, b].entries())
          assert.equal((valueAt(after, 1, i + 1) ?? 0) & ~(free[i] ?? 0), was & ~(free[i] ?? 0));
        assert.deepEqual(repair.value.alsoChanged, []);
      }),
      { numRuns: 150 },
    );
  }).timeout(120_000);
});
