// That the fewest bytes are found among many, and with how little work.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { finish } from '../../../shared-core/src/base/steps.js';
import { checksumOf, type SumSpec } from '../../../shared-core/src/checksum/registry.js';
import { systemOfTask } from '../../../shared-core/src/repair/solver/dependentSums.js';
import { solve, solveTask } from '../../../shared-core/src/repair/solver/solve.js';
import { bringsAbout } from '../../../shared-core/src/repair/solver/sums.js';
import { SUMS } from '../../scoring/plantedSums.js';
import { type Case, taskOf, wantedOf } from '../../support/solverCases.js';
import { numbers } from '../learn/dumps.js';

/** Sums over so many bytes, all of which may change by these bits, as a change of some of them leaves them. */
function planted(names: readonly string[], bytes: number, mask: number, changed: number, seed: number) {
  const next = numbers(seed);
  const sums = names.map((name, i) => {
    const spec = SUMS[name] as SumSpec;
    const covers = Array.from({ length: bytes }, (_, at) => at);
    return { spec, checksum: checksumOf(spec), covers, at: bytes + 8 * i, order: 'big' as const };
  });
  const flips = Array.from({ length: bytes }, () => 0);
  for (let i = 0; i < changed; i++) flips[next(bytes)] = 1 + next(255);
  const given: Case = {
    memory: Uint8Array.from({ length: bytes + 8 * names.length }, () => next(256)),
    free: flips.map((_, at) => ({ at, mask })),
    dependentSums: [],
    demands: sums,
    wanted: { flips },
  };
  return taskOf(given, given.memory, wantedOf(given, given.memory));
}

describe('the fewest bytes that make sums right are found, with no more than so many steps', () => {
  for (const [names, bytes, mask, changed, most] of [
    [['add16'], 40, 0xff, 1, 18],
    [['add32/4'], 16, 0xff, 3, 230],
    [['ones16'], 20, 0xff, 3, 16_000],
    [['add16', 'add8'], 30, 0xff, 2, 18],
    [['xor8'], 40, 0x3c, 1, 890],
    [['crc16'], 12, 0xff, 2, 4500],
    [['crc32'], 30, 0xff, 3, 430_000],
    [['crc32'], 12, 0x0f, 4, 67_000],
    [['crc64'], 20, 0xff, 4, 670_000],
    [['xor16', 'crc16'], 16, 0xff, 3, 37_000],
    [['xor8', 'add8'], 20, 0xff, 2, 35_000],
    [['adler'], 20, 0x1b, 3, 52_000],
    [['adler'], 40, 0x7e, 2, 35_000],
    [['flet16'], 20, 0xff, 2, 57_000],
    [['flet32'], 20, 0xb1, 3, 200_000],
    [['flet16', 'crc8'], 16, 0xff, 2, 37_000],
    [['add32/4', 'xor16'], 16, 0xff, 2, 24_000],
    [['crc64', 'add16'], 12, 0xff, 3, 28_000],
    [['ones16', 'crc8'], 16, 0xf0, 2, 2500],
    [['crc32', 'flet32'], 24, 0xff, 2, 13_000],
    [['crc32', 'add8'], 30, 0x11, 4, 19_000],
    [['adler', 'add16/2'], 20, 0x22, 5, 82_000],
    [['adler'], 24, 0x40, 6, 4100],
  ] as const)
    it(`${most} for ${changed} of ${bytes} bytes under ${names.join(' and ')}, bits ${mask.toString(16)}`, () => {
      let steps = 0;
      for (let seed = 0; seed < 4; seed++) {
        const task = planted(names, bytes, mask, changed, 100 * seed + bytes);
        const allowance = { left: 2 ** 40 };
        const answer = solveTask(task, { steps: 16_000_000, allowance });
        assert.ok(answer.kind === 'solved' && answer.fewest, `${seed}: ${JSON.stringify(answer)}`);
        assert.ok(answer.change.length <= changed, `${seed}`);
        assert.ok(bringsAbout(task, answer.change), `${seed}`);
        for (const { index, value } of answer.change)
          assert.equal(((task.free[index]?.value ?? 0) ^ value) & ~mask, 0, `${seed}`);
        steps += 2 ** 40 - allowance.left;
      }
      assert.ok(steps <= most, `${steps} steps`);
    });
});

describe('what is hardly likely to be there is not looked for at length', () => {
  for (const [names, bytes] of [
    [['crc64', 'flet32'], 13],
    [['crc64', 'adler'], 13],
  ] as const)
    it(`few of ${bytes} bytes under ${names.join(' and ')}`, () => {
      const task = planted(names, bytes, 0xff, 40, bytes);
      const [steps, allowance] = [16_000_000, { left: 2 ** 40 }];
      const system = finish(systemOfTask(task, { steps, allowance }));
      assert.ok(system !== undefined);
      const answer = finish(solve(system, { steps, allowance }));
      assert.equal(answer.kind, 'gave-up');
      // Half of them were used up before, on some millions of changes of which none in thousands does.
      assert.ok(2 ** 40 - allowance.left < steps / 8, `${2 ** 40 - allowance.left} steps`);
    });
});
