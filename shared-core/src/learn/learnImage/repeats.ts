import type { Steps } from '../../base/steps.js';
import { type ByteStatistics, chanceOfBits } from './imageEvidence.js';
import { addressAt, type Images, segmentAt } from './images.js';
import { type Run, roundness } from './naturalEnds.js';

/** Bytes that come again at other places in every image, as they are or with each bit turned over. */
export interface Repeat {
  readonly first: Run;
  /** Where the others begin. */
  readonly at: readonly number[];
  readonly isInverted: boolean;
  /** That bytes which vary from image to image agree by accident; 1 where none varies, and each may stay as it is for itself. */
  readonly chance: number;
}

/** So many bytes that agree are looked at more closely. */
const WINDOW = 8;

/** Equal places that are looked at for each. */
const MOST_ALIKE = 24;

/** Repeats of bytes that never vary are worth a word from this length on. */
const LEAST_CONSTANT = 32;

const STRETCH = 4096;

export function* repeatSteps(images: Images, statistics: ByteStatistics): Steps<readonly Repeat[]> {
  const pairs: { readonly first: Run; readonly at: number; readonly isInverted: boolean; readonly bits: number }[] = [];
  let looked = 0;
  for (const isInverted of [false, true]) {
    const found = yield* pairsIn(images, isInverted);
    looked += found.length;
    for (const [i, { from, end, distance }] of found.entries()) {
      if (i % 64 === 0) yield;
      const bits = varyingBits(images, statistics, from, end);
      if (bits === 0 && end - from < LEAST_CONSTANT) continue;
      const first = rounded(images, statistics, { from, end }, bits > 0);
      pairs.push({ first, at: first.from + distance, isInverted, bits });
    }
  }
  pairs.sort((a, b) => a.first.from - b.first.from || b.first.end - a.first.end || a.at - b.at);
  const groups: (Omit<Repeat, 'at'> & { readonly at: number[] })[] = [];
  for (const { first, at, isInverted, bits } of pairs) {
    const length = first.end - first.from;
    // What is said of the first place of a group is said of the others with it.
    const isKnown = groups.some((one) =>
      one.at.some((other) => first.from >= other && first.end <= other + one.first.end - one.first.from),
    );
    if (isKnown) continue;
    const chance = bits === 0 ? 1 : chanceOfBits(looked, bits);
    const group = groups.find(
      (one) => one.isInverted === isInverted && one.first.from === first.from && one.first.end === first.end,
    );
    if (group !== undefined) group.at.push(at);
    // Part of what is known to come again comes again with it.
    else if (
      !groups.some(
        (one) =>
          one.first.from <= first.from &&
          first.end <= one.first.end &&
          one.at.includes(at - first.from + one.first.from),
      )
    )
      groups.push({ first: { from: first.from, end: first.from + length }, at: [at], isInverted, chance });
  }
  return groups;
}

interface Pair extends Run {
  readonly distance: number;
}

/** All longest stretches that come again further behind. Neither one value over and over, nor a pattern that meets itself. */
function* pairsIn(images: Images, isInverted: boolean): Steps<readonly Pair[]> {
  const { bytes, length } = images;
  const flip = isInverted ? 0xff : 0;
  const size = 2 ** Math.ceil(Math.log2(2 * length + 2));
  const heads = new Int32Array(size).fill(-1);
  const chain = new Int32Array(length + 1);
  const slotOf = (at: number, mask: number) => {
    let value = 0;
    for (const image of bytes)
      for (let i = 0; i < WINDOW; i++) value = Math.imul(value ^ ((image[at + i] as number) ^ mask), 0x01000193);
    return (value ^ (value >>> 15)) & (size - 1);
  };
  const agrees = (one: number, other: number) =>
    bytes.every((image) => image[one] === ((image[other] as number) ^ flip));
  const reached = new Map<number, number>();
  const pairs: Pair[] = [];
  for (let at = 0; at + WINDOW <= length; at++) {
    if (at % STRETCH === 0) yield;
    if (!isTelling(bytes[0] as Uint8Array, at)) continue;
    let before = heads[slotOf(at, flip)] as number;
    for (let looks = 0; before >= 0 && looks < MOST_ALIKE; before = chain[before] as number, looks++) {
      const distance = at - before;
      if ((reached.get(distance) ?? 0) > at || !agrees(before, at)) continue;
      const [one, other] = [segmentAt(images, before), segmentAt(images, at)];
      if (one === undefined || other === undefined) continue;
      let [from, end] = [before, before];
      while (from > one.from && from + distance > other.from && agrees(from - 1, from - 1 + distance)) from--;
      while (end < one.from + one.count && end + distance < other.from + other.count && agrees(end, end + distance))
        end++;
      reached.set(distance, end + distance);
      if (end - from >= WINDOW && end - from <= distance) pairs.push({ from, end, distance });
    }
    const slot = slotOf(at, 0);
    chain[at] = heads[slot] as number;
    heads[slot] = at;
  }
  return pairs;
}

/** Whether bytes are of several values. */
function isTelling(bytes: Uint8Array, at: number): boolean {
  return new Set(bytes.subarray(at, at + WINDOW)).size >= 4;
}

/** Bits that the bytes are worth which are not the same in all images. */
function varyingBits({ bytes }: Images, { varies, varyingWorth }: ByteStatistics, from: number, end: number): number {
  let bits = 0;
  for (let at = from; at < end; at++) {
    if (varies[at] !== 1) continue;
    const seen = new Set<number>([bytes[0]?.[at] as number]);
    for (const [image, data] of bytes.entries()) {
      const byte = data[at] as number;
      if (!seen.has(byte)) bits += varyingWorth[image]?.[byte] as number;
      seen.add(byte);
    }
  }
  return bits;
}

/** The roundest ends that leave out nothing that varies: bytes that are always the same may agree by accident. */
function rounded(images: Images, { varies }: ByteStatistics, { from, end }: Run, hasVarying: boolean): Run {
  if (!hasVarying) return { from, end };
  let [low, high] = [from, end];
  while (varies[low] !== 1) low++;
  while (varies[high - 1] !== 1) high--;
  const roundest = (some: number, last: number, isEnd: boolean) => {
    let best = isEnd ? last : some;
    for (let at = some; at <= last; at++)
      if (roundness(addressAt(images, at)) > roundness(addressAt(images, best))) best = at;
    return best;
  };
  return { from: roundest(from, low, false), end: roundest(high, end, true) };
}
