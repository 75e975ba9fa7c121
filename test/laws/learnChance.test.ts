import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { finish } from '../../shared-core/src/base/steps.js';
import type { DumpToLearn } from '../../shared-core/src/learn/learnSums/coveredLines.js';
import { lineCoverages } from '../../shared-core/src/learn/learnSums/line.js';
import { type LineRule, storedBy } from '../../shared-core/src/learn/learnSums/lineRule.js';
import { lineSumSteps } from '../../shared-core/src/learn/learnSums/lineSums.js';
import { totalSteps } from '../../shared-core/src/learn/learnSums/totals.js';
import { numbers } from '../shared-core/learn/dumps.js';

type Next = (below: number) => number;

const RUNS = 24;

/** Bytes at the place of a sum that are none. */
const STORED: Readonly<Record<string, (next: Next, dump: number) => readonly number[]>> = {
  'any two bytes': (next) => [next(256), next(256)],
  'small numbers': (next) => [0, next(64)],
  'small numbers with the low byte first': (next) => [next(64), 0],
  'numbers that count up': (_next, dump) => [1, 0x20 + dump],
  'four bytes with two of them zero': (next) => [0, 0, next(8), next(256)],
};

const LINE_SUMS = ['none', 'ones', 'twos'] as const;

const lineRule = (complement: (typeof LINE_SUMS)[number]): LineRule => ({
  ...{
    width: 1,
    front: false,
    order: 'big',
    module: undefined,
    lines: 0,
    distinct: 0,
    wrong: [],
    chance: 0,
    cost: 0,
    isPlain: true,
  },
  spec: { method: 'add', bits: 8, unit: 1, order: 'big', complement, start: 0n },
  coverage: lineCoverages(1).find(({ over }) => over.join() === 'data') ?? assert.fail('sums over the data alone'),
});

/** What is stated with a chance of x may be wrong in x of the cases, and by luck of these a few more. */
function assertHonest(chances: readonly number[]): void {
  for (const limit of [0.05, 0.01, 0.001, 1e-4, 1e-6]) {
    const claims = chances.filter((chance) => chance <= limit).length;
    const expected = chances.length * limit;
    assert.ok(claims <= expected + 3 * Math.sqrt(expected), `${claims} claims of ${chances.length}, at most ${limit}`);
  }
}

const least = (rules: readonly { readonly chance: number }[]) => Math.min(1, ...rules.map(({ chance }) => chance));

/** Dumps of one module that differ in a few bytes, with the same kind of number at the end or in a line of its own. */
function dumpsWith(
  store: (typeof STORED)[string],
  rule: LineRule | undefined,
  isInLine: boolean,
  next: Next,
): readonly DumpToLearn[] {
  const width = 6;
  const base = Array.from({ length: 5 }, () =>
    Array.from({ length: width }, () => [0, 0xff, next(256)][next(3)] as number),
  );
  return Array.from({ length: 2 + next(8) }, (_, dump) => {
    const lines = base.map((bytes) => [...bytes]);
    for (let i = 0; i < 4; i++) (lines[next(4)] as number[])[next(width)] = next(16);
    const stored = store(next, dump);
    if (isInLine) lines.at(-1)?.splice(width - stored.length, stored.length, ...stored);
    return {
      name: '',
      lines: lines.map((bytes, i) => {
        const data = Uint8Array.from(bytes);
        return { label: i + 1, data, sum: rule === undefined ? new Uint8Array(0) : storedBy(rule, i + 1, data) };
      }),
      others: isInLine ? [] : [{ label: 'total', bytes: Uint8Array.from(stored) }],
    };
  });
}

describe('laws of chance, over data that have no such sum', function () {
  this.timeout(120_000);
  for (const [seed, [name, store]] of Object.entries(STORED).entries())
    for (const place of ['in a line of their own', 'at the end of the last line'] as const)
      it(`${name} ${place} are called a file sum no more often than the chance that is stated`, () => {
        const next = numbers(7000 + seed);
        const chances = Array.from({ length: RUNS }, (_, run) => {
          const complement = LINE_SUMS[run % 4];
          const rule = complement && lineRule(complement);
          return least(finish(totalSteps(dumpsWith(store, rule, place !== 'in a line of their own', next), rule)));
        });
        assertHonest(chances);
      });

  it('lines are called summed no more often than the chance that is stated', () => {
    const next = numbers(7100);
    const chances = Array.from({ length: 8 }, () => {
      const lines = Array.from({ length: 3 + next(10) }, (_, i) => ({
        dump: 0,
        label: i + 1,
        bytes: Uint8Array.from({ length: 6 }, () => [0, 0xff, next(256), next(16)][next(4)] as number),
      }));
      return least(finish(lineSumSteps(lines, undefined)).rules);
    });
    assertHonest(chances);
  });
});
