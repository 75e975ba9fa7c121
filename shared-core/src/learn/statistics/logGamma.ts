/**
 * Natural logarithms of 0! to n!, by summing. Its error grows with n · 2^-53 and stays below 1e-11 for the numbers of
 * dumps that anybody has; tables of counts are then computed without overflow.
 */
export function logFactorials(n: number): Float64Array {
  const table = new Float64Array(n + 1);
  for (let i = 2; i <= n; i++) table[i] = (table[i - 1] as number) + Math.log(i);
  return table;
}

/** Natural logarithm of the gamma function for x > 0: Stirling's series after raising x above 10 by recurrence. */
function logGamma(x: number): number {
  let shift = 0;
  let z = x;
  while (z < 10) shift -= Math.log(z++);
  const inverse = 1 / (z * z);
  const series = (1 / 12 - inverse * (1 / 360 - inverse * (1 / 1260 - inverse / 1680))) / z;
  return shift + (z - 0.5) * Math.log(z) - z + 0.5 * Math.log(2 * Math.PI) + series;
}

/**
 * Logarithm of the probability that a chi-square variable with `freedom` degrees of freedom is at least `x`: the
 * regularised upper incomplete gamma function Q(freedom / 2, x / 2), by its series for small and its continued fraction
 * for large x.
 */
export function logChiSquareTail(x: number, freedom: number): number {
  const a = freedom / 2;
  const z = x / 2;
  if (!(z > 0) || freedom <= 0) return 0;
  const front = a * Math.log(z) - z - logGamma(a);
  if (z < a + 1) return Math.log(Math.max(Number.MIN_VALUE, 1 - Math.exp(front) * lowerSeries(a, z)));
  return front + Math.log(upperFraction(a, z));
}

function lowerSeries(a: number, z: number): number {
  let term = 1 / a;
  let sum = term;
  for (let n = 1; n < 10_000 && term > sum * 1e-16; n++) {
    term *= z / (a + n);
    sum += term;
  }
  return sum;
}

/** Continued fraction of the upper tail by Lentz's method, kept away from divisions by zero. */
function upperFraction(a: number, z: number): number {
  const tiny = 1e-300;
  let b = z + 1 - a;
  let c = 1 / tiny;
  let d = 1 / (Math.abs(b) < tiny ? tiny : b);
  let h = d;
  for (let n = 1; n < 10_000; n++) {
    const factor = -n * (n - a);
    b += 2;
    d = factor * d + b;
    d = 1 / (Math.abs(d) < tiny ? tiny : d);
    c = b + factor / c;
    if (Math.abs(c) < tiny) c = tiny;
    const step = c * d;
    h *= step;
    if (Math.abs(step - 1) < 1e-15) break;
  }
  return h;
}
