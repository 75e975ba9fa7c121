import type { Steps } from '../../base/steps.js';
import {
  bringsAbout,
  type DependentSum,
  equationsOf,
  gapOf,
  movesWith,
  type RunSum,
  renumbered,
  type SumTask,
  storedNow,
} from './sums.js';
import type { BinarySum, Change, Equation, FreeByte, ModularSum, System } from './system.js';
import { modulo, turnsOf } from './system.js';

/**
 * A system over the free bytes and, behind them, the stored bytes of the dependent sums they drive: those are unknowns
 * like any other, and that each agrees with what it covers is an equation more. So no value of a dependent sum is
 * enumerated, whatever its width. Every change that fulfils the task fulfils this; `verifies` tells which do.
 */
export interface FlatSystem extends System {
  /** The first so many bytes are the task's own. */
  readonly own: number;
  readonly verifies: (change: Change) => boolean;
}

/** The flat system of a task; undefined where the stored bits of a dependent sum are not the bits of its value. */
export function* flatSystemOf(task: SumTask): Steps<FlatSystem | undefined> {
  const own = task.free.length;
  const driven = drivenSums(task);
  const stored = driven.map(({ sum }) => storedBits(sum));
  if (stored.some((bits) => bits === undefined)) return undefined;
  const numbers = [
    ...task.free.keys(),
    ...driven.flatMap(({ sum, first }) => [...storedNow(sum).keys()].map((i) => first + i)),
  ];
  const only = <Sum extends RunSum>(sum: Sum): Sum => renumbered(sum, numbers);
  const equations: Equation[] = [];
  const accepted: bigint[] = [];
  let first = own;
  const isDue = turnsOf();
  for (const [i, { sum }] of driven.entries()) {
    const bits = stored[i] as readonly StoredBit[];
    const gap = gapOf({ ...sum, state: sum.state });
    const now = sum.checksum.valueOf(sum.state);
    for (const [e, equation] of (yield* equationsOf(only(sum), isDue)).entries()) {
      const weightOf = (bit: bigint) => gap(now ^ bit)[e] as bigint;
      const whole =
        equation.kind === 'binary'
          ? withStoredBits(equation, bits, first)
          : withStoredWeights(equation, bits, first, (bit) => (now & bit ? -weightOf(bit) : weightOf(bit)));
      if (whole === undefined) return undefined;
      equations.push(whole);
      accepted.push(0n);
    }
    first += storedNow(sum).length;
  }
  for (const demand of task.demands) {
    equations.push(...(yield* equationsOf(only(demand), isDue)));
    accepted.push(...gapOf(demand)(demand.wanted));
  }
  return {
    free: [...task.free, ...driven.flatMap(({ sum }, i) => storedBytes(sum, stored[i] as readonly StoredBit[]))],
    equations,
    accepted: [accepted],
    measure: 'growth',
    own,
    verifies: (change) =>
      bringsAbout(
        task,
        change.filter(({ index }) => index < own),
      ),
  };
}

interface DrivenSum {
  readonly sum: DependentSum;
  /** The number of its first stored byte in the task. */
  readonly first: number;
}

/** The dependent sums that change with free bytes, by themselves or by way of earlier ones. */
function drivenSums({ free, dependentSums }: SumTask): readonly DrivenSum[] {
  const moving = new Set(free.keys());
  const driven: DrivenSum[] = [];
  let first = free.length;
  for (const sum of dependentSums) {
    const count = storedNow(sum).length;
    if ([...moving].some((number) => movesWith(sum, number))) {
      driven.push({ sum, first });
      for (let i = 0; i < count; i++) moving.add(first + i);
    }
    first += count;
  }
  return driven;
}

/** Where a bit of a value is stored. */
interface StoredBit {
  readonly bit: bigint;
  readonly byte: number;
  readonly mask: number;
}

function storedBits({ checksum: { bits }, bytesOf }: DependentSum): readonly StoredBit[] | undefined {
  const nothing = bytesOf(0n);
  const all: StoredBit[] = [];
  for (let i = 0; i < bits; i++) {
    const bit = 1n << BigInt(i);
    const flips = [...bytesOf(bit).entries()]
      .map(([byte, value]) => ({ bit, byte, mask: value ^ (nothing[byte] as number) }))
      .filter(({ mask }) => mask !== 0);
    const [only, more] = flips;
    if (only === undefined || more !== undefined || (only.mask & (only.mask - 1)) !== 0) return undefined;
    all.push(only);
  }
  return all;
}

function storedBytes(sum: DependentSum, bits: readonly StoredBit[]): readonly FreeByte[] {
  return [...storedNow(sum)].map((value, at) => ({
    value,
    mask: bits.reduce((mask, { byte, mask: own }) => (byte === at ? mask | own : mask), 0),
  }));
}

function withStoredBits({ effects }: BinarySum, bits: readonly StoredBit[], first: number): BinarySum {
  const whole = effects.map((list) => [...list]);
  for (const { bit, byte, mask } of bits) {
    const list = whole[first + byte] as bigint[];
    const at = 31 - Math.clz32(mask);
    list[at] = (list[at] as bigint) ^ bit;
  }
  return { kind: 'binary', effects: whole };
}

/** Subtracts what the stored bytes grow by; undefined where the bits of a byte have no common weight. */
function withStoredWeights(
  { weights, modulus }: ModularSum,
  bits: readonly StoredBit[],
  first: number,
  weightOf: (bit: bigint) => bigint,
): ModularSum | undefined {
  const ofByte = new Map<number, bigint>();
  for (const { bit, byte, mask } of bits) if (mask === 1) ofByte.set(byte, modulo(weightOf(bit), modulus));
  for (const { bit, byte, mask } of bits) {
    const weight = ofByte.get(byte);
    if (weight === undefined || modulo(weight * BigInt(mask) - weightOf(bit), modulus) !== 0n) return undefined;
  }
  return {
    kind: 'modular',
    modulus,
    weights: weights.map((own, i) => modulo(own - (ofByte.get(i - first) ?? 0n), modulus)),
  };
}
