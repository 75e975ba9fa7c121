// What the ways of a search are thought to take before one is chosen, counted by hand.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { finish } from '../../../shared-core/src/base/steps.js';
import { solveByBranchAndBound } from '../../../shared-core/src/repair/solver/branchAndBound.js';
import { eliminationWork } from '../../../shared-core/src/repair/solver/eliminationWork.js';
import { someFletcherAdler } from '../../../shared-core/src/repair/solver/fletcherAdler.js';
import { stepsToMeetInTheMiddle } from '../../../shared-core/src/repair/solver/meetInTheMiddle.js';
import type { System } from '../../../shared-core/src/repair/solver/system.js';
import { tablesOf } from '../../../shared-core/src/repair/solver/tables.js';

const MASKS = [0xff, 0x0f, 0x01];

function adding(masks: readonly number[], modulus: bigint, weights: readonly bigint[], outcomes = 1): System {
  return {
    free: masks.map((mask, i) => ({ value: 100 * i, mask })),
    equations: [{ kind: 'modular', modulus, weights }],
    accepted: Array.from({ length: outcomes }, (_, i) => [BigInt(3 * i + 1)]),
    measure: 'growth',
  };
}

describe('the work of elimination', () => {
  const span = (rank: number) => ({ rank, width: rank, spansTarget: true, firstBytes: [] });
  const matrix = (outcomes: number) => ({
    ...{ words: 0, vectors: [], targets: new Int32Array() },
    masks: MASKS,
    outcomes,
  });
  const workOf = (system: Pick<System, 'equations'>, size: number) =>
    eliminationWork({ ...adding(MASKS, 1n, []), ...system }, matrix(2), span(5), size);

  it('is that of each set of bytes, and of the solutions that it leaves for each outcome', () => {
    const none = { equations: [] };
    // Three sets of one byte, of eight bits under five equations; one set of three, of thirteen bits.
    assert.deepEqual(workOf(none, 1), { steps: 3 * (4 + 8 + 2) + 48, likely: 3 * 2 * 8 });
    assert.deepEqual(workOf(none, 2), { steps: 3 * (4 + 16 + 2) + 768, likely: 3 * 2 * 128 });
    assert.deepEqual(workOf(none, 3), { steps: 1 * (4 + 24 + 2) + 512, likely: 1 * 2 * 256 });
  });

  it('leaves as many solutions as the values of a sum let pass, the likeliest of which is eight times as likely as others', () => {
    const likely = (modulus: bigint, weights: readonly bigint[], size: number) =>
      workOf(adding(MASKS, modulus, weights), size).likely;
    // All values of the sum can be reached: 990 is -10, so that one byte goes as far as 2,550 and the sum round and round.
    assert.equal(likely(1000n, [1n, 10n, 990n], 1), 48 * (8 / 1000));
    // No further than the two heaviest bytes go, by steps of 2.
    assert.equal(likely(65_536n, [2n, 4n, 65_530n], 1), 48 * (8 / ((255 * 6) / 2)));
    assert.equal(likely(65_536n, [2n, 4n, 65_530n], 2), 768 * (8 / ((255 * 10) / 2)));
    // Of a sum of few values, or of none that moves, each is as good as sure.
    assert.equal(likely(4n, [1n, 1n, 1n], 1), 48);
    assert.equal(likely(256n, [0n, 0n, 0n], 1), 48);
    assert.equal(likely(9n, [1n, 1n, 1n], 1), 48 * (8 / 9));
  });
});

describe('the work of meeting in the middle', () => {
  it('is to keep one part by its effects, which takes two steps each, and to look up each outcome for the other', () => {
    const steps = (outcomes: number, size: number) =>
      stepsToMeetInTheMiddle(finish(tablesOf(adding(MASKS, 1000n, [1n, 2n, 3n], outcomes))), size);
    const [one, two, three] = [255 + 15 + 1, 255 * 15 + 255 + 15, 255 * 15];
    assert.equal(steps(3, 1), 2 * one + 3);
    assert.equal(steps(3, 2), 2 * one + 3 * one);
    assert.equal(steps(3, 3), 2 * three + 3);
    assert.equal(steps(1, 3), 2 * one + two);
    // Where many outcomes are looked up, more is kept.
    assert.equal(steps(100, 2), 2 * two + 100);
  });
});

describe('the work of branching', () => {
  it('is allowed just where all branches together take no more than it', () => {
    const whole = [0xff, 0xff];
    const isTried = (system: System, steps: number) => finish(solveByBranchAndBound(system, { steps })) !== undefined;
    // Of 256 growths in a row one does for the light byte, as does one for the heavy one; both can grow by 255 in all.
    const one = 4 * (1 + 255 / 256) ** 2;
    assert.deepEqual(
      [0.99, 1.01].map((share) => isTried(adding(whole, 65_536n, [1n, 256n]), share * one)),
      [false, true],
    );
    assert.equal(isTried(adding(whole, 65_536n, [1n, 256n]), one), true);
    // Each outcome is looked for by itself; of every second growth of the light byte.
    const three = 4 * 3 * (1 + 255 / 2) * (1 + 255 / 128);
    assert.deepEqual(
      [0.99, 1.01].map((share) => isTried(adding(whole, 256n, [1n, 2n], 3), share * three)),
      [false, true],
    );
  });
});

describe('the work of a Fletcher sum', () => {
  it('is the square of the bytes for each of sixteen places near what is wanted, from each byte on', () => {
    const free = [10, 20, 30].map((value) => ({ value, mask: 0xff }));
    const system: System = {
      ...{ free, measure: 'growth', accepted: [[3n, 7n]], verifies: () => false },
      equations: [
        { kind: 'modular', modulus: 65_521n, weights: [1n, 1n, 1n] },
        { kind: 'modular', modulus: 65_521n, weights: [3n, 2n, 1n] },
      ],
    };
    const budget = { steps: 100_000 };
    assert.equal(finish(someFletcherAdler(system, budget)), undefined);
    assert.equal(100_000 - budget.steps, 3 * 16 * 9);
  });
});
