import type { EqualWeightClass } from './equalWeightClasses.js';
import type { Outcome, System } from './system.js';

/** A system of congruences of which some are equations in whole numbers (modulus 0). */
export interface Lifted {
  readonly moduli: readonly bigint[];
  readonly accepted: readonly Outcome[];
}

/** The most outcomes that lifting may make. */
const MOST_OUTCOMES = 4096;

/**
 * Turns congruences with an odd modulus into equations in whole numbers, one for each multiple of the modulus that the
 * bytes can reach. An end-around sum of long units needs this: modulo 2^32 − 1 the search cannot be pruned byte by byte,
 * in whole numbers the lowest byte is right or wrong by itself.
 */
export function lift({ equations, accepted }: System, classes: readonly EqualWeightClass[]): Lifted {
  const moduli = equations.map((equation) => (equation.kind === 'modular' ? equation.modulus : 0n));
  // With up to two classes the second follows from the first, whatever the modulus.
  if (classes.length <= 2) return { moduli, accepted };
  let lifted: Lifted = { moduli, accepted };
  for (const [e, modulus] of moduli.entries()) {
    if (modulus % 2n === 0n) continue;
    let [least, most] = [0n, 0n];
    for (const { weights, down, up } of classes) {
      const weight = weights[e] as bigint;
      least += weight * BigInt(weight < 0n ? up : -down);
      most += weight * BigInt(weight < 0n ? -down : up);
    }
    const multiples = (most - least) / modulus;
    if (multiples * BigInt(lifted.accepted.length) > BigInt(MOST_OUTCOMES)) continue;
    lifted = {
      moduli: lifted.moduli.map((own, i) => (i === e ? 0n : own)),
      accepted: lifted.accepted.flatMap((outcome) => {
        const all: Outcome[] = [];
        const wanted = outcome[e] as bigint;
        const first = wanted - ((wanted - least) / modulus) * modulus;
        for (let value = first; value <= most; value += modulus)
          all.push(outcome.map((own, i) => (i === e ? value : own)));
        return all;
      }),
    };
  }
  return lifted;
}
