import type { Steps } from '../../base/steps.js';
import { chanceFrom, shuffled } from './chance.js';
import { flipsAt } from './elimination.js';
import type { Gf2Matrix } from './gf2Matrix.js';
import { type Budget, type Change, type System, spend } from './system.js';
import { fulfils, type Tables } from './tables.js';
import { emptyXorBasis, insert, isZero, reduce } from './xorBasis.js';

/** A kernel of so many members is gone through wholly. */
const MOST_MEMBERS = 20;

/**
 * Of a larger one so many members, chosen by chance, are gone through at a time; all others are mixed in by chance before
 * that, so that no byte stays as it is for long.
 */
const MEMBERS_A_TURN = 8;

const SAMPLES_A_STEP = 1024;

/**
 * Solves what is binary by elimination, and goes through its solutions until one fulfils the congruences as well: good
 * where these are narrow. 'none' where all solutions were looked at.
 */
export function* kernelSamples(
  system: System & { readonly verifies: (change: Change) => boolean },
  matrix: Gf2Matrix,
  tables: Tables,
  budget: Budget,
): Steps<Change | 'none' | undefined> {
  const solutions = solutionsOf(matrix);
  if (solutions === undefined) return 'none';
  const { flips, kernel } = solutions;
  const all = [...system.free.keys()];
  const chance = chanceFrom(kernel.length + 1);
  const isWhole = kernel.length <= MOST_MEMBERS;
  for (let samples = 0; ; ) {
    const members = isWhole ? kernel : shuffled(kernel, chance).slice(0, MEMBERS_A_TURN);
    for (let sample = 0; sample < 2 ** members.length; sample++, samples++) {
      if (sample > 0) flip(flips, members[31 - Math.clz32(sample & -sample)] as Int32Array);
      if (fulfils(tables, all, flips, 0)) {
        const change = changeOf(system, flips);
        if (system.verifies(change)) return change;
      }
      if (samples % SAMPLES_A_STEP !== 0) continue;
      if (!spend(budget, SAMPLES_A_STEP * (1 + (all.length + kernel.length) / 16))) return undefined;
      yield;
    }
    if (isWhole) return 'none';
    for (const member of kernel) if (chance(2) === 1) flip(flips, member);
  }
}

/** One solution of the binary equations over all bytes, and the flips that change nothing in them; undefined where there is none. */
function solutionsOf({ words, vectors, masks, targets }: Gf2Matrix) {
  const extra = Math.ceil(vectors.length / 4);
  const basis = emptyXorBasis(words, extra, 32 * words);
  const kernel: Int32Array[] = [];
  for (const [index, own] of vectors.entries()) {
    for (let bit = 0; bit < 8; bit++) {
      if (!((masks[index] as number) & (1 << bit))) continue;
      const vector = new Int32Array(words + extra);
      vector.set(own.subarray(bit * words, (bit + 1) * words));
      vector[words + (index >> 2)] = 1 << (8 * (index & 3) + bit);
      reduce(basis, vector, 0);
      if (!insert(basis, vector)) kernel.push(vector.slice(words));
    }
  }
  const target = new Int32Array(words + extra);
  target.set(targets.subarray(0, words));
  reduce(basis, target, 0);
  if (!isZero(target, 0, words)) return undefined;
  return { flips: target.slice(words), kernel };
}

function flip(flips: Int32Array, member: Int32Array): void {
  for (let word = 0; word < flips.length; word++) (flips[word] as number) ^= member[word] as number;
}

function changeOf({ free }: System, flips: Int32Array): Change {
  return free.flatMap(({ value }, index) => {
    const flipped = flipsAt(flips, index);
    return flipped === 0 ? [] : [{ index, value: value ^ flipped }];
  });
}
