import type { Steps } from '../../base/steps.js';
import { crcDivisions, crcSums } from './crcSums.js';
import type { ByteStatistics } from './imageEvidence.js';
import { type Images, isInOne, storedAt } from './images.js';
import { modularSums } from './modularSums.js';
import type { NaturalEnds } from './naturalEnds.js';
import type { EndKeys, RangeSum } from './rangeSum.js';
import { blocksOf, type SearchPlan, searchPlan, WIDTHS } from './searchPlan.js';

/** A rule that gives what is stored at a place in all images, with every range of which it does. */
export interface SumHit {
  readonly sum: RangeSum;
  readonly place: number;
  readonly ranges: readonly { readonly from: number; readonly end: number }[];
}

/** Ranges of fewer bytes than a few sums have hold too little to be summed. */
export function leastRange(width: number): number {
  return 2 * width + 2;
}

/** Tests after which others have their turn. */
const STRETCH = 1 << 15;

/** Ranges that are kept of one place and rule. */
const MOST_RANGES = 200;

/** Everything that gives a stored value in all images, by every rule that can be told from chance at its place. */
export function* storedSumSteps(
  images: Images,
  statistics: ByteStatistics,
  natural: NaturalEnds,
): Steps<{ readonly hits: readonly SumHit[]; readonly plans: readonly SearchPlan[] }> {
  const hits: SumHit[] = [];
  const plans: SearchPlan[] = [];
  for (const width of WIDTHS) {
    yield;
    const plan = yield* searchPlan(images, statistics, natural, width);
    plans.push(plan);
    if (!isOfUse(plan)) continue;
    const shared = {};
    for (const sum of yield* modularSums(images, width))
      hits.push(...(yield* hitsOf(images, sum, plan, natural, shared)));
    for (const division of crcDivisions(width))
      for (const sum of yield* crcSums(images, division, plan.ends))
        hits.push(...(yield* hitsOf(images, sum, plan, natural, shared)));
  }
  return { hits, plans };
}

/** Whether any place is worth a look. */
function isOfUse({ bits, tried }: SearchPlan): boolean {
  const least = Math.log2(tried.outer);
  return bits.some((one) => one >= least);
}

function* hitsOf(
  images: Images,
  sum: RangeSum,
  plan: SearchPlan,
  natural: NaturalEnds,
  shared: { index?: StartIndex },
): Steps<readonly SumHit[]> {
  const { width, order, unit } = sum;
  const { tried, bits } = plan;
  const { length } = images;
  const count = images.bytes.length;
  const found = new Map<string, { from: number; end: number }[]>();
  const stored = (image: number, place: number) => storedAt(images.bytes[image] as Uint8Array, place, width, order);
  const least = leastRange(width);
  let tests = 0;
  const leastBits = { outer: Math.log2(tried.outer), natural: Math.log2(tried.natural) };
  const isWorth = (place: number, tier: keyof typeof leastBits) =>
    place >= 0 && place + width <= length && (bits[place] as number) >= leastBits[tier];
  const keep = (place: number, from: number, end: number) => {
    const key = `${place} ${end}`;
    const known = found.get(key);
    if (known === undefined) found.set(key, [{ from, end }]);
    else if (known.length < MOST_RANGES) known.push({ from, end });
  };
  const known = sum.endKeys?.(0);
  /** The key of an end of the first image with what is behind it. */
  const firstBehind = (end: number) =>
    known === undefined ? sum.endKey(0, end, stored(0, end)) : keyIn(known, plan.ranks[end] as number);
  const fits = (place: number, from: number, end: number, hole: boolean) => {
    tests++;
    if ((end - from) % unit !== 0 || end - from < least) return false;
    for (let image = 0; image < count; image++) {
      const start = hole ? sum.holeKey(image, from, place) : (sum.startKeys[image]?.[from] as number);
      const isBehind = image === 0 && place === end;
      if (start !== (isBehind ? firstBehind(end) : sum.endKey(image, end, stored(image, place)))) return false;
    }
    return isInOne(images, from, end);
  };
  /** Every start of a range that ends somewhere, its sum behind it. */
  const allStarts = (end: number) => {
    const keys = images.bytes.map((_, image) => sum.endKey(image, end, stored(image, end)));
    const segment = images.segments.find(({ from, count: bytes }) => end > from && end <= from + bytes);
    if (segment === undefined) return;
    const starts: number[] = [];
    for (let from = end - least; from >= segment.from; from--)
      if ((end - from) % unit === 0 && keys.every((key, image) => sum.startKeys[image]?.[from] === key))
        starts.push(from);
    for (const from of roundest(starts)) keep(end, from, end);
  };
  const done = new Set<number>();
  const behind = (end: number) => {
    if (done.has(end)) return;
    done.add(end);
    allStarts(end);
  };

  const inFront = (from: number, ends: readonly number[]) => {
    const start = sum.startKeys[0]?.[from];
    const value = stored(0, from - width);
    tests += ends.length;
    for (const end of ends)
      if (end > from && sum.endKey(0, end, value) === start && fits(from - width, from, end, false))
        keep(from - width, from, end);
  };

  const first = sum.startKeys[0] as Int32Array;
  const { coarse, outside } = plan;
  const coarseHeads = new Int16Array(256).fill(-1);
  const coarseChain = new Int16Array(coarse.length);
  for (const [i, from] of coarse.entries()) {
    const slot = slotOf(first[from] as number);
    coarseChain[i] = coarseHeads[slot] as number;
    coarseHeads[slot] = i;
  }
  const notBeside = (place: number) => {
    const value = stored(0, place);
    for (const end of coarse) {
      if (place < end && place + width >= end) continue;
      const key = sum.endKey(0, end, value);
      tests += 4;
      for (let i = coarseHeads[slotOf(key)] as number; i >= 0; i = coarseChain[i] as number) {
        const from = coarse[i] as number;
        if (
          from < end &&
          first[from] === key &&
          (place >= end || from > place + width) &&
          fits(place, from, end, false)
        )
          keep(place, from, end);
      }
    }
    const wanted = outside.map((end) => (end > place + width ? sum.endKey(0, end, value) : 0));
    for (const from of outside) {
      if (from >= place || (place - from) % unit !== 0) continue;
      const start = sum.holeKey(0, from, place);
      for (let i = 0; i < outside.length; i++) {
        const end = outside[i] as number;
        if (wanted[i] === start && end > place + width && fits(place, from, end, true)) keep(place, from, end);
      }
      tests += 8;
    }
  };

  // Beside natural ends: of each end one key, and a look at all starts.
  for (const [tier, { starts, ends }] of [
    ['outer', plan.outer],
    ['natural', plan.natural],
  ] as const) {
    for (const end of ends) {
      if (!isWorth(end, tier)) continue;
      const key = firstBehind(end);
      for (const from of starts) if (from < end && first[from] === key && fits(end, from, end, false)) behind(end);
      tests += starts.length >> 3;
      if (tests > STRETCH) {
        tests = 0;
        yield;
      }
    }
    for (const from of starts) {
      if (!isWorth(from - width, tier)) continue;
      inFront(from, natural.all);
      if (tests > STRETCH) {
        tests = 0;
        yield;
      }
    }
  }
  for (const { from, end } of blocksOf(images)) {
    if (isWorth(end - width, 'natural') && fits(end - width, from, end - width, false)) behind(end - width);
    if (isWorth(from, 'natural') && fits(from, from + width, end, false)) keep(from, from + width, end);
    if (tests > STRETCH) {
      tests = 0;
      yield;
    }
  }
  // Somewhere else, or inside of the range.
  for (const place of plan.places) {
    notBeside(place);
    if (tests > STRETCH) {
      tests = 0;
      yield;
    }
  }
  // Every start there is: those with the key that an end wants are looked up, not tried.
  if (plan.freeEnds.length > 0) {
    if (shared.index?.keys !== sum.startKeys) shared.index = indexOf(sum.startKeys, length, width);
    const { index } = shared;
    const { heads, chain, marks } = index;
    const keys = yield* keysOfFreeEnds(images, sum, plan, index.images);
    for (let i = 0; i < keys.length; i++) {
      if (i % (STRETCH >> 4) === 0) yield;
      const key = keys[i] as number;
      const end = plan.freeEnds[i] as number;
      if (!isMarked(marks, key) || done.has(end)) continue;
      let from = heads[key & (heads.length - 1)] as number;
      for (let steps = 0; from >= 0 && steps < MOST_RANGES; from = chain[from] as number, steps++)
        if (from < end && fits(end, from, end, false)) {
          behind(end);
          break;
        }
    }
  }
  for (const from of plan.freeStarts) {
    inFront(from, natural.all);
    if (tests > STRETCH) {
      tests = 0;
      yield;
    }
  }
  return [...found].map(([key, ranges]) => ({ sum, place: Number(key.split(' ')[0]), ranges }));
}

/** What the starts must have, for each free end, of the images by which they are looked up. */
function* keysOfFreeEnds(images: Images, sum: RangeSum, plan: SearchPlan, count: number): Steps<Int32Array> {
  const { freeEnds, ranks } = plan;
  const keys = new Int32Array(freeEnds.length);
  for (let image = 0; image < count; image++) {
    yield;
    const known = sum.endKeys?.(image);
    const data = images.bytes[image] as Uint8Array;
    if (known === undefined) {
      for (const [i, end] of freeEnds.entries())
        keys[i] = mix(keys[i] as number, sum.endKey(image, end, storedAt(data, end, sum.width, sum.order)));
      continue;
    }
    for (let i = 0; i < keys.length; i++)
      keys[i] = mix(keys[i] as number, keyIn(known, ranks[freeEnds[i] as number] as number));
  }
  return keys;
}

function keyIn({ ofImage, ofSum }: EndKeys, rank: number): number {
  return (ofImage[rank] as number) ^ (ofSum === undefined ? 0 : (ofSum[rank] as number));
}

/** The starts that end in most zeros, where there are too many. */
function roundest(starts: readonly number[]): readonly number[] {
  if (starts.length <= MOST_RANGES) return starts;
  for (let step = 4; ; step *= 2) {
    const some = starts.filter((start, i) => start % step === 0 || i === 0 || i === starts.length - 1);
    if (some.length <= MOST_RANGES) return some;
  }
}

interface StartIndex {
  /** How many of the images tell starts apart. */
  readonly images: number;
  readonly keys: readonly Int32Array[];
  readonly heads: Int32Array;
  readonly chain: Int32Array;
  /** Bits by the keys that there are: most others are told by them, and they are few enough to be near. */
  readonly marks: Int32Array;
}

const MARKS_A_HEAD = 4;

/** So many bits tell the starts of an image apart. */
const BITS_OF_INDEX = 32;

/** All starts by their keys; ways to sum that share the keys share it. */
function indexOf(keys: readonly Int32Array[], length: number, width: number): StartIndex {
  const images = Math.min(keys.length, Math.ceil(BITS_OF_INDEX / (8 * width)));
  const heads = new Int32Array(2 ** Math.ceil(Math.log2(2 * length + 2))).fill(-1);
  const mixed = new Int32Array(length + 1);
  for (const key of keys.slice(0, images))
    for (let start = 0; start <= length; start++) mixed[start] = mix(mixed[start] as number, key[start] as number);
  const chain = new Int32Array(length + 1);
  const marks = new Int32Array((MARKS_A_HEAD * heads.length) / 32);
  for (let start = 0; start <= length; start++) {
    const key = mixed[start] as number;
    const slot = key & (heads.length - 1);
    chain[start] = heads[slot] as number;
    heads[slot] = start;
    const mark = key & (32 * marks.length - 1);
    marks[mark >> 5] = (marks[mark >> 5] as number) | (1 << (mark & 31));
  }
  return { images, keys, heads, chain, marks };
}

function isMarked(marks: Int32Array, key: number): boolean {
  const mark = key & (32 * marks.length - 1);
  return ((marks[mark >> 5] as number) & (1 << (mark & 31))) !== 0;
}

function slotOf(key: number): number {
  return (key ^ (key >>> 8) ^ (key >>> 16) ^ (key >>> 24)) & 0xff;
}

function mix(value: number, key: number): number {
  const mixed = Math.imul(value ^ key, 0x9e3779b1);
  return mixed ^ (mixed >>> 15);
}
