// Options of half a byte and of several values among dumps of which some have the wrong label: how often they are found
// where an exact test can tell them at all, how often something else is, and whether p is that of all labellings.
import { FOUND, findOption } from '../../shared-core/src/learn/findOption/findOption.js';
import { tableTest } from '../../shared-core/src/learn/statistics/tableTest.js';
import { comparedOf } from '../shared-core/learn/dumps.js';
import type { Sampling } from './sample.js';
import { sample } from './sample.js';

type Next = (below: number) => number;

/** Values of the half byte for each group: one, several, or one for each of three levels. */
const KINDS: Readonly<Record<string, (next: Next) => readonly (readonly number[])[]>> = {
  'one value for each of two': (next) => parted(shuffled(16, next), [1, 1]),
  'three values for each of two': (next) => parted(shuffled(16, next), [3, 3]),
  'five values and three': (next) => parted(shuffled(16, next), [5, 3]),
  'three levels': (next) => parted(shuffled(16, next), [1, 1, 1]),
};

interface NoisyCase {
  readonly kind: string;
  readonly dumps: number;
  /** In a hundred. */
  readonly wrong: number;
}

interface NoisyScore {
  /** Whether the exact p of the right half byte, times all that was tried, is low enough. */
  readonly canBeTold: boolean;
  readonly isFound: boolean;
  readonly found: number;
  readonly falseOnes: number;
}

const LINES = 6;
const BYTES = 8;

function scoreNoisy({ kind, dumps, wrong }: NoisyCase, next: Next): NoisyScore {
  const values = (KINDS[kind] as (typeof KINDS)[string])(next);
  const [line, byte, shift] = [next(LINES), next(BYTES), 4 * next(2)];
  const noise = Array.from({ length: LINES * BYTES }, () => next(6));
  const mislabelled = new Set(shuffled(dumps, next).slice(0, Math.round((dumps * wrong) / 100)));
  const labels: number[] = [];
  const shown: number[] = [];
  const labelled = Array.from({ length: dumps }, (_, car) => {
    const group = car % values.length;
    const own = values[group] as readonly number[];
    const lines = Array.from({ length: LINES }, (_, at) =>
      Array.from({ length: BYTES }, (_, column) => noiseOf(noise[at * BYTES + column] as number, next)),
    );
    const value = own[next(own.length)] as number;
    const row = lines[line] as number[];
    // The other half of its byte never changes, so that the half byte is the smallest place of all of it.
    row[byte] = (value << shift) | (0xa << (4 - shift));
    const label = mislabelled.has(car) ? (group + 1 + next(values.length - 1)) % values.length : group;
    labels.push(label);
    shown.push(value);
    return { name: `${car}`, group: label, dump: comparedOf(lines) };
  });
  const { candidates, tried } = findOption(
    labelled,
    values.map((_, group) => `level ${group}`),
  );
  const isOption = ({ place, sameAs }: (typeof candidates)[number]) =>
    [place, ...sameAs].some((one) => one.line === line + 1 && one.byte <= byte + 1 && one.byte + one.count > byte + 1);
  const found = candidates.filter(({ q }) => q <= FOUND);
  return {
    canBeTold: exactP(tableOf(labels, shown, values.length)) * tried <= FOUND,
    isFound: found.some(isOption),
    found: found.length,
    falseOnes: found.filter((one) => !isOption(one)).length,
  };
}

/** Prints what became of each kind; whether nothing that can be told is lost, and as little as stated is claimed wrongly. */
export function scoreNoisyOptions(runs: number, next: Next, sampling: Sampling): boolean {
  const cases = Array.from({ length: runs }, () =>
    Object.keys(KINDS).flatMap((kind) =>
      [30, 60].flatMap((dumps) => [0, 5, 10].map((wrong): NoisyCase => ({ kind, dumps, wrong }))),
    ),
  ).flat();
  const scores = new Map<string, NoisyScore[]>();
  for (const one of sample('Options among wrong labels', cases, sampling)) {
    const key = `${one.kind}, ${one.dumps} dumps, ${one.wrong} % wrong`;
    scores.set(key, [...(scores.get(key) ?? []), scoreNoisy(one, next)]);
  }
  const percent = (count: number, of: number) => (of === 0 ? '–' : ((100 * count) / of).toFixed(1));
  const count = (all: readonly NoisyScore[], is: (score: NoisyScore) => boolean) => all.filter(is).length;
  /** The mean over all searches, as the discovery rate has it. */
  const falseShare = (all: readonly NoisyScore[]) =>
    all.reduce((sum, { falseOnes, found }) => sum + (found === 0 ? 0 : falseOnes / found), 0);
  console.log('Options of half a byte among wrong labels; at most 5 % of what is called found should be false');
  console.table(
    Object.fromEntries(
      [...scores].map(([key, all]) => [
        key,
        {
          runs: all.length,
          '% an exact test can tell': percent(
            count(all, ({ canBeTold }) => canBeTold),
            all.length,
          ),
          '% of these found': percent(
            count(all, ({ canBeTold, isFound }) => canBeTold && isFound),
            count(all, ({ canBeTold }) => canBeTold),
          ),
          '% found': percent(
            count(all, ({ isFound }) => isFound),
            all.length,
          ),
          '% false among found': percent(falseShare(all), all.length),
        },
      ]),
    ),
  );
  const every = [...scores.values()].flat();
  const gap = largestGap(next);
  console.log(`Of all kinds together ${percent(falseShare(every), every.length)} % are false among found`);
  console.log(`p beside that of all labellings of ten dumps: ${gap.toExponential(1)} apart at most`);
  return every.every(({ canBeTold, isFound }) => isFound || !canBeTold) && gap < 1e-6;
}

/** How far p is from the share of all labellings that are at most as probable, at most. */
function largestGap(next: Next): number {
  let gap = 0;
  for (let i = 0; i < 40; i++) {
    const values = Array.from({ length: 10 }, () => next(1 + (i % 5)));
    const labels = values.map((value) => (next(4) === 0 ? next(2) : value % 2));
    const groups = labels.reduce((sum, one) => sum + one, 0);
    const own = weightOf(tableOf(labels, values, 2));
    let [all, asRare] = [0, 0];
    for (let set = 0; set < 1 << values.length; set++) {
      const other = values.map((_, at) => (set >> at) & 1);
      if (other.reduce((sum, one) => sum + one, 0) !== groups) continue;
      all++;
      if (weightOf(tableOf(other, values, 2)) <= own * (1 + 1e-9)) asRare++;
    }
    gap = Math.max(gap, Math.abs(tableTest(tableOf(labels, values, 2)).p - asRare / all));
  }
  return gap;
}

/** How many labellings give a table. */
function weightOf(table: readonly (readonly number[])[]): number {
  const factorial = (n: number): number => (n < 2 ? 1 : n * factorial(n - 1));
  return 1 / table.flat().reduce((product, count) => product * factorial(count), 1);
}

/** Freeman and Halton's p by its definition (Biometrika 38, 1951): over all tables with these margins, one count after the other. */
function exactP(table: readonly (readonly number[])[]): number {
  const columns = (table[0] ?? []).map((_, i) => table.reduce((sum, row) => sum + (row[i] as number), 0));
  const logs = [0];
  for (let n = 1; n <= columns.reduce((sum, one) => sum + one, 0); n++)
    logs.push((logs[n - 1] as number) + Math.log(n));
  const log = (n: number) => logs[n] as number;
  const own = -table.flat().reduce((sum, count) => sum + log(count), 0);
  let [all, asRare] = [0, 0];
  const left = table.map((row) => row.reduce((sum, one) => sum + one, 0));
  const fill = (column: number, row: number, open: number, weight: number): void => {
    if (column === columns.length) {
      all += Math.exp(weight - own);
      if (weight <= own + 1e-7) asRare += Math.exp(weight - own);
    } else if (row === left.length - 1) {
      if (open > (left[row] as number)) return;
      left[row] = (left[row] as number) - open;
      fill(column + 1, 0, columns[column + 1] ?? 0, weight - log(open));
      left[row] = (left[row] as number) + open;
    } else
      for (let count = 0; count <= Math.min(open, left[row] as number); count++) {
        left[row] = (left[row] as number) - count;
        fill(column, row + 1, open - count, weight - log(count));
        left[row] = (left[row] as number) + count;
      }
  };
  fill(0, 0, columns[0] ?? 0, 0);
  return asRare / all;
}

/** Labels in rows, values in columns. */
function tableOf(labels: readonly number[], values: readonly number[], groups: number): readonly (readonly number[])[] {
  const different = [...new Set(values)];
  return Array.from({ length: groups }, (_, group) =>
    different.map((value) => values.filter((one, i) => one === value && labels[i] === group).length),
  );
}

function parted(all: readonly number[], sizes: readonly number[]): readonly (readonly number[])[] {
  return sizes.map((size, i) => all.slice(sizes.slice(0, i).reduce((sum, one) => sum + one, 0)).slice(0, size));
}

function shuffled(count: number, next: Next): readonly number[] {
  const all = Array.from({ length: count }, (_, i) => i);
  for (let i = count - 1; i > 0; i--) {
    const other = next(i + 1);
    [all[i], all[other]] = [all[other] as number, all[i] as number];
  }
  return all;
}

function noiseOf(kind: number, next: Next): number {
  return [0x40, 0x08, 0xff, next(2), next(16), next(256)][kind] as number;
}
