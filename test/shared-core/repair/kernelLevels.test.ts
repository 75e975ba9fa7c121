// In what order the bits of sums are decided, and how many members that leaves to be gone through: worked out by hand.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { finish } from '../../../shared-core/src/base/steps.js';
import { chanceFrom } from '../../../shared-core/src/repair/solver/chance.js';
import { gf2MatrixOf } from '../../../shared-core/src/repair/solver/gf2Matrix.js';
import { type IntegerSum, integerSumsOf, type SumGroup } from '../../../shared-core/src/repair/solver/integerSums.js';
import { kernelOf } from '../../../shared-core/src/repair/solver/kernelOf.js';
import { type Level, levelsOf, walkLength } from '../../../shared-core/src/repair/solver/kernelPlanes.js';
import { kernelSearch } from '../../../shared-core/src/repair/solver/kernelSearch.js';
import { mixed, walkThrough } from '../../../shared-core/src/repair/solver/kernelWalk.js';
import { luby } from '../../../shared-core/src/repair/solver/luby.js';
import type { Change, Equation, System } from '../../../shared-core/src/repair/solver/system.js';

const NOTHING = [0n, 0n, 0n, 0n, 0n, 0n, 0n, 0n];

/** Bytes that no binary sum holds together, beside sums by their modulus and weights. */
function systemOf(
  masks: readonly number[],
  sums: readonly (readonly [bigint, readonly number[], bigint])[],
  effects: readonly (readonly bigint[])[] = masks.map(() => NOTHING),
  turned = 0n,
) {
  const equations: Equation[] = [
    ...sums.map(([modulus, weights]) => ({ kind: 'modular' as const, modulus, weights: weights.map(BigInt) })),
    { kind: 'binary', effects },
  ];
  const system: System & { verifies: (change: Change) => boolean } = {
    free: masks.map((mask) => ({ value: 0, mask })),
    equations,
    accepted: [[...sums.map(([, , wanted]) => wanted), turned]],
    measure: 'growth',
    verifies: () => true,
  };
  const [kernel, groups] = [kernelOf(finish(gf2MatrixOf(system))), integerSumsOf(system)];
  assert.ok(kernel && groups);
  const all = groups.flatMap((group) => group.sums);
  return { system, kernel, groups, sums: all, levels: finish(levelsOf(kernel, all)) };
}

const decidedIn = (levels: readonly Level[]) => levels.map(({ members, decided }) => [members.length, ...decided]);

describe('the levels of what is gone through', () => {
  it('decide next what needs the fewest bits of bytes, the first sum where two need as many', () => {
    const { levels } = systemOf(
      [0x07, 0x07, 0x07, 0x07, 0x07, 0x07],
      [
        [8n, [1, 1, 1, 0, 0, 0], 0n],
        [8n, [0, 0, 1, 1, 1, 1], 0n],
      ],
    );
    // The lowest bits by their parity; then of the first sum three bits for each more, of the second one less than four,
    // since it has a byte with the first in common. Each bit of a byte is a member here.
    assert.deepEqual(decidedIn(levels), [
      [0, 0, 0],
      [1, 1, 0],
      [1, 1, 1],
      [3, 3, 1],
      [3, 7, 1],
      [3, 7, 3],
      [3, 7, 7],
      [4, 7, 7],
    ]);
  });

  it('leave the kernel that they are made of as it is', () => {
    const effects = [1n, 2n, 3n].map((one) => NOTHING.map((_, bit) => one << BigInt(bit % 3)));
    const { kernel, system } = systemOf([0xff, 0x3f, 0x7e], [[256n, [1, 1, 1], 0n]], effects);
    assert.deepEqual(kernel, kernelOf(finish(gf2MatrixOf(system))));
  });

  it('go on with what was decided where no byte has a bit that counts so little', () => {
    const { levels } = systemOf([0x0c, 0x0c], [[16n, [1, 1], 0n]]);
    assert.deepEqual(decidedIn(levels), [
      [0, 3],
      [1, 7],
      [2, 15],
      [1, 15],
    ]);
  });

  it('decide all of 32 bits, and nothing of a byte that the sum does not cover', () => {
    const { levels } = systemOf([0xff, 0xff], [[2n ** 32n, [2 ** 24, 0], 0n]]);
    const { members, decided } = levels.at(-1) as Level;
    assert.deepEqual([members.length, decided[0]], [8, -1]);
    assert.deepEqual(decidedIn(levels).slice(0, 2), [
      [0, 2 ** 24 - 1],
      [1, 2 ** 25 - 1],
    ]);
  });
});

describe('how many members are gone through', () => {
  const member = new Uint8Array(1);
  const level = (members: number, ...decided: readonly number[]): Level => ({
    members: Array.from({ length: members }, () => member),
    decided: Int32Array.from(decided),
  });
  const sum = (bits: number): IntegerSum => ({ weights: new Int32Array(1), planes: 32, bits });
  const group = (sums: readonly IntegerSum[], ...chances: readonly number[]): SumGroup => ({
    sums,
    wanted: chances.map((chance) => ({ values: sums.map(() => 0), chance })),
  });

  it('is what is open where the most is, less what was decided before; and from the end, what has to come right by chance', () => {
    const levels = [level(3, 0), level(2, 0b11), level(2, 0b1_1111), level(1, 0x1ff)];
    // Open are 3, 3 + 2, 5 - 2 + 2 and 5 - 3 + 1. Of the last levels 4, 4 + 3 less one member, 4 + 3 + 2 less three, less five.
    assert.deepEqual(walkLength(levels, [group([sum(20)], 1)]), { whole: 5, toFind: 6 });
    // More is decided than the sum says: of 7 bits 2, 5 and 7, of which the last level has 2.
    assert.deepEqual(walkLength(levels, [group([sum(7)], 1)]), { whole: 5, toFind: 4 });
    // A level at the end that is not decided by anything is gone through by each that comes so far.
    const more = [...levels, level(4, 0x1ff)];
    assert.deepEqual(walkLength(more, [group([sum(20)], 1)]), { whole: 5, toFind: 2 });
    // What is decided at the very beginning has to be right as well.
    assert.deepEqual(walkLength([level(0, 0)], [group([sum(20)], 1)]), { whole: 0, toFind: 0 });
    assert.deepEqual(walkLength([level(1, 0b111)], [group([sum(20)], 1)]), { whole: 1, toFind: 3 });
  });

  it('is more where several numbers are wanted: each of them is gone for, and some are taken that are not likely', () => {
    const levels = [level(3, 0, 0), level(2, 0b11, 0b1), level(1, 0b11, 0b111)];
    const plain = walkLength(levels, [group([sum(20)], 1), group([sum(20)], 1)]);
    assert.deepEqual(plain, { whole: 5, toFind: 4 });
    // Of some that are as likely, each does as well as the others.
    const even = walkLength(levels, [group([sum(20), sum(20)], 0.25, 0.25, 0.25, 0.25)]);
    assert.deepEqual(even, { whole: 7, toFind: 4 });
    const uneven = walkLength(levels, [group([sum(20)], 0.25, 0.75), group([sum(20)], 0.5, 0.5)]);
    assert.equal(uneven.whole, 7);
    // Taken by its chance, one has the chance 0.25² + 0.75² of being right, against 0.75 of the likeliest.
    assert.ok(Math.abs(uneven.toFind - 4 - Math.log2(0.75 / 0.625)) < 1e-9, `${uneven.toFind}`);
  });
});

describe('a walk through members', () => {
  const sums: readonly (readonly [bigint, readonly number[], bigint])[] = [[256n, [1, 1, 1, 1], 44n]];
  const masks = [0x0f, 0x1f, 0x17, 0x2b];
  const sumOf = (values: ArrayLike<number>) => Array.from(values).reduce((sum, value) => sum + value, 0);

  it('begins anew wherever it is, and then finds all that there is, as a new one does', () => {
    const { levels, sums: all } = systemOf(masks, sums);
    const expected = (wanted: number) => {
      const walk = walkThrough(levels, all, masks.length);
      const found: string[] = [];
      walk.begin(new Uint8Array(masks.length), [wanted]);
      while (!walk.isDone()) if (walk.next(1)) found.push(walk.values.join());
      return found.sort();
    };
    const walk = walkThrough(levels, all, masks.length);
    for (let nodes = 1; nodes < 40; nodes++) {
      walk.begin(Uint8Array.from(masks), [44]);
      for (let left = nodes; left > 0; left--) walk.next(1);
      const wanted = 20 + nodes;
      const found: string[] = [];
      walk.begin(new Uint8Array(masks.length), [wanted]);
      while (!walk.isDone()) if (walk.next(3)) found.push(walk.values.join());
      assert.deepEqual(found.sort(), expected(wanted), `${nodes}`);
      assert.ok(found.length > 0);
    }
  });

  it('goes on by as many nodes as it is told, and stops before where something is found', () => {
    const { levels, sums: all } = systemOf(masks, sums);
    const walk = walkThrough(levels, all, masks.length);
    const turns = (nodes: number) => {
      let [count, found] = [0, 0];
      walk.begin(new Uint8Array(masks.length), [44]);
      for (; !walk.isDone(); count++) if (walk.next(nodes)) found++;
      return { count, found };
    };
    const [one, four, all_] = [turns(1), turns(4), turns(1_000_000)];
    assert.equal(one.found, four.found);
    assert.equal(all_.count, all_.found + 1);
    const between = one.count - one.found;
    assert.ok(between > 20 && four.count - four.found <= between / 4 + one.found + 1, JSON.stringify([one, four]));
    assert.ok(four.count - four.found >= between / 4 - one.found - 1, JSON.stringify([one, four]));
  });

  it('begins by chance with half of the members, and leaves alone what it begins from', () => {
    const { levels } = systemOf(masks, sums);
    const from = Uint8Array.of(1, 2, 3, 4);
    const chance = chanceFrom(7);
    const counts = new Map<string, number>();
    for (let i = 0; i < 400; i++) {
      const values = mixed(from, levels, chance);
      assert.equal(from.join(), '1,2,3,4');
      for (const [at, value] of values.entries()) {
        assert.equal((value ^ (from[at] ?? 0)) & ~(masks[at] ?? 0), 0);
        for (let bit = 0; bit < 8; bit++)
          if (((value ^ (from[at] ?? 0)) >> bit) & 1) counts.set(`${at}.${bit}`, 1 + (counts.get(`${at}.${bit}`) ?? 0));
      }
    }
    assert.equal(counts.size, 4 + 5 + 4 + 4);
    for (const [bit, count] of counts) assert.ok(count > 140 && count < 260, `${bit} ${count}`);
  });

  it('comes to nothing else than what is wanted', () => {
    const { levels, sums: all } = systemOf(masks, sums);
    const walk = walkThrough(levels, all, masks.length);
    walk.begin(new Uint8Array(masks.length), [44]);
    let found = 0;
    while (!walk.isDone())
      if (walk.next(50)) {
        found++;
        assert.equal(sumOf(walk.values), 44);
      }
    assert.ok(found > 10);
  });
});

describe('the turns of a search by chance', () => {
  it('are as long as the sequence of Luby, Sinclair and Zuckerman says (Optimal Speedup of Las Vegas Algorithms, 1993)', () => {
    const turns = Array.from({ length: 31 }, (_, i) => luby(i + 1));
    assert.equal(turns.join(' '), '1 1 2 1 1 2 4 1 1 2 1 1 2 4 8 1 1 2 1 1 2 4 1 1 2 1 1 2 4 8 16');
  });
});

describe('a search through members', () => {
  const random = (count: number, width: number, seed: number) => {
    const next = chanceFrom(seed);
    return Array.from({ length: count }, () => Array.from({ length: 8 }, () => BigInt(next(2 ** width))));
  };

  it('takes of several ways to write the sums the one that is likely to be found first, whatever their order', () => {
    const { system, kernel, groups } = systemOf([0xff, 0xff, 0xff, 0xff], [[65_521n, [1, 2, 300, 4], 500n]]);
    const longer = groups.map((group) => ({
      ...group,
      sums: group.sums.map((sum) => ({ ...sum, bits: sum.bits + 3 })),
    }));
    const bitsOf = (own: readonly SumGroup[], ...others: readonly (readonly SumGroup[])[]) =>
      finish(kernelSearch(system, kernel, own, others)).bits;
    const [few, many] = [bitsOf(groups), bitsOf(longer)];
    assert.ok(few < many, `${few} ${many}`);
    assert.deepEqual(
      [bitsOf(groups, longer), bitsOf(longer, groups), bitsOf(longer, longer, groups, longer), bitsOf(longer, longer)],
      [few, few, few, many],
    );
  });

  it('says that there is none once all members were looked at, of few or of many, and before that nothing', () => {
    for (const [masks, modulus, wanted, most] of [
      [[0x07, 0x07, 0x07], 256n, 100n, 200],
      // What is no multiple of 3; beside it binary sums leave few members.
      [[0xfe, 0xfe, 0xfe, 0xfe], 65_521n, 1000n, 6_000_000],
    ] as const) {
      const { system, kernel, groups } = systemOf(
        masks,
        [[modulus, masks.map(() => 3), wanted]],
        random(masks.length, masks.length > 3 ? 8 : 1, 5),
      );
      const search = finish(kernelSearch(system, kernel, groups));
      assert.ok(search.isWhole);
      const budget = { steps: 50_000_000 };
      assert.equal(finish(search.find(budget)), 'none');
      const taken = 50_000_000 - budget.steps;
      assert.ok(taken > 0 && taken <= most, `${taken}`);
      assert.equal(finish(search.find({ steps: Math.floor(taken / 3) })), undefined);
    }
  });

  it('goes through many by chance first, with a quarter of the work, and then through all of them', () => {
    const masks = [0xfe, 0xfe, 0xfe, 0xfe, 0xfe];
    const { system, kernel, groups } = systemOf(masks, [[65_521n, masks.map(() => 3), 1000n]], random(5, 12, 3));
    const search = finish(kernelSearch(system, kernel, groups));
    assert.ok(search.isWhole);
    const takenOf = (steps: number) => {
      const budget = { steps };
      let pauses = 0;
      const going = search.find(budget);
      let next = going.next();
      for (; !next.done; next = going.next()) pauses++;
      assert.equal(next.value, 'none');
      return { steps: steps - budget.steps, pauses };
    };
    const [some, more] = [takenOf(400_000), takenOf(800_000)];
    assert.ok(Math.abs(more.steps - some.steps - 100_000) < 1000, JSON.stringify([some, more]));
    assert.ok(some.steps > 150_000 && some.pauses > some.steps / 20_000, JSON.stringify(some));
  });

  it('takes time for each solution that is none by the sums themselves', () => {
    const masks = [0x0f, 0x0f, 0x0f];
    const { system, kernel, groups } = systemOf(masks, [[65_521n, masks.map(() => 1), 20n]]);
    let asked = 0;
    const refusing = { ...system, verifies: () => asked++ < 0 };
    const search = finish(kernelSearch(refusing, kernel, groups));
    const budget = { steps: 1_000_000 };
    assert.equal(finish(search.find(budget)), 'none');
    // Three digits of 16 values come to 20 in so many ways.
    const ways = Array.from({ length: 16 ** 3 }, (_, i) => (i & 15) + ((i >> 4) & 15) + (i >> 8)).filter(
      (sum) => sum === 20,
    ).length;
    assert.equal(asked, ways);
    assert.ok(1_000_000 - budget.steps > 40 * ways);
    assert.equal(finish(search.find({ steps: 20 * ways })), undefined);
  });

  it('is all but certain to find something by chance within the steps that it says, most often far sooner', () => {
    let [found, steps, said] = [0, 0, 0];
    for (let seed = 1; seed <= 40; seed++) {
      const next = chanceFrom(31 * seed);
      const weights = [1, 1, 1, 1, 1, 1, 1, 1];
      const places = [8, 7, 6, 5, 4, 3, 2, 1];
      const planted = weights.map(() => next(256));
      const effects = random(8, 24, seed);
      const turned = effects.reduce(
        (all, own, i) => own.reduce((sum, effect, bit) => (((planted[i] ?? 0) >> bit) & 1 ? sum ^ effect : sum), all),
        0n,
      );
      const sumOf = (own: readonly number[]) => BigInt(own.reduce((sum, one, i) => sum + one * (planted[i] ?? 0), 0));
      const { system, kernel, groups } = systemOf(
        weights.map(() => 0xff),
        [
          [65_521n, weights, sumOf(weights)],
          [65_521n, places, sumOf(places)],
        ],
        effects,
        turned,
      );
      const search = finish(kernelSearch(system, kernel, groups));
      assert.ok(!search.isWhole);
      const budget = { steps: Math.ceil(search.ample) };
      const change = finish(search.find(budget));
      if (Array.isArray(change)) found++;
      steps += Math.ceil(search.ample) - budget.steps;
      said += search.ample;
    }
    assert.ok(found >= 32, `${found}`);
    assert.ok(steps < 0.4 * said && steps > 0.2 * said, `${steps} of ${said}`);
  });
});
