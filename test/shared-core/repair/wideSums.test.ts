// Sums so wide that the fewest bytes are not looked for: that a change is found, and with how little work.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { finish } from '../../../shared-core/src/base/steps.js';
import { someSolution } from '../../../shared-core/src/repair/solver/someSolution.js';
import { bringsAbout, type SumTask } from '../../../shared-core/src/repair/solver/sums.js';
import { type Planted, plantedTask, SUMS } from '../../scoring/plantedSums.js';
import { bytesFor } from '../../scoring/scoreSolver.js';
import { numbers } from '../learn/dumps.js';

const NAMES = Object.keys(SUMS);

/** Steps until a change is found, which must be one. */
function stepsFor(planted: Planted, seed: number): number {
  const name = `${planted.line} under ${planted.totals.join(' and ')}, ${planted.bytes} bytes, seed ${seed}`;
  const task = plantedTask(planted, numbers(seed));
  const budget = { steps: 4_000_000 };
  const allowance = { left: 2 ** 40 };
  const answer = finish(someSolution(task, { ...budget, allowance }));
  assert.equal(answer?.kind, 'solved', name);
  if (answer?.kind !== 'solved') return 0;
  assert.ok(bringsAbout(task, answer.change), name);
  assert.ok(answer.change.length > 0, name);
  assert.deepEqual([answer.unique, answer.fewest], [false, false], name);
  const indexes = answer.change.map(({ index }) => index);
  assert.equal(new Set(indexes).size, indexes.length, name);
  for (const { index, value } of answer.change) {
    const { value: old, mask } = task.free[index] as SumTask['free'][number];
    assert.equal((old ^ value) & ~mask, 0, name);
  }
  return 2 ** 40 - allowance.left;
}

/** The same of a line under sums, with as many bytes as must do and with more, all their bits free or some of them not. */
function stepsForAll(line: string, totals: readonly string[], rounds: readonly number[]): number {
  return rounds.reduce((steps, round) => {
    const bytes = bytesFor([line, ...totals]) + (round >> 1);
    return steps + stepsFor({ line, totals, bytes, masked: round % 2 === 1 }, 7000 + round);
  }, 0);
}

describe('some change of wide sums is found, with no more than so many thousand steps', () => {
  for (const [line, most] of [
    ['add8', 22],
    ['add16', 107],
    ['add16/2', 27],
    ['add32/4', 119],
    ['ones16', 33],
    ['xor8', 11],
    ['xor16', 12],
    ['xor32', 24],
    ['crc8', 9],
    ['crc16', 11],
    ['crc32', 44],
    ['flet16', 320],
    ['flet32', 1022],
    ['adler', 8320],
  ] as const)
    it(`${most} for lines with ${line} under each sum`, () => {
      const steps = NAMES.reduce((sum, total) => sum + stepsForAll(line, [total], [0, 1, 2, 3]), 0);
      assert.ok(steps <= 1000 * most, `${steps} steps`);
    });
  for (const [line, first, most] of [
    ['add8', 'add32/4', 3458],
    ['add8', 'xor16', 27],
    ['add8', 'crc16', 211],
    ['add8', 'crc32', 60],
    ['add8', 'flet16', 2080],
    ['add8', 'flet32', 6192],
    ['add8', 'adler', 608],
    ['crc8', 'add16/2', 20],
    ['crc8', 'ones16', 20],
    ['crc8', 'add32/4', 1049],
    ['crc8', 'xor32', 82],
    ['crc8', 'crc64', 5421],
    ['crc8', 'flet32', 6968],
    ['xor8', 'flet16', 2374],
    ['add16', 'xor16', 861],
    ['crc16', 'add16/2', 16],
    ['flet16', 'xor8', 6840],
  ] as const)
    it(`${most} for a line with ${line} under ${first} and each sum`, () => {
      const steps = NAMES.reduce((sum, total) => sum + stepsForAll(line, [first, total], [0, 3]), 0);
      assert.ok(steps <= 1000 * most, `${steps} steps`);
    });
});
