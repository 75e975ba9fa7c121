import type { Steps } from '../../base/steps.js';
import type { Chance } from './chance.js';
import type { IntegerSum, SumGroup } from './integerSums.js';
import type { Kernel } from './kernelOf.js';
import { turnsOf } from './system.js';

/**
 * A part of the kernel, after which the lowest bits of some sums are decided, whatever the members of later levels do:
 * carries go up only.
 */
export interface Level {
  readonly members: readonly Uint8Array[];
  /** For each sum the bits of it that are decided. */
  readonly decided: Int32Array;
}

/**
 * The kernel in levels: each decides the next bit of the sum that needs fewest bits of bytes for it. These are the bits
 * that count less than it; of those that count as much only their parity matters, which one member is enough for.
 */
export function* levelsOf({ members, flips }: Kernel, sums: readonly IntegerSum[]): Steps<readonly Level[]> {
  const isDue = turnsOf();
  let left = members.map((member) => member.slice());
  let open = [...flips.keys()].flatMap((byte) => EIGHT.map((bit): Bit => ({ byte, bit })));
  const known = sums.map(() => 0);
  const levels: Level[] = [];
  /** Takes a member out that moves the parity of some bits; all that are left keep it. */
  function* pivotOf(bits: readonly Bit[]): Steps<readonly Uint8Array[]> {
    if (isDue(left.length * (bits.length + flips.length / 8))) yield;
    const moving = left.filter((member) => parityOf(member, bits) === 1);
    const [pivot, ...others] = moving;
    if (pivot === undefined) return [];
    left = left.filter((member) => member !== pivot);
    for (const member of others) flip(member, pivot);
    return [pivot];
  }
  function addLevel(own: readonly Uint8Array[]): void {
    const decided = Int32Array.from(known, (bits) => (bits >= WIDTH ? -1 : 2 ** bits - 1));
    if (own.length > 0 || levels.length === 0) levels.push({ members: own, decided });
    else levels.push({ members: (levels.pop() as Level).members, decided });
  }
  addLevel([]);
  for (;;) {
    const next = sums
      .flatMap((sum, i) => {
        const bit = known[i] as number;
        return bit < sum.planes ? { sum, i, bit, below: open.filter((one) => planeIn(sum, one) < bit) } : [];
      })
      .reduce<Next | undefined>((best, one) => (best && best.below.length <= one.below.length ? best : one), undefined);
    if (next === undefined) break;
    const own: Uint8Array[] = [];
    for (const one of next.below) own.push(...(yield* pivotOf([one])));
    open = open.filter((one) => planeIn(next.sum, one) >= next.bit);
    own.push(...(yield* pivotOf(open.filter((one) => planeIn(next.sum, one) === next.bit))));
    known[next.i] = next.bit + 1;
    addLevel(own);
  }
  addLevel(left);
  return levels;
}

interface Next {
  readonly sum: IntegerSum;
  readonly i: number;
  readonly bit: number;
  readonly below: readonly Bit[];
}

/** The bit of a sum that a bit of a byte counts as. */
function planeIn({ weights }: IntegerSum, { byte, bit }: Bit): number {
  const weight = weights[byte] as number;
  return weight === 0 ? WIDTH : bit + WIDTH - 1 - Math.clz32(weight & -weight);
}

function parityOf(member: Uint8Array, bits: readonly Bit[]): number {
  let parity = 0;
  for (const { byte, bit } of bits) parity ^= ((member[byte] as number) >> bit) & 1;
  return parity;
}

interface Bit {
  readonly byte: number;
  readonly bit: number;
}

const EIGHT = [0, 1, 2, 3, 4, 5, 6, 7];
const WIDTH = 32;

/** How many members of a kernel are looked at, each as a power of two. */
export interface WalkLength {
  /** Until one is likely to fulfil all sums. */
  readonly toFind: number;
  /** In all. */
  readonly whole: number;
}

export function walkLength(levels: readonly Level[], groups: readonly SumGroup[]): WalkLength {
  const sums = groups.flatMap((group) => group.sums);
  const said = ({ bits }: IntegerSum, mask: number) => Math.min(bits, 32 - Math.clz32(mask));
  const decided = levels.map((level, at) =>
    sums.reduce(
      (bits, sum, i) => bits + said(sum, level.decided[i] as number) - said(sum, levels[at - 1]?.decided[i] ?? 0),
      0,
    ),
  );
  let [toFind, ahead] = [0, 0];
  let [whole, open] = [0, 0];
  for (const [at, { members }] of levels.entries()) {
    open += members.length;
    whole = Math.max(whole, open);
    open -= decided[at] as number;
    const back = levels.length - 1 - at;
    ahead += decided[back] as number;
    toFind = Math.max(toFind, ahead);
    ahead -= (levels[back] as Level).members.length;
  }
  // What is wanted is taken by its chance, so that some of it is less likely than the likeliest.
  const less = groups.reduce((bits, { wanted }) => {
    const most = wanted.reduce((largest, { chance }) => Math.max(largest, chance), 0);
    return bits - Math.log2(wanted.reduce((sum, { chance }) => sum + chance ** 2, 0) / most);
  }, 0);
  const choices = groups.reduce((bits, { wanted }) => bits + Math.log2(wanted.length), 0);
  return { toFind: toFind + less, whole: whole + choices };
}

/** Goes through the kernel level by level; what is decided and wrong is left at once. */
export interface Walk {
  /** Begins anew, from some values that fulfil the binary equations on, for what each sum must come to. */
  readonly begin: (from: Uint8Array, wanted: readonly number[]) => void;
  /** Looks at so many members; whether one of them fulfils all sums. The bytes are then its values. */
  readonly next: (nodes: number) => boolean;
  readonly isDone: () => boolean;
  readonly values: Uint8Array;
}

export function walkThrough(levels: readonly Level[], sums: readonly IntegerSum[], size: number): Walk {
  const words = new Int32Array(Math.ceil(size / 4));
  const values = new Uint8Array(words.buffer, 0, size);
  const members = levels.map((level) => level.members.map(wordsOf));
  const ends = levels.map((level) => 2 ** Math.min(MOST_COUNTED, level.members.length));
  const counts = levels.map(() => 0);
  const checks = levels.map(({ decided }, at) =>
    sums.flatMap(({ weights }, sum) => {
      const mask = decided[sum] as number;
      if (mask === (levels[at - 1]?.decided[sum] ?? 0)) return [];
      const bytes = Int32Array.from([...weights.keys()].filter((byte) => ((weights[byte] as number) & mask) !== 0));
      return { bytes, weights: bytes.map((byte) => weights[byte] as number), sum, mask };
    }),
  );
  const aims = new Int32Array(sums.length);
  const isRight = (at: number) => {
    for (const { bytes, weights, sum, mask } of checks[at] as (typeof checks)[number]) {
      let total = 0;
      for (let i = 0; i < bytes.length; i++) {
        // Products are taken modulo 2^32, as is their sum.
        total = (total + Math.imul(weights[i] as number, values[bytes[i] as number] as number)) | 0;
      }
      if (((total - (aims[sum] as number)) & mask) !== 0) return false;
    }
    return true;
  };
  let level = 0;
  let [isLeaving, isDone] = [false, false];
  return {
    values,
    isDone: () => isDone,
    begin: (from, wanted) => {
      values.set(from);
      aims.set(wanted);
      level = 0;
      counts[0] = 0;
      [isLeaving, isDone] = [false, false];
    },
    next: (nodes) => {
      for (let left = nodes; left > 0 && !isDone; left--) {
        if (isLeaving) {
          while (level >= 0 && ++(counts[level] as number) === ends[level]) level--;
          if (level < 0) {
            isDone = true;
            return false;
          }
          const count = counts[level] as number;
          const member = members[level]?.[31 - Math.clz32(count & -count)] as Int32Array;
          for (let i = 0; i < words.length; i++) (words[i] as number) ^= member[i] as number;
        }
        isLeaving = !isRight(level);
        if (isLeaving) continue;
        if (level === levels.length - 1) {
          isLeaving = true;
          return true;
        }
        counts[++level] = 0;
      }
      return false;
    },
  };
}

const MOST_COUNTED = 30;

/** Bytes four at a time, to be flipped together. */
function wordsOf(bytes: Uint8Array): Int32Array {
  const words = new Int32Array(Math.ceil(bytes.length / 4));
  new Uint8Array(words.buffer).set(bytes);
  return words;
}

function flip(values: Uint8Array, member: Uint8Array): void {
  for (let i = 0; i < values.length; i++) (values[i] as number) ^= member[i] as number;
}

/** Members by chance, half of all, so that a walk begins elsewhere. */
export function mixed(from: Uint8Array, levels: readonly Level[], chance: Chance): Uint8Array {
  const values = from.slice();
  for (const { members } of levels) for (const member of members) if (chance(2) === 1) flip(values, member);
  return values;
}
