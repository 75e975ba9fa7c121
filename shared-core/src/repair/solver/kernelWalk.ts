import type { Chance } from './chance.js';
import type { IntegerSum } from './integerSums.js';
import { flip, type Level } from './kernelPlanes.js';
import { MEMBERS_TOGETHER, waySums } from './waySums.js';

/** Goes through the kernel, some members at once; ways in which what is decided is wrong are left at once. */
export interface Walk {
  /** Begins anew, from some values that fulfil the binary equations on, for what each sum must come to. */
  readonly begin: (from: Uint8Array, wanted: readonly number[]) => void;
  /** Goes on from so many ways; whether one of them fulfils all sums. The bytes are then its values. */
  readonly next: (nodes: number) => boolean;
  readonly isDone: () => boolean;
  readonly values: Uint8Array;
}

export function walkThrough(levels: readonly Level[], sums: readonly IntegerSum[], size: number): Walk {
  const words = new Int32Array(Math.ceil(size / 4));
  const values = new Uint8Array(words.buffer, 0, size);
  const stages = stagesOf(levels, sums, size);
  const last = stages.length - 1;
  const aims = new Int32Array(sums.length);
  /** For each stage the ways that are still to be gone, and the one that is taken. */
  const [open, taken] = [new Int32Array(stages.length), new Int32Array(stages.length)];
  let at = -1;
  function enter(stage: number): void {
    const { checks, ways } = stages[stage] as Stage;
    let alive = ways;
    for (let i = 0; i < checks.length && alive !== 0; i++) {
      const { waysThatDo, sum } = checks[i] as Check;
      alive = waysThatDo(values, aims[sum] as number, alive);
    }
    open[stage] = alive;
    taken[stage] = 0;
    at = stage;
  }
  function take(way: number): void {
    const { flips } = stages[at] as Stage;
    const start = ((taken[at] as number) ^ way) * words.length;
    for (let i = 0; i < words.length; i++) (words[i] as number) ^= flips[start + i] as number;
    taken[at] = way;
  }
  return {
    values,
    isDone: () => at < 0,
    begin: (from, wanted) => {
      values.set(from);
      aims.set(wanted);
      enter(0);
    },
    next: (nodes) => {
      for (let left = nodes; left > 0 && at >= 0; ) {
        const ways = open[at] as number;
        if (ways === 0) {
          take(0);
          at--;
          continue;
        }
        open[at] = ways & (ways - 1);
        take(31 - Math.clz32(ways & -ways));
        if (at === last) return true;
        enter(at + 1);
        left--;
      }
      return false;
    },
  };
}

/** Members that are taken or left together. */
interface Stage {
  /** What each way flips, one after the other. */
  readonly flips: Int32Array;
  readonly ways: number;
  readonly checks: readonly Check[];
}

interface Check {
  readonly sum: number;
  readonly waysThatDo: ReturnType<typeof waySums>;
}

/** The last stage has as many members as can be: most of what is looked at is there. */
function stagesOf(levels: readonly Level[], sums: readonly IntegerSum[], size: number): readonly Stage[] {
  const members = levels.flatMap((level) => level.members);
  const stages: Stage[] = [];
  let before = sums.map(() => 0);
  for (let end = members.length % MEMBERS_TOGETHER; end <= members.length; end += MEMBERS_TOGETHER) {
    const own = members.slice(Math.max(0, end - MEMBERS_TOGETHER), end);
    const decided = decidedBy(levels, end);
    const checks = sums.flatMap(({ weights }, sum) => {
      const bits = 32 - Math.clz32(decided[sum] as number);
      return bits === before[sum] ? [] : { sum, waysThatDo: waySums(own, weights, bits) };
    });
    before = [...decided].map((mask) => 32 - Math.clz32(mask));
    stages.push({ flips: flipsOf(own, size), ways: 2 ** (2 ** own.length) - 1, checks });
  }
  return stages;
}

/** What is decided after so many members. */
function decidedBy(levels: readonly Level[], count: number): Int32Array {
  let members = 0;
  let decided: Int32Array = new Int32Array();
  for (const level of levels) {
    members += level.members.length;
    if (members > count) break;
    decided = level.decided;
  }
  return decided;
}

/** What each way to take or leave members flips, four bytes to a word. */
function flipsOf(members: readonly Uint8Array[], size: number): Int32Array {
  const words = Math.ceil(size / 4);
  const flips = new Int32Array(words * 2 ** members.length);
  for (let way = 1; way < 2 ** members.length; way++) {
    const all = new Uint8Array(flips.buffer, 4 * words * way, size);
    for (const [i, member] of members.entries()) if ((way >>> i) & 1) flip(all, member);
  }
  return flips;
}

/** Members by chance, half of all, so that a walk begins elsewhere. */
export function mixed(from: Uint8Array, levels: readonly Level[], chance: Chance): Uint8Array {
  const values = from.slice();
  for (const { members } of levels) for (const member of members) if (chance(2) === 1) flip(values, member);
  return values;
}
