import { type Checksum, type ModularLaw, valueOver } from '../../checksum/checksum.js';
import type { Sample } from './line.js';

/** A sample whose run holds two zero bytes at `at` in place of the module's number. */
export interface PlacedSample {
  readonly sample: Sample;
  readonly at: number;
}

const FIRST = 6;

/**
 * The module number that makes a sum without a constant of its own give what is stored, or undefined where there is
 * none. In all samples of one length it adds the same to each equation of the sum: only where most of the first ones
 * agree on that is it solved for, over all 65,536 numbers.
 */
export function hiddenModule(checksum: Checksum, law: ModularLaw, placed: readonly PlacedSample[]): number | undefined {
  const length = placed[0]?.sample.run.length;
  const alike = placed.filter(({ sample }) => sample.run.length === length).slice(0, FIRST);
  const gaps = alike.map(({ sample: { run, stored } }) => {
    const value = valueOver(checksum, run);
    return law.equations.map(({ gap }) => Number(gap(value, stored)));
  });
  const often = (gap: readonly number[]) => gaps.filter((other) => other.every((part, i) => part === gap[i])).length;
  const index = gaps.findIndex((gap) => often(gap) * 2 > gaps.length);
  const [wanted, example] = [gaps[index], alike[index]];
  return wanted === undefined || example === undefined ? undefined : solved(law, wanted, example);
}

function solved(
  { equations }: ModularLaw,
  wanted: readonly number[],
  { sample: { run }, at }: PlacedSample,
): number | undefined {
  const system = equations.map(({ modulus, coefficient }, i) => ({
    modulus: Number(modulus),
    high: Number(coefficient(at, run.length) % modulus),
    low: Number(coefficient(at + 1, run.length) % modulus),
    wanted: wanted[i] as number,
  }));
  const [first, ...others] = system;
  if (first === undefined) return undefined;
  // To each high byte the first equation leaves few low ones.
  const lows = new Map<number, number[]>();
  for (let low = 0; low < 256; low++) {
    const rest = remainder(first.wanted - first.low * low, first.modulus);
    lows.set(rest, [...(lows.get(rest) ?? []), low]);
  }
  for (let high = 0; high < 256; high++) {
    const found = lows
      .get(remainder(first.high * high, first.modulus))
      ?.find((low) => others.every((one) => (one.high * high + one.low * low - one.wanted) % one.modulus === 0));
    if (found !== undefined) return high * 256 + found;
  }
  return undefined;
}

/** From 0 up, whatever the sign of the number. */
function remainder(number: number, modulus: number): number {
  return ((number % modulus) + modulus) % modulus;
}
