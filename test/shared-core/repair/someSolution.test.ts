import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { bytesOfNumber } from '../../../shared-core/src/base/number.js';
import { finish } from '../../../shared-core/src/base/steps.js';
import type { Checksum } from '../../../shared-core/src/checksum/checksum.js';
import { checksumOf, type SumSpec } from '../../../shared-core/src/checksum/registry.js';
import { byteLatticeOf } from '../../../shared-core/src/repair/solver/byteLattice.js';
import { flatSystemOf } from '../../../shared-core/src/repair/solver/flatSystem.js';
import { forwardTrial } from '../../../shared-core/src/repair/solver/forwardTrial.js';
import { solveTask } from '../../../shared-core/src/repair/solver/solve.js';
import { someSolution } from '../../../shared-core/src/repair/solver/someSolution.js';
import { bringsAbout, type SumTask } from '../../../shared-core/src/repair/solver/sums.js';
import type { Change, System } from '../../../shared-core/src/repair/solver/system.js';
import { plantedTask, SUMS } from '../../scoring/plantedSums.js';
import { bytesFor, scorePlanted } from '../../scoring/scoreSolver.js';
import { numbers } from '../learn/dumps.js';

const NAMES = Object.keys(SUMS);
const LINES = NAMES.filter((name) => name !== 'crc64');

function changesOf({ free }: SumTask): readonly Change[] {
  let all: readonly Change[] = [[]];
  for (const [index, { value, mask }] of free.entries()) {
    const flips = Array.from({ length: 256 }, (_, i) => i).filter((one) => one > 0 && (one & ~mask) === 0);
    all = all.flatMap((change) => [change, ...flips.map((one) => [...change, { index, value: value ^ one }])]);
  }
  return all;
}

describe('some change that makes sums right, where the fewest bytes are not looked for', () => {
  it('takes the stored bytes of line sums as unknowns: each change that does it fulfils the flat equations', () => {
    const next = numbers(5);
    for (const line of LINES) {
      const task = plantedTask({ line, totals: ['add8', 'crc8'], bytes: 3, masked: true }, next);
      const flat = finish(flatSystemOf(task));
      assert.ok(flat, line);
      assert.equal(flat.own, task.free.length);
      assert.ok(flat.free.length > flat.own, line);
      assert.equal(flat.equations.length, flat.accepted[0]?.length);
    }
  });

  it('is not looked for where the stored bits of a sum are not those of its value, as no equation says what they do', () => {
    const task = plantedTask({ line: 'add8', totals: ['add16'], bytes: 3, masked: false }, numbers(5));
    const [sum] = task.dependentSums;
    assert.ok(sum);
    const storedAs = (bytesOf: (value: number) => readonly number[]) =>
      finish(
        flatSystemOf({
          ...task,
          dependentSums: [{ ...sum, bytesOf: (value) => Uint8Array.from(bytesOf(Number(value))) }],
        }),
      );
    assert.ok(storedAs((value) => [value]));
    // Both halves exchanged, all bits turned round, a bit that is there twice, and one that is not there.
    for (const bytesOf of [
      (value: number) => [(value >> 4) | (value << 4)],
      (value: number) => [[0, 1, 2, 3, 4, 5, 6, 7].reduce((all, bit) => all | (((value >> bit) & 1) << (7 - bit)), 0)],
      (value: number) => [value | ((value & 1) << 1)],
      (value: number) => [value & 0x7f],
    ])
      assert.equal(storedAs(bytesOf), undefined);
  });

  it('lists all values of bytes that fulfil congruences, each once, also of bits that lie apart in a byte', () => {
    const free = [
      { value: 0x35, mask: 0x07 },
      { value: 0xa0, mask: 0x65 },
      { value: 0x11, mask: 0x1f },
    ];
    const system: System = {
      free,
      equations: [
        { kind: 'modular', modulus: 15n, weights: [1n, 3n, 7n] },
        { kind: 'modular', modulus: 16n, weights: [2n, 1n, 5n] },
      ],
      accepted: [[4n, 6n]],
      measure: 'growth',
    };
    const fulfils = (values: readonly number[]) =>
      system.equations.every((equation, e) => {
        if (equation.kind !== 'modular') return false;
        const sum = values.reduce(
          (all, value, i) => all + Number(equation.weights[i]) * (value - (free[i]?.value ?? 0)),
          0,
        );
        return (sum - Number(system.accepted[0]?.[e])) % Number(equation.modulus) === 0;
      });
    const expected = changesOf({ free, dependentSums: [], demands: [] })
      .map((change) => free.map(({ value }, i) => change.find(({ index }) => index === i)?.value ?? value))
      .filter(fulfils)
      .map((values) => values.join());
    const values = finish(byteLatticeOf(system, [0, 1, 2]))?.valuesNear(Uint8Array.of(0x30, 0x80, 0), {
      growth: [4, 6],
    });
    assert.ok(values);
    const found: string[] = [];
    while (!values.isDone()) {
      const next = values.next(10);
      if (next) found.push(next.join());
    }
    assert.ok(expected.length > 3);
    assert.deepEqual(found.sort(), expected.sort());
  });

  it('says that congruences have no solution where no whole numbers have', () => {
    const system: System = {
      free: [{ value: 0, mask: 0xff }],
      equations: [{ kind: 'modular', modulus: 16n, weights: [4n] }],
      accepted: [[2n]],
      measure: 'growth',
    };
    const lattice = finish(byteLatticeOf(system, [0]));
    assert.ok(lattice);
    assert.equal(lattice.valuesNear(Uint8Array.of(0), { growth: [2] }), undefined);
    assert.equal((lattice.valuesNear(Uint8Array.of(0), { growth: [8] })?.next(10)?.[0] ?? 0) % 4, 2);
    assert.equal(finish(byteLatticeOf(system, [])), undefined);
  });

  it('is found for 32-bit line sums under totals of each kind', () => {
    const next = numbers(21);
    for (const [line, total] of [
      ['crc32', 'add16'],
      ['add32/4', 'crc32'],
      ['add32/4', 'adler'],
      ['flet32', 'crc16'],
      ['flet32', 'add32/4'],
      ['adler', 'crc32'],
      ['xor32', 'adler'],
    ] as const) {
      for (const masked of [total === 'adler']) {
        const bytes = bytesFor([line, total]);
        assert.equal(scorePlanted({ line, totals: [total], bytes, masked }, next).found, 'found', `${line} ${total}`);
      }
    }
  }).timeout(120_000);

  it('is found for two kept totals of which one adds and one is wide and binary, whose carries are told bit by bit', () => {
    const next = numbers(8);
    for (const [line, ...totals] of [
      ['crc8', 'add32/4', 'crc64'],
      ['crc8', 'crc32', 'adler'],
      ['add8', 'xor16', 'add32/4'],
      ['add8', 'flet16', 'crc32'],
      ['crc8', 'flet32', 'xor32'],
      ['add8', 'ones16', 'crc64'],
    ] as const) {
      const solved = scorePlanted({ line, totals, bytes: bytesFor([line, ...totals]), masked: false }, next);
      assert.equal(solved.found, 'found', `${line} ${totals}`);
    }
  }).timeout(120_000);

  it('is found where the bits that are decided first most often leave nothing for the later ones', () => {
    for (const [beginning, line, ...totals] of [
      [100_006, 'add8', 'xor16', 'add32/4'],
      [100_055, 'crc8', 'flet32', 'add16/2'],
      [100_176, 'add8', 'xor16', 'flet32'],
      [100_261, 'add8', 'xor32', 'add32/4'],
      [100_275, 'add8', 'flet32', 'xor32'],
    ] as const) {
      const planted = { line, totals, bytes: bytesFor([line, ...totals]), masked: false };
      assert.equal(scorePlanted(planted, numbers(beginning)).found, 'found', `${line} ${totals}`);
    }
  }).timeout(120_000);

  it('is found beside a binary sum so wide that halves of the bytes never meet', () => {
    for (const [beginning, line, ...totals] of [
      [100_484, 'add8', 'flet16', 'crc64'],
      [100_510, 'add8', 'crc64', 'flet16'],
    ] as const) {
      const planted = { line, totals, bytes: bytesFor([line, ...totals]), masked: false };
      assert.equal(scorePlanted(planted, numbers(beginning)).found, 'found', `${line} ${totals}`);
    }
  }).timeout(120_000);

  it('is found beside 64 binary bits for sums of words, whose low and high bytes part where a byte more is added', () => {
    for (const [beginning, bytes, masked, line, ...totals] of [
      [100_131, 14, false, 'add8', 'crc64', 'flet32'],
      [100_656, 14, false, 'crc8', 'crc64', 'flet32'],
      [100_666, 9, true, 'add8', 'xor16', 'add32/4'],
      [100_791, 15, true, 'add8', 'crc64', 'flet32'],
      [101_196, 11, true, 'add8', 'crc32', 'flet32'],
    ] as const) {
      const planted = { line, totals, bytes, masked };
      assert.equal(scorePlanted(planted, numbers(beginning)).found, 'found', `${line} ${totals}`);
    }
  }).timeout(240_000);

  it('is found beside 64 binary bits where a sum of words leaves of the sum of bytes but the stored one', () => {
    for (const [beginning, bytes, masked, line, ...totals] of [
      [100_621, 14, false, 'add8', 'crc64', 'add32/4'],
      [100_829, 15, true, 'add8', 'add32/4', 'crc64'],
      [101_489, 16, false, 'add8', 'add32/4', 'crc64'],
      [102_149, 14, true, 'add8', 'add32/4', 'crc64'],
    ] as const) {
      const planted = { line, totals, bytes, masked };
      assert.equal(scorePlanted(planted, numbers(beginning)).found, 'found', `${line} ${totals}`);
    }
  }).timeout(120_000);

  it('is found where it takes more than its budget, of which the last way left may use some more', () => {
    for (const [beginning, line, ...totals] of [
      [102_111, 'add8', 'crc64', 'flet32'],
      [102_584, 'crc8', 'flet32', 'crc64'],
    ] as const) {
      const planted = { line, totals, bytes: 14, masked: true };
      assert.equal(scorePlanted(planted, numbers(beginning)).found, 'found', `${line} ${totals}`);
    }
  }).timeout(120_000);

  it('is found with three bytes of an added line under an exclusive or, where few of all changes do it', () => {
    const next = numbers(31);
    for (let i = 0; i < 2; i++) {
      const solved = scorePlanted({ line: 'add16', totals: ['xor16'], bytes: 3, masked: false }, next);
      assert.equal(solved.found, 'found');
    }
  }).timeout(60_000);
});

describe('the work for some change', () => {
  // All of these end at it. Of two ways that follow each other the second has what the first left.
  for (const [line, masked, ...totals] of [
    ['flet16', true, 'crc16', 'add16/2'],
    ['flet16', false, 'add32/4', 'crc16'],
    ['flet16', true, 'ones16', 'crc16'],
    ['add8', false, 'crc32', 'flet32'],
    ['flet16', true, 'crc32', 'adler'],
  ] as const)
    it(`is not more than its budget for a line with ${line} under ${totals.join(' and ')}`, () => {
      assert.ok(Math.abs(spentOn(line, totals, masked) - 1) < 0.1);
    });

  for (const [line, masked, ...totals] of [
    ['crc8', false, 'crc64', 'flet32'],
    ['add8', false, 'crc64', 'add32/4'],
    ['flet16', true, 'crc64', 'adler'],
  ] as const)
    it(`is three times that where but one way is left: a line with ${line} under ${totals.join(' and ')}`, () => {
      assert.ok(Math.abs(spentOn(line, totals, masked) - 3) < 0.1);
    });

  /** What a search that finds nothing takes, in budgets. */
  function spentOn(line: string, totals: readonly string[], masked: boolean): number {
    const task = plantedTask({ line, totals, bytes: bytesFor([line, ...totals]), masked }, numbers(7));
    const [steps, allowance] = [100_000, { left: 2 ** 40 }];
    assert.equal(finish(someSolution(task, { steps, allowance })), undefined);
    return (2 ** 40 - allowance.left) / steps;
  }
});

describe('trying changes by the sums themselves', () => {
  it('finds the only change of one byte, and says so', () => {
    const task = plantedTask({ line: 'crc32', totals: ['crc32'], bytes: 2, masked: false }, numbers(3));
    const planted = solveTask(task, { steps: 16_000_000 });
    assert.ok(planted.kind === 'solved' && planted.change.length === 2);
    const one = { ...task, free: task.free.map(({ value, mask }, i) => ({ value, mask: i === 0 ? mask : 0 })) };
    const answer = finish(forwardTrial(one, { steps: 1_000_000 }));
    assert.deepEqual(answer, { kind: 'impossible', proof: { kind: 'tried' } });
  });

  it('moves bytes by little where one of the sums adds', () => {
    // From 0F 48, both sums come right with 10 11 and with 11 10: by 56 in nine bits, or by 58 in seven.
    const run = Uint8Array.of(0x0f, 0x48);
    const demands = [
      ['add16', 0x21n],
      ['xor8', 0x01n],
    ] as const;
    for (const all of [demands, [...demands].reverse()]) {
      const task: SumTask = {
        free: Array.from(run, (value) => ({ value, mask: 0xff })),
        dependentSums: [],
        demands: all.map(([name, wanted]) => {
          const checksum = checksumOf(SUMS[name] as SumSpec);
          return { checksum, state: checksum.stateOf(run), length: 2, places: [[0], [1]], wanted };
        }),
      };
      const answer = finish(forwardTrial(task, { steps: 16_000_000 }));
      assert.ok(answer.kind === 'solved');
      assert.deepEqual([answer.change.map(({ value }) => value), answer.unique], [[0x10, 0x11], false]);
    }
  });

  it('looks at no changes of a size that it cannot look at wholly', () => {
    const task = plantedTask({ line: 'flet32', totals: ['crc32'], bytes: 9, masked: false }, numbers(4));
    assert.deepEqual(finish(forwardTrial(task, { steps: 1_000_000 })), { kind: 'gave-up', size: 2 });
    assert.deepEqual(finish(forwardTrial(task, { steps: 1000 })), { kind: 'gave-up', size: 1 });
  });

  it('claims nothing where it was stopped or its work is used up', () => {
    const task = plantedTask({ line: 'add8', totals: ['add8'], bytes: 2, masked: false }, numbers(3));
    const whole = finish(forwardTrial(task, { steps: 50_000_000 }));
    assert.notEqual(whole.kind, 'gave-up');
    for (const turns of [0, 1, 7, 100, 400]) {
      let asks = 0;
      const stopped = finish(forwardTrial(task, { steps: 50_000_000, cancelled: () => asks++ >= turns }));
      if (stopped.kind === 'solved') assert.deepEqual([stopped.fewest, stopped.unique], [false, false], `${turns}`);
      else assert.equal(stopped.kind, 'gave-up', `${turns}`);
    }
    const shared = finish(forwardTrial(task, { steps: 50_000_000, allowance: { left: 100 } }));
    assert.equal(shared.kind, 'gave-up');
  });

  it('is done for longer where nothing else is left: few bits under a sum whose stored bits are not its own', () => {
    const [crc, sum] = ['crc32', 'add32/4'].map((name) => checksumOf(SUMS[name] as SumSpec)) as [Checksum, Checksum];
    const run = Uint8Array.of(0x10, 0x20, 0x30);
    const storedFor = (values: Uint8Array) => bytesOf(crc.valueOf(crc.stateOf(values)));
    const bytesOf = (value: bigint) => bytesOfNumber((value * 0x9e3779b1n) & 0xffffffffn, 4, 'big');
    const task: SumTask = {
      free: Array.from(run, (value) => ({ value, mask: 0x0f })),
      dependentSums: [
        { checksum: crc, state: crc.stateOf(run), length: 3, places: [[0], [1], [2], [], [], [], []], bytesOf },
      ],
      demands: [
        {
          ...{ checksum: sum, state: sum.stateOf(storedFor(run)), length: 4 },
          places: [[], [], [], [0], [1], [2], [3]],
          wanted: sum.valueOf(sum.stateOf(storedFor(Uint8Array.of(0x1f, 0x2a, 0x35)))),
        },
      ],
    };
    // 45 changes of one byte, 675 of two and 3,375 of all; an eighth of the work does not suffice for those of two.
    assert.deepEqual(finish(forwardTrial(task, { steps: 60_000 })), { kind: 'gave-up', size: 2 });
    const answer = solveTask(task, { steps: 480_000 });
    assert.ok(answer.kind === 'solved' && answer.fewest && bringsAbout(task, answer.change));
  });
});
