import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { bytesOfNumber } from '../../../shared-core/src/base/number.js';
import { finish } from '../../../shared-core/src/base/steps.js';
import { valueOver } from '../../../shared-core/src/checksum/checksum.js';
import { crcModel } from '../../../shared-core/src/checksum/crcCatalogue.js';
import { checksumOf, type SumSpec } from '../../../shared-core/src/checksum/registry.js';
import { solve, solveTask } from '../../../shared-core/src/repair/solver/solve.js';
import type { Answer, System } from '../../../shared-core/src/repair/solver/system.js';

const steps = 16_000_000;
const add16: SumSpec = { method: 'add', bits: 16, unit: 1, order: 'big', complement: 'none', start: 0n };
const crcSpec = (model: string): SumSpec => ({
  method: 'crc',
  model,
  ...(crcModel(model) as NonNullable<ReturnType<typeof crcModel>>),
});

/** Solves for sums over one run, all of whose bytes at `free` may change wholly. */
function answerFor(
  run: Uint8Array,
  free: readonly number[],
  demands: readonly (readonly [SumSpec, bigint])[],
  budget = steps,
) {
  return solveTask(
    {
      free: free.map((at) => ({ value: run[at] as number, mask: 0xff })),
      dependentSums: [],
      demands: demands.map(([spec, wanted]) => {
        const checksum = checksumOf(spec);
        return { checksum, state: checksum.stateOf(run), length: run.length, places: free.map((at) => [at]), wanted };
      }),
    },
    { steps: budget },
  );
}

const changeOf = (answer: Answer | undefined) =>
  answer?.kind === 'solved' ? answer.change.map(({ index, value }) => [index, value]) : answer;

describe('solving for plain sums', () => {
  it('changes nothing where the sum is right already', () => {
    const answer = answerFor(Uint8Array.of(1, 2, 3), [0, 1, 2], [[add16, 6n]]);
    assert.deepEqual(answer, { kind: 'solved', change: [], unique: true, fewest: true });
  });

  it('lets the preferred byte take it where several could', () => {
    const answer = answerFor(Uint8Array.of(10, 20, 30), [2, 0, 1], [[add16, 58n]]);
    assert.deepEqual(answer, { kind: 'solved', change: [{ index: 0, value: 28 }], unique: false, fewest: true });
  });

  it('goes the short way round an 8-bit sum', () => {
    const sum: SumSpec = { ...add16, bits: 8 };
    assert.deepEqual(changeOf(answerFor(Uint8Array.of(0x80, 0x00), [0, 1], [[sum, 0x7fn]])), [[0, 0x7f]]);
    assert.deepEqual(changeOf(answerFor(Uint8Array.of(0x00, 0x80), [0], [[sum, 0x7fn]])), [[0, 0xff]]);
  });

  it('takes the byte that is listed first where it is as short to let one rise as to let another fall', () => {
    const sum: SumSpec = { ...add16, bits: 8 };
    const run = Uint8Array.of(0x10, 0xf0);
    assert.deepEqual(changeOf(answerFor(run, [0, 1], [[sum, 0x80n]])), [[0, 0x90]]);
    assert.deepEqual(changeOf(answerFor(run, [1, 0], [[sum, 0x80n]])), [[0, 0x70]]);
  });

  it('knows whether there is only one way', () => {
    for (const [bytes, more, unique] of [
      [[0xf0, 0xef], 0x10n, true],
      [[0xf0, 0xf0], 0x0fn, false],
      [[0xfe, 0xfd], 3n, true],
      [[0xfd, 0xfd], 3n, false],
      [[0xfe, 0xfd, 0xfe], 3n, false],
      [[0xfe, 0xfe, 0xfe], 3n, true],
    ] as const) {
      const run = Uint8Array.from(bytes);
      const wanted = run.reduce<bigint>((sum, byte) => sum + BigInt(byte), more);
      const answer = answerFor(run, [...run.keys()], [[add16, wanted]]);
      assert.ok(answer?.kind === 'solved');
      assert.equal(answer.unique, unique, `${bytes} and ${more} more`);
    }
  });

  it('says of no way that it is the only one where a byte of another weight does it in as few', () => {
    const words: SumSpec = { ...add16, unit: 2 };
    // The low bytes of both words move as far as they can, or one of them the other way and a high byte makes up for it.
    for (const [bytes, more] of [
      [[0x10, 211, 0x00, 60], 239n],
      [[0x10, 44, 0x00, 195], -239n],
    ] as const) {
      const run = Uint8Array.from(bytes);
      const checksum = checksumOf(words);
      const wanted = BigInt.asUintN(16, valueOver(checksum, run) + more);
      const answer = answerFor(run, [0, 1, 3], [[words, wanted]]);
      assert.ok(answer?.kind === 'solved');
      assert.deepEqual([answer.change.length, answer.unique, answer.fewest], [2, false, true], `${more} more`);
    }
  });

  it('moves bytes by little where one of the sums adds, and flips few bits where none does', () => {
    const xor8: SumSpec = { method: 'xor', bits: 8, order: 'big', start: 0n };
    // From 0F 48, both sums come right with 10 11 and with 11 10: by 56 in nine bits, or by 58 in seven.
    const answer = answerFor(
      Uint8Array.of(0x0f, 0x48),
      [0, 1],
      [
        [add16, 0x21n],
        [xor8, 0x01n],
      ],
    );
    assert.ok(answer?.kind === 'solved');
    assert.deepEqual([answer.change.map(({ value }) => value), answer.unique], [[0x10, 0x11], false]);
  });

  it('knows the only way also where a sum of four bytes changes with the line and is covered by the one that stays', () => {
    const line: SumSpec = { ...add16, bits: 32 };
    const total: SumSpec = { ...line, unit: 4 };
    // A byte of no interest, three free ones, and the sum of the line: a byte moves the total by itself and by that sum.
    const data = Uint8Array.of(0, 7, 9, 10);
    const run = Uint8Array.of(...data, 0, 0, 0, 26);
    const places = [1, 2, 3, 4, 5, 6, 7].map((at) => [at]);
    const [lineSum, totalSum] = [checksumOf(line), checksumOf(total)];
    const answer = solveTask(
      {
        free: [7, 9, 10].map((value) => ({ value, mask: 0xff })),
        dependentSums: [
          {
            checksum: lineSum,
            state: lineSum.stateOf(data),
            length: 4,
            places: places.map(([at = 0]) => (at < 4 ? [at] : [])),
            bytesOf: (value) => bytesOfNumber(value, 4, 'big'),
          },
        ],
        demands: [
          {
            checksum: totalSum,
            state: totalSum.stateOf(run),
            length: 8,
            places,
            wanted: valueOver(totalSum, run) + 3n * 257n + 5n * 2n,
          },
        ],
      },
      { steps },
    );
    assert.deepEqual(answer, {
      kind: 'solved',
      change: [
        { index: 2, value: 10 + 5 },
        { index: 1, value: 9 + 3 },
      ],
      unique: true,
      fewest: true,
    });
  });

  it('says how far the bytes can go and how far they would have to', () => {
    const answer = answerFor(Uint8Array.of(0xe5, 0x1a), [0, 1], [[add16, 0x2ffn]]);
    assert.deepEqual(answer, {
      kind: 'impossible',
      proof: { kind: 'sum', least: -0xffn, most: 0xffn, step: 1n, needed: 0x200n },
    });
  });

  it('says by which steps the bytes can go', () => {
    const words: SumSpec = { ...add16, unit: 2 };
    const answer = answerFor(Uint8Array.of(0x10, 0x00, 0x20, 0x00), [0, 2], [[words, 0x3001n]]);
    assert.ok(answer?.kind === 'impossible' && answer.proof.kind === 'sum');
    assert.deepEqual([answer.proof.step, answer.proof.needed], [0x100n, 1n]);
  });

  it('carries from one place of a unit to the other', () => {
    const words: SumSpec = { ...add16, unit: 2 };
    // 10FE + 4 is 1102: the low byte falls by FC, the high byte rises by 1.
    const answer = answerFor(Uint8Array.of(0x10, 0xfe), [0, 1], [[words, 0x1102n]]);
    assert.deepEqual(answer, {
      kind: 'solved',
      change: [
        { index: 1, value: 0x02 },
        { index: 0, value: 0x11 },
      ],
      unique: true,
      fewest: true,
    });
  });

  it("knows that only bytes that are all zero make the other zero of a ones' complement sum", () => {
    const sum: SumSpec = { method: 'add-end-around', bits: 8, order: 'big' };
    const run = Uint8Array.of(0x00, 0x05);
    assert.deepEqual(changeOf(answerFor(run, [1], [[sum, 0xffn]])), [[0, 0x00]]);
    assert.deepEqual(changeOf(answerFor(run, [1], [[sum, 0x00n]])), [[0, 0xff]]);
    assert.equal(answerFor(Uint8Array.of(0x01, 0x05), [1], [[sum, 0xffn]])?.kind, 'impossible');
  });
});

describe('solving with very many bytes under an exclusive or', () => {
  it('calls nothing impossible because of those that it has not looked at, such as the only one that the sum covers', () => {
    const xor8 = checksumOf({ method: 'xor', bits: 8, order: 'big', start: 0n });
    const count = 5000;
    const answer = solveTask(
      {
        free: Array.from({ length: count }, () => ({ value: 0x11, mask: 0xff })),
        dependentSums: [],
        demands: [
          {
            checksum: xor8,
            state: xor8.stateOf(Uint8Array.of(0x11)),
            length: 1,
            places: Array.from({ length: count }, (_, at) => (at === count - 1 ? [0] : [])),
            wanted: 0x42n,
          },
        ],
      },
      { steps },
    );
    if (answer?.kind !== 'gave-up') assert.deepEqual(changeOf(answer), [[count - 1, 0x42]]);
  });
});

describe('solving with so many bytes that only some of them are looked at', () => {
  const xor8: SumSpec = { method: 'xor', bits: 8, order: 'big', start: 0n };
  const noise = (count: number) => Uint8Array.from({ length: count }, (_, i) => (i * i * 7 + 31 * i) & 0xff);

  it('takes the bytes that are listed first, and claims neither that they are the fewest nor the only ones', () => {
    for (const [count, first, most, specs] of [
      [5000, 4096, 1, [xor8]],
      [5000, 4096, 1, [crcSpec('CRC-16/ARC')]],
      [3000, 8, 3, [xor8, add16]],
      [3000, 8, 3, [crcSpec('CRC-8/SMBUS'), { ...add16, bits: 8 }]],
    ] as const) {
      const run = noise(count);
      const after = run.map((byte, i) => (i < 3 ? byte ^ (0x51 + 3 * i) : byte));
      const demands = specs.map((spec) => [spec, valueOver(checksumOf(spec), after)] as const);
      const answer = answerFor(run, [...run.keys()], demands);
      const name = `${count} ${specs.map(({ method }) => method)}`;
      assert.ok(answer.kind === 'solved', name);
      assert.deepEqual([answer.unique, answer.fewest], [false, false], name);
      assert.ok(answer.change.length <= most, name);
      assert.ok(
        answer.change.every(({ index }) => index < first),
        name,
      );
      const changed = run.slice();
      for (const { index, value } of answer.change) changed[index] = value;
      for (const [spec, wanted] of demands) assert.equal(valueOver(checksumOf(spec), changed), wanted, name);
    }
  });
});

describe('solving for long units whose carry comes round', () => {
  const sum: SumSpec = { method: 'add-end-around', bits: 32, order: 'big' };
  const run = Uint8Array.of(0xfe, 0xfe, 0xfe, 0xfe);

  it('goes as far as the bytes can', () => {
    const answer = answerFor(run, [0, 1, 2, 3], [[sum, 0n]]);
    assert.ok(answer?.kind === 'solved' && answer.unique);
    assert.deepEqual(
      answer.change.map(({ value }) => value),
      [0xff, 0xff, 0xff, 0xff],
    );
  });

  it('goes down to nothing', () => {
    const answer = answerFor(run, [0, 1, 2, 3], [[sum, 0xffffffffn]]);
    assert.ok(answer?.kind === 'solved' && answer.unique);
    assert.deepEqual(
      answer.change.map(({ value }) => value),
      [0, 0, 0, 0],
    );
  });
});

describe('solving for CRCs', () => {
  it('finds the one way in which four bytes give a CRC-32', () => {
    const run = new TextEncoder().encode('123456789');
    // The catalogue's check value, from a run in which four digits were lost.
    const broken = run.map((byte, i) => (i >= 2 && i < 6 ? 0 : byte));
    const answer = answerFor(broken, [2, 3, 4, 5], [[crcSpec('CRC-32/ISO-HDLC'), 0xcbf43926n]]);
    assert.ok(answer?.kind === 'solved' && answer.unique && answer.fewest);
    assert.deepEqual(
      answer.change.map(({ value }) => String.fromCharCode(value)),
      ['3', '4', '5', '6'],
    );
  });

  it('knows what a byte does that is at two places of the run, as one that is kept twice', () => {
    const checksum = checksumOf(crcSpec('CRC-16/ARC'));
    const run = (twice: number) => Uint8Array.of(twice, 0x35, twice, 0x7c);
    const answer = solveTask(
      {
        free: [{ value: 0x21, mask: 0xff }],
        dependentSums: [],
        demands: [
          {
            ...{ checksum, state: checksum.stateOf(run(0x21)), length: 4, places: [[0, 2]] },
            wanted: valueOver(checksum, run(0x9e)),
          },
        ],
      },
      { steps },
    );
    assert.deepEqual(answer, { kind: 'solved', change: [{ index: 0, value: 0x9e }], unique: true, fewest: true });
  });

  it('says the rank of the free bits under a CRC', () => {
    const answer = answerFor(new Uint8Array(9), [1, 7], [[crcSpec('CRC-32/ISO-HDLC'), 0xcbf43926n]]);
    assert.deepEqual(answer, { kind: 'impossible', proof: { kind: 'rank', rank: 16, width: 32 } });
  });

  it('balances a CRC and a plain sum at once', () => {
    const run = Uint8Array.from({ length: 64 }, (_, i) => (7 * i) & 0xff);
    const answer = answerFor(
      run,
      [3, 4, 5, 30, 31, 32, 60, 61],
      [
        [crcSpec('CRC-16/ARC'), 0x1234n],
        [add16, 0x1e40n],
      ],
    );
    assert.ok(answer?.kind === 'solved' && answer.fewest);
    const after = run.slice();
    for (const { index, value } of answer.change) after[[3, 4, 5, 30, 31, 32, 60, 61][index] as number] = value;
    for (const [spec, wanted] of [
      [crcSpec('CRC-16/ARC'), 0x1234n],
      [add16, 0x1e40n],
    ] as const) {
      const checksum = checksumOf(spec);
      assert.equal(checksum.valueOf(checksum.stateOf(after)), wanted);
    }
  });

  it('still finds a way over thousands of bytes, and does not claim that it is the smallest', () => {
    const run = new Uint8Array(5000);
    const answer = answerFor(run, [...run.keys()], [[crcSpec('CRC-64/XZ'), 1n]]);
    assert.ok(answer?.kind === 'solved' && !answer.fewest && !answer.unique);
    const after = run.slice();
    for (const { index, value } of answer.change) after[index] = value;
    const checksum = checksumOf(crcSpec('CRC-64/XZ'));
    assert.equal(checksum.valueOf(checksum.stateOf(after)), 1n);
  });
});

describe('solving for bytes of which some bits may change', () => {
  const free = [0x70, 0x00].map((value) => ({ value, mask: 0x7f }));
  const equations = [
    { kind: 'modular', modulus: 65_535n, weights: [1n, 1n] },
    { kind: 'modular', modulus: 65_535n, weights: [2n, 1n] },
  ] as const;
  const growing = (...target: readonly bigint[]) =>
    finish(solve({ free, equations, accepted: [target], measure: 'growth' }, { steps }));

  it('changes each byte once', () => {
    assert.deepEqual(changeOf(growing(15n + 7n, 30n + 7n)), [
      [0, 0x7f],
      [1, 0x07],
    ]);
    // The first byte would have to grow by 1E, twice what it can.
    assert.deepEqual(growing(30n, 60n), { kind: 'impossible', proof: { kind: 'tried' } });
  });
});

describe('the order of preference', () => {
  const run = Uint8Array.of(1, 2, 3, 4);
  const xor: SumSpec = { method: 'xor', bits: 8, order: 'big', start: 0n };
  const words: SumSpec = { ...add16, unit: 2 };
  const add8: SumSpec = { ...add16, bits: 8 };

  it('decides between equally small changes, whatever the sums', () => {
    for (const [name, demands, free] of [
      ['exclusive or', [[xor, 4n ^ 8n]], [2, 0, 1]],
      [
        'exclusive or and plain sum',
        [
          [xor, 4n ^ 8n],
          [add16, 18n],
        ],
        [3, 1, 2],
      ],
      ['16-bit sum of words', [[words, 0x0406n + 0x0101n]], [2, 3, 0, 1]],
      ['8-bit sum of bytes', [[add8, 13n]], [1, 3, 0]],
    ] as const) {
      const answer = answerFor(run, free, demands);
      assert.ok(answer?.kind === 'solved', name);
      assert.deepEqual(answer.change.map(({ index }) => index).sort(), name.includes('words') ? [0, 1] : [0], name);
    }
  });
});

describe('the order of preference in congruences', () => {
  const firstOf = (target: bigint, mask: number, ...weights: readonly bigint[]) =>
    changeOf(
      finish(
        solve(
          {
            free: weights.map(() => ({ value: 0x08, mask })),
            equations: [{ kind: 'modular', modulus: 256n, weights }],
            accepted: [[target]],
            measure: 'growth',
          },
          { steps },
        ),
      ),
    );

  it('decides between bytes that count alike and bytes that count the other way', () => {
    assert.deepEqual(firstOf(3n, 0xff, 1n, 255n), [[0, 0x0b]]);
    assert.deepEqual(firstOf(3n, 0xff, 255n, 1n), [[0, 0x05]]);
    assert.deepEqual(firstOf(3n, 0x0f, 1n, 1n, 1n), [[0, 0x0b]]);
  });

  it('decides between pairs of bytes where one cannot do it alone', () => {
    const pair = firstOf(9n, 0x0f, 1n, 1n, 1n);
    assert.ok(Array.isArray(pair));
    assert.deepEqual(pair.map(([index]) => index).sort(), [0, 1]);
  });
});

describe('the bounds of solving', () => {
  const adler: SumSpec = { method: 'adler' };
  const run = new Uint8Array(40);

  it('gives up when the steps are used up, and says how far it came', () => {
    const both = [
      [adler, 0x12340101n],
      [crcSpec('CRC-16/ARC'), 0x1234n],
    ] as const;
    assert.deepEqual(answerFor(run, [...run.keys()], both, 60_000), { kind: 'gave-up', size: 3 });
  });

  it('stops when it is cancelled', () => {
    const free = Array.from({ length: 8 }, () => ({ value: 0, mask: 0xff }));
    const weights = [1n, 3n, 9n, 27n, 81n, 243n, 729n, 2187n];
    const system: System = {
      free,
      equations: [{ kind: 'modular', modulus: 1n << 32n, weights }],
      accepted: [[4000n]],
      measure: 'growth',
    };
    let asked = 0;
    const answer = finish(solve(system, { steps, cancelled: () => ++asked > 3 }));
    assert.equal(answer.kind, 'gave-up');
    assert.ok(asked < 20);
  });
});
