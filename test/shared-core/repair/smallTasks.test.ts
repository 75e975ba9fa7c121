// The promise of a repair over memories so small that every change can be tried, in each of the ways in which the solver looks for one.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { finish } from '../../../shared-core/src/base/steps.js';
import { valueOver } from '../../../shared-core/src/checksum/checksum.js';
import { checksumOf, type SumSpec } from '../../../shared-core/src/checksum/registry.js';
import { forwardTrial } from '../../../shared-core/src/repair/solver/forwardTrial.js';
import { solveTask } from '../../../shared-core/src/repair/solver/solve.js';
import { someSolution } from '../../../shared-core/src/repair/solver/someSolution.js';
import type { SumTask } from '../../../shared-core/src/repair/solver/sums.js';
import type { Answer, Change } from '../../../shared-core/src/repair/solver/system.js';
import { SUMS } from '../../scoring/plantedSums.js';
import {
  agree,
  agreesWithBruteForce,
  anySpec,
  bruteForce,
  type Case,
  casesOf,
  inBits,
  lineSpec,
  plenty,
  settled,
  taskOf,
  wantedOf,
} from '../../support/solverCases.js';

const anyValues = casesOf(lineSpec, anySpec, fc.boolean(), { mostFree: 2, mostLines: 1, mayNest: false });
/** Half of them with values that some change brings about. */
const small = fc
  .tuple(anyValues, fc.option(fc.array(fc.nat(255), { minLength: 2, maxLength: 2 }), { freq: 1 }))
  .map(([given, flips]): Case => (flips === null ? given : { ...given, wanted: { flips } }));

interface Asked {
  readonly given: Case;
  readonly memory: Uint8Array;
  readonly wanted: readonly bigint[];
  readonly task: SumTask;
}

function asked(given: Case): Asked {
  const memory = settled(given.memory, given.dependentSums);
  const wanted = wantedOf(given, memory);
  return { given, memory, wanted, task: taskOf(given, memory, wanted) };
}

/** A change moves nothing but free bits, and all that is wanted comes out right, computed from the first byte. */
function mustBeRight({ given, memory, wanted }: Asked, change: Change): void {
  const after = memory.slice();
  for (const { index, value } of change) {
    const { at, mask } = given.free[index] as Case['free'][number];
    assert.equal(((memory[at] as number) ^ value) & ~mask, 0, 'only free bits');
    after[at] = value;
  }
  const right = settled(after, given.dependentSums);
  assert.deepEqual(
    given.demands.map((sum) =>
      valueOver(
        sum.checksum,
        Uint8Array.from(sum.covers, (at) => right[at] as number),
      ),
    ),
    wanted,
  );
}

describe('a repair of a small memory', () => {
  it('is the one that trying every change finds: right, of the fewest bytes, the only one where that is said', () => {
    fc.assert(fc.property(small, agreesWithBruteForce), { numRuns: 20 });
  });

  it('is the same where every change is tried by the sums themselves', () => {
    fc.assert(
      fc.property(small, (given) => {
        const all = asked(given);
        const answer = finish(forwardTrial(all.task, plenty()));
        agree(answer, bruteForce(given, all.memory, all.wanted, inBits(given)), all.task.free, inBits(given));
        if (answer.kind === 'solved') mustBeRight(all, answer.change);
      }),
      { numRuns: 25 },
    );
  });

  it('of whatever bytes is right, claims nothing, and is never called impossible where there is one', () => {
    let found = 0;
    fc.assert(
      fc.property(small, (given) => {
        const all = asked(given);
        const answer = finish(someSolution(all.task, plenty()));
        if (answer === undefined) return;
        const best = bruteForce(given, all.memory, all.wanted, inBits(given));
        assert.equal(answer.kind, best === undefined ? 'impossible' : 'solved');
        if (answer.kind !== 'solved') return;
        found++;
        assert.deepEqual([answer.unique, answer.fewest], [false, false]);
        mustBeRight(all, answer.change);
      }),
      { numRuns: 40 },
    );
    assert.ok(found > 0, `${found}`);
  });

  it('that is stopped, or has no time left, is right or none, and claims only what a whole search shows', () => {
    fc.assert(
      fc.property(small, fc.nat(40), fc.integer({ min: 0, max: 2000 }), (given, turns, steps) => {
        const all = asked(given);
        const best = bruteForce(given, all.memory, all.wanted, inBits(given));
        let asks = 0;
        const answers: readonly Answer[] = [
          solveTask(all.task, { ...plenty(), cancelled: () => asks++ >= turns }),
          solveTask(all.task, { steps }),
          solveTask(all.task, { ...plenty(), allowance: { left: steps } }),
        ];
        for (const answer of answers) {
          if (answer.kind === 'impossible') assert.equal(best, undefined);
          if (answer.kind !== 'solved') continue;
          mustBeRight(all, answer.change);
          if (answer.fewest) assert.equal(answer.change.length, best?.bytes);
          if (answer.unique) assert.equal(best?.count, 1);
        }
      }),
      { numRuns: 30 },
    );
  });

  it('goes by sums that cover but one byte of another sum, whichever it is', () => {
    const add16Spec: SumSpec = { method: 'add', bits: 16, unit: 2, order: 'big', complement: 'none', start: 0n };
    const spec: SumSpec = { method: 'xor', bits: 8, order: 'big', start: 0n };
    const [add16, xor8] = [checksumOf(add16Spec), checksumOf(spec)];
    for (const covered of [4, 5]) {
      // Two free bytes, their sum in 4 and 5, an exclusive or over one byte of that in 6, and a wanted one over this.
      const given: Case = {
        memory: Uint8Array.from({ length: 20 }, (_, i) => 31 * i + 7),
        free: [0, 1].map((at) => ({ at, mask: 0x0f })),
        dependentSums: [
          { spec: add16Spec, checksum: add16, covers: [0, 1], at: 4, order: 'big' },
          { spec, checksum: xor8, covers: [covered], at: 6, order: 'big' },
        ],
        demands: [{ spec, checksum: xor8, covers: [6, 7], at: 9, order: 'big' }],
        wanted: { flips: [0x05, 0x0a] },
      };
      const all = asked(given);
      const best = bruteForce(given, all.memory, all.wanted, true);
      assert.ok(best);
      const answer = finish(someSolution(all.task, plenty()));
      assert.ok(answer?.kind === 'solved', `${covered}`);
      mustBeRight(all, answer.change);
    }
  });

  it('moves each sum by the bytes that it covers alone, at every bit', () => {
    const spec: SumSpec = { method: 'xor', bits: 8, order: 'big', start: 0n };
    const over = (covers: readonly number[], at: number) => ({
      spec,
      checksum: checksumOf(spec),
      covers,
      at,
      order: 'big' as const,
    });
    for (let bit = 0; bit < 8; bit++) {
      const given: Case = {
        memory: new Uint8Array(20).fill(0x5a),
        free: [0, 1, 2].map((at) => ({ at, mask: 0xff })),
        dependentSums: [],
        demands: [over([0, 3], 9), over([1, 3], 10), over([2], 11)],
        wanted: { flips: [1 << bit, 0, 1 << (7 - bit)] },
      };
      const all = asked(given);
      for (const answer of [finish(someSolution(all.task, plenty())), solveTask(all.task, plenty())]) {
        assert.ok(answer?.kind === 'solved', `${bit}`);
        mustBeRight(all, answer.change);
        assert.deepEqual(
          answer.change.map(({ index }) => index),
          [0, 2],
        );
      }
    }
  });

  it('follows a line sum of several bytes into a total that adds it up, whichever of its bytes is first', () => {
    for (const order of ['big', 'little'] as const) {
      for (const [bits, unit, at] of [
        [16, 2, 2],
        [32, 4, 4],
      ] as const) {
        const line: SumSpec = { method: 'add', bits, unit: 1, order, complement: 'none', start: 0n };
        const total: SumSpec = { ...line, unit };
        const covers = Array.from({ length: at + unit }, (_, i) => i);
        const given: Case = {
          memory: Uint8Array.from({ length: 20 }, (_, i) => 61 * i + 200),
          free: [0, 1].map((at) => ({ at, mask: 0x8f })),
          dependentSums: [{ spec: line, checksum: checksumOf(line), covers: [0, 1], at, order }],
          demands: [{ spec: total, checksum: checksumOf(total), covers, at: 12, order: 'big' }],
          wanted: { flips: [0x85, 0x0a] },
        };
        agreesWithBruteForce(given);
      }
    }
  });

  it('follows a line sum that is stored as its complement, which falls where the bytes rise', () => {
    for (const complement of ['none', 'ones', 'twos'] as const)
      for (const [bits, unit] of [
        [8, 1],
        [16, 2],
      ] as const) {
        const line: SumSpec = { method: 'add', bits, unit: 1, order: 'big', complement, start: 0n };
        const total: SumSpec = { ...line, unit, complement: 'none' };
        const covers = Array.from({ length: 2 + unit }, (_, i) => i);
        for (const wanted of [{ flips: [0x85, 0x0a] }, { values: [0x35n] }])
          agreesWithBruteForce({
            memory: Uint8Array.from({ length: 20 }, (_, i) => 61 * i + 200),
            free: [0, 1].map((at) => ({ at, mask: 0x8f })),
            dependentSums: [{ spec: line, checksum: checksumOf(line), covers: [0, 1], at: 2, order: 'big' }],
            demands: [{ spec: total, checksum: checksumOf(total), covers, at: 12, order: 'big' }],
            wanted,
          });
      }
  });

  it('follows a line sum whose carry comes round, which is no number of the total over it', () => {
    const line: SumSpec = { method: 'add-end-around', bits: 8, order: 'big' };
    const total: SumSpec = { method: 'add', bits: 8, unit: 1, order: 'big', complement: 'none', start: 0n };
    for (const flips of [
      [0x8f, 0x0f],
      [0x80, 0x81],
    ])
      agreesWithBruteForce({
        memory: Uint8Array.of(0x70, 0x30, ...new Uint8Array(18)),
        free: [0, 1].map((at) => ({ at, mask: 0x8f })),
        dependentSums: [{ spec: line, checksum: checksumOf(line), covers: [0, 1], at: 2, order: 'big' }],
        demands: [{ spec: total, checksum: checksumOf(total), covers: [0, 1, 2], at: 12, order: 'big' }],
        wanted: { flips },
      });
  });

  it('follows a line sum that counts in one half of a Fletcher sum and not in the other', () => {
    const line: SumSpec = { method: 'add', bits: 8, unit: 1, order: 'big', complement: 'none', start: 0n };
    const total: SumSpec = { method: 'fletcher', bits: 16, order: 'big' };
    // In the second half a byte counts as often as there are bytes from it on (RFC 1146), here 255 times: not at all.
    const covers = Array.from({ length: 2 + 255 }, (_, at) => at);
    for (const flips of [
      [0x85, 0x0a],
      [0x01, 0x80],
    ])
      agreesWithBruteForce({
        memory: Uint8Array.from({ length: 264 }, (_, i) => 61 * i + 200),
        free: [0, 1].map((at) => ({ at, mask: 0x8f })),
        dependentSums: [{ spec: line, checksum: checksumOf(line), covers: [0, 1], at: 2, order: 'big' }],
        demands: [{ spec: total, checksum: checksumOf(total), covers, at: 260, order: 'big' }],
        wanted: { flips },
      });
  });

  it('tells the two zeros of a line sum whose carry comes round from each other', () => {
    const line: SumSpec = { method: 'add-end-around', bits: 8, order: 'big' };
    const total: SumSpec = { method: 'xor', bits: 8, order: 'big', start: 0n };
    for (const [first, second] of [
      [0x00, 0x00],
      [0x0f, 0xf0],
    ] as const)
      agreesWithBruteForce({
        memory: Uint8Array.of(first, second, ...new Uint8Array(18)),
        free: [
          { at: 0, mask: 0x0f },
          { at: 1, mask: 0xf0 },
        ],
        dependentSums: [{ spec: line, checksum: checksumOf(line), covers: [0, 1], at: 2, order: 'big' }],
        demands: [{ spec: total, checksum: checksumOf(total), covers: [2], at: 12, order: 'big' }],
        wanted: { flips: [0x0f, 0xf0] },
      });
  });
});

describe('a repair of a line with a sum of each kind under a sum of each kind', () => {
  const NAMES = Object.keys(SUMS);
  /** Six bytes with their sum behind them, some bytes before and after, and a total over all of these. */
  function under(line: string, total: string, round: number): Case {
    const [lineSpec, totalSpec] = [SUMS[line] as SumSpec, SUMS[total] as SumSpec];
    const [one, two] = [checksumOf(lineSpec), checksumOf(totalSpec)];
    const end = 8 + Math.ceil(one.bits / 8) + 2;
    const first = 2 + (round % 3);
    const [a, b] = ([[0x0f, 0x31] as const, [0x80, 0x1c] as const][round % 2] ?? []) as [number, number];
    return {
      memory: Uint8Array.from({ length: end + 8 }, (_, i) => (round + 1) * 37 * (i + 3) + ((i * i) % 11)),
      free: [
        { at: first, mask: a },
        { at: first + 3, mask: b },
      ],
      dependentSums: [
        { spec: lineSpec, checksum: one, covers: [2, 3, 4, 5, 6, 7], at: 8, order: round % 4 < 2 ? 'big' : 'little' },
      ],
      demands: [
        { spec: totalSpec, checksum: two, covers: Array.from({ length: end }, (_, i) => i), at: end, order: 'big' },
      ],
      wanted: { flips: [7 * round + 3, 0xff - 29 * round].map((one) => one & 0xff) },
    };
  }

  for (const [at, line] of NAMES.filter((name) => name !== 'crc64').entries())
    it(`${line} is what trying every change says, be there one or not`, () => {
      const seen = { solved: 0, impossible: 0 };
      for (const [i, total] of NAMES.entries()) {
        const planted = under(line, total, at + i);
        const [value = 0n] = wantedOf(planted, settled(planted.memory, planted.dependentSums));
        // Every third is for another value, which most often no change brings about.
        const given: Case = i % 3 === 0 ? { ...planted, wanted: { values: [value ^ 1n] } } : planted;
        // Of a sum of 16 bits all values are listed, which takes longer.
        if (checksumOf(SUMS[line] as SumSpec).bits !== 16 || (at + i) % 5 === 0) agreesWithBruteForce(given);
        const all = asked(given);
        const best = bruteForce(given, all.memory, all.wanted, inBits(given));
        const answer = finish(someSolution(all.task, { steps: 200_000 }));
        if (answer === undefined) continue;
        assert.equal(answer.kind, best === undefined ? 'impossible' : 'solved', total);
        seen[answer.kind]++;
        if (answer.kind === 'solved') mustBeRight(all, answer.change);
      }
      assert.ok(seen.solved > 3 && seen.impossible > 1, JSON.stringify(seen));
    }).timeout(60_000);
});
