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

const WIDEST = 2 ** 31;

/** A sum for each congruence; undefined where numbers are too large for 32 bits. */
export function integerSumsOf(system: System): readonly SumGroup[] | undefined {
  const groups: SumGroup[] = [];
  for (const one of congruencesOf(system)) {
    const group = integerSum(system.free, one);
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
  const times = one.weights.filter((_, i) => other.weights[i] === 1n);
  const width = ({ weights }: Congruence) =>
    weights.reduce((sum, weight) => sum + Math.abs(Number(signed(weight, modulus))), 0);
  return [one, ...[...new Set(times)].map(less)].reduce((best, next) => (width(next) < width(best) ? next : best));
}

export function integerSum(free: System['free'], { weights, modulus, growth }: Congruence): SumGroup | undefined {
  const small = weights.map((weight) => Number(signed(weight, modulus)));
  const [end, target] = [Number(modulus), valueNow(free, small) + Number(growth)];
  const planes = Math.log2(end);
  if (Number.isInteger(planes)) {
    if (planes > 32) return undefined;
    const sum = { weights: Int32Array.from(small), planes, bits: planes };
    return { sums: [sum], wanted: [{ values: [target | 0], chance: 1 }] };
  }
  const { least, most, middle, deviation } = spreadOf(free, small);
  if (Math.max(-least, most) >= WIDEST) return undefined;
  const wanted: Wanted[] = [];
  for (let sum = target + end * Math.ceil((least - target) / end); sum <= most; sum += end) {
    wanted.push({ values: [sum], chance: Math.exp(-(((sum - middle) / deviation) ** 2) / 2) });
  }
  return { sums: [exactSum(small, deviation)], wanted: likelihoods(wanted) };
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
  const singles = all.map((one) => integerSum(system.free, one));
  const isHalved = ({ modulus }: Congruence) => Number(modulus) === HALF ** 2 - 1;
  for (const [i, one] of all.entries()) {
    const halved = isHalved(one) ? halves(system.free, one) : undefined;
    if (halved === undefined) continue;
    const shorter = singles.filter((single) => single !== undefined && isShorter(single, halved)) as SumGroup[];
    if (shorter.length === 0) continue;
    const rest = singles.filter((single, at) => at !== i && !shorter.some((other) => other === single));
    return rest.some((single) => single === undefined)
      ? undefined
      : [shorter.reduce(withLess, halved), ...(rest as SumGroup[])];
  }
  return undefined;
}

function halves(free: System['free'], { weights, modulus, growth }: Congruence): SumGroup | undefined {
  const small = weights.map((weight) => Number(signed(weight, modulus)));
  const high = small.map((weight) => Math.round(weight / HALF));
  const low = small.map((weight, i) => weight - HALF * (high[i] as number));
  const target = valueNow(free, small) + Number(growth);
  const [one, two] = [spreadOf(free, low), spreadOf(free, high)];
  const end = Number(modulus);
  if (((one.most - one.least) * (two.most - two.least)) / end > MOST_PAIRS) return undefined;
  const wanted: Wanted[] = [];
  for (let sum = two.least; sum <= two.most; sum++) {
    const rest = target - HALF * sum;
    for (let other = rest + end * Math.ceil((one.least - rest) / end); other <= one.most; other += end) {
      const far = ((other - one.middle) / one.deviation) ** 2 + ((sum - two.middle) / two.deviation) ** 2;
      wanted.push({ values: [other, sum], chance: Math.exp(-far / 2) });
    }
  }
  return { sums: [exactSum(low, one.deviation), exactSum(high, two.deviation)], wanted: likelihoods(wanted) };
}

/** What of both halves a sum modulo a power of two is taken less by, so that it has the fewest bytes. */
function bestLess({ sums: [sum] }: SumGroup, { sums: [low, high] }: SumGroup): Less | undefined {
  if (sum === undefined || low === undefined || high === undefined || sum.planes > 16) return undefined;
  const end = 2 ** sum.planes;
  const less = (times: readonly [number, number]): Less => ({
    times,
    weights: sum.weights.map((weight, i) =>
      nearZero(weight - times[0] * (low.weights[i] as number) - times[1] * (high.weights[i] as number), end),
    ),
  });
  const all = SIGNS.flatMap((a) => SIGNS.map((b) => less([a, b])));
  return all.reduce((best, one) => (bytesIn(one) < bytesIn(best) ? one : best), less([0, 0]));
}

interface Less {
  readonly times: readonly [number, number];
  readonly weights: Int32Array;
}

const SIGNS = [-1, 0, 1];

function bytesIn({ weights }: Pick<Less, 'weights'>): number {
  return weights.reduce((count, weight) => count + (weight === 0 ? 0 : 1), 0);
}

function isShorter(sum: SumGroup, halved: SumGroup): boolean {
  return bestLess(sum, halved)?.times.some((times) => times !== 0) ?? false;
}

/** Both halves and the sum less of them; without what it cannot come to. */
function withLess(halved: SumGroup, sum: SumGroup): SumGroup {
  const less = bestLess(sum, halved);
  const [own, target] = [sum.sums[0], sum.wanted[0]?.values[0]];
  if (less === undefined || own === undefined || target === undefined) return halved;
  const { times, weights } = less;
  const lowest = weights.reduce((bits, weight) => bits | weight, 2 ** own.planes);
  const unit = lowest & -lowest;
  const wanted = halved.wanted.flatMap(({ values, chance }) => {
    const [low = 0, high = 0] = values;
    const value = target - times[0] * low - times[1] * high;
    return value % unit === 0 ? [{ values: [...values, value | 0], chance }] : [];
  });
  return { sums: [...halved.sums, { ...own, weights }], wanted: likelihoods(wanted) };
}

export function nearZero(number: number, end: number): number {
  const residue = ((number % end) + end) % end;
  return residue > end / 2 ? residue - end : residue;
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
