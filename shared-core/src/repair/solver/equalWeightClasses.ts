import { lowerBound } from '../../base/lowerBound.js';
import { signed } from './infeasibility.js';
import type { Change, FreeByte, System } from './system.js';

/** Bytes of equal weight in every equation: only the sum of their growths matters. */
export interface EqualWeightClass {
  /** What a growth of 1 adds to each equation, as the residue nearest to 0. */
  readonly weights: readonly bigint[];
  /** How far all of them together can fall and rise. */
  readonly down: number;
  readonly up: number;
  /** The fewest bytes that can take up a growth; infinite where not even all can. */
  readonly bytesFor: (growth: number) => number;
  /** That growth spread over the fewest bytes, all in one direction, which is the smallest change. */
  readonly changeOf: (growth: number) => Change;
  /** Whether there is only one way for the fewest bytes to take it up. */
  readonly isOnlyWay: (growth: number) => boolean;
}

/** The free bytes of a system of congruences by their weights, light ones first, so that the heavy ones take what is left. */
export function equalWeightClasses({ free, equations }: System): readonly EqualWeightClass[] {
  const members = new Map<string, { readonly weights: readonly bigint[]; readonly indexes: number[] }>();
  for (const index of free.keys()) {
    const weights = equations.map((equation) =>
      equation.kind === 'modular' ? signed(equation.weights[index] as bigint, equation.modulus) : 0n,
    );
    const known = members.get(weights.join());
    if (known) known.indexes.push(index);
    else members.set(weights.join(), { weights, indexes: [index] });
  }
  const heaviness = (weights: readonly bigint[]) =>
    weights.reduce((sum, weight) => sum + (weight < 0n ? -weight : weight), 0n);
  return [...members.values()]
    .sort((a, b) => (heaviness(a.weights) < heaviness(b.weights) ? -1 : 1))
    .map(({ weights, indexes }) => classOf(free, weights, indexes));
}

function classOf(free: readonly FreeByte[], weights: readonly bigint[], indexes: readonly number[]): EqualWeightClass {
  const valueAt = (index: number) => (free[index] as FreeByte).value;
  const falling = direction(indexes, valueAt);
  const rising = direction(indexes, (index) => 255 - valueAt(index));
  const directionOf = (growth: number) => (growth < 0 ? falling : rising);
  return {
    weights,
    down: falling.room,
    up: rising.room,
    bytesFor: (growth) => directionOf(growth).bytesFor(Math.abs(growth)),
    isOnlyWay: (growth) => directionOf(growth).isOnlyWay(Math.abs(growth)),
    changeOf: (growth) =>
      directionOf(growth)
        .spread(Math.abs(growth))
        .map(({ index, amount }) => ({ index, value: valueAt(index) + Math.sign(growth) * amount })),
  };
}

/** The bytes of a class as they rise, or as they fall. */
function direction(indexes: readonly number[], room: (index: number) => number) {
  // Bytes with the most room come first, so that the fewest are used; equal ones stay in the order of preference.
  const order = [...indexes].sort((a, b) => room(b) - room(a));
  const sums = [0];
  for (const index of order) sums.push((sums.at(-1) as number) + room(index));
  const bytesFor = (amount: number): number =>
    amount > (sums.at(-1) as number)
      ? Number.POSITIVE_INFINITY
      : lowerBound(order.length, (count) => (sums[count] as number) < amount);
  return {
    room: sums.at(-1) as number,
    bytesFor,
    isOnlyWay: (amount: number): boolean => {
      const bytes = bytesFor(amount);
      if (bytes === 0) return true;
      const next = order[bytes] === undefined ? -1 : room(order[bytes] as number);
      // Of one byte: no second has as much room. Of several: all are full, else one could give to another.
      return bytes === 1 ? next < amount : sums[bytes] === amount && next < room(order[bytes - 1] as number);
    },
    spread: (amount: number) => {
      // Where one byte can take all of it, the first such byte in the order of preference does.
      const alone = bytesFor(amount) === 1 ? indexes.find((index) => room(index) >= amount) : undefined;
      if (alone !== undefined) return [{ index: alone, amount }];
      let left = amount;
      return order.slice(0, bytesFor(amount)).map((index) => {
        const taken = Math.min(left, room(index));
        left -= taken;
        return { index, amount: taken };
      });
    },
  };
}
