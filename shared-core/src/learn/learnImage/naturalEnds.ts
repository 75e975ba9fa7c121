import type { Images } from './images.js';

/** Places where something may begin or end by what the image looks like. */
export interface NaturalEnds {
  /** Starts and ends of stretches of addresses, and of what is left of them without filler. */
  readonly outer: readonly number[];
  /** These, a grid over the image, and where filler begins and ends. */
  readonly all: readonly number[];
}

/** The grid has about so many lines. */
const LINES = 96;

const LEAST_STEP = 16;

/** More ends than these are left to the search that takes every one. */
const MOST_ENDS = 320;

export function naturalEnds(images: Images, fillers: readonly Run[]): NaturalEnds {
  const { segments, length } = images;
  const outer = new Set<number>();
  const all = new Set<number>();
  for (const { from, count } of segments) {
    for (const end of [from, from + count]) outer.add(end);
    for (const filler of fillers) {
      if (filler.from === from) outer.add(filler.end);
      if (filler.end === from + count) outer.add(filler.from);
    }
    const step = Math.max(LEAST_STEP, 2 ** Math.ceil(Math.log2(length / LINES)));
    for (let at = from; at < from + count; at += step) all.add(at);
  }
  for (const end of outer) all.add(end);
  for (const { from, end } of fillers) {
    if (all.size + 2 > MOST_ENDS) break;
    all.add(from);
    all.add(end);
  }
  const sorted = (ends: ReadonlySet<number>) => [...ends].filter((end) => end <= length).sort((a, b) => a - b);
  return { outer: sorted(outer), all: sorted(all) };
}

/** Bytes from one to before another. */
export interface Run {
  readonly from: number;
  readonly end: number;
}

/** How natural it is that something begins or ends at an address: the more zeros it ends in, the more. */
export function roundness(address: number): number {
  let zeros = 0;
  while (zeros < 32 && (address >>> zeros) % 2 === 0) zeros++;
  return zeros;
}
