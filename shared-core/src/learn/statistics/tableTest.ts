import { AS_PROBABLE, fisherExact, logOfSum, probabilityOf } from './fisher.js';
import { logChiSquareTail, logFactorials } from './logGamma.js';

/** Counts by group (rows) and by value (columns). */
export type CountTable = readonly (readonly number[])[];

export interface TableTest {
  readonly p: number;
  /** The natural logarithm of p, also where p is below the smallest number there is. */
  readonly log: number;
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
 * answers, as it does where the table is as usual as most. Who tests many tables gives the logarithms of the factorials up to their largest sum once for all.
 */
export function tableTest(table: CountTable, known?: Float64Array): TableTest {
  const kept = withoutEmpty(table);
  const values = kept[0]?.length ?? 0;
  if (kept.length < 2 || values < 2) return answer(0, 'exact');
  const logs = known ?? logFactorials(sum(kept.map(sum)));
  if (kept.length === 2 && values === 2) return answer(fisherOf(kept, logs), 'exact');
  if (kept.length === 2 && values > FEW_VALUES && isUnremarkable(kept)) {
    const about = byChiSquare(kept, logs);
    if (about.p > UNREMARKABLE) return about;
  }
  const exact = kept.length === 2 ? twoRows(kept, logs) : countedOut(kept, logs);
  return exact === undefined ? byChiSquare(kept, logs) : answer(exact, 'exact');
}

function byChiSquare(table: CountTable, logs: Float64Array): TableTest {
  const merged = rareTogether(table);
  const left = merged[0]?.length ?? 0;
  if (left < 2) return answer(0, 'chi-square');
  if (left === 2 && merged.length === 2) return answer(fisherOf(merged, logs), 'exact');
  return answer(logChiSquareTail(chiSquare(merged), (left - 1) * (merged.length - 1)), 'chi-square');
}

function answer(log: number, method: TableTest['method']): TableTest {
  return { p: probabilityOf(log), log, method };
}

/** Tables of two rows with no more values than these are counted out whatever they hold. */
const FEW_VALUES = 12;

/** A probability that no list of places is about. */
const UNREMARKABLE = 0.05;

/**
 * Whether the chi-square statistic of two rows is less than a standard deviation above its mean over all tables with the same
 * margins, both exact (Haldane, Biometrika 31, 1940; Dawson, Biometrika 41, 1954): of thousands of places most are, and
 * counting out their tables would tell nothing that anybody looks at.
 */
function isUnremarkable(table: CountTable): boolean {
  const { mean, variance } = momentsOf(table);
  return chiSquare(table) < mean + Math.sqrt(variance);
}

/** Mean and variance of the chi-square statistic over all tables with the margins of one (four counts or more). */
export function momentsOf(table: CountTable): { readonly mean: number; readonly variance: number } {
  const [rows, columns] = [table.map(sum), columnSums(table)];
  const all = sum(rows);
  const partOf = (sums: readonly number[]) => {
    const v = ((sums.length - 1) * (all - sums.length)) / (all - 1);
    const w = (all * sum(sums.map((one) => 1 / one)) - sums.length ** 2) / (all - 2);
    return { v, w };
  };
  const [row, column] = [partOf(rows), partOf(columns)];
  return {
    mean: (all * (rows.length - 1) * (columns.length - 1)) / (all - 1),
    variance:
      ((2 * all) / (all - 3)) * (row.v - row.w) * (column.v - column.w) + (all ** 2 / (all - 1)) * row.w * column.w,
  };
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

function fisherOf(table: CountTable, logs: Float64Array): number {
  const [[a, b], [c, d]] = table as readonly [readonly [number, number], readonly [number, number]];
  return fisherExact([a, b, c, d], logs).logTwoSided;
}

/** The logarithm of the exact p by running through all tables with the same margins, column by column; undefined where they are too many. */
function countedOut(table: CountTable, logs: Float64Array): number | undefined {
  const rows = table.map(sum);
  const columns = columnSums(table);
  // Two rows alone can place one count each in so many ways.
  if (columns.length * (columns.length - 1) > MOST_TABLES) return undefined;
  const log = (n: number) => logs[n] as number;
  const constant = sum(rows.map(log)) + sum(columns.map(log)) - log(sum(rows));
  const observed = constant - sum(table.flat().map(log));
  const left = [...rows];
  let tables = 0;
  let p = 0;
  const fill = (row: number, column: number, open: number, cells: number): void => {
    if (tables > MOST_TABLES) return;
    if (column === columns.length - 1) {
      tables++;
      // As a multiple of the table at hand, so that it does not vanish among many dumps.
      const more = constant - cells - sum(left.map(log)) - observed;
      if (more <= AS_PROBABLE - 1) p += Math.exp(more);
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
  return tables > MOST_TABLES ? undefined : Math.min(0, observed + Math.log(p));
}

/** Of two rows the partial tables that are told apart at most. */
const MOST_PARTS = 12_000;

/** Logarithms of products in another order differ by rounding alone; beyond these parts of one they are the same. */
const ROUNDED = 1e8;

/**
 * The logarithm of the exact p of two rows: tables that agree in the sum of the first row and in their probability so far
 * are one, however many they are. Undefined where too many are left.
 */
function twoRows(table: CountTable, logs: Float64Array): number | undefined {
  const [first = [], second = []] = table;
  const [all, wanted] = [sum(first) + sum(second), sum(first)];
  const ways = (of: number, taken: number) =>
    (logs[of] as number) - (logs[taken] as number) - (logs[of - taken] as number);
  // Columns that are alike lie together, so that most of what they give is the same soon.
  const columns = columnSums(table);
  const bySize = countBySize(columns);
  if (all > FEW_COUNTS && leastParts(bySize, wanted, all) > SURELY_TOO_MANY * MOST_PARTS) return undefined;
  columns.sort((a, b) => a - b);
  const ones = columns.filter((column) => column === 1).length;
  let left = all - ones;
  // One number names both what is taken and the logarithm; no number of ways is above 2 to the power of all.
  const scale = Math.min(ROUNDED, Math.floor(2 ** 52 / (all + 1) / (wanted + 1)));
  const keyOf = (taken: number, log: number) => Math.round(log * scale) * (wanted + 1) + taken;
  // All columns of one count are taken at once: which of them does not matter.
  let parts: Parts = { taken: [], log: [], tables: [] };
  for (let taken = Math.max(0, wanted - left); taken <= Math.min(ones, wanted); taken++)
    addPart(parts, taken, 0, ways(ones, taken));
  for (const column of columns.slice(ones)) {
    left -= column;
    const waysOf = Array.from({ length: Math.min(column, wanted) + 1 }, (_, more) => ways(column, more));
    const next: Parts = { taken: [], log: [], tables: [] };
    const places = new Map<number, number>();
    for (let part = 0; part < parts.taken.length; part++) {
      const [taken, log] = [parts.taken[part] as number, parts.log[part] as number];
      const tables = parts.tables[part] as number;
      for (let more = Math.max(0, wanted - taken - left); more <= Math.min(column, wanted - taken); more++) {
        const sumOfLogs = log + (waysOf[more] as number);
        const key = keyOf(taken + more, sumOfLogs);
        const known = places.get(key);
        if (known !== undefined) next.tables[known] = added(next.tables[known] as number, tables);
        else {
          places.set(key, next.taken.length);
          addPart(next, taken + more, sumOfLogs, tables);
        }
      }
      if (next.taken.length > MOST_PARTS) return undefined;
    }
    parts = next;
  }
  const observed = first.reduce((log, taken, i) => log + ways(taken + (second[i] as number), taken), 0);
  const probabilities = parts.log.map((log, part) => log + (parts.tables[part] as number));
  const counted = probabilities.filter((_, part) => (parts.log[part] as number) <= observed + AS_PROBABLE - 1);
  // Over what all tables come to, so that roundings are the same above and below.
  return Math.min(0, logOfSum(counted) - logOfSum(probabilities));
}

/**
 * Tables that are one so far: how much of the first row each has taken, the logarithm of its probability, and of their
 * number.
 */
interface Parts {
  readonly taken: number[];
  readonly log: number[];
  readonly tables: number[];
}

function addPart(parts: Parts, taken: number, log: number, tables: number): void {
  parts.taken.push(taken);
  parts.log.push(log);
  parts.tables.push(tables);
}

/** The logarithm of a sum of two numbers, of their logarithms. */
function added(a: number, b: number): number {
  return Math.max(a, b) + Math.log1p(Math.exp(-Math.abs(a - b)));
}

/** With no more counts than these the parts are made in any case: what is foretold may be more than there are. */
const FEW_COUNTS = 1000;

/** Some of the parts that are foretold are alike by accident. */
const SURELY_TOO_MANY = 4;

/**
 * About how many partial tables are told apart at least, the columns of one count by how many of
 * them are taken, those of another size by how many of them have each number of ways. Told before any is made, since
 * most places of thousands of dumps have too many. Columns that hold too much for the smaller row are not counted.
 */
function leastParts(bySize: ReadonlyMap<number, number>, wanted: number, all: number): number {
  const smaller = Math.min(wanted, all - wanted);
  let [parts, held] = [1, 0];
  for (const [size, columns] of [...bySize].sort(([a], [b]) => a - b)) {
    const count = size === 1 ? columns : Math.min(columns, Math.floor((2 * smaller - held) / size));
    if (count <= 0) break;
    held += count * size;
    if (size === 1) parts *= 1 + Math.min(count, smaller, all - count);
    // Ways to take 0 to half of a column: as many as of the other half.
    for (let k = 1; k <= size / 2 && parts <= SURELY_TOO_MANY * MOST_PARTS; k++) parts *= (count + k) / k;
  }
  return parts;
}

/** How many columns there are of each sum. */
function countBySize(columns: readonly number[]): ReadonlyMap<number, number> {
  const counts = new Map<number, number>();
  for (const size of columns) counts.set(size, (counts.get(size) ?? 0) + 1);
  return counts;
}

/** The table with the rarest values taken together until each expected count is large enough, or one column is left. */
function rareTogether(table: CountTable): CountTable {
  const rows = table.map(sum);
  const least = Math.min(...rows) / sum(rows);
  const columns = columnSums(table);
  const enough = (count: number) => count * least >= LEAST_EXPECTED;
  if (!columns.some(enough)) return table.map((row) => [sum(row)]);
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
  if (columns.every((column) => column > 0) && table.every((row) => sum(row) > 0)) return table;
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
