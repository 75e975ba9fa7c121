import { hex } from '../base/hex.js';
import { phrase } from '../base/phrase.js';
import type { Checksum } from './checksum.js';
import { sumMethod } from './method.js';
import { addedUpExactly, chained, numbersOfRun } from './onPaper.js';
import { bitsOf, ORDER, type ValuesOf } from './parameters.js';
import { exactSum, exactSumChange, unitWeight } from './units.js';

const parameters = { bits: bitsOf([8, 16, 32], 16), order: ORDER };

export const addEndAround = sumMethod({
  about: 'Added up with the carry brought back in, complemented at the end (RFC 1071).',
  parameters,
  checksum: addedEndAround,
  words: ({ bits }) => [phrase("{0}-bit ones' complement sum", bits)],
  onPaper: ({ bits, order }, run) => {
    const numbers = numbersOfRun(run, bits / 8, order);
    const digits = bits / 4;
    const most = (1n << BigInt(bits)) - 1n;
    let sum = addedUpExactly(numbers);
    const steps = [`${chained(numbers, '+', digits)} = ${hex(sum, digits)}`];
    while (sum > most) {
      const [carry, rest] = [sum >> BigInt(bits), sum & most];
      sum = carry + rest;
      steps.push(`${hex(carry, digits)} + ${hex(rest, digits)} = ${hex(sum, digits)}`);
    }
    return [...steps, `${hex(most, digits)} − ${hex(sum, digits)} = ${hex(most - sum, digits)}`];
  },
});

/**
 * Sum of units of its own width in which carries come round to the low end, complemented at the end (RFC 1071).
 * The state is the exact sum: only from it can the two zeros of ones' complement (0000 and FFFF) be told apart.
 */
function addedEndAround({ bits, order }: ValuesOf<typeof parameters>): Checksum {
  const unit = bits / 8;
  const modulus = (1n << BigInt(bits)) - 1n;
  return {
    bits,
    stateOf: (run) => exactSum(run, unit, order),
    moved: (state, change) => state + exactSumChange(change, unit, order),
    // Folding a sum that is not zero never gives zero: a multiple of the modulus folds to all ones.
    valueOf: (state) => modulus - (state === 0n ? 0n : ((state - 1n) % modulus) + 1n),
    law: {
      kind: 'modular',
      equations: [
        {
          modulus,
          coefficient: (at) => BigInt(unitWeight(at, unit, order)),
          gap: (from, to) => (((from - to) % modulus) + modulus) % modulus,
        },
      ],
    },
  };
}
