import type { Steps } from '../../base/steps.js';
import { CRC_NAMES, crcModel } from '../../checksum/crcCatalogue.js';
import { type ByteStatistics, bitsAt } from './imageEvidence.js';
import type { Images } from './images.js';
import { type NaturalEnds, roundness } from './naturalEnds.js';

/** Kinds of ranges, the likeliest first. What is found in one is an accident of that kind alone, so that each has its own count. */
const TIERS = ['outer', 'natural', 'elsewhere', 'free'] as const;
export type Tier = (typeof TIERS)[number];

/** What is not surer than this is not called a find. */
export const LIKELY = 0.05;

/** What is tried for sums of one width. */
export interface SearchPlan {
  readonly width: number;
  /** How many rules each kind of ranges stands for, over all methods and all widths; what is left out counts as tried. */
  readonly tried: Readonly<Record<Tier, number>>;
  /** Bits that the values stored at a place are worth at most. */
  readonly bits: Float64Array;
  readonly outer: Ends;
  readonly natural: Ends;
  /** Places that are beside no end of their range. */
  readonly places: readonly number[];
  /** Ends of ranges whose sum is somewhere else, and of those inside of which it is. */
  readonly coarse: readonly number[];
  readonly outside: readonly number[];
  /** Starts and ends of ranges whose sum is behind them, for which every start is tried. */
  readonly freeEnds: readonly number[];
  /** Starts of ranges whose sum is in front of them, for which every natural end is tried. */
  readonly freeStarts: readonly number[];
  /** All ends that are asked for. */
  readonly ends: readonly number[];
  /** Where each of them is in that list. */
  readonly ranks: Int32Array;
}

interface Ends {
  readonly starts: readonly number[];
  readonly ends: readonly number[];
}

/** Ways to make a sum of so many bytes that are no CRC; both byte orders count. */
const MODULAR = { 1: 5, 2: 18, 3: 6, 4: 26 } as const;

export const WIDTHS = [1, 2, 3, 4] as const;
export type Width = (typeof WIDTHS)[number];

export function waysToSum(width: Width): number {
  const models = CRC_NAMES.filter((model) => crcModel(model)?.width === 8 * width).length;
  return MODULAR[width] + models * (width === 1 ? 1 : 2);
}

/** More places and starts than these are not looked at, as nobody would wait for it. */
const MOST = { places: 96, coarse: 64, outside: 20, starts: 300 } as const;

/** Places after which others have their turn. */
const STRETCH = 4096;

/** The image is parted in blocks of a power of two, down to this one. */
const LEAST_BLOCK = 16;

export function* searchPlan(
  images: Images,
  statistics: ByteStatistics,
  natural: NaturalEnds,
  width: Width,
): Steps<SearchPlan> {
  const { length } = images;
  const bits = new Float64Array(length + 1);
  for (let at = 0; at + width <= length; at++) {
    if (at % STRETCH === 0) yield;
    bits[at] = bitsAt(images, statistics, at, width);
  }
  const ways = WIDTHS.reduce((sum, one) => sum + waysToSum(one), 0);
  const around = (ends: readonly number[]): Ends => ({
    starts: within(images, [...ends, ...ends.map((end) => end + width)]),
    ends: within(images, [...ends, ...ends.map((end) => end - width)]),
  });
  const [outer, all] = [around(natural.outer), around(natural.all)];
  const candidates = placesIn(images, natural, width);
  const pairs = ({ starts, ends }: Ends) => starts.length * ends.length;
  const [coarse, outside] = [roundestEnds(natural, MOST.coarse), roundestEnds(natural, MOST.outside)];
  const tried = {
    outer: TIERS.length * ways * 2 * pairs(outer),
    natural: TIERS.length * ways * (2 * pairs(all) + (4 * length) / LEAST_BLOCK),
    elsewhere: TIERS.length * ways * coarse.length ** 2 * candidates.length,
    free: TIERS.length * ways * length * (length + natural.all.length),
  };
  const isWorth = (tier: Tier) => (at: number) => (bits[at] as number) >= Math.log2(tried[tier] / LIKELY);
  const positions = Array.from({ length: Math.max(0, length - width + 1) }, (_, at) => at);
  const fronts = positions.filter(isWorth('free')).map((at) => at + width);
  const freeEnds = positions.filter(isWorth('free'));
  const ends = within(images, [...all.ends, ...freeEnds, ...blockEnds(images, width)]);
  const ranks = new Int32Array(length + 1);
  for (const [rank, end] of ends.entries()) ranks[end] = rank;
  return {
    width,
    tried,
    bits,
    outer,
    natural: all,
    coarse,
    outside,
    places: candidates.filter(isWorth('elsewhere')),
    freeEnds,
    freeStarts: fronts.length > MOST.starts ? [] : fronts,
    ends,
    ranks,
  };
}

/** The outer ends, and of the natural ones the roundest up to so many. */
function roundestEnds({ all, outer }: NaturalEnds, most: number): readonly number[] {
  const round = [...all].sort((a, b) => roundness(b) - roundness(a)).slice(0, Math.max(0, most - outer.length));
  return [...new Set([...outer, ...round])].sort((a, b) => a - b);
}

/** Blocks of a power of two, each at a multiple of its length. */
export function* blocksOf({ segments }: Images): Iterable<{ readonly from: number; readonly end: number }> {
  for (const { from, count } of segments)
    for (let block = LEAST_BLOCK; block <= count; block *= 2)
      for (let at = from; at + block <= from + count; at += block) yield { from: at, end: at + block };
}

function blockEnds(images: Images, width: number): readonly number[] {
  const ends: number[] = [];
  for (const { end } of blocksOf(images)) ends.push(end, end - width);
  return ends;
}

/** Places beside natural ends, and those at the very start and end of the image. */
function placesIn({ length, segments }: Images, { all }: NaturalEnds, width: number): readonly number[] {
  const found = new Set<number>();
  for (const { from, count } of segments)
    for (let i = 0; i < 32; i += width === 3 ? 1 : width) {
      found.add(from + i);
      found.add(from + count - width - i);
    }
  for (const end of all)
    for (const at of [end, end - width, end + width, end - 2 * width]) if (found.size < MOST.places) found.add(at);
  return [...found].filter((at) => at >= 0 && at + width <= length).sort((a, b) => a - b);
}

function within({ length }: Images, ends: readonly number[]): readonly number[] {
  return [...new Set(ends)].filter((end) => end >= 0 && end <= length).sort((a, b) => a - b);
}
