import { signed } from './infeasibility.js';
import { isModular, type ModularSum, modulo, type System } from './system.js';

/**
 * A congruence as a sum over whole numbers, with the values of bytes in place of their growth. Of a modulus that is a power
 * of two it counts by that modulus.
 */
export interface IntegerSum {
  readonly weights: Int32Array;
  /** How many of the lowest bits of the sum count: those of the modulus, or 32 where it has to be exact. */
  readonly planes: number;
  /** How many bits it says, roughly. */
  readonly bits: number;
}

/** Sums that come to values together: all that the bytes can reach are listed, with the chance of each where the bytes are anything. */
export interface SumGroup {
  readonly sums: readonly IntegerSum[];
  readonly wanted: readonly Wanted[];
}

export interface Wanted {
  readonly values: readonly number[];
  readonly chance: number;
}

/** A sum modulo a power of two. */
export interface RingSum extends IntegerSum {
  readonly of: Congruence;
  /** What it has to come to. */
  readonly target: number;
}

const WIDEST = 2 ** 31;
const WIDEST_MODULUS = 2 ** 32;

/** A sum for each congruence; undefined where numbers are too large for 32 bits. */
export function integerSumsOf(system: System): readonly SumGroup[] | undefined {
  return withEach(system.free, [], congruencesOf(system));
}

/** Some sums together, and each other congruence by itself; undefined where one of those is too large for 32 bits. */
export function withEach(
  free: System['free'],
  together: readonly SumGroup[],
  others: readonly Congruence[],
): readonly SumGroup[] | undefined {
  const groups = [...together];
  for (const one of others) {
    const group = integerSum(free, one);
    if (group === undefined) return undefined;
    groups.push(group);
  }
  return groups;
}

export type Congruence = ModularSum & { readonly growth: bigint };

/** All congruences; of two with one odd modulus the second has small weights. */
export function congruencesOf({ equations, accepted }: System): readonly Congruence[] {
  const all = equations.flatMap((equation, i) =>
    isModular(equation) ? [{ ...equation, growth: accepted[0]?.[i] as bigint }] : [],
  );
  return all.map((one, i) => {
    const before = all.slice(0, i).find(({ modulus }) => modulus === one.modulus && modulus % 2n === 1n);
    return before === undefined ? one : narrowed(one, before);
  });
}

/** The same less a multiple of another congruence, so that its weights are small: they are places, counted from one of the bytes. */
function narrowed(one: Congruence, other: Congruence): Congruence {
  const { modulus } = one;
  const less = (times: bigint): Congruence => ({
    ...one,
    weights: one.weights.map((weight, i) => modulo(weight - times * (other.weights[i] as bigint), modulus)),
    growth: modulo(one.growth - times * other.growth, modulus),
  });
  const width = ({ weights }: Congruence) =>
    weights.reduce((sum, weight) => sum + Math.abs(Number(signed(weight, modulus))), 0);
  return [one, ...[...new Set(one.weights)].map(less)].reduce((best, next) =>
    width(next) < width(best) ? next : best,
  );
}

function integerSum(free: System['free'], congruence: Congruence): SumGroup | undefined {
  const ring = ringSum(free, congruence);
  if (ring !== undefined) return { sums: [ring], wanted: [{ values: [ring.target], chance: 1 }] };
  const end = Number(congruence.modulus);
  const small = smallWeights(congruence);
  const { least, most, middle, deviation } = spreadOf(free, small);
  if (end > WIDEST_MODULUS || Math.max(-least, most) >= WIDEST) return undefined;
  const target = valueNow(free, small) + Number(congruence.growth);
  const wanted: Wanted[] = [];
  for (let sum = target + end * Math.ceil((least - target) / end); sum <= most; sum += end) {
    wanted.push({ values: [sum], chance: Math.exp(-(((sum - middle) / deviation) ** 2) / 2) });
  }
  return { sums: [exactSum(small, deviation)], wanted: likelihoods(wanted) };
}

/** A congruence as such a sum; undefined where its modulus is no power of two, or more than 32 bits. */
export function ringSum(free: System['free'], of: Congruence): RingSum | undefined {
  const planes = Math.log2(Number(of.modulus));
  if (!Number.isInteger(planes) || planes > 32) return undefined;
  const small = smallWeights(of);
  const target = valueNow(free, small) + Number(of.growth);
  return { weights: Int32Array.from(small), planes, bits: planes, of, target: target | 0 };
}

function smallWeights({ weights, modulus }: Congruence): readonly number[] {
  return weights.map((weight) => Number(signed(weight, modulus)));
}

/** More pairs of what two halves come to are not listed. */
const MOST_PAIRS = 1 << 13;

const HALF = 256;

/**
 * The same, where a sum modulo a power of two has fewer bytes without both halves of one modulo 65,535: the weights of that
 * are small numbers and small multiples of 256, and as 256 times 256 is 1 there, little more than the size of each half is
 * open. Undefined where there are no such sums.
 */
export function halvedSumsOf(system: System): readonly SumGroup[] | undefined {
  const all = congruencesOf(system);
  const rings = all.flatMap((one) => ringSum(system.free, one) ?? []);
  for (const one of all) {
    const halves = Number(one.modulus) === HALF ** 2 - 1 ? halvesOf(system.free, one) : undefined;
    const shorter = halves === undefined ? [] : rings.flatMap((ring) => shorterBy(ring, halves) ?? []);
    if (halves === undefined || shorter.length === 0) continue;
    const rest = all.filter((other) => other !== one && !shorter.some(({ sum }) => sum.of === other));
    return withEach(system.free, [withShorter(halves, shorter)], rest);
  }
  return undefined;
}

interface Halves {
  readonly low: IntegerSum;
  readonly high: IntegerSum;
  /** What both come to. */
  readonly pairs: readonly { readonly low: number; readonly high: number; readonly chance: number }[];
}

function halvesOf(free: System['free'], one: Congruence): Halves | undefined {
  const small = smallWeights(one);
  const high = small.map((weight) => Math.round(weight / HALF));
  const low = small.map((weight, i) => weight - HALF * (high[i] as number));
  const target = valueNow(free, small) + Number(one.growth);
  const [lows, highs] = [spreadOf(free, low), spreadOf(free, high)];
  const end = Number(one.modulus);
  if (((lows.most - lows.least) * (highs.most - highs.least)) / end > MOST_PAIRS) return undefined;
  const pairs: Halves['pairs'][number][] = [];
  for (let sum = highs.least; sum <= highs.most; sum++) {
    const rest = target - HALF * sum;
    for (let other = rest + end * Math.ceil((lows.least - rest) / end); other <= lows.most; other += end) {
      const far = ((other - lows.middle) / lows.deviation) ** 2 + ((sum - highs.middle) / highs.deviation) ** 2;
      pairs.push({ low: other, high: sum, chance: Math.exp(-far / 2) });
    }
  }
  return { low: exactSum(low, lows.deviation), high: exactSum(high, highs.deviation), pairs };
}

/** A sum modulo a power of two less so many times both halves. */
interface Shorter {
  readonly times: readonly [number, number];
  readonly sum: RingSum;
}

/** What has the fewest bytes, if it has fewer than the sum itself. */
function shorterBy(sum: RingSum, { low, high }: Halves): Shorter | undefined {
  if (sum.planes > 16) return undefined;
  const less = (times: Shorter['times']): Shorter => {
    const [a, b] = times;
    const weights = sum.weights.map((own, i) => own - a * (low.weights[i] as number) - b * (high.weights[i] as number));
    return { times, sum: { ...sum, weights } };
  };
  const best = SIGNS.flatMap((a) => SIGNS.map((b) => less([a, b]))).reduce((some, one) =>
    bytesIn(one.sum) < bytesIn(some.sum) ? one : some,
  );
  return bytesIn(best.sum) < bytesIn(sum) ? best : undefined;
}

const SIGNS = [-1, 0, 1];

export function bytesIn({ weights }: Pick<IntegerSum, 'weights'>): number {
  return weights.filter((weight) => weight !== 0).length;
}

/** Both halves and the sums less of them; without what those cannot come to. */
function withShorter({ low, high, pairs }: Halves, shorter: readonly Shorter[]): SumGroup {
  const units = shorter.map(({ sum }) => unitOf(sum));
  const wanted = pairs.flatMap((pair) => {
    const rests = shorter.map(({ times, sum }) => sum.target - times[0] * pair.low - times[1] * pair.high);
    return rests.every((rest, i) => rest % (units[i] as number) === 0)
      ? [{ values: [pair.low, pair.high, ...rests.map((rest) => rest | 0)], chance: pair.chance }]
      : [];
  });
  return { sums: [low, high, ...shorter.map(({ sum }) => sum)], wanted: likelihoods(wanted) };
}

/** The largest power of two by which all is divisible that a sum can come to; its sign is of no matter. */
export function unitOf({ weights, planes }: Pick<IntegerSum, 'weights' | 'planes'>): number {
  const lowest = weights.reduce((bits, weight) => bits | weight, 2 ** planes);
  return lowest & -lowest;
}

function valueNow(free: System['free'], weights: readonly number[]): number {
  return free.reduce((sum, { value }, i) => sum + value * (weights[i] as number), 0);
}

/** What a sum can come to. */
interface Spread {
  readonly least: number;
  readonly most: number;
  readonly middle: number;
  readonly deviation: number;
}

export function spreadOf(free: System['free'], weights: readonly number[]): Spread {
  let [least, most, spread] = [0, 0, 0];
  for (const [i, { value, mask }] of free.entries()) {
    const weight = weights[i] as number;
    const ends = [weight * (value & ~mask), weight * (value | mask)] as const;
    least += Math.min(...ends);
    most += Math.max(...ends);
    spread += (ends[1] - ends[0]) ** 2 / 12;
  }
  return { least, most, middle: (least + most) / 2, deviation: Math.max(Math.sqrt(spread), 0.1) };
}

function exactSum(weights: readonly number[], deviation: number): IntegerSum {
  return { weights: Int32Array.from(weights), planes: 32, bits: Math.log2(1 + 2.5 * deviation) };
}

export function likelihoods(wanted: readonly Wanted[]): readonly Wanted[] {
  const whole = wanted.reduce((sum, { chance }) => sum + chance, 0);
  return wanted.map(({ values, chance }) => ({ values, chance: chance / whole }));
}
