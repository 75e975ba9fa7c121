import { type DependentSum, NO_EFFECT, storedNow } from './sums.js';
import type { BinarySum, Equation, ModularSum } from './system.js';
import { isBinary, modulo } from './system.js';

/**
 * The equation with a dependent sum substituted: a byte that moves the dependent sum also moves this equation through
 * the stored bytes, which begin at number `first`. Undefined where the result is no equation of the same kind: where the
 * stored bytes come from exclusive or and are added here, or where a carry is dropped there and counts here.
 */
export function substituted(
  equation: Equation,
  dependentSum: DependentSum,
  own: readonly Equation[],
  first: number,
): Equation | undefined {
  const count = storedNow(dependentSum).length;
  if (!coversAny(equation, first, count)) return equation;
  const [law] = own;
  if (law === undefined) return undefined;
  if (isBinary(equation)) return isBinary(law) ? substitutedBits(equation, law, dependentSum, first) : undefined;
  return isBinary(law) ? undefined : substitutedGrowth(equation, law, dependentSum, first, count);
}

/** Whether any of these bytes has an effect in the equation. */
export function coversAny(equation: Equation, first: number, count: number): boolean {
  if (isBinary(equation))
    return equation.effects.slice(first, first + count).some((bits) => bits !== NO_EFFECT && bits.some(Boolean));
  return equation.weights.slice(first, first + count).some(Boolean);
}

function substitutedBits({ effects }: BinarySum, law: BinarySum, dependentSum: DependentSum, first: number): BinarySum {
  const nothing = dependentSum.bytesOf(0n);
  const through = (flippedValue: bigint): bigint => {
    let sum = 0n;
    dependentSum.bytesOf(flippedValue).forEach((byte, i) => {
      sum ^= flipped(effects[first + i] ?? [], byte ^ (nothing[i] as number));
    });
    return sum;
  };
  return {
    kind: 'binary',
    effects: effects.map((bits, i) => {
      const own = law.effects[i] ?? NO_EFFECT;
      return own === NO_EFFECT ? bits : bits.map((effect, bit) => effect ^ through(own[bit] as bigint));
    }),
  };
}

function flipped(effects: readonly bigint[], flips: number): bigint {
  return effects.reduce((sum, effect, bit) => (flips & (1 << bit) ? sum ^ effect : sum), 0n);
}

function substitutedGrowth(
  { weights, modulus }: ModularSum,
  law: ModularSum,
  { checksum, bytesOf }: DependentSum,
  first: number,
  count: number,
): ModularSum | undefined {
  const rule = checksum.law.kind === 'modular' ? checksum.law.equations[0] : undefined;
  const range = 1n << BigInt(checksum.bits);
  if (rule === undefined || law.modulus !== range) return undefined;
  const weightOf = (byte: number) => weights[first + bytesOf(1n << BigInt(8 * byte)).indexOf(1)] as bigint;
  const weight = weightOf(0);
  // The stored bytes must have the weights of one number here, and a carry out of it must be dropped here too.
  for (let byte = 1; byte < count; byte++) {
    if (modulo(weightOf(byte) - (weight << BigInt(8 * byte)), modulus) !== 0n) return undefined;
  }
  if ((weight * range) % modulus !== 0n) return undefined;
  const sign = rule.gap(0n, 1n) === 1n ? 1n : -1n;
  return {
    kind: 'modular',
    modulus,
    weights: weights.map((own, i) => {
      const through = law.weights[i] as bigint;
      return through === 0n ? own : modulo(own + sign * weight * through, modulus);
    }),
  };
}
