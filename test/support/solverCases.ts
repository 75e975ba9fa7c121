// Tasks for the solver over a small memory, and what trying every change says of them.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { bytesOfNumber } from '../../shared-core/src/base/number.js';
import { type Checksum, valueOver } from '../../shared-core/src/checksum/checksum.js';
import { checksumOf, type SumSpec } from '../../shared-core/src/checksum/registry.js';
import { solveTask } from '../../shared-core/src/repair/solver/solve.js';
import type { SumTask } from '../../shared-core/src/repair/solver/sums.js';
import type { Answer, Budget, Change, FreeByte } from '../../shared-core/src/repair/solver/system.js';

export const plenty = (): Budget => ({ steps: 50_000_000 });

/** A sum in a small memory: which of its bytes it covers, in order, and where it is stored. */
interface StoredSum {
  readonly spec: SumSpec;
  readonly checksum: Checksum;
  readonly covers: readonly number[];
  readonly at: number;
  readonly order: 'big' | 'little';
}

/** A memory with dependent sums that are made right after each change, and demands that must come to a value. */
export interface Case {
  readonly memory: Uint8Array;
  readonly free: readonly { readonly at: number; readonly mask: number }[];
  readonly dependentSums: readonly StoredSum[];
  readonly demands: readonly StoredSum[];
  /** What the demands must be: what they are after this change, or these numbers. */
  readonly wanted: { readonly flips: readonly number[] } | { readonly values: readonly bigint[] };
}

const order = fc.constantFrom<'big' | 'little'>('big', 'little');
const wide = (bits: number) => fc.bigInt({ min: 0n, max: (1n << BigInt(bits)) - 1n });
export const crcSpec = (least: number, most: number): fc.Arbitrary<SumSpec> =>
  fc.integer({ min: least, max: most }).chain((width) =>
    fc.record({
      method: fc.constant('crc'),
      model: fc.constant(undefined),
      width: fc.constant(width),
      poly: wide(width).map((poly) => poly | 1n),
      init: wide(width),
      refin: fc.boolean(),
      refout: fc.boolean(),
      xorout: wide(width),
    }),
  );
export const addSpec: fc.Arbitrary<SumSpec> = fc.record({
  method: fc.constant('add'),
  bits: fc.constantFrom(8, 16, 32),
  unit: fc.constantFrom(1, 2, 4),
  order,
  complement: fc.constantFrom('none', 'ones', 'twos'),
  start: wide(8),
});
const endAroundSpec: fc.Arbitrary<SumSpec> = fc.record({
  method: fc.constant('add-end-around'),
  bits: fc.constantFrom(8, 16),
  order,
});
export const xorSpec: fc.Arbitrary<SumSpec> = fc
  .constantFrom(8 as const, 16 as const)
  .chain((bits) => fc.record({ method: fc.constant('xor'), bits: fc.constant(bits), order, start: wide(bits) }));
const fletcherSpec: fc.Arbitrary<SumSpec> = fc.record({
  method: fc.constant('fletcher'),
  bits: fc.constantFrom(16, 32),
  order,
});
const adlerSpec: fc.Arbitrary<SumSpec> = fc.constant({ method: 'adler' });
export const anySpec = fc.oneof(addSpec, endAroundSpec, xorSpec, crcSpec(3, 64), fletcherSpec, adlerSpec);
export const plainLine = addSpec.filter((spec) => spec.method === 'add' && spec.bits === 8);
export const lineSpec = fc.oneof(
  plainLine,
  endAroundSpec.filter((spec) => spec.method === 'add-end-around' && spec.bits === 8),
  xorSpec.filter((spec) => spec.method === 'xor' && spec.bits === 8),
  crcSpec(8, 10),
);

/** Bytes 00 and FF, at which carries and end-around zeros go wrong, are common. */
export const byte = fc.oneof(fc.integer({ min: 0, max: 255 }), fc.constantFrom(0, 255));
/** Few bits to change, so that all changes can be gone through. */
const fewBits = fc.constantFrom(0x01, 0x80, 0x05, 0x90, 0x07, 0x31, 0x0f);

/** Two lines of data of `size` bytes, each with a sum of up to two bytes behind it; then up to two sums over all of it. */
function lined(
  size: number,
  free: Case['free'],
  lines: readonly SumSpec[],
  totals: readonly SumSpec[],
  cover: boolean,
) {
  const stride = size + 2;
  const dependentSums = lines.map((spec, line): StoredSum => {
    const covers = Array.from({ length: size }, (_, i) => line * stride + i);
    return { spec, checksum: checksumOf(spec), covers, at: line * stride + size, order: line === 0 ? 'big' : 'little' };
  });
  const all = Array.from({ length: 2 * stride }, (_, i) => i).filter((at) => cover || at % stride < size);
  const demands = totals.map(
    (spec): StoredSum => ({ spec, checksum: checksumOf(spec), covers: all, at: 2 * stride, order: 'big' }),
  );
  return { free, dependentSums, demands };
}

export const casesOf = (
  line: fc.Arbitrary<SumSpec>,
  total: fc.Arbitrary<SumSpec>,
  covered: fc.Arbitrary<boolean>,
  { mostFree, mostLines, mayNest } = { mostFree: 3, mostLines: 2, mayNest: true },
): fc.Arbitrary<Case> =>
  fc
    .record({
      size: fc.integer({ min: 2, max: 4 }),
      lines: fc.array(line, { minLength: 0, maxLength: mostLines }),
      totals: fc.array(total, { minLength: 1, maxLength: 2 }),
      nested: mayNest ? fc.option(line, { nil: undefined }) : fc.constant(undefined),
      cover: covered,
      masks: fc.array(fc.tuple(fc.nat(), fewBits), { minLength: 1, maxLength: mostFree }),
      memory: fc.array(byte, { minLength: 20, maxLength: 20 }),
      flips: fc.array(fc.nat(255), { minLength: 3, maxLength: 3 }),
      values: fc.option(fc.tuple(wide(64), wide(64)), { nil: undefined, freq: 4 }),
    })
    .map(({ size, lines, totals, nested, cover, masks, memory, flips, values }) => {
      const stride = size + 2;
      const data = Array.from({ length: 2 * stride }, (_, i) => i).filter((at) => at % stride < size);
      const places = new Map(masks.map(([nat, mask]) => [data[nat % data.length] as number, mask]));
      const free = [...places].map(([at, mask]) => ({ at, mask }));
      const { dependentSums, demands } = lined(size, free, lines, totals, cover);
      // A total that is rewritten, and is covered by the first demand.
      const inner: StoredSum | undefined = nested && {
        spec: nested,
        checksum: checksumOf(nested),
        covers: data,
        at: 2 * stride,
        order: 'little',
      };
      return {
        memory: Uint8Array.from(memory),
        free,
        dependentSums: inner ? [...dependentSums, inner] : dependentSums,
        demands: demands.map((demand, i) =>
          inner && i === 0 ? { ...demand, covers: [...demand.covers, inner.at, inner.at + 1] } : demand,
        ),
        wanted: values ? { values } : { flips },
      };
    });

export const cases = casesOf(lineSpec, anySpec, fc.boolean());

const widthOf = ({ checksum }: StoredSum) => Math.ceil(checksum.bits / 8);
const runOf = (memory: Uint8Array, { covers }: StoredSum) => Uint8Array.from(covers, (at) => memory[at] as number);

/** The memory with all dependent sums right, computed from scratch. */
export function settled(memory: Uint8Array, dependentSums: readonly StoredSum[]): Uint8Array {
  const now = memory.slice();
  for (const sum of dependentSums) {
    now.set(bytesOfNumber(valueOver(sum.checksum, runOf(now, sum)), widthOf(sum), sum.order), sum.at);
  }
  return now;
}

function withFlips({ free, dependentSums }: Case, memory: Uint8Array, flips: readonly number[]): Uint8Array {
  const now = memory.slice();
  free.forEach(({ at, mask }, i) => {
    (now[at] as number) ^= (flips[i] ?? 0) & mask;
  });
  return settled(now, dependentSums);
}

export const valuesOf = (memory: Uint8Array, sums: readonly StoredSum[]) =>
  sums.map((sum) => valueOver(sum.checksum, runOf(memory, sum)));

export function wantedOf(given: Case, memory: Uint8Array): bigint[] {
  const { wanted, demands } = given;
  if ('flips' in wanted) return valuesOf(withFlips(given, memory, wanted.flips), demands);
  return demands.map(({ checksum }, i) => BigInt.asUintN(checksum.bits, wanted.values[i] as bigint));
}

export function taskOf({ free, dependentSums, demands }: Case, memory: Uint8Array, wanted: readonly bigint[]): SumTask {
  const numbered = [
    ...free.map(({ at }) => at),
    ...dependentSums.flatMap((sum) => Array.from({ length: widthOf(sum) }, (_, i) => sum.at + i)),
  ];
  const runSum = (sum: StoredSum) => {
    const { checksum } = sum;
    const places = numbered.map((at) => [...sum.covers.keys()].filter((i) => sum.covers[i] === at));
    return { checksum, state: checksum.stateOf(runOf(memory, sum)), length: sum.covers.length, places };
  };
  return {
    free: free.map(({ at, mask }) => ({ value: memory[at] as number, mask })),
    dependentSums: dependentSums.map((sum) => ({
      ...runSum(sum),
      bytesOf: (value) => bytesOfNumber(value, widthOf(sum), sum.order),
    })),
    demands: demands.map((sum, i) => ({ ...runSum(sum), wanted: wanted[i] as bigint })),
  };
}

export interface Best {
  readonly bytes: number;
  readonly size: number;
  readonly count: number;
}

/** Adds a solution to the best of those before: fewest bytes, then the smallest change; counts all of as few bytes. */
export function better(best: Best | undefined, bytes: number, size: number, count = 1): Best {
  if (best === undefined || bytes < best.bytes) return { bytes, size, count };
  if (bytes > best.bytes) return best;
  return { bytes, size: Math.min(size, best.size), count: best.count + count };
}

const onesIn = (bits: number) => bits.toString(2).replaceAll('0', '').length;

export function bruteForce(
  given: Case,
  memory: Uint8Array,
  wanted: readonly bigint[],
  bits: boolean,
): Best | undefined {
  let best: Best | undefined;
  const tryAll = (flips: readonly number[]): void => {
    const next = given.free[flips.length];
    if (next !== undefined) {
      for (let value = 0; value < 256; value++) if ((value & ~next.mask) === 0) tryAll([...flips, value]);
      return;
    }
    const values = valuesOf(withFlips(given, memory, flips), given.demands);
    if (values.some((value, i) => value !== wanted[i])) return;
    const sizes = flips.map((flipped, i) => {
      const old = memory[given.free[i]?.at ?? 0] as number;
      return bits ? onesIn(flipped) : Math.abs((old ^ flipped) - old);
    });
    best = better(
      best,
      flips.filter(Boolean).length,
      sizes.reduce((a, b) => a + b, 0),
    );
  };
  tryAll([]);
  return best;
}

function sizeOf(free: readonly FreeByte[], change: Change, bits: boolean): number {
  return change.reduce((sum, { index, value }) => {
    const old = free[index]?.value ?? 0;
    return sum + (bits ? onesIn(old ^ value) : Math.abs(value - old));
  }, 0);
}

export function agree(answer: Answer, best: Best | undefined, free: readonly FreeByte[], bits: boolean): void {
  if (best === undefined) {
    assert.equal(answer.kind, 'impossible');
    return;
  }
  assert.equal(answer.kind, 'solved');
  if (answer.kind !== 'solved') return;
  assert.equal(answer.change.length, best.bytes, 'fewest bytes');
  assert.equal(sizeOf(free, answer.change, bits), best.size, 'smallest change');
  assert.equal(answer.unique, best.count === 1, `${best.count} solutions`);
  assert.ok(answer.fewest);
}

/** Whether a change is measured in flipped bits: all demands are sums of single bits. */
export const inBits = ({ demands }: Case) =>
  demands.every(({ spec }) => spec.method === 'xor' || spec.method === 'crc');

export function agreesWithBruteForce(given: Case): void {
  const memory = settled(given.memory, given.dependentSums);
  const wanted = wantedOf(given, memory);
  const task = taskOf(given, memory, wanted);
  const answer = solveTask(task, plenty());
  const bits = inBits(given);
  const best = bruteForce(given, memory, wanted, bits);
  // Several dependent sums may have too many values to enumerate: what is found then is not said to be the smallest.
  if (answer.kind === 'solved' && !answer.fewest && given.dependentSums.length > 1) assert.ok(best);
  else agree(answer, best, task.free, bits);
  if (answer.kind !== 'solved') return;
  const after = memory.slice();
  for (const { index, value } of answer.change) {
    const { at, mask } = given.free[index] as Case['free'][number];
    assert.equal(((memory[at] as number) ^ value) & ~mask, 0, 'only free bits');
    after[at] = value;
  }
  assert.deepEqual(valuesOf(settled(after, given.dependentSums), given.demands), wanted, 'from scratch');
}
