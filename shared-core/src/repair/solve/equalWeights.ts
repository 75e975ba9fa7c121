import type { Answer, Budget, Change, FreeByte, System } from './system.js';
import { modulo, spend } from './system.js';

/** Whether only the sum of all growths counts: plain byte sums, where each byte weighs as much as any other. */
export function hasEqualWeights({ equations, free }: System): boolean {
  return (
    free.every(({ mask }) => mask === 0xff) &&
    equations.every(
      (equation) => equation.kind === 'modular' && equation.weights.every((weight) => weight === equation.weights[0]),
    )
  );
}

/**
 * Plain sums need no search over bytes: every growth of the sum that the bytes can make is looked at once. The bytes
 * with the most room are taken first, which gives the fewest; going one way only gives the smallest change.
 */
export function solveEqualWeights(system: System, budget: Budget): Answer {
  const { free } = system;
  const most = free.reduce((sum, { value }) => sum + 255 - value, 0);
  const least = -free.reduce((sum, { value }) => sum + value, 0);
  const accepted = new Set(system.accepted.map((outcome) => outcome.join()));
  let best: { bytes: number; growth: number } | undefined;
  let ties = 0;
  if (!spend(budget, most - least)) return { kind: 'gave-up', steps: most - least };
  for (let growth = least; growth <= most; growth++) {
    if (!accepted.has(outcomeOf(system, growth))) continue;
    const bytes = roomiest(free, growth).length;
    const order = best === undefined ? -1 : bytes - best.bytes || Math.abs(growth) - Math.abs(best.growth);
    ties = order < 0 ? 1 : order === 0 ? ties + 1 : ties;
    if (order < 0) best = { bytes, growth };
  }
  if (best === undefined)
    return { kind: 'impossible', reach: { kind: 'sum', least, most, needed: smallestNeeded(system) } };
  const { growth, bytes } = best;
  const fitting = free.filter((byte) => room(byte, growth) >= Math.abs(growth)).length;
  const unique =
    ties === 1 &&
    (bytes === 0 ||
      (bytes === 1 && fitting === 1) ||
      (bytes === free.length && Math.abs(growth) === Math.abs(growth < 0 ? least : most)));
  return { kind: 'solved', change: spread(free, growth), unique };
}

function outcomeOf({ equations }: System, growth: number): string {
  return equations
    .map((equation) =>
      equation.kind === 'modular' ? modulo((equation.weights[0] ?? 0n) * BigInt(growth), equation.modulus) : 0n,
    )
    .join();
}

/** How far a byte can go in the direction of a growth. */
function room({ value }: FreeByte, growth: number): number {
  return growth < 0 ? value : 255 - value;
}

/** The fewest bytes that can take up a growth, those with most room first. */
function roomiest(free: readonly FreeByte[], growth: number): number[] {
  // A byte that can take all of it needs no other: then the first one does, in the order of preference.
  const alone = free.findIndex((byte) => room(byte, growth) >= Math.abs(growth));
  if (growth === 0) return [];
  if (alone >= 0) return [alone];
  const order = free
    .map((_, index) => index)
    .sort((a, b) => room(free[b] as FreeByte, growth) - room(free[a] as FreeByte, growth));
  let left = Math.abs(growth);
  return order.filter((index) => {
    const wanted = left > 0;
    left -= room(free[index] as FreeByte, growth);
    return wanted;
  });
}

function spread(free: readonly FreeByte[], growth: number): Change {
  let left = growth;
  return roomiest(free, growth).map((index) => {
    const byte = free[index] as FreeByte;
    const step = Math.sign(left) * Math.min(Math.abs(left), room(byte, growth));
    left -= step;
    return { index, value: byte.value + step };
  });
}

/** The accepted growth that is nearest to nothing, taken from the equation with the largest modulus. */
function smallestNeeded({ equations, accepted }: System): bigint {
  let needed: bigint | undefined;
  const moduli = equations.map((equation) => (equation.kind === 'modular' ? equation.modulus : 1n));
  const widest = moduli.reduce((best, modulus, i) => (modulus > (moduli[best] as bigint) ? i : best), 0);
  const modulus = moduli[widest] as bigint;
  for (const outcome of accepted) {
    const up = modulo(outcome[widest] as bigint, modulus);
    const nearest = up > modulus / 2n ? up - modulus : up;
    if (needed === undefined || abs(nearest) < abs(needed)) needed = nearest;
  }
  return needed ?? 0n;
}

function abs(value: bigint): bigint {
  return value < 0n ? -value : value;
}
