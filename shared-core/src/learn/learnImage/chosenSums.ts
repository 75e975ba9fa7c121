import { type ByteOrder, bytesOfNumber } from '../../base/number.js';
import type { Steps } from '../../base/steps.js';
import { valueOver } from '../../checksum/checksum.js';
import { checksumOf, type SumSpec } from '../../checksum/registry.js';
import { type ByteStatistics, bitsAt, chanceOfBits, toldByOne, valuesAt } from './imageEvidence.js';
import { addressAt, type Images, storedAt } from './images.js';
import { type Run, roundness } from './naturalEnds.js';
import type { RangeSum } from './rangeSum.js';
import { LIKELY, type SearchPlan, type Tier } from './searchPlan.js';
import { leastRange, type SumHit } from './storedSums.js';

/** A sum over a range of bytes, and where it is stored. */
export interface StoredSum {
  readonly spec: SumSpec;
  readonly order: ByteOrder;
  readonly width: number;
  readonly place: number;
  /** The covered bytes, those aside in which it is stored itself. */
  readonly range: Run;
  readonly chance: number;
  /** How many different values these images store there. */
  readonly values: number;
  /** The covered bytes are not the same in all images, and the stored value is. */
  readonly kept: boolean;
  /** Other starts or ends that give the same in all images, where what lies between says nothing. */
  readonly otherEnds: readonly Run[];
  /** Other rules that these images cannot tell from it. */
  readonly rivals: readonly StoredSum[];
}

/** Beyond this factor a rule that fits as well is no rival: it fits by accident, or what it says follows from the best. */
const MUCH_LIKELIER = 2 ** 12;

/** Of all that fits, the likeliest rule for each place, best first. */
export function* chosenSums(
  images: Images,
  statistics: ByteStatistics,
  hits: readonly SumHit[],
  plans: readonly SearchPlan[],
): Steps<readonly StoredSum[]> {
  const placesOf = new Map<RangeSum, number[]>();
  for (const { sum, place } of hits) placesOf.set(sum, [...(placesOf.get(sum) ?? []), place]);
  const all: { readonly sum: StoredSum; readonly weight: number }[] = [];
  const merged = new Map<string, { sum: RangeSum; place: number; ranges: Run[] }>();
  const numbers = new Map([...placesOf.keys()].map((sum, i) => [sum, i]));
  for (const { sum, place, ranges } of hits) {
    const key = `${numbers.get(sum)} ${place}`;
    const known = merged.get(key);
    if (known === undefined) merged.set(key, { sum, place, ranges: [...ranges] });
    else known.ranges.push(...ranges);
  }
  for (const hit of merged.values()) {
    yield;
    const plan = plans.find(({ width }) => width === hit.sum.width);
    const chosen = plan && chosenRange(images, statistics, hit, plan, placesOf.get(hit.sum) ?? []);
    if (chosen !== undefined)
      all.push({ sum: chosen, weight: Math.log2(chosen.chance) + hit.sum.cost + costOfPlace(chosen) });
  }
  all.sort((a, b) => a.weight - b.weight);
  const taken: StoredSum[] = [];
  for (const { sum } of all) {
    // Where all bytes together come to one number, each is what the others lack: the likeliest place is that of the sum.
    const stretch = stretchOf(sum);
    const over = taken.findIndex((other) => overlaps(sum, other) || stretchOf(other) === stretch);
    const other = taken[over];
    if (other === undefined) {
      taken.push(sum);
      continue;
    }
    const isRival = stretchOf(other) === stretch || (other.place === sum.place && other.width === sum.width);
    if (isRival && isOtherRule(sum, other) && sum.chance <= other.chance * MUCH_LIKELIER)
      taken[over] = { ...other, rivals: [...other.rivals, sum] };
  }
  return taken.sort((a, b) => a.place - b.place);
}

/** Whether two rules differ at all: with so many bytes the start value of a CRC may be as good as its end value. */
function isOtherRule(one: StoredSum, other: StoredSum): boolean {
  if (one.place !== other.place || one.range.from !== other.range.from || one.range.end !== other.range.end)
    return true;
  const length = one.range.end - one.range.from;
  return [7, 91].some((factor) => {
    const run = Uint8Array.from({ length }, (_, i) => (i + 1) * factor + (i >> 3));
    const stored = ({ spec, order, width }: StoredSum) =>
      bytesOfNumber(valueOver(checksumOf(spec), run), width, order).join(' ');
    return stored(one) !== stored(other);
  });
}

/** A sum stands behind what it covers more often than in front of it, and seldom inside. */
function costOfPlace({ place, width, range }: StoredSum): number {
  if (place >= range.end) return 0;
  return place + width <= range.from ? 6 : 10;
}

function overlaps(one: StoredSum, other: StoredSum): boolean {
  return one.place < other.place + other.width && other.place < one.place + one.width;
}

/** The rule, and all bytes that it speaks of. */
function stretchOf({ spec, order, place, width, range: { from, end } }: StoredSum): string {
  const said = Object.entries(spec).map(([key, value]) => `${key} ${value}`);
  return [...said, order, Math.min(from, place), Math.max(end, place + width)].join(' ');
}

function chosenRange(
  images: Images,
  statistics: ByteStatistics,
  { sum, place, ranges }: { readonly sum: RangeSum; readonly place: number; readonly ranges: readonly Run[] },
  plan: SearchPlan,
  places: readonly number[],
): StoredSum | undefined {
  const { width, spec, order } = sum;
  const found = [...new Map(ranges.map((range) => [`${range.from} ${range.end}`, range])).values()]
    .map((range) => ({
      range,
      tier: tierOf(range, place, plan),
      holdsOther: places.some((other) => other !== place && other >= range.from && other + width <= range.end),
      round: roundnessOf(images, range, place, width),
    }))
    .sort(
      (a, b) =>
        Number(a.holdsOther) - Number(b.holdsOther) ||
        plan.tried[a.tier] - plan.tried[b.tier] ||
        b.round - a.round ||
        a.range.end - a.range.from - (b.range.end - b.range.from),
    );
  const best = found.find(({ range }) => isSummed(images, sum, place, range));
  if (best === undefined) return undefined;
  const { range } = best;
  const told = toldByOne(images, statistics, place, width, range.from, range.end);
  const bits = bitsAt(images, statistics, place, width, (at) => told.has(at));
  const chance = chanceOfBits(plan.tried[best.tier], bits);
  if (chance > LIKELY) return undefined;
  const values = valuesAt(images, place, width);
  const others = found.filter((other) => other !== best && (!other.holdsOther || best.holdsOther));
  const { empty, telling } = otherRanges(
    images,
    range,
    place,
    width,
    others.map((other) => other.range),
  );
  const sumOver = (over: Run, rivals: readonly StoredSum[], otherEnds: readonly Run[]): StoredSum => ({
    ...{ spec, order, width, place, range: over, chance, values, rivals, otherEnds },
    kept: values === 1 && variesIn(statistics, over, place, width),
  });
  return sumOver(
    range,
    telling.map((other) => sumOver(other, [], [])),
    empty,
  );
}

function tierOf({ from, end }: Run, place: number, { outer, natural, width }: SearchPlan): Tier {
  if (place !== end && place + width !== from) return 'elsewhere';
  if (outer.starts.includes(from) && outer.ends.includes(end)) return 'outer';
  const block = Math.max(end, place + width) - Math.min(from, place);
  const isBlock = Number.isInteger(Math.log2(block)) && Math.min(from, place) % block === 0;
  return isBlock || (natural.starts.includes(from) && natural.ends.includes(end)) ? 'natural' : 'free';
}

function roundnessOf(images: Images, { from, end }: Run, place: number, width: number): number {
  const start = place + width === from ? place : from;
  const last = place === end ? end + width : end;
  return (
    Math.max(roundness(addressAt(images, start)), roundness(addressAt(images, from))) +
    roundness(addressAt(images, last))
  );
}

/** Whether the sum over the range is what every image stores, and the range holds enough to be summed. */
function isSummed(images: Images, { spec, order, width }: RangeSum, place: number, range: Run): boolean {
  const checksum = checksumOf(spec);
  return images.bytes.every((bytes) => {
    const run = runOf(bytes, range, place, width);
    if (differentBytes(run) < leastRange(width)) return false;
    return valueOver(checksum, run) === BigInt(storedAt(bytes, place, width, order) >>> 0);
  });
}

function runOf(bytes: Uint8Array, { from, end }: Run, place: number, width: number): Uint8Array {
  if (place < from || place >= end) return bytes.subarray(from, end);
  const run = new Uint8Array(end - from - width);
  run.set(bytes.subarray(from, place));
  run.set(bytes.subarray(place + width, end), place - from);
  return run;
}

/** Bytes that are not the commonest one. */
function differentBytes(run: Uint8Array): number {
  const counts = new Int32Array(256);
  for (const byte of run) counts[byte] = (counts[byte] as number) + 1;
  return run.length - counts.reduce((most, count) => Math.max(most, count), 0);
}

function variesIn({ varies }: ByteStatistics, { from, end }: Run, place: number, width: number): boolean {
  for (let i = from; i < end; i++) if (varies[i] === 1 && (i < place || i >= place + width)) return true;
  return false;
}

/** Ranges that differ in nothing but one value over and over, and those that differ in what tells something. */
function otherRanges(
  { bytes }: Images,
  best: Run,
  place: number,
  width: number,
  others: readonly Run[],
): { readonly empty: readonly Run[]; readonly telling: readonly Run[] } {
  const isOne = (from: number, end: number) => {
    const [low, high] = [Math.min(from, end), Math.max(from, end)];
    const value = bytes[0]?.[low];
    for (let i = low; i < high; i++) {
      if (i >= place && i < place + width) continue;
      if (bytes.some((image) => image[i] !== value)) return false;
    }
    return true;
  };
  const isEmpty = ({ from, end }: Run) => isOne(from, best.from) && isOne(end, best.end);
  return { empty: others.filter(isEmpty), telling: others.filter((other) => !isEmpty(other)).slice(0, 3) };
}
