import { AS_PROBABLE, fisherExact } from './fisher.js';
import { chiSquareTail, logFactorials } from './logGamma.js';

/** Counts by group (rows) and by value (columns). */
export type CountTable = readonly (readonly number[])[];

export interface TableTest {
  readonly p: number;
  /** `exact`: Fisher's test and its extension to larger tables; `chi-square`: more tables than can be counted out. */
  readonly method: 'exact' | 'chi-square';
}

/** Tables with the same margins that are counted out before the chi-square distribution is asked instead. */
const MOST_TABLES = 4000;

/** Below this expected count the chi-square distribution is no good stand-in (Cochran's rule; common practice). */
const LEAST_EXPECTED = 5;

/**
 * Probability, were group and value independent, of a table at most as probable as this one.
 *
 * Four counts: Fisher's exact test. Larger tables: the same sum over all tables with these margins (Freeman and
 * Halton, Biometrika 38, 1951), as long as they are few. Otherwise values that are too rare to be tested one by one
 * are taken together, which looks at the margins alone and so favours no group, and the chi-square distribution
 * answers.
 */
export function tableTest(table: CountTable): TableTest {
  const kept = withoutEmpty(table);
  const values = kept[0]?.length ?? 0;
  if (kept.length < 2 || values < 2) return { p: 1, method: 'exact' };
  if (kept.length === 2 && values === 2) return { p: fisherOf(kept), method: 'exact' };
  const exact = kept.length === 2 ? twoRows(kept) : countedOut(kept);
  if (exact !== undefined) return { p: exact, method: 'exact' };
  const merged = rareTogether(kept);
  const left = merged[0]?.length ?? 0;
  if (left < 2) return { p: 1, method: 'chi-square' };
  if (left === 2 && merged.length === 2) return { p: fisherOf(merged), method: 'exact' };
  return { p: chiSquareTail(chiSquare(merged), (left - 1) * (merged.length - 1)), method: 'chi-square' };
}

/** Pearson's chi-square statistic of a table of counts without empty rows and columns. */
export function chiSquare(table: CountTable): number {
  const rows = table.map(sum);
  const columns = columnSums(table);
  const all = sum(rows);
  let total = 0;
  table.forEach((row, i) => {
    row.forEach((count, j) => {
      const expected = ((rows[i] as number) * (columns[j] as number)) / all;
      total += (count - expected) ** 2 / expected;
    });
  });
  return total;
}

function fisherOf(table: CountTable): number {
  const [[a, b], [c, d]] = table as readonly [readonly [number, number], readonly [number, number]];
  return fisherExact([a, b, c, d]).twoSided;
}

/** The exact p by running through all tables with the same margins, column by column; undefined where they are too many. */
function countedOut(table: CountTable): number | undefined {
  const rows = table.map(sum);
  const columns = columnSums(table);
  const logs = logFactorials(sum(rows));
  const log = (n: number) => logs[n] as number;
  const constant = sum(rows.map(log)) + sum(columns.map(log)) - log(sum(rows));
  const observed = Math.exp(constant - sum(table.flat().map(log)));
  const left = [...rows];
  let tables = 0;
  let p = 0;
  const fill = (row: number, column: number, open: number, cells: number): void => {
    if (tables > MOST_TABLES) return;
    if (column === columns.length - 1) {
      tables++;
      const probability = Math.exp(constant - cells - sum(left.map(log)));
      if (probability <= observed * AS_PROBABLE) p += probability;
      return;
    }
    if (row === rows.length - 1) {
      if (open > (left[row] as number)) return;
      left[row] = (left[row] as number) - open;
      fill(0, column + 1, columns[column + 1] as number, cells + log(open));
      left[row] = (left[row] as number) + open;
      return;
    }
    const most = Math.min(open, left[row] as number);
    for (let count = 0; count <= most; count++) {
      left[row] = (left[row] as number) - count;
      fill(row + 1, column, open - count, cells + log(count));
      left[row] = (left[row] as number) + count;
    }
  };
  fill(0, 0, columns[0] as number, 0);
  return tables > MOST_TABLES ? undefined : Math.min(1, p);
}

/** Of two rows the partial tables that are told apart at most. */
const MOST_PARTS = 12_000;

/** Logarithms of products in another order differ by rounding alone; beyond these parts of one they are the same. */
const ROUNDED = 1e8;

/**
 * The exact p of two rows: tables that agree in the sum of the first row and in their probability so far are one, however
 * many they are. Undefined where too many are left.
 */
function twoRows(table: CountTable): number | undefined {
  const [first = [], second = []] = table;
  const [all, wanted] = [sum(first) + sum(second), sum(first)];
  const logs = logFactorials(all);
  const ways = (of: number, taken: number) =>
    (logs[of] as number) - (logs[taken] as number) - (logs[of - taken] as number);
  // Columns that are alike lie together, so that most of what they give is the same soon.
  const columns = columnSums(table).sort((a, b) => a - b);
  let parts = new Map<string, { readonly taken: number; readonly log: number; readonly count: number }>([
    ['', { taken: 0, log: 0, count: 1 }],
  ]);
  let left = all;
  for (const column of columns) {
    left -= column;
    const next: typeof parts = new Map();
    for (const { taken, log, count } of parts.values()) {
      for (let more = Math.max(0, wanted - taken - left); more <= Math.min(column, wanted - taken); more++) {
        const sumOfLogs = log + ways(column, more);
        const key = `${taken + more} ${Math.round(sumOfLogs * ROUNDED)}`;
        const known = next.get(key)?.count ?? 0;
        next.set(key, { taken: taken + more, log: sumOfLogs, count: known + count });
      }
      if (next.size > MOST_PARTS) return undefined;
    }
    parts = next;
  }
  const constant = ways(all, wanted);
  const observed = first.reduce((log, taken, i) => log + ways(taken + (second[i] as number), taken), 0);
  // Over what all tables come to, so that roundings are the same above and below.
  let [p, whole] = [0, 0];
  for (const { log, count } of parts.values()) {
    const probability = count * Math.exp(log - constant);
    whole += probability;
    if (log <= observed + AS_PROBABLE - 1) p += probability;
  }
  return Math.max(Number.MIN_VALUE, p / whole);
}

/** The table with the rarest values taken together until each expected count is large enough, or one column is left. */
function rareTogether(table: CountTable): CountTable {
  const rows = table.map(sum);
  const least = Math.min(...rows) / sum(rows);
  const columns = columnSums(table);
  const enough = (count: number) => count * least >= LEAST_EXPECTED;
  const byCount = [...columns.keys()].sort((i, j) => (columns[i] as number) - (columns[j] as number));
  let rare = byCount.findIndex((column) => enough(columns[column] as number));
  if (rare < 0) rare = byCount.length;
  let together = sum(byCount.slice(0, rare).map((column) => columns[column] as number));
  while (rare > 0 && rare < byCount.length && !enough(together))
    together += columns[byCount[rare++] as number] as number;
  return table.map((row) => {
    const counts = byCount.map((column) => row[column] as number);
    return rare === 0 ? counts : [sum(counts.slice(0, rare)), ...counts.slice(rare)];
  });
}

function withoutEmpty(table: CountTable): CountTable {
  const columns = columnSums(table);
  return table.filter((row) => sum(row) > 0).map((row) => row.filter((_, column) => (columns[column] as number) > 0));
}

function columnSums(table: CountTable): number[] {
  const sums = new Array<number>(table[0]?.length ?? 0).fill(0);
  for (const row of table)
    for (let column = 0; column < row.length; column++)
      sums[column] = (sums[column] as number) + (row[column] as number);
  return sums;
}

function sum(numbers: readonly number[]): number {
  let total = 0;
  for (const number of numbers) total += number;
  return total;
}
