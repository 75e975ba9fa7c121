import { signed } from './infeasibility.js';
import { isModular, type ModularSum, modulo, type System } from './system.js';

/**
 * A congruence as a sum over whole numbers, with the values of bytes in place of their growth: it comes to one of `wanted`,
 * of which all that the bytes can reach are listed, with the chance of each where the bytes are anything. Of a modulus
 * that is a power of two one is listed, and the sum counts by that modulus.
 */
export interface IntegerSum {
  readonly weights: Int32Array;
  readonly wanted: readonly { readonly sum: number; readonly chance: number }[];
  /** How many of the lowest bits of the sum count: those of the modulus, or 32 where it has to be exact. */
  readonly planes: number;
  /** How many bits it says, roughly. */
  readonly bits: number;
}

const WIDEST = 2 ** 31;

/** Undefined where numbers are too large for 32 bits. */
export function integerSumsOf({ free, equations, accepted }: System): readonly IntegerSum[] | undefined {
  const sums: IntegerSum[] = [];
  const all = equations.flatMap((equation, i) =>
    isModular(equation) ? [{ ...equation, growth: accepted[0]?.[i] ?? 0n }] : [],
  );
  for (const [i, one] of all.entries()) {
    const before = all.slice(0, i).find(({ modulus }) => modulus === one.modulus && modulus % 2n === 1n);
    const sum = integerSum(free, before === undefined ? one : narrowed(one, before));
    if (sum === undefined) return undefined;
    sums.push(sum);
  }
  return sums;
}

type Congruence = ModularSum & { readonly growth: bigint };

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

function integerSum(free: System['free'], { weights, modulus, growth }: Congruence): IntegerSum | undefined {
  const small = weights.map((weight) => Number(signed(weight, modulus)));
  const now = free.reduce((sum, { value }, i) => sum + value * (small[i] as number), 0);
  const [end, target] = [Number(modulus), now + Number(growth)];
  const planes = Math.log2(end);
  if (Number.isInteger(planes)) {
    if (planes > 32) return undefined;
    return { weights: Int32Array.from(small), wanted: [{ sum: target | 0, chance: 1 }], planes, bits: planes };
  }
  let [least, most, spread] = [0, 0, 0];
  for (const [i, { value, mask }] of free.entries()) {
    const weight = small[i] as number;
    const ends = [weight * (value & ~mask), weight * (value | mask)] as const;
    least += Math.min(...ends);
    most += Math.max(...ends);
    spread += (ends[1] - ends[0]) ** 2 / 12;
  }
  if (Math.max(-least, most) >= WIDEST) return undefined;
  const [middle, deviation] = [(least + most) / 2, Math.sqrt(spread)];
  const wanted: { sum: number; chance: number }[] = [];
  for (let sum = target + end * Math.ceil((least - target) / end); sum <= most; sum += end) {
    wanted.push({ sum, chance: Math.exp(-(((sum - middle) / deviation) ** 2) / 2) });
  }
  const whole = wanted.reduce((sum, { chance }) => sum + chance, 0);
  const bits = Math.log2(1 + 2.5 * deviation);
  return {
    weights: Int32Array.from(small),
    wanted: wanted.map(({ sum, chance }) => ({ sum, chance: chance / whole })),
    planes: 32,
    bits,
  };
}
