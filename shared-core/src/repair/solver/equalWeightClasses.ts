import { signed } from './infeasibility.js';
import type { Change, FreeByte, System } from './system.js';

/** Bytes that count alike in every sum: only their growth together matters. */
export interface EqualWeightClass {
  /** What growing by 1 adds to each equation, as the number nearest to 0. */
  readonly weights: readonly bigint[];
  /** How far all of them together can fall and rise. */
  readonly down: number;
  readonly up: number;
  /** The fewest bytes that can take up a growth; infinite where not even all can. */
  readonly bytesFor: (growth: number) => number;
  /** That growth over the fewest bytes, all going the same way, which is the smallest change. */
  readonly changeOf: (growth: number) => Change;
  /** Whether the fewest bytes can take it up in one way only. */
  readonly isOnlyWay: (growth: number) => boolean;
}

/** The free bytes of a system of congruences by their weights, light ones first: what they leave is what heavy ones can do. */
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
    .map(({ weights, indexes }) => growthClass(free, weights, indexes));
}

function growthClass(
  free: readonly FreeByte[],
  weights: readonly bigint[],
  indexes: readonly number[],
): EqualWeightClass {
  const valueAt = (index: number) => (free[index] as FreeByte).value;
  const falling = direction(indexes, valueAt);
  const rising = direction(indexes, (index) => 255 - valueAt(index));
  const way = (growth: number) => (growth < 0 ? falling : rising);
  return {
    weights,
    down: falling.room,
    up: rising.room,
    bytesFor: (growth) => way(growth).bytesFor(Math.abs(growth)),
    isOnlyWay: (growth) => way(growth).isOnlyWay(Math.abs(growth)),
    changeOf: (growth) =>
      way(growth)
        .spread(Math.abs(growth))
        .map(({ index, amount }) => ({ index, value: valueAt(index) + Math.sign(growth) * amount })),
  };
}

/** The bytes of a class going one way. */
function direction(indexes: readonly number[], room: (index: number) => number) {
  // The bytes with the most room first give the fewest; among equal ones the order of preference stays.
  const order = [...indexes].sort((a, b) => room(b) - room(a));
  const sums = [0];
  for (const index of order) sums.push((sums.at(-1) as number) + room(index));
  const bytesFor = (amount: number): number => {
    if (amount > (sums.at(-1) as number)) return Number.POSITIVE_INFINITY;
    let [low, high] = [0, order.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((sums[middle] as number) < amount) low = middle + 1;
      else high = middle;
    }
    return low;
  };
  return {
    room: sums.at(-1) as number,
    bytesFor,
    isOnlyWay: (amount: number): boolean => {
      const bytes = bytesFor(amount);
      if (bytes === 0) return true;
      const next = order[bytes] === undefined ? -1 : room(order[bytes] as number);
      // One byte alone: whether a second could do it as well. Several: where one has room left, another can give to it.
      return bytes === 1 ? next < amount : sums[bytes] === amount && next < room(order[bytes - 1] as number);
    },
    spread: (amount: number) => {
      // A byte that can take all of it needs no other: then the first one does, in the order of preference.
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
