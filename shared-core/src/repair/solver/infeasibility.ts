import type { Steps } from '../../base/steps.js';
import {
  type FreeByte,
  gcd,
  type Infeasibility,
  isModular,
  type ModularSum,
  modulo,
  type System,
  turnsOf,
} from './system.js';

/** How far a byte can fall and rise, by the bits that may change. */
function roomOf({ value, mask }: FreeByte): { readonly down: number; readonly up: number } {
  return { down: value & mask, up: mask & ~value };
}

/** Proves by one congruence that the free bytes cannot bring about any accepted outcome; undefined where none proves it. */
export function* infeasibilityProof(system: System): Steps<Infeasibility | undefined> {
  for (const [i, equation] of system.equations.entries()) {
    if (!isModular(equation)) continue;
    const range = yield* rangeOf(system.free, equation);
    const wanted = system.accepted.map((outcome) => outcome[i] as bigint);
    if (wanted.some((value) => isWithin(range, equation.modulus, value))) continue;
    return { kind: 'sum', ...range, needed: nearestOf(wanted, equation.modulus) };
  }
  return undefined;
}

const STEPS_PER_WEIGHT = 20;

/** All moves are multiples of `step` from `least` to `most`. */
interface Range {
  readonly least: bigint;
  readonly most: bigint;
  readonly step: bigint;
}

/** The range of moves of a sum, as whole numbers before the modulus is taken. */
function* rangeOf(free: readonly FreeByte[], { weights, modulus }: ModularSum): Steps<Range> {
  let [least, most, step] = [0n, 0n, 0n];
  const isDue = turnsOf();
  for (const [i, byte] of free.entries()) {
    if (isDue(STEPS_PER_WEIGHT)) yield;
    const weight = signed(weights[i] as bigint, modulus);
    const { down, up } = roomOf(byte);
    const ends = [weight * BigInt(-down), weight * BigInt(up)] as const;
    least += weight < 0n ? ends[1] : ends[0];
    most += weight < 0n ? ends[0] : ends[1];
    step = gcd(step, weight * BigInt(byte.mask & -byte.mask));
  }
  return { least, most, step };
}

function isWithin({ least, most, step }: Range, modulus: bigint, wanted: bigint): boolean {
  // Moves that fulfil the congruence lie a modulus apart; those that are multiples of the step repeat with their lcm.
  const common = gcd(step, modulus);
  if (wanted % common !== 0n) return false;
  const period = (step / common) * modulus;
  if (most - least >= period) return true;
  for (let move = least + modulo(wanted - least, modulus); move <= most; move += modulus) {
    if (move % step === 0n) return true;
  }
  return false;
}

/** The smallest of all moves that would do, up or down. */
function nearestOf(wanted: readonly bigint[], modulus: bigint): bigint {
  return wanted
    .map((value) => signed(value, modulus))
    .reduce((best, value) => (magnitude(value) < magnitude(best) ? value : best));
}

/** The residue that is nearest to 0. */
export function signed(value: bigint, modulus: bigint): bigint {
  const residue = modulo(value, modulus);
  return residue > modulus / 2n ? residue - modulus : residue;
}

function magnitude(value: bigint): bigint {
  return value < 0n ? -value : value;
}
