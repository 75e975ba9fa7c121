import type { Steps } from '../../base/steps.js';
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
    const decided = Int32Array.from(known, (bits) => 2 ** bits - 1);
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

export function flip(values: Uint8Array, member: Uint8Array): void {
  for (let i = 0; i < values.length; i++) (values[i] as number) ^= member[i] as number;
}
