import { type FreeByte, gcd, type Infeasibility, isModular, type ModularSum, modulo, type System } from './system.js';

/** How far a byte can fall and rise, by the bits that may change. */
export function roomOf({ value, mask }: FreeByte): { readonly down: number; readonly up: number } {
  return { down: value & mask, up: mask & ~value };
}

/** A congruence that no accepted outcome can fulfil within the room of the free bytes; undefined where there is none. */
export function infeasibilityProof(system: System): Infeasibility | undefined {
  for (const [i, equation] of system.equations.entries()) {
    if (!isModular(equation)) continue;
    const span = spanOf(system.free, equation);
    const wanted = system.accepted.map((outcome) => outcome[i] as bigint);
    if (wanted.some((value) => isWithin(span, equation.modulus, value))) continue;
    return { kind: 'sum', ...span, needed: nearestOf(wanted, equation.modulus) };
  }
  return undefined;
}

interface Span {
  readonly least: bigint;
  readonly most: bigint;
  readonly step: bigint;
}

/** All that a sum can be moved by, as whole numbers before the modulus is taken. */
function spanOf(free: readonly FreeByte[], { weights, modulus }: ModularSum): Span {
  let [least, most, step] = [0n, 0n, 0n];
  free.forEach((byte, i) => {
    const weight = signed(weights[i] as bigint, modulus);
    const { down, up } = roomOf(byte);
    const ends = [weight * BigInt(-down), weight * BigInt(up)] as const;
    least += weight < 0n ? ends[1] : ends[0];
    most += weight < 0n ? ends[0] : ends[1];
    step = gcd(step, weight * BigInt(byte.mask & -byte.mask));
  });
  return { least, most, step };
}

function isWithin({ least, most, step }: Span, modulus: bigint, wanted: bigint): boolean {
  // Moves that fulfil the congruence lie a modulus apart; those that are multiples of the step repeat with their lcm.
  if (step === 0n) return wanted % modulus === 0n;
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
