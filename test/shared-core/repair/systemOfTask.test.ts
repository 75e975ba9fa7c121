// A task as equations, with the values of dependent sums listed or as unknowns: against every change, by the sums themselves.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { bytesOfNumber } from '../../../shared-core/src/base/number.js';
import { finish } from '../../../shared-core/src/base/steps.js';
import { checksumOf, type SumSpec } from '../../../shared-core/src/checksum/registry.js';
import { chanceFrom } from '../../../shared-core/src/repair/solver/chance.js';
import { systemOfTask } from '../../../shared-core/src/repair/solver/dependentSums.js';
import { flatSystemOf } from '../../../shared-core/src/repair/solver/flatSystem.js';
import { forwardTrial } from '../../../shared-core/src/repair/solver/forwardTrial.js';
import { bringsAbout, type SumTask, storedNow } from '../../../shared-core/src/repair/solver/sums.js';
import type { Change, System } from '../../../shared-core/src/repair/solver/system.js';
import { SUMS } from '../../scoring/plantedSums.js';

/** Sums over places of a memory; those that depend are stored one after the other behind it, each right after those before it. A place `~at` is that of the byte at `at`, which stands inverted there; from `FIXED` on it is a byte that nothing changes. */
interface Layout {
  readonly masks: readonly number[];
  readonly dependent: readonly {
    readonly method: string;
    readonly over: readonly number[];
    readonly isLittle?: boolean;
  }[];
  readonly demands: readonly { readonly method: string; readonly over: readonly number[] }[];
}

/** And sums that are what is left to a power of two, or to all bits. */
const adding = (complement: 'ones' | 'twos'): SumSpec => ({
  ...{ method: 'add', bits: 8, unit: 1, order: 'big', start: 0n },
  complement,
});
const KINDS: Readonly<Record<string, SumSpec>> = { ...SUMS, twos8: adding('twos'), ones8: adding('ones') };
const named = (name: string) => checksumOf(KINDS[name] as SumSpec);
const widthOf = (name: string) => Math.ceil(named(name).bits / 8);

const bytesAt = (memory: readonly number[], over: readonly number[]) =>
  Uint8Array.from(over, (at) => (at >= FIXED ? at : at < 0 ? (memory[~at] as number) ^ 0xff : (memory[at] as number)));
const FIXED = 90;

function taskOf({ masks, dependent, demands }: Layout, seed: number): SumTask {
  const next = chanceFrom(seed);
  const settled = (bytes: readonly number[]) => {
    const memory = [...bytes];
    for (const { method, over, isLittle } of dependent) {
      const checksum = named(method);
      const value = checksum.valueOf(checksum.stateOf(bytesAt(memory, over)));
      memory.push(...bytesOfNumber(value, widthOf(method), isLittle ? 'little' : 'big'));
    }
    return memory;
  };
  const values = masks.map(() => next(256));
  const now = settled(values);
  const then = settled(values.map((value, i) => value ^ (next(256) & (masks[i] as number))));
  const sumOver = (method: string, over: readonly number[]) => {
    const checksum = named(method);
    return {
      checksum,
      state: checksum.stateOf(bytesAt(now, over)),
      length: over.length,
      places: now.map((_, number) => over.flatMap((at, place) => (at === number ? [place] : []))),
      ...(over.some((at) => at < 0) && {
        turned: now.map((_, number) => over.flatMap((at, place) => (~at === number ? [place] : []))),
      }),
    };
  };
  return {
    free: masks.map((mask, i) => ({ value: values[i] as number, mask })),
    dependentSums: dependent.map(({ method, over, isLittle }) => ({
      ...sumOver(method, over),
      bytesOf: (value: bigint) => Uint8Array.from(bytesOfNumber(value, widthOf(method), isLittle ? 'little' : 'big')),
    })),
    demands: demands.map(({ method, over }) => ({
      ...sumOver(method, over),
      wanted: named(method).valueOf(named(method).stateOf(bytesAt(then, over))),
    })),
  };
}

function changesOf({ free }: Pick<System, 'free'>): readonly Change[] {
  return free.reduce<readonly Change[]>(
    (all, { value, mask }, index) =>
      all.flatMap((before) =>
        Array.from({ length: 256 }, (_, flips) => flips)
          .filter((flips) => (flips & ~mask) === 0)
          .map((flips) => (flips === 0 ? before : [...before, { index, value: value ^ flips }])),
      ),
    [[]],
  );
}

function outcomeOf({ free, equations }: System, change: Change): string {
  return equations
    .map((equation) =>
      change.reduce((sum, { index, value }) => {
        const old = free[index]?.value ?? 0;
        if (equation.kind === 'binary')
          return (equation.effects[index] ?? []).reduce(
            (all, effect, bit) => (((value ^ old) >> bit) & 1 ? all ^ effect : all),
            sum,
          );
        const { weights, modulus } = equation;
        return (((sum + (weights[index] ?? 0n) * BigInt(value - old)) % modulus) + modulus) % modulus;
      }, 0n),
    )
    .join();
}

const LAYOUTS: Readonly<Record<string, Layout>> = Object.fromEntries([
  // A line sum of one kind under a total of another.
  ...Object.entries({
    add8: ['add8', 'add16', 'xor16', 'crc16', 'flet16', 'add16/2', 'adler'],
    xor8: ['add16', 'xor16', 'crc16', 'flet16'],
    crc8: ['add16', 'xor16', 'crc16', 'add16/2', 'adler'],
    twos8: ['add8', 'xor16', 'add16'],
    ones8: ['add8', 'ones8', 'adler'],
    // All values of these are listed, or none where they go over into the total.
    add16: ['add8', 'add16', 'crc16'],
    ones16: ['xor16'],
    flet16: ['add16/2'],
    crc16: ['crc16', 'add8'],
  }).flatMap(([line, totals]) =>
    totals.map((total): [string, Layout] => [
      `${line} under ${total}`,
      {
        masks: [0x81, 0x0b, 0x40, 0x06],
        dependent: [{ method: line, over: [0, 1, 2], isLittle: total === 'add16' }],
        demands: [{ method: total, over: [...Array.from({ length: 4 + widthOf(line) }, (_, i) => i)] }],
      },
    ]),
  ),
  // One that depends on another, by the bytes that hold it alone, and with bytes of its own.
  [
    'a sum over a stored sum alone',
    {
      masks: [0x83, 0x0b, 0x40],
      dependent: [
        { method: 'add8', over: [0, 1] },
        { method: 'crc8', over: [3] },
      ],
      demands: [{ method: 'add16', over: [0, 1, 2, 3, 4] }],
    },
  ],
  [
    'a sum over a stored sum and more, under two',
    {
      masks: [0x83, 0x0b, 0x44],
      dependent: [
        { method: 'crc8', over: [0, 1] },
        { method: 'add8', over: [3, 2] },
      ],
      demands: [
        { method: 'add16', over: [0, 1, 2, 3, 4] },
        { method: 'xor8', over: [4, 2, 0] },
      ],
    },
  ],
  [
    'two sums over the same, one of which is nowhere covered',
    {
      masks: [0x83, 0x0b, 0x44],
      dependent: [
        { method: 'crc8', over: [0, 1] },
        { method: 'add8', over: [0, 1, 2] },
        { method: 'xor8', over: [2] },
      ],
      demands: [{ method: 'flet16', over: [2, 3, 1] }],
    },
  ],
  ...['add8', 'crc8', 'ones16', 'flet16'].map((method): [string, Layout] => [
    `${method} over bytes that stand inverted too, or only so`,
    {
      masks: [0x83, 0x0b, 0x41],
      dependent: [{ method: method === 'crc8' ? 'xor8' : 'add8', over: [0, ~0, 1, ~2] }],
      demands: [{ method, over: [~1, 0, 3, ~3, 2, ~2, 2] }],
    },
  ]),
  [
    'a sum that a byte moves only where it stands inverted',
    {
      masks: [0x83, 0x0b],
      dependent: [
        { method: 'crc8', over: [~0, ~0, ~0] },
        { method: 'add8', over: [~2, 1] },
      ],
      demands: [{ method: 'add16', over: [0, 1, ~2, 3] }],
    },
  ],
  [
    'a sum over the second byte of a stored sum alone',
    {
      masks: [0x83, 0x0b],
      dependent: [
        { method: 'add16/2', over: [0, 1] },
        { method: 'crc8', over: [3] },
      ],
      demands: [{ method: 'crc8', over: [4, 3] }],
    },
  ],
  [
    'a Fletcher sum of which a byte moves but the first',
    {
      masks: [0x83],
      // Counted 255 times modulo 255, it does nothing to the second.
      dependent: [{ method: 'flet16', over: [0, ...Array.from({ length: 254 }, () => FIXED)] }],
      demands: [{ method: 'crc16', over: [0, 1, 2] }],
    },
  ],
  [
    'a sum with two zeros over a stored sum alone',
    {
      masks: [0x83, 0x0b],
      dependent: [
        { method: 'crc8', over: [0, 1] },
        { method: 'flet16', over: [2] },
      ],
      demands: [{ method: 'add16', over: [0, 1, 2, 3, 4] }],
    },
  ],
  [
    'a line sum under two that flip bits',
    {
      masks: [0x81, 0x0b, 0x40, 0x06],
      dependent: [{ method: 'crc8', over: [0, 1, 2] }],
      demands: [
        { method: 'crc16', over: [0, 1, 2, 3, 4] },
        { method: 'xor8', over: [4, 0, 3] },
      ],
    },
  ],
  [
    'a sum over bytes that stay, before one that moves',
    {
      masks: [0x83, 0x0b],
      dependent: [
        { method: 'crc8', over: [FIXED, 91] },
        { method: 'xor8', over: [0, 93, 1] },
      ],
      demands: [{ method: 'add16', over: [0, 1, 2, 3, 95] }],
    },
  ],
  [
    'a sum over what no byte changes',
    {
      masks: [0x83, 0x0b, 0x00],
      dependent: [{ method: 'crc8', over: [2] }],
      demands: [{ method: 'add8', over: [0, 1, 3] }],
    },
  ],
  [
    'a line sum under nothing but its own bytes',
    {
      masks: [0x83, 0x0b],
      dependent: [{ method: 'add16', over: [0, 1] }],
      demands: [{ method: 'crc16', over: [2, 3] }],
    },
  ],
] satisfies [string, Layout][]);

describe('the equations of a task, the values of dependent sums listed', () => {
  for (const [name, layout] of Object.entries(LAYOUTS))
    it(`are fulfilled by just those changes that bring it about: ${name}`, () => {
      const task = taskOf(layout, 7 + name.length);
      const system = finish(systemOfTask(task, { steps: 20_000_000 }));
      assert.ok(system);
      const accepted = new Set(system.accepted.map((outcome) => outcome.join()));
      let found = 0;
      for (const change of changesOf(task)) {
        const does = bringsAbout(task, change);
        const said: boolean = accepted.has(outcomeOf(system, change)) && system.verifies?.(change) !== false;
        assert.equal(said, does, JSON.stringify(change));
        if (does) found++;
      }
      assert.ok(found > 0);
    });

  it('have no equation of a dependent sum that no free byte drives, and none of one that is put in the place of its bytes', () => {
    const counts = (name: string) => {
      const system = finish(systemOfTask(taskOf(LAYOUTS[name] as Layout, 5), { steps: 20_000_000 }));
      return [system?.equations.length, system?.accepted.length];
    };
    assert.deepEqual(counts('add8 under add8'), [1, 1]);
    assert.deepEqual(counts('crc8 under crc16'), [1, 1]);
    assert.deepEqual(counts('crc8 under add16'), [2, 256]);
    // The first drives the second, of which each value follows from one of the first.
    assert.deepEqual(counts('a sum over a stored sum alone'), [2, 256]);
  });

  it('go by bits that flip where all that is to be kept is binary, else by how far the bytes grow', () => {
    const measureOf = (line: string, ...totals: readonly string[]) => {
      const over = [0, 1, 2];
      const layout = {
        masks: [1, 1],
        dependent: [{ method: line, over: [0, 1] }],
        demands: totals.map((method) => ({ method, over })),
      };
      return finish(systemOfTask(taskOf(layout, 3), { steps: 1_000_000 }))?.measure;
    };
    assert.deepEqual(
      [
        measureOf('add8', 'crc16'),
        measureOf('add8', 'crc16', 'xor8'),
        measureOf('crc8', 'add8'),
        measureOf('xor8', 'crc16', 'add8'),
      ],
      ['bits', 'bits', 'growth', 'growth'],
    );
  });

  it('are looked over by the sums themselves only where a sum has two zeros', () => {
    const verifies = (line: string, total: string) => {
      const over = [0, 1, 2];
      const layout = { masks: [1, 1], dependent: [{ method: line, over: [0, 1] }], demands: [{ method: total, over }] };
      return finish(systemOfTask(taskOf(layout, 3), { steps: 1_000_000 }))?.verifies !== undefined;
    };
    assert.deepEqual(
      [verifies('add8', 'crc16'), verifies('crc8', 'add16'), verifies('xor8', 'ones16'), verifies('add8', 'flet16')],
      [false, false, true, true],
    );
  });

  it('are none where the values are too many, or the work is used up, and take pauses as they are listed', () => {
    const of = (lines: number, line: string, steps: number) => {
      const masks = Array.from({ length: lines }, () => 0x0f);
      const width = widthOf(line);
      const layout = {
        masks,
        dependent: masks.map((_, i) => ({ method: line, over: [i] })),
        demands: [
          {
            method: 'crc16',
            over: masks.flatMap((_, i) => Array.from({ length: width }, (_one, k) => lines + width * i + k)),
          },
        ],
      };
      const budget = { steps };
      const going = systemOfTask(taskOf(layout, 3), budget);
      let pauses = 0;
      let next = going.next();
      for (; !next.done; next = going.next()) pauses++;
      return { outcomes: next.value?.accepted.length, pauses, taken: steps - budget.steps };
    };
    assert.equal(of(1, 'add8', 1_000_000).outcomes, 256);
    assert.equal(of(2, 'add8', 10_000_000).outcomes, 65_536);
    assert.equal(of(3, 'add8', 100_000_000).outcomes, undefined);
    assert.equal(of(1, 'add32/4', 100_000_000).outcomes, undefined);
    // Each value once as it is listed, and once as it is made an outcome: 40 steps each.
    const words = of(1, 'add16', 10_000_000);
    assert.deepEqual([words.outcomes, words.taken], [65_536, 2 * 65_536 * 40]);
    // As much again for the demands, which is not counted.
    assert.ok(Math.abs(words.pauses - (3 * 65_536 * 40) / 20_000) < 6, `${words.pauses}`);
    assert.equal(of(1, 'add16', 2 * 65_536 * 40 - 1).outcomes, undefined);
    assert.equal(of(1, 'add16', 65_536 * 40).outcomes, undefined);
  });
});

describe('all changes tried by the sums themselves', () => {
  for (const [name, layout] of Object.entries(LAYOUTS))
    it(`are found to have the best of the fewest bytes, and whether it is the only one: ${name}`, () => {
      for (const seed of [7 + name.length, 100]) {
        const task = taskOf(layout, seed);
        const isBinary = layout.demands.every(({ method }) => named(method).law.kind === 'binary');
        const ones = (bits: number) => bits.toString(2).replaceAll('0', '').length;
        const size = (change: Change) =>
          change.reduce((sum, { index, value }) => {
            const old = task.free[index]?.value ?? 0;
            return sum + (isBinary ? ones(value ^ old) : Math.abs(value - old));
          }, 0);
        const all = changesOf(task).filter((change) => bringsAbout(task, change));
        const fewest = Math.min(...all.map(({ length }) => length));
        const best = all.filter(({ length }) => length === fewest);
        const answer = finish(forwardTrial(task, { steps: 10_000_000 }));
        assert.ok(answer.kind === 'solved' && answer.fewest);
        assert.ok(all.some((change) => JSON.stringify(change) === JSON.stringify(answer.change)));
        assert.equal(answer.change.length, fewest);
        assert.equal(answer.unique, best.length === 1);
        assert.equal(size(answer.change), Math.min(...best.map(size)));
      }
    });

  it('are none where there is none, and it gives up before a size that it could not look at wholly', () => {
    const task = taskOf(LAYOUTS['crc8 under add16'] as Layout, 3);
    const [demand] = task.demands;
    assert.ok(demand);
    const [first] = task.free;
    assert.ok(first);
    /** With the first of the changes of one byte. */
    const single = {
      ...task,
      demands: [{ ...demand, wanted: valueWith(task, [{ index: 0, value: first.value ^ 1 }]) }],
    };
    // As a number that this sum of few bytes never comes to.
    const never = { ...task, demands: [{ ...demand, wanted: 0xffffn }] };
    let pauses = 0;
    for (const going = forwardTrial(never, { steps: 1_000_000 }); !going.next().done; ) pauses++;
    // 255 changes in all, of 100 steps each.
    assert.equal(pauses, 1);
    assert.deepEqual(finish(forwardTrial(never, { steps: 1_000_000 })), {
      kind: 'impossible',
      proof: { kind: 'tried' },
    });
    // Of one byte there are 3 + 7 + 1 + 3 changes; of two as many as the products of these by twos.
    const [one, two] = [14, 3 * 11 + 7 * 4 + 3];
    for (const [steps, size] of [
      [100 * one - 1, 1],
      [100 * one, 2],
      [100 * (one + two) - 1, 2],
      [100 * (one + two), 3],
    ] as const)
      assert.deepEqual(finish(forwardTrial(never, { steps })), { kind: 'gave-up', size }, `${steps}`);
    // What was found before it is stopped is claimed to be nothing more.
    let found = 0;
    for (let turns = 1; turns < one; turns++) {
      let turn = 0;
      const answer = finish(forwardTrial(single, { steps: 1_000_000, cancelled: () => turn++ >= turns }));
      if (answer.kind !== 'solved') continue;
      found++;
      assert.deepEqual([answer.unique, answer.fewest], [false, false], `${turns}`);
    }
    assert.ok(found > 0);
    let asks = 0;
    const stopped = finish(forwardTrial(never, { steps: 1_000_000, cancelled: () => asks++ >= one + 5 }));
    assert.deepEqual(stopped, { kind: 'gave-up', size: 2 });
  });
});

/** What the only demand comes to with a change. */
function valueWith(task: SumTask, change: Change): bigint {
  const [demand] = task.demands;
  for (let wanted = 0n; wanted < 0x1_0000n; wanted++)
    if (demand && bringsAbout({ ...task, demands: [{ ...demand, wanted }] }, change)) return wanted;
  return assert.fail('it comes to no number');
}

describe('of changes that do as well, all tried by the sums themselves', () => {
  it('the one of the fewest bits is taken where all is binary, whatever the bytes grow by, and then the better byte', () => {
    const seen = { less: 0, more: 0 };
    for (let seed = 1; seed < 40; seed++) {
      const task = taskOf({ masks: [0xff, 0xff], dependent: [], demands: [{ method: 'xor8', over: [0, 1] }] }, seed);
      const answer = finish(forwardTrial(task, { steps: 10_000_000 }));
      assert.ok(answer.kind === 'solved');
      if (answer.change.length === 0) continue;
      // Either byte alone takes the same bits.
      assert.deepEqual(
        answer.change.map(({ index }) => index),
        [0],
      );
      const turned = (answer.change[0]?.value ?? 0) ^ (task.free[0]?.value ?? 0);
      const [own, other] = task.free.map(({ value }) => Math.abs((value ^ turned) - value));
      if ((own ?? 0) > (other ?? 0)) seen.more++;
      else seen.less++;
    }
    assert.ok(seen.less > 5 && seen.more > 5, JSON.stringify(seen));
  });
});

describe('the equations of a task, stored sums among the unknowns', () => {
  for (const [name, layout] of Object.entries(LAYOUTS))
    it(`are fulfilled by what brings it about, with the sums as they are then: ${name}`, () => {
      const task = taskOf(layout, 7 + name.length);
      const system = finish(flatSystemOf(task));
      assert.ok(system);
      const [target] = system.accepted.map((outcome) => outcome.join());
      assert.equal(system.own, task.free.length);
      // Which of the stored bytes are unknowns: those of sums that free bytes move.
      let number = task.free.length;
      const moving = new Set(task.free.keys());
      const stored = task.dependentSums.flatMap((sum) => {
        const numbers = [...storedNow(sum).keys()].map((i) => number + i);
        number += numbers.length;
        const isMoved = [sum.places, sum.turned ?? []].some((all) =>
          all.some((places, at) => places.length > 0 && moving.has(at)),
        );
        if (!isMoved) return [];
        for (const one of numbers) moving.add(one);
        return numbers;
      });
      assert.equal(system.free.length, task.free.length + stored.length);
      let [found, other] = [0, 0];
      for (const change of changesOf(task)) {
        // What the dependent sums then come to, one after the other.
        const values = new Map(change.map(({ index, value }) => [index, value]));
        const whole = [...change];
        let at = task.free.length;
        for (const sum of task.dependentSums) {
          const before = storedNow(sum);
          let { state } = sum;
          for (const [one, value] of values) {
            const old = one < task.free.length ? task.free[one]?.value : allStored(task)[one - task.free.length];
            for (const [turn, all] of [[0, sum.places] as const, [0xff, sum.turned ?? []] as const])
              for (const place of all[one] ?? [])
                state = sum.checksum.moved(state, {
                  ...{ length: sum.length, at: place },
                  before: Uint8Array.of((old ?? 0) ^ turn),
                  after: Uint8Array.of(value ^ turn),
                });
          }
          for (const [i, value] of sum.bytesOf(sum.checksum.valueOf(state)).entries()) {
            if (value === before[i]) continue;
            values.set(at + i, value);
            whole.push({ index: task.free.length + stored.indexOf(at + i), value });
          }
          at += before.length;
        }
        const does = bringsAbout(task, change);
        assert.equal(system.verifies(whole), does);
        // Two zeros are one residue: only that way round it is for the sums themselves to say.
        if (does) assert.equal(outcomeOf(system, whole), target, JSON.stringify(whole));
        else if (outcomeOf(system, whole) !== target) other++;
        if (does) found++;
        for (const { index, value } of whole)
          assert.equal(((system.free[index]?.value ?? 0) ^ value) & ~(system.free[index]?.mask ?? 0), 0);
      }
      assert.ok(found > 0 && (other > 0 || found === changesOf(task).length), `${found} ${other}`);
      // A stored byte that does not follow is noticed.
      for (const [i] of stored.entries()) {
        const index = task.free.length + i;
        const { value, mask } = system.free[index] as System['free'][number];
        const bit = mask & -mask;
        assert.notEqual(outcomeOf(system, [{ index, value: value ^ bit }]), outcomeOf(system, []), `${index}`);
      }
    });

  it('are none where the bits of a stored sum are not those of its value', () => {
    const task = taskOf(LAYOUTS['add8 under add8'] as Layout, 3);
    const of = (bytesOf: (value: bigint) => Uint8Array) =>
      finish(flatSystemOf({ ...task, dependentSums: task.dependentSums.map((sum) => ({ ...sum, bytesOf })) }));
    assert.ok(of((value) => Uint8Array.of(Number(value))));
    // Of a byte that no bit is stored in none may change.
    const behind = of((value) => Uint8Array.of(0, Number(value)));
    assert.deepEqual(
      behind?.free.slice(task.free.length).map(({ mask }) => mask),
      [0, 0xff],
    );
    // In another order of bits, of which each counts otherwise than where it is stored.
    const turned = (value: bigint) =>
      Uint8Array.of(Number.parseInt(value.toString(2).padStart(8, '0').split('').reverse().join(''), 2));
    assert.equal(of(turned), undefined);
    const binary = taskOf(LAYOUTS['xor8 under xor16'] as Layout, 3);
    const sums = binary.dependentSums.map((sum) => ({ ...sum, bytesOf: turned }));
    assert.ok(finish(flatSystemOf({ ...binary, dependentSums: sums })));
    // One of several is enough.
    const several = taskOf(LAYOUTS['a sum over a stored sum and more, under two'] as Layout, 3);
    const [one, other] = several.dependentSums;
    assert.ok(one && other && finish(flatSystemOf(several)));
    for (const dependentSums of [
      [one, { ...other, bytesOf: turned }],
      [{ ...one, bytesOf: () => Uint8Array.of(7) }, other],
    ])
      assert.equal(finish(flatSystemOf({ ...several, dependentSums })), undefined);
    // Each bit twice, a bit nowhere, and decimal digits.
    assert.equal(
      of((value) => Uint8Array.of(Number(value), Number(value))),
      undefined,
    );
    assert.equal(
      of((value) => Uint8Array.of(Number(value) & 0x7f)),
      undefined,
    );
    assert.equal(
      of((value) => Uint8Array.of((Number(value) % 10) | (Math.floor(Number(value) / 10) << 4))),
      undefined,
    );
  });
});

function allStored({ dependentSums }: SumTask): readonly number[] {
  return dependentSums.flatMap((sum) => [...storedNow(sum)]);
}
