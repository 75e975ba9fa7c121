import {
  type Congruence,
  congruencesOf,
  type IntegerSum,
  integerSum,
  likelihoods,
  nearZero,
  type SumGroup,
  spreadOf,
  type Wanted,
} from './integerSums.js';
import type { System } from './system.js';

const DIGIT = 256;
const MOST_COLUMNS = 4;

/** A sum of bytes that is wider leaves too many totals. */
const MOST_PLANES = 16;

/**
 * The same sums, where one of words modulo a power of two is beside one of bytes. Of what each column of bytes comes to
 * only the carries are open, so that all columns together come to one of few totals, and the sum of bytes less that total
 * has fewer bytes: often none but a stored sum, which counts twice. Undefined where there are no such sums.
 */
export function columnSumsOf(system: System): readonly SumGroup[] | undefined {
  const all = congruencesOf(system);
  for (const words of all) {
    const columns = columnsOf(words);
    if (columns === undefined) continue;
    for (const bytes of all) {
      const group = bytes === words ? undefined : together(system.free, words, columns, bytes);
      if (group === undefined) continue;
      const rest = all.filter((one) => one !== words && one !== bytes).map((one) => integerSum(system.free, one));
      return rest.some((one) => one === undefined) ? undefined : [group, ...(rest as SumGroup[])];
    }
  }
  return undefined;
}

/** Which bytes are in a column, as 1 for each. */
type Column = readonly number[];

/** The columns of a sum of words, the lowest first; undefined of any other sum. */
function columnsOf({ weights, modulus }: Congruence): readonly Column[] | undefined {
  const count = Math.log2(Number(modulus)) / 8;
  if (!Number.isInteger(count) || count < 2 || count > MOST_COLUMNS) return undefined;
  const columns = Array.from({ length: count }, (_, at) =>
    weights.map((weight) => (weight === BigInt(DIGIT ** at) ? 1 : 0)),
  );
  const isOfWords = weights.every((weight, i) => weight === 0n || columns.some((column) => column[i] === 1));
  return isOfWords ? columns : undefined;
}

/** The sum of bytes less all columns, and both sums as they are. */
function together(
  free: System['free'],
  words: Congruence,
  columns: readonly Column[],
  bytes: Congruence,
): SumGroup | undefined {
  const [word, sum] = [singleSum(free, words), singleSum(free, bytes)];
  if (word === undefined || sum === undefined || sum.planes > MOST_PLANES) return undefined;
  const end = 2 ** sum.planes;
  const added = columns.reduce((all, column) => all.map((count, i) => count + (column[i] as number)));
  const { times, weights } = [1, -1]
    .map((by) => ({ times: by, weights: sum.weights.map((own, i) => nearZero(own - by * (added[i] as number), end)) }))
    .reduce((best, one) => (bytesIn(one) < bytesIn(best) ? one : best));
  if (bytesIn({ weights }) >= bytesIn(sum)) return undefined;
  const totals = totalsOf(free, columns, word.wanted, end);
  const lowest = weights.reduce((bits, weight) => bits | weight, end);
  const wanted = totals.flatMap(({ values: [total = 0], chance }) => {
    const rest = sum.wanted - times * total;
    return rest % (lowest & -lowest) === 0 ? [{ values: [rest | 0, sum.wanted, word.wanted], chance }] : [];
  });
  // Beside the other two the sum of bytes says no more than whether the total is the one that was taken.
  const bits = -Math.log2(totals.reduce((largest, { chance }) => Math.max(largest, chance), 0));
  return { sums: [{ ...sum, weights }, { ...sum, bits }, word], wanted: likelihoods(wanted) };
}

/** A sum, with the one value that it must come to where it is modulo a power of two. */
function singleSum(free: System['free'], congruence: Congruence): (IntegerSum & { wanted: number }) | undefined {
  const group = integerSum(free, congruence);
  const [sum, value] = [group?.sums[0], group?.wanted[0]?.values[0]];
  return sum !== undefined && value !== undefined ? { ...sum, wanted: value } : undefined;
}

function bytesIn({ weights }: Pick<IntegerSum, 'weights'>): number {
  return weights.reduce((count, weight) => count + (weight === 0 ? 0 : 1), 0);
}

/** What all columns together may come to, modulo `end`, where as words they come to what is wanted. */
function totalsOf(free: System['free'], columns: readonly Column[], wanted: number, end: number): readonly Wanted[] {
  let open = [{ carry: 0, total: 0, chance: 1 }];
  for (const [at, column] of columns.entries()) {
    const { least, most, middle, deviation } = spreadOf(free, column);
    const digit = (wanted >>> (8 * at)) & 0xff;
    const next = new Map<number, (typeof open)[number]>();
    for (const one of open) {
      const lowest = digit - one.carry;
      for (let sum = lowest + DIGIT * Math.ceil((least - lowest) / DIGIT); sum <= most; sum += DIGIT) {
        const [carry, total] = [(sum + one.carry - digit) / DIGIT, (one.total + sum) % end];
        const chance = one.chance * Math.exp(-(((sum - middle) / deviation) ** 2) / 2);
        const key = carry * end + total;
        next.set(key, { carry, total, chance: chance + (next.get(key)?.chance ?? 0) });
      }
    }
    open = [...next.values()];
  }
  const chances = new Map<number, number>();
  for (const { total, chance } of open) chances.set(total, chance + (chances.get(total) ?? 0));
  return likelihoods([...chances].map(([total, chance]) => ({ values: [total], chance })));
}
