import type { BoundTotal } from '../model/totals.js';

/** A byte that changed from one value to another. */
export interface ChangedByte {
  readonly row: number;
  readonly byte: number;
  readonly was: number;
  readonly now: number;
}

/** By how much sums move, a number for each of their equations. */
type Move = readonly bigint[];

/**
 * Whether sums that are right after some bytes changed would be wrong had fewer of these bytes changed, whatever values
 * they had been given.
 */
export function areFewest(totals: readonly BoundTotal[], changed: readonly ChangedByte[]): boolean {
  const moduli = totals.flatMap(({ total: { checksum } }) =>
    checksum.law.kind === 'binary' ? [undefined] : checksum.law.equations.map(({ modulus }) => modulus),
  );
  const both = (one: Move, other: Move): Move =>
    moduli.map((modulus, i) => {
      const [a, b] = [one[i] ?? 0n, other[i] ?? 0n];
      return modulus === undefined ? a ^ b : (a + b) % modulus;
    });
  const opposite = (move: Move): Move =>
    move.map((by, i) => {
      const modulus = moduli[i];
      return modulus === undefined ? by : (modulus - by) % modulus;
    });
  const none = moduli.map(() => 0n);
  const moves = (bytes: readonly ChangedByte[]): readonly Move[] =>
    bytes.reduce<readonly Move[]>(
      (all, one) => {
        const moveTo = movesOf(totals, one);
        const own = Array.from({ length: 256 }, (_, value) => moveTo(value));
        return all.flatMap((move) => own.map((other) => both(move, other)));
      },
      [none],
    );
  return changed.every((left) => {
    const others = changed.filter((one) => one !== left);
    const half = others.length >> 1;
    const back = movesOf(totals, left)(left.was);
    // The others make up for it where their halves come to opposite moves.
    const reached = new Set(moves(others.slice(0, half)).map(String));
    return !moves(others.slice(half)).some((move) => reached.has(String(opposite(both(back, move)))));
  });
}

/** By how much each sum moves where a byte gets another value than it has now, as a function of the value. */
function movesOf(totals: readonly BoundTotal[], { row, byte, now }: ChangedByte): (value: number) => Move {
  const each = totals.map(({ run, total: { checksum } }) => {
    const { law } = checksum;
    const places = run
      .piecesIn(row)
      .filter(({ from, count }) => byte >= from && byte < from + count)
      .map(({ from, start }) => start + byte - from);
    if (law.kind === 'binary') {
      const bits = places.map((at) => law.effects(at, run.length));
      return (value: number) => [
        bits.flat().reduce((sum, effect, i) => (((value ^ now) >> (i % 8)) & 1 ? sum ^ effect : sum), 0n),
      ];
    }
    const weights = law.equations.map(({ modulus, coefficient }) => ({
      modulus,
      weight: places.reduce((sum, at) => sum + coefficient(at, run.length), 0n),
    }));
    return (value: number) =>
      weights.map(({ modulus, weight }) => (((weight * BigInt(value - now)) % modulus) + modulus) % modulus);
  });
  return (value) => each.flatMap((move) => move(value));
}
