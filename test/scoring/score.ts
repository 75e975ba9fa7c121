// All figures of learning, finding options and the solver, printed: `npm run score`, with the number of lots (4 by
// default) and a seed (each time another by default); `npm run score solver` prints those of the solver alone.
import { numbers } from '../shared-core/learn/dumps.js';
import { testRules } from '../shared-core/learn/families.js';
import { scoreOption } from './options.js';
import { type Outcome, scoreRule } from './rules.js';
import { scoreModuleFamilies } from './scoreFamilies.js';
import { scoreSolver } from './scoreSolver.js';
import { scoreWrittenTexts } from './scoreWritten.js';

const PARTS = ['solver', 'families'] as const;
const only = PARTS.find((part) => part === process.argv[2]) ?? 'all';
const [given, beginning] = process.argv.slice(only === 'all' ? 2 : 3);
const lots = Number(given ?? 4);
const seed = Number(beginning ?? Date.now() % 1e6);

/** Rules of each method by outcome. The share counts those that the dumps can tell apart. */
function scoreRules(): boolean {
  const counts = new Map<string, Record<Outcome, number>>();
  const missed: string[] = [];
  for (let lot = 1; lot <= lots; lot++) {
    const next = numbers(lot);
    for (const rule of testRules(next)) {
      const outcome = scoreRule(rule, next);
      if (outcome === 'missed') missed.push(`lot ${lot}: ${rule.name}`);
      for (const name of [rule.spec.method, 'all']) {
        const count = counts.get(name) ?? { first: 0, undecided: 0, missed: 0 };
        counts.set(name, { ...count, [outcome]: count[outcome] + 1 });
      }
    }
  }
  const share = ({ first, missed: lost }: Record<Outcome, number>) => (100 * first) / (first + lost);
  console.log('Rules of line sums, each from one dump of 14 lines of which one is damaged, judged by unseen lines');
  console.table(
    Object.fromEntries([...counts].map(([name, count]) => [name, { ...count, '% first': share(count).toFixed(2) }])),
  );
  for (const name of missed) console.log(`missed, ${name}`);
  const all = counts.get('all');
  return all !== undefined && share(all) >= 99;
}

/** Options in 30 dumps, by the number of wrong labels among them. */
function scoreOptions(): boolean {
  const runs = 250 * lots;
  const rows = [0, 1, 2, 3].map((mislabelled) => {
    const next = numbers(100 + mislabelled);
    const scores = Array.from({ length: runs }, () => scoreOption(next, mislabelled));
    const mean = (of: (score: (typeof scores)[number]) => number) =>
      scores.reduce((sum, score) => sum + of(score), 0) / runs;
    return {
      'wrong labels of 30': mislabelled,
      '% first': 100 * mean(({ first }) => (first ? 1 : 0)),
      '% found at all': 100 * mean(({ found }) => (found > 0 ? 1 : 0)),
      '% false among found': 100 * mean(({ found, wrong }) => (found === 0 ? 0 : wrong / found)),
    };
  });
  console.log(`Options, ${runs} runs each; at most 5 % of what is called found should be false`);
  console.table(
    rows.map((row) => Object.fromEntries(Object.entries(row).map(([key, value]) => [key, +value.toFixed(2)]))),
  );
  return rows.slice(0, 3).every((row) => row['% first'] >= 99);
}

console.log(`Families and texts begin at ${seed}`);
const scores = {
  solver: () => [scoreSolver(lots, seed)],
  families: () => [scoreModuleFamilies(4 * lots, seed)],
  all: () => [
    scoreRules(),
    scoreOptions(),
    scoreModuleFamilies(4 * lots, seed),
    scoreWrittenTexts(2 * lots, seed),
    scoreSolver(lots, seed),
  ],
}[only]();
process.exitCode = scores.every(Boolean) ? 0 : 1;
