import { checksumOf, type SumSpec } from '../../shared-core/src/checksum/registry.js';
import { wholeBudget } from '../../shared-core/src/repair/rebalance.js';
import { solveTask } from '../../shared-core/src/repair/solver/solve.js';
import { bringsAbout } from '../../shared-core/src/repair/solver/sums.js';
import { numbers } from '../shared-core/learn/dumps.js';
import { type Numbers, type Planted, plantedTask, SUMS } from './plantedSums.js';
import { type Sampling, sample } from './sample.js';

/** What a search for a planted solution came to; `wrong` says that none was there, or gives one that is none. */
export type Found = 'found' | 'gave up' | 'wrong';

export interface Solved {
  readonly found: Found;
  readonly milliseconds: number;
}

export function scorePlanted(planted: Planted, next: Numbers): Solved {
  const task = plantedTask(planted, next);
  // Of the processor, not of the clock on the wall: others may use the machine as well.
  const start = process.cpuUsage();
  const answer = solveTask(task, wholeBudget());
  const milliseconds = process.cpuUsage(start).user / 1000;
  if (answer.kind === 'solved') return { found: bringsAbout(task, answer.change) ? 'found' : 'wrong', milliseconds };
  return { found: answer.kind === 'impossible' ? 'wrong' : 'gave up', milliseconds };
}

const widthOf = (name: string) => checksumOf(SUMS[name] as SumSpec).bits;

/** The fewest bytes for which a solution must be found: one more than all sums are wide. */
export function bytesFor(sums: readonly string[]): number {
  return Math.ceil(sums.reduce((bits, name) => bits + widthOf(name), 0) / 8) + 1;
}

/** A line sum with one kept total or two, in a cell of a table. */
interface Pair {
  readonly table: string;
  readonly line: string;
  readonly row: string;
  readonly column: string;
  readonly totals: readonly string[];
}

function pairsOfSums(): readonly Pair[] {
  const names = Object.keys(SUMS);
  const [one, two] = [
    'Line sums (down) with one kept total over data and sums (across)',
    'Line sum and first kept total (down) with a second (across)',
  ];
  return [
    ...names
      .filter((name) => name !== 'crc64')
      .flatMap((line) => names.map((name) => ({ table: one, line, row: line, column: name, totals: [name] }))),
    ...['add8', 'crc8'].flatMap((line) =>
      names.flatMap((first) =>
        names.map((second) => ({ table: two, line, row: `${line} ${first}`, column: second, totals: [first, second] })),
      ),
    ),
  ];
}

/**
 * Every line sum with every total, and two totals of each pair of kinds; what share is found, and the longest time. Of one
 * beginning only, where that is given.
 */
export function scoreSolver(rounds: number, seed: number, sampling: Sampling, only?: number): boolean {
  const pairs = pairsOfSums();
  // Far apart in the tables one after the other, so that a part of them is of all kinds.
  const spread = pairs.map((_, i) => pairs[(i * SPREAD) % pairs.length] as Pair);
  const cases = Array.from({ length: rounds }, (_, round) => spread.map((pair) => ({ ...pair, round })))
    .flat()
    // Each task has a beginning of its own, so that one alone can be looked at again.
    .map((one, i) => ({ ...one, beginning: seed * 100_003 + i }))
    .filter(({ beginning }) => only === undefined || beginning === only);
  let [all, found, wrong, longest] = [0, 0, 0, 0];
  const cells = new Map<string, { readonly pair: Pair; good: number; of: number; most: number }>();
  for (const { round, beginning, ...pair } of sample('Solver', cases, sampling)) {
    const bytes = bytesFor([pair.line, ...pair.totals]) + (round % 3);
    const planted: Planted = { line: pair.line, totals: pair.totals, bytes, masked: round % 2 === 1 };
    const solved = scorePlanted(planted, numbers(beginning));
    if (solved.found !== 'found') console.log(`${solved.found}, beginning ${beginning}: ${describe(planted)}`);
    const key = `${pair.table} ${pair.row} ${pair.column}`;
    const cell = cells.get(key) ?? { pair, good: 0, of: 0, most: 0 };
    cells.set(key, cell);
    all++;
    cell.of++;
    if (solved.found === 'found') {
      cell.good++;
      found++;
    }
    if (solved.found === 'wrong') wrong++;
    cell.most = Math.max(cell.most, solved.milliseconds);
    longest = Math.max(longest, cell.most);
  }
  for (const table of new Set(pairs.map((pair) => pair.table))) {
    const rows: Record<string, Record<string, string>> = {};
    for (const { pair, good, of, most } of cells.values()) {
      if (pair.table !== table) continue;
      const shown = `${good === of ? 'all' : `${good} of ${of}`} ${(most / 1000).toFixed(1)}`;
      rows[pair.row] = { ...rows[pair.row], [pair.column]: shown };
    }
    console.log(`${table}: how many planted solutions are found, and the longest time in seconds`);
    console.table(rows);
  }
  console.log(
    `Solver, seed ${seed}: ${found} of ${all} found, ${wrong} wrong, the longest search ${(longest / 1000).toFixed(1)} s`,
  );
  return wrong === 0 && found >= 0.99 * all;
}

function describe({ line, totals, bytes, masked }: Planted): string {
  return `${line} under ${totals.join(' and ')}, ${bytes} bytes${masked ? ', some masked' : ''}`;
}

/** A prime that is no divisor of how many pairs there are. */
const SPREAD = 101;
