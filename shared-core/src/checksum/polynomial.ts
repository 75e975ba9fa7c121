/**
 * Arithmetic of polynomials over GF(2) modulo x^width + poly, width 3 to 64: what zero bytes do to a CRC register.
 * Coefficients are bits, x^0 the lowest, in two halves of 32 bits, because whole numbers are many times faster than bigints.
 */
export interface Halves {
  readonly high: number;
  readonly low: number;
}

export function halvesOf(value: bigint): Halves {
  return { high: Number(BigInt.asUintN(32, value >> 32n)), low: Number(BigInt.asUintN(32, value)) };
}

export function fromHalves({ high, low }: Halves): bigint {
  return (BigInt(high >>> 0) << 32n) | BigInt(low >>> 0);
}

/** The lowest `width` bits in opposite order. */
export function reflect(value: bigint, width: number): bigint {
  const { high, low } = halvesOf(value);
  return fromHalves({ high: reflect32(low), low: reflect32(high) }) >> BigInt(64 - width);
}

/** Bits change places in ever larger groups: neighbours, pairs, half bytes, bytes, half words. */
function reflect32(value: number): number {
  let bits = value;
  bits = ((bits >>> 1) & 0x55555555) | ((bits & 0x55555555) << 1);
  bits = ((bits >>> 2) & 0x33333333) | ((bits & 0x33333333) << 2);
  bits = ((bits >>> 4) & 0x0f0f0f0f) | ((bits & 0x0f0f0f0f) << 4);
  bits = ((bits >>> 8) & 0x00ff00ff) | ((bits & 0x00ff00ff) << 8);
  return (bits >>> 16) | (bits << 16);
}

/** Multiplication of two polynomials modulo x^width + poly. */
function multiplication(poly: bigint, width: number): (a: Halves, b: Halves) => Halves {
  // With x^width in it, subtracting the modulus also clears the bit that was shifted out of the width.
  const modulus = halvesOf(poly | (1n << BigInt(width)));
  const top = halvesOf(1n << BigInt(width - 1));
  return (a, b) => {
    let high = 0;
    let low = 0;
    for (let power = width - 1; power >= 0; power--) {
      const overflows = (high & top.high) | (low & top.low);
      high = (high << 1) | (low >>> 31);
      low <<= 1;
      if (overflows !== 0) {
        high ^= modulus.high;
        low ^= modulus.low;
      }
      if (((power < 32 ? b.low >>> power : b.high >>> (power - 32)) & 1) !== 0) {
        high ^= a.high;
        low ^= a.low;
      }
    }
    return { high, low };
  };
}

/**
 * Multiplication by x^(8 · count) modulo x^width + poly: running a register over `count` zero bytes, in as many
 * multiplications as `count` has one bits.
 */
export function zeroBytes(poly: bigint, width: number): (register: Halves, count: number) => Halves {
  const multiply = multiplication(poly, width);
  // x has degree 1 and width is at least 3, so x itself needs no reduction; three squarings make x^8.
  const x: Halves = { high: 0, low: 2 };
  const squared = (power: Halves) => multiply(power, power);
  const powers = [squared(squared(squared(x)))];
  return (register, count) => {
    let moved = register;
    for (let rest = count, n = 0; rest > 0; rest = Math.floor(rest / 2), n++) {
      if (n === powers.length) powers.push(squared(powers[n - 1] as Halves));
      if (rest % 2 === 1) moved = multiply(moved, powers[n] as Halves);
    }
    return moved;
  };
}
