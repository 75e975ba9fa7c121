import { flipsAt } from './elimination.js';
import type { Equation, Outcome, System } from './system.js';

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

export function tablesOf(system: System): Tables {
  const moduli = system.equations.flatMap((equation) =>
    equation.kind === 'modular' ? [Number(equation.modulus)] : [0, 0],
  );
  const lanes = moduli.length;
  const flips = system.free.map(({ mask }) => flipsOf(mask));
  const effects = system.free.map(({ value }, index) => {
    const table = new Float64Array(256 * lanes);
    let lane = 0;
    for (const equation of system.equations) {
      for (const flipped of flips[index] as Uint8Array)
        fill(table, flipped * lanes + lane, equation, index, value, flipped);
      lane += equation.kind === 'modular' ? 1 : 2;
    }
    return table;
  });
  const accepted = Float64Array.from(system.accepted.flatMap((outcome) => lanesOf(system, outcome)));
  return { moduli, flips, effects, accepted, outcomes: system.accepted.length };
}

function fill(
  table: Float64Array,
  at: number,
  equation: Equation,
  index: number,
  value: number,
  flipped: number,
): void {
  if (equation.kind === 'modular') {
    const modulus = Number(equation.modulus);
    const grown = (Number(equation.weights[index] as bigint) * ((value ^ flipped) - value)) % modulus;
    table[at] = grown < 0 ? grown + modulus : grown;
    return;
  }
  const effects = equation.effects[index] as readonly bigint[];
  const effect = effects.reduce((sum, one, bit) => (flipped & (1 << bit) ? sum ^ one : sum), 0n);
  table[at] = Number(effect & 0xffffffffn);
  table[at + 1] = Number(effect >> 32n);
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

/** All sets of bits within the mask except the empty one. */
export function flipsOf(mask: number): Uint8Array {
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
