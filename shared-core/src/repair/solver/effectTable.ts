import type { Gf2Matrix } from './gf2Matrix.js';
import type { FreeByte, System } from './system.js';

/** What each value of each byte does to the binary sums, in words of 32 bits. */
export interface Effects {
  readonly words: number;
  /** `of[index][value * words + word]`, against the value that the byte has. */
  readonly of: readonly Int32Array[];
  readonly target: Int32Array;
}

export function effectTable({ free }: System, { words, vectors, targets }: Gf2Matrix): Effects {
  const of = vectors.map((own, index) => {
    const now = (free[index] as FreeByte).value;
    const table = new Int32Array(256 * words);
    for (let value = 0; value < 256; value++) {
      for (let bit = 0; bit < 8; bit++) {
        if (!(((value ^ now) >> bit) & 1)) continue;
        for (let word = 0; word < words; word++) {
          (table[value * words + word] as number) ^= own[bit * words + word] as number;
        }
      }
    }
    return table;
  });
  return { words, of, target: targets };
}

/** Values of some bytes, kept by what they do to the binary sums. */
export interface EffectTable {
  /** Keeps values, unless others with the same effect are kept; false once there is no room for more. */
  readonly add: (values: Uint8Array) => boolean;
  /** Values kept that together with the values of other bytes bring about the target. */
  readonly missing: (bytes: readonly number[], values: Uint8Array) => Uint8Array | undefined;
}

export function emptyEffectTable({ words, of, target }: Effects, bytes: readonly number[], most: number): EffectTable {
  const mask = 2 ** Math.ceil(Math.log2(2 * most)) - 1;
  const slots = new Int32Array(mask + 1).fill(-1);
  const sums = new Int32Array(most * words);
  const kept = new Uint8Array(most * bytes.length);
  const sum = new Int32Array(words);
  let count = 0;
  const isSum = (entry: number) => {
    for (let word = 0; word < words; word++) if (sums[entry * words + word] !== sum[word]) return false;
    return true;
  };
  /** Adds up the effects in `sum`; the slot that holds this sum, or the empty one for it. */
  const slotOf = (which: readonly number[], values: Uint8Array) => {
    for (let i = 0; i < which.length; i++) {
      const table = of[which[i] as number] as Int32Array;
      const at = (values[i] as number) * words;
      for (let word = 0; word < words; word++) (sum[word] as number) ^= table[at + word] as number;
    }
    let hash = 0;
    for (let word = 0; word < words; word++) {
      hash = Math.imul(hash ^ (sum[word] as number), 0x9e3779b1);
      hash ^= hash >>> 15;
    }
    let slot = hash & mask;
    while (slots[slot] !== -1 && !isSum(slots[slot] as number)) slot = (slot + 1) & mask;
    return slot;
  };
  return {
    add: (values) => {
      if (count === most) return false;
      sum.fill(0);
      const slot = slotOf(bytes, values);
      if (slots[slot] !== -1) return true;
      slots[slot] = count;
      sums.set(sum, count * words);
      kept.set(values, count * bytes.length);
      count++;
      return true;
    },
    missing: (others, values) => {
      sum.set(target);
      const entry = slots[slotOf(others, values)] as number;
      return entry < 0 ? undefined : kept.subarray(entry * bytes.length, (entry + 1) * bytes.length);
    },
  };
}
