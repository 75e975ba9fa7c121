import { subsets } from './subsets.js';
import {
  type Answer,
  type Budget,
  type Change,
  cheaper,
  type FreeByte,
  type Outcome,
  type System,
  spend,
} from './system.js';

/** Kernels of up to this many dimensions are gone through whole to find the fewest flipped bits. */
const MOST_KERNEL = 12;

export function isBinary({ equations }: System): boolean {
  return equations.every(({ kind }) => kind === 'binary');
}

/**
 * Exclusive or and CRC: Gaussian elimination over GF(2). Every set of bytes is tried in order of its size, so that the
 * first size with a solution has the fewest bytes; within it, the solution with the fewest flipped bits is taken.
 */
export function solveBinary(system: System, budget: Budget): Answer {
  const columns = system.free.map((byte, index) => columnsOf(system, byte, index));
  const targets = system.accepted.map((outcome) => pack(system, outcome));
  const every = eliminate(columns.flat());
  const width = system.equations.reduce((sum, equation) => sum + widthOf(equation), 0);
  if (!targets.some((target) => every.solve(target) !== undefined)) {
    return { kind: 'impossible', reach: { kind: 'rank', rank: every.rank, width } };
  }
  for (let size = 0; size <= system.free.length; size++) {
    let best: Change | undefined;
    let found = 0;
    for (const chosen of subsets(system.free.length, size)) {
      if (!spend(budget, 16 + 64 * size))
        return best === undefined ? { kind: 'gave-up', steps: size } : { kind: 'solved', change: best, unique: false };
      const basis = eliminate(chosen.flatMap((index) => columns[index] as readonly Column[]));
      for (const target of targets) {
        const solution = basis.solve(target);
        if (solution === undefined) continue;
        const whole = basis.kernel.length <= MOST_KERNEL;
        found += whole ? 2 ** basis.kernel.length : 2;
        for (const flips of whole ? coset(solution, basis.kernel) : [solution]) {
          best = cheaper(system, best, changeOf(system, chosen, basis.bits, flips));
        }
      }
    }
    if (best !== undefined) return { kind: 'solved', change: best, unique: found === 1 };
  }
  return { kind: 'impossible', reach: { kind: 'rank', rank: every.rank, width } };
}

/** One free bit and what flipping it does to all equations, packed into one number. */
interface Column {
  readonly index: number;
  readonly bit: number;
  readonly effect: bigint;
}

function columnsOf(system: System, { mask }: FreeByte, index: number): readonly Column[] {
  return [0, 1, 2, 3, 4, 5, 6, 7]
    .filter((bit) => mask & (1 << bit))
    .map((bit) => {
      const outcome = system.equations.map((equation) =>
        equation.kind === 'binary' ? (equation.effects[index]?.[bit] ?? 0n) : 0n,
      );
      return { index, bit, effect: pack(system, outcome) };
    });
}

/** Outcomes of all equations side by side, 64 bits each: no sum is wider. */
function pack(_system: System, outcome: Outcome): bigint {
  return outcome.reduce((packed, value) => (packed << 64n) | value, 0n);
}

function widthOf(equation: System['equations'][number]): number {
  if (equation.kind !== 'binary') return 0;
  const all = equation.effects.flat().reduce((mask, effect) => mask | effect, 0n);
  return all.toString(2).length;
}

interface Elimination {
  readonly bits: readonly Column[];
  readonly rank: number;
  /** Sets of bits (as masks over `bits`) that together do nothing. */
  readonly kernel: readonly bigint[];
  /** The bits to flip for an effect, as a mask over `bits`; undefined where it cannot be reached. */
  readonly solve: (target: bigint) => bigint | undefined;
}

function eliminate(bits: readonly Column[]): Elimination {
  const rows: { effect: bigint; mask: bigint; lead: number }[] = [];
  const kernel: bigint[] = [];
  const reduce = (effect: bigint, mask: bigint) => {
    let [left, used] = [effect, mask];
    for (const row of rows) {
      if ((left >> BigInt(row.lead)) & 1n) {
        left ^= row.effect;
        used ^= row.mask;
      }
    }
    return { left, used };
  };
  bits.forEach((column, i) => {
    const { left, used } = reduce(column.effect, 1n << BigInt(i));
    if (left === 0n) kernel.push(used);
    else rows.push({ effect: left, mask: used, lead: left.toString(2).length - 1 });
  });
  return {
    bits,
    kernel,
    rank: rows.length,
    solve: (target) => {
      const { left, used } = reduce(target, 0n);
      return left === 0n ? used : undefined;
    },
  };
}

/** All solutions: one of them, combined with every member of the kernel. */
function* coset(solution: bigint, kernel: readonly bigint[]): Generator<bigint> {
  for (let members = 0; members < 2 ** kernel.length; members++) {
    yield kernel.reduce((flips, vector, i) => (members & (1 << i) ? flips ^ vector : flips), solution);
  }
}

function changeOf({ free }: System, chosen: readonly number[], bits: readonly Column[], flips: bigint): Change {
  return chosen.flatMap((index) => {
    const mask = bits.reduce(
      (sum, bit, i) => (bit.index === index && (flips >> BigInt(i)) & 1n ? sum | (1 << bit.bit) : sum),
      0,
    );
    return mask === 0 ? [] : [{ index, value: (free[index] as FreeByte).value ^ mask }];
  });
}
