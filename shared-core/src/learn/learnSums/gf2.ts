/** Polynomials over GF(2) of any degree as whole numbers: bit n is the coefficient of x^n. */

export function degree(polynomial: bigint): number {
  // Most are short, and numbers tell at once; of long ones hex digits come quicker than bits.
  if (polynomial <= 0xffffffffn) return 31 - Math.clz32(Number(polynomial));
  const digits = polynomial.toString(16);
  return 4 * digits.length - 1 - (Math.clz32(Number.parseInt(digits.charAt(0), 16)) - 28);
}

export function remainder(dividend: bigint, divisor: bigint): bigint {
  return divide(dividend, divisor).rest;
}

/** Quotient and remainder. The divisor is not zero. */
export function divide(dividend: bigint, divisor: bigint): { readonly quotient: bigint; readonly rest: bigint } {
  const low = degree(divisor);
  let rest = dividend;
  let quotient = 0n;
  for (let high = degree(rest); high >= low; high = degree(rest)) {
    const shift = BigInt(high - low);
    rest ^= divisor << shift;
    quotient |= 1n << shift;
  }
  return { quotient, rest };
}

/** The divisors of this degree that have a constant term, where they leave a cofactor of at most `most` degrees. */
export function divisorsOfDegree(polynomial: bigint, wanted: number, most: number): bigint[] {
  let rest = polynomial;
  while (rest !== 0n && (rest & 1n) === 0n) rest >>= 1n;
  const spare = degree(rest) - wanted;
  if (spare === 0) return [rest];
  if (spare < 0 || spare > most) return [];
  const found: bigint[] = [];
  for (let cofactor = (1n << BigInt(spare)) | 1n; cofactor < 1n << BigInt(spare + 1); cofactor += 2n) {
    const { quotient, rest: left } = divide(rest, cofactor);
    if (left === 0n) found.push(quotient);
  }
  return found;
}

export function product(a: bigint, b: bigint): bigint {
  let sum = 0n;
  for (let rest = b, shifted = a; rest !== 0n; rest >>= 1n, shifted <<= 1n) if ((rest & 1n) === 1n) sum ^= shifted;
  return sum;
}

/** All solutions of `factor · x = wanted` modulo a polynomial: the one of least degree, and what may be added to it any number of times. */
export interface Solutions {
  readonly least: bigint;
  /** The modulus itself where there is but one solution. */
  readonly step: bigint;
}

/** Undefined where there is no solution. */
export function solveProduct(factor: bigint, wanted: bigint, modulus: bigint): Solutions | undefined {
  // Euclid's way to the greatest common divisor, with what each remainder is of the factor, modulo the modulus.
  let [high, low] = [modulus, remainder(factor, modulus)];
  let [ofHigh, ofLow] = [0n, 1n];
  while (low !== 0n) {
    const { quotient, rest } = divide(high, low);
    [high, low] = [low, rest];
    [ofHigh, ofLow] = [ofLow, ofHigh ^ product(quotient, ofLow)];
  }
  const { quotient, rest } = divide(remainder(wanted, modulus), high);
  if (rest !== 0n) return undefined;
  const step = divide(modulus, high).quotient;
  return { least: remainder(product(quotient, ofHigh), step), step };
}
