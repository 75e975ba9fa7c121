import { checksumOf, type SumSpec } from '../../shared-core/src/checksum/registry.js';
import { wholeBudget } from '../../shared-core/src/repair/rebalance.js';
import { solveTask } from '../../shared-core/src/repair/solver/solve.js';
import { bringsAbout } from '../../shared-core/src/repair/solver/sums.js';
import { numbers } from '../shared-core/learn/dumps.js';
import { type Numbers, type Planted, plantedTask, SUMS } from './plantedSums.js';

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

/** Every line sum with every total, and two totals of each pair of kinds; what share is found, and the longest time. */
export function scoreSolver(rounds: number, seed: number): boolean {
  const names = Object.keys(SUMS);
  const lines = names.filter((name) => name !== 'crc64');
  const one = lines.map((line) => [line, names.map((name) => [name, [name]] as const)] as const);
  const two = ['add8', 'crc8'].flatMap((line) =>
    names.map((first) => [`${line} ${first}`, names.map((second) => [second, [first, second]] as const)] as const),
  );
  const next = numbers(seed);
  let [all, found, wrong, longest] = [0, 0, 0, 0];
  for (const [title, table] of [
    ['Line sums (down) with one kept total over data and sums (across)', one],
    ['Line sum and first kept total (down) with a second (across)', two],
  ] as const) {
    const rows: Record<string, Record<string, string>> = {};
    for (const [row, cells] of table) {
      const line = row.split(' ')[0] as string;
      const shown: Record<string, string> = {};
      for (const [column, totals] of cells) {
        let [good, most] = [0, 0];
        for (let round = 0; round < rounds; round++) {
          const bytes = bytesFor([line, ...totals]) + (round % 3);
          const solved = scorePlanted({ line, totals, bytes, masked: round % 2 === 1 }, next);
          all++;
          if (solved.found === 'found') good++;
          if (solved.found === 'wrong') wrong++;
          most = Math.max(most, solved.milliseconds);
        }
        found += good;
        longest = Math.max(longest, most);
        shown[column] = `${good === rounds ? 'all' : `${good} of ${rounds}`} ${(most / 1000).toFixed(1)}`;
      }
      rows[row] = shown;
    }
    console.log(`${title}: how many of ${rounds} planted solutions are found, and the longest time in seconds`);
    console.table(rows);
  }
  console.log(
    `Solver, seed ${seed}: ${found} of ${all} found, ${wrong} wrong, the longest search ${(longest / 1000).toFixed(1)} s`,
  );
  return wrong === 0 && found >= 0.99 * all;
}
