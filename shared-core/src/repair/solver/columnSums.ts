import {
  bytesIn,
  congruencesOf,
  likelihoods,
  type RingSum,
  ringSum,
  type SumGroup,
  spreadOf,
  unitOf,
  withEach,
} from './integerSums.js';
import type { System } from './system.js';

const DIGIT = 256;

/** A sum of bytes that is wider leaves too many totals. */
const MOST_PLANES = 16;

/**
 * The same sums, where one of words modulo a power of two is beside one of bytes. Of what each column of bytes comes to
 * only the carries are open, so that all columns together come to one of few totals, and the sum of bytes less that total
 * has fewer bytes: often none but a stored sum, which counts twice. Undefined where there are no such sums.
 */
export function columnSumsOf(system: System): readonly SumGroup[] | undefined {
  const all = congruencesOf(system);
  const rings = all.flatMap((one) => ringSum(system.free, one) ?? []);
  for (const words of rings) {
    const columns = columnsOf(words);
    if (columns === undefined) continue;
    for (const bytes of rings) {
      const group = bytes === words ? undefined : together(system.free, words, columns, bytes);
      if (group === undefined) continue;
      const rest = all.filter((one) => one !== words.of && one !== bytes.of);
      return withEach(system.free, [group], rest);
    }
  }
  return undefined;
}

/** Which bytes are in a column, as 1 for each. */
type Column = readonly number[];

/** The columns of a sum of words, the lowest first; undefined of any other sum. */
function columnsOf({ weights, planes }: RingSum): readonly Column[] | undefined {
  const count = planes / 8;
  if (!Number.isInteger(count) || count < 2) return undefined;
  const columns = Array.from({ length: count }, (_, at) =>
    Array.from(weights, (weight) => (weight === DIGIT ** at ? 1 : 0)),
  );
  const isOfWords = weights.every((weight, i) => weight === 0 || columns.some((column) => column[i] === 1));
  return isOfWords ? columns : undefined;
}

/** The sum of bytes less all columns, and both sums as they are. */
function together(
  free: System['free'],
  words: RingSum,
  columns: readonly Column[],
  bytes: RingSum,
): SumGroup | undefined {
  if (bytes.planes > MOST_PLANES) return undefined;
  const end = 2 ** bytes.planes;
  const added = columns.reduce((all, column) => all.map((count, i) => count + (column[i] as number)));
  const { times, sum } = [1, -1]
    .map((by) => ({
      times: by,
      sum: { ...bytes, weights: bytes.weights.map((own, i) => own - by * (added[i] as number)) },
    }))
    .reduce((best, one) => (bytesIn(one.sum) < bytesIn(best.sum) ? one : best));
  if (bytesIn(sum) >= bytesIn(bytes)) return undefined;
  const totals = totalsOf(free, columns, words.target, end);
  const unit = unitOf(sum);
  const wanted = totals.flatMap(({ total, chance }) => {
    const rest = bytes.target - times * total;
    return rest % unit === 0 ? [{ values: [rest | 0, bytes.target, words.target], chance }] : [];
  });
  // Beside the other two the sum of bytes says no more than whether the total is the one that was taken.
  const bits = -Math.log2(totals.reduce((most, { chance }) => Math.max(most, chance), 0));
  return { sums: [sum, { ...bytes, bits }, words], wanted: likelihoods(wanted) };
}

interface Total {
  readonly total: number;
  readonly chance: number;
}

/** What all columns together may come to, modulo `end`, where as words they come to what is wanted. */
function totalsOf(free: System['free'], columns: readonly Column[], wanted: number, end: number): readonly Total[] {
  let open = [{ carry: 0, total: 0, chance: 1 }];
  for (const [at, column] of columns.entries()) {
    const { least, most, middle, deviation } = spreadOf(free, column);
    const digit = (wanted >>> (8 * at)) & 0xff;
    const next = new Map<number, (typeof open)[number]>();
    for (const one of open) {
      const lowest = digit - one.carry;
      for (let sum = lowest + DIGIT * Math.ceil((least - lowest) / DIGIT); sum <= most; sum += DIGIT) {
        // What is carried out of the last column counts no more.
        const carry = at === columns.length - 1 ? 0 : (sum + one.carry - digit) / DIGIT;
        const total = (one.total + sum) % end;
        const chance = one.chance * Math.exp(-(((sum - middle) / deviation) ** 2) / 2);
        const key = carry * end + total;
        next.set(key, { carry, total, chance: chance + (next.get(key)?.chance ?? 0) });
      }
    }
    open = [...next.values()];
  }
  const all = open.reduce((sum, { chance }) => sum + chance, 0);
  return open.map(({ total, chance }) => ({ total, chance: chance / all }));
}
