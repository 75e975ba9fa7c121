import { divisorsOfDegree } from './gf2.js';
import {
  degreeOf,
  greatestCommonDivisor,
  type LongPolynomial,
  numberOf,
  sumOf,
  timesPowers,
} from './longPolynomial.js';

/** Polynomials left with more than these extra factors need more lines. */
const MOST_SPARE = 8;

/** A run followed by its sum, and the power of x that a start value goes through it with. */
export interface Word {
  readonly word: LongPolynomial;
  readonly power: number;
}

/**
 * The common divisors of this degree of the differences of nearly all words. One damaged word spoils only the
 * differences that it is part of, so several beginnings are tried, each with words of its own.
 */
export function commonDivisors(words: readonly Word[], width: number): readonly bigint[] {
  const size = Math.min(6, Math.max(3, Math.floor(words.length / 2)));
  for (let from = 0; from + size <= words.length && from <= size; from += size) {
    const first = words.slice(from + 1, from + size);
    const multipleOf = multiples(words[from] as Word, first);
    let common: LongPolynomial = new Uint32Array();
    for (const one of first) {
      common = greatestCommonDivisor(multipleOf(one), common);
      if (degreeOf(common) >= 0 && degreeOf(common) < width) break;
    }
    if (degreeOf(common) < width) continue;
    for (const one of [...words.slice(from + size), ...words.slice(0, from)]) {
      const next = greatestCommonDivisor(multipleOf(one), common);
      if (degreeOf(next) >= width) common = next;
    }
    const exact = divisorsOfDegree(numberOf(common), width, MOST_SPARE);
    if (exact.length > 0) return exact;
  }
  return [];
}

/**
 * What multiple of the polynomial a word gives: its difference from one of its length. Of another length the difference
 * still holds the start value, times the difference of their powers of x; two of those are combined so that it goes away.
 * Zero, a multiple of all, where there is no other to combine with.
 */
function multiples(base: Word, first: readonly Word[]): (one: Word) => LongPolynomial {
  const other = first.find(({ power }) => power !== base.power);
  const word = sumOf((other ?? base).word, base.word);
  return (one) => {
    const difference = sumOf(one.word, base.word);
    if (one.power === base.power) return difference;
    if (other === undefined) return word;
    const [moved, shift] = withoutCommon([one.power, base.power], [other.power, base.power]);
    return sumOf(timesPowers(difference, shift), timesPowers(word, moved));
  };
}

type Powers = readonly [number, number];

/**
 * Two sums of two powers of x each, divided by what they have in common, as lists of powers: x^a + x^b is the lower power
 * times x^|a − b| + 1, and the greatest common divisor of x^m + 1 and x^n + 1 is x^gcd(m, n) + 1.
 */
function withoutCommon(one: Powers, other: Powers): readonly [readonly number[], readonly number[]] {
  const low = Math.min(...one, ...other);
  const step = gcd(spanOf(one), spanOf(other));
  const divided = (powers: Powers) =>
    Array.from({ length: spanOf(powers) / step }, (_, i) => Math.min(...powers) - low + i * step);
  return [divided(one), divided(other)];
}

function spanOf([a, b]: Powers): number {
  return Math.abs(a - b);
}

function gcd(a: number, b: number): number {
  return b === 0 ? a : gcd(b, a % b);
}
