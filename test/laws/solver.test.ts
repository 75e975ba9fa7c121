import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { finish } from '../../shared-core/src/base/steps.js';
import { solve, solveTask } from '../../shared-core/src/repair/solver/solve.js';
import type { System } from '../../shared-core/src/repair/solver/system.js';
import {
  addSpec,
  agree,
  agreesWithBruteForce,
  type Best,
  better,
  byte,
  cases,
  casesOf,
  crcSpec,
  plainLine,
  plenty,
  settled,
  taskOf,
  wantedOf,
  xorSpec,
} from '../support/solverCases.js';
import { times } from '../support/times.js';

describe('laws of the solver', () => {
  it('agrees with brute force, for any sums with line sums and totals among them', () => {
    fc.assert(fc.property(cases, agreesWithBruteForce), times(40));
  });

  it('and where sums of one kind lie inside each other', () => {
    const plain = casesOf(plainLine, addSpec, fc.constant(true));
    const bits = casesOf(crcSpec(8, 10), fc.oneof(xorSpec, crcSpec(8, 32)), fc.constant(true));
    fc.assert(fc.property(fc.oneof(plain, bits), agreesWithBruteForce), times(40));
  });

  /** Up to five bytes under one congruence, or three under two with small moduli: all outcomes fit a table. */
  const congruences = fc
    .constantFrom(
      { most: 5, moduli: [255n, 256n] },
      { most: 5, moduli: [60n, 128n] },
      { most: 4, moduli: [15n, 16n], second: [15n, 16n] },
    )
    .chain(({ most, moduli, second }) =>
      fc.tuple(
        fc.integer({ min: 1, max: most }),
        fc.constantFrom(...moduli),
        second ? fc.constantFrom(...second) : fc.constant(undefined),
      ),
    )
    .chain(([count, ...moduli]) =>
      fc.record({
        free: fc.array(
          byte.map((value) => ({ value, mask: 0xff })),
          { minLength: count, maxLength: count },
        ),
        equations: fc.tuple(
          ...moduli
            .filter((m) => m !== undefined)
            .map((m) =>
              fc.record({
                kind: fc.constant('modular' as const),
                modulus: fc.constant(m),
                weights: fc.array(fc.constantFrom(0n, 1n, 2n, 16n % m, m - 1n), { minLength: count, maxLength: count }),
              }),
            ),
        ),
        targets: fc.array(fc.tuple(fc.nat(), fc.nat()), { minLength: 1, maxLength: 3 }),
      }),
    );

  it('agrees with counting every change byte by byte, for congruences over whole bytes', () => {
    fc.assert(
      fc.property(congruences, ({ free, equations, targets }) => {
        const accepted = targets.map((target) => equations.map(({ modulus: m }, i) => BigInt(target[i] ?? 0) % m));
        const system: System = { free, equations, accepted, measure: 'growth' };
        agree(finish(solve(system, plenty())), byCounting(system), free, false);
      }),
      times(20),
    );
  });

  it('never goes far beyond its budget, and says when it gave up', () => {
    fc.assert(
      fc.property(cases, fc.integer({ min: 0, max: 3000 }), (given, steps) => {
        const memory = settled(given.memory, given.dependentSums);
        const wanted = wantedOf(given, memory);
        const task = taskOf(given, memory, wanted);
        const [short, long] = [solveTask(task, { steps }), solveTask(task, plenty())];
        if (short.kind === 'gave-up') return;
        assert.equal(short.kind, long.kind);
        if (short.kind === 'solved' && short.fewest) assert.deepEqual(short, long);
      }),
      times(15),
    );
  });
});

/** For each outcome that the bytes can have together the best change of each number of bytes, one byte after the other. */
function byCounting({ free, equations, accepted }: System): Best | undefined {
  const moduli = equations.map((equation) => (equation.kind === 'modular' ? Number(equation.modulus) : 1));
  const keyOf = (outcome: readonly number[]) =>
    outcome.reduce((key, value, i) => key * (moduli[i] as number) + value, 0);
  type Bests = ReadonlyMap<number, Best>;
  let all: { readonly outcome: number[]; readonly bests: Bests }[] = [
    { outcome: moduli.map(() => 0), bests: new Map([[0, { bytes: 0, size: 0, count: 1 }]]) },
  ];
  free.forEach(({ value: old }, index) => {
    const next = new Map<number, { outcome: number[]; bests: Map<number, Best> }>();
    for (const { outcome, bests } of all) {
      for (let value = 0; value < 256; value++) {
        const after = outcome.map((sum, i) => {
          const equation = equations[i];
          const weight = equation?.kind === 'modular' ? Number(equation.weights[index]) : 0;
          const m = moduli[i] as number;
          return (((sum + weight * (value - old)) % m) + m) % m;
        });
        const key = keyOf(after);
        const entry = next.get(key) ?? { outcome: after, bests: new Map() };
        next.set(key, entry);
        for (const { bytes, size, count } of bests.values()) {
          const more = value === old ? bytes : bytes + 1;
          entry.bests.set(more, better(entry.bests.get(more), more, size + Math.abs(value - old), count));
        }
      }
    }
    all = [...next.values()];
  });
  const wanted = new Set(accepted.map((outcome) => keyOf(outcome.map(Number))));
  return all
    .filter(({ outcome }) => wanted.has(keyOf(outcome)))
    .flatMap(({ bests }) => [...bests.values()])
    .reduce<Best | undefined>((best, { bytes, size, count }) => better(best, bytes, size, count), undefined);
}
