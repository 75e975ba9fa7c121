import type { Steps } from '../../base/steps.js';
import { flipsAt } from './elimination.js';
import { type BinarySum, type ModularSum, type Outcome, type System, turnsOf } from './system.js';

/** Outcomes as plain numbers, for loops that run millions of times: one lane for a congruence, two for the 64 bits of a binary sum. */
export interface Tables {
  /** The modulus of each lane; 0 where the lane combines by exclusive or. */
  readonly moduli: readonly number[];
  /** For each free byte its changes: the bits to flip, never none. */
  readonly flips: readonly Uint8Array[];
  /** For each free byte the effects of its changes, `effects[index][flips * lanes + lane]`. */
  readonly effects: readonly Float64Array[];
  /** All accepted outcomes, one after the other. */
  readonly accepted: Float64Array;
  readonly outcomes: number;
}

export function* tablesOf(system: System): Steps<Tables> {
  const moduli = system.equations.flatMap((equation) =>
    equation.kind === 'modular' ? [Number(equation.modulus)] : [0, 0],
  );
  const lanes = moduli.length;
  const flips = flipsOfAll(system.free);
  const isDue = turnsOf();
  const effects: Float64Array[] = [];
  for (const [index, { value }] of system.free.entries()) {
    const table = new Float64Array(256 * lanes);
    const own = flips[index] as Uint8Array;
    let lane = 0;
    for (const equation of system.equations) {
      if (equation.kind === 'modular') fillGrowth(table, lanes, lane++, equation, index, value, own);
      else {
        fillFlips(table, lanes, lane, equation, index, own);
        lane += 2;
      }
    }
    effects.push(table);
    if (isDue(own.length * lanes)) yield;
  }
  const accepted = Float64Array.from(system.accepted.flatMap((outcome) => lanesOf(system, outcome)));
  return { moduli, flips, effects, accepted, outcomes: system.accepted.length };
}

function fillGrowth(
  table: Float64Array,
  lanes: number,
  lane: number,
  { modulus, weights }: ModularSum,
  index: number,
  value: number,
  flips: Uint8Array,
): void {
  const [weight, end] = [Number(weights[index] as bigint), Number(modulus)];
  for (const flipped of flips) {
    const grown = (weight * ((value ^ flipped) - value)) % end;
    table[flipped * lanes + lane] = grown < 0 ? grown + end : grown;
  }
}

function fillFlips(
  table: Float64Array,
  lanes: number,
  lane: number,
  { effects }: BinarySum,
  index: number,
  flips: Uint8Array,
): void {
  const bits = (effects[index] as readonly bigint[]).map((effect) => [
    Number(effect & 0xffffffffn),
    Number(effect >> 32n),
  ]);
  for (const flipped of flips) {
    // All bits but the lowest are a smaller set, which was filled before.
    const [own, before] = [flipped * lanes + lane, (flipped & (flipped - 1)) * lanes + lane];
    const [low, high] = bits[31 - Math.clz32(flipped & -flipped)] as [number, number];
    table[own] = ((table[before] as number) ^ low) >>> 0;
    table[own + 1] = ((table[before + 1] as number) ^ high) >>> 0;
  }
}

function lanesOf({ equations }: System, outcome: Outcome): number[] {
  return equations.flatMap((equation, i) => {
    const value = outcome[i] as bigint;
    return equation.kind === 'modular' ? [Number(value)] : [Number(value & 0xffffffffn), Number(value >> 32n)];
  });
}

/** Whether flipping bits of the chosen bytes makes all congruences of an outcome true. */
export function fulfils(
  { moduli, effects, accepted }: Tables,
  chosen: readonly number[],
  flips: Int32Array,
  outcome: number,
) {
  const lanes = moduli.length;
  for (let lane = 0; lane < lanes; lane++) {
    const modulus = moduli[lane] as number;
    if (modulus === 0) continue;
    let sum = 0;
    for (let place = 0; place < chosen.length; place++) {
      sum += (effects[chosen[place] as number] as Float64Array)[flipsAt(flips, place) * lanes + lane] as number;
    }
    if (sum % modulus !== accepted[outcome * lanes + lane]) return false;
  }
  return true;
}

/** What may be flipped in each byte; bytes with the same mask share one list. */
export function flipsOfAll(free: System['free']): readonly Uint8Array[] {
  const byMask = new Map([...new Set(free.map(({ mask }) => mask))].map((mask) => [mask, flipsOf(mask)]));
  return free.map(({ mask }) => byMask.get(mask) as Uint8Array);
}

/** All sets of bits within the mask except the empty one. */
function flipsOf(mask: number): Uint8Array {
  const all: number[] = [];
  for (let bits = mask; bits > 0; bits = (bits - 1) & mask) all.push(bits);
  return Uint8Array.from(all.reverse());
}

/** The number of changes of exactly `size` bytes. */
export function changesCount(flips: readonly Uint8Array[], size: number): number {
  const counts = [1, ...Array.from({ length: size }, () => 0)];
  for (const { length } of flips) {
    for (let bytes = size; bytes > 0; bytes--) (counts[bytes] as number) += (counts[bytes - 1] as number) * length;
  }
  return counts[size] as number;
}
