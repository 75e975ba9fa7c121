// All figures of learning, finding options and the solver, printed: `npm run score` looks at as many cases as five minutes
// of the processor allow, the same each time; `npm run score -- --full` at all of them, which takes hours. A part alone
// (`npm run score families`) has all of the time. The numbers behind it are how many lots there are (4) and the seed (1);
// of the solver a third is the beginning of the one task that is to be looked at.
import { numbers } from '../shared-core/learn/dumps.js';
import { type TestRule, testRules } from '../shared-core/learn/families.js';
import { scoreNoisyOptions } from './noisyOptions.js';
import { scoreOption } from './options.js';
import { type Outcome, scoreRule } from './rules.js';
import { type Sampling, sample } from './sample.js';
import { scoreModuleFamilies } from './scoreFamilies.js';
import { scoreImages } from './scorePlantedImages.js';
import { scoreSolver } from './scoreSolver.js';
import { scoreWrittenTexts } from './scoreWritten.js';

const PARTS = ['rules', 'options', 'families', 'images', 'written', 'solver'] as const;
type Part = (typeof PARTS)[number];
const words = process.argv.slice(2).filter((word) => word !== '--full');
const isFull = process.argv.includes('--full');
const only = PARTS.find((part) => part === words[0]);
const [given, beginning, one] = only === undefined ? words : words.slice(1);
const lots = Number(given ?? 4);
const seed = Number(beginning ?? 1);

/** Seconds of the processor for each part, where not all cases are looked at. */
const SECONDS: Readonly<Record<Part, number>> = {
  rules: 50,
  options: 20,
  families: 90,
  images: 20,
  written: 50,
  solver: 50,
};
const samplingOf = (part: Part): Sampling => {
  const all = Object.values(SECONDS).reduce((sum, seconds) => sum + seconds, 0);
  return { seconds: isFull ? undefined : only === undefined ? SECONDS[part] : all };
};

/** A prime that is no divisor of how many rules there are. */
const SPREAD = 101;

/** Rules of each method by outcome. The share counts those that the dumps can tell apart. */
function scoreRules(): boolean {
  const counts = new Map<string, Record<Outcome, number>>();
  const missed: string[] = [];
  const cases = Array.from({ length: lots }, (_, lot) => {
    const rules = testRules(numbers(lot + 1));
    // Far apart in the list one after the other, so that a part of it is of all methods.
    return rules.map((_, i) => ({ lot: lot + 1, at: (i * SPREAD) % rules.length, rules }));
  }).flat();
  for (const { lot, at, rules } of sample('Rules of line sums', cases, samplingOf('rules'))) {
    const rule = rules[at] as TestRule;
    const outcome = scoreRule(rule, numbers(1000 * lot + at));
    if (outcome === 'missed') missed.push(`lot ${lot}: ${rule.name}`);
    for (const name of [rule.spec.method, 'all']) {
      const count = counts.get(name) ?? { first: 0, undecided: 0, missed: 0 };
      counts.set(name, { ...count, [outcome]: count[outcome] + 1 });
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
  const { seconds } = samplingOf('options');
  const each = { seconds: seconds === undefined ? undefined : seconds / 8 };
  const half = { seconds: seconds === undefined ? undefined : seconds / 2 };
  const rows = [0, 1, 2, 3].map((mislabelled) => {
    const next = numbers(100 + mislabelled);
    const cases = Array.from({ length: runs }, () => mislabelled);
    const scores: ReturnType<typeof scoreOption>[] = [];
    for (const wrong of sample(`Options, ${mislabelled} wrong labels`, cases, each))
      scores.push(scoreOption(next, wrong));
    const mean = (of: (score: (typeof scores)[number]) => number) =>
      scores.reduce((sum, score) => sum + of(score), 0) / scores.length;
    return {
      'wrong labels of 30': mislabelled,
      '% first': 100 * mean(({ first }) => (first ? 1 : 0)),
      '% found at all': 100 * mean(({ found }) => (found > 0 ? 1 : 0)),
      '% false among found': 100 * mean(({ found, wrong }) => (found === 0 ? 0 : wrong / found)),
    };
  });
  console.log('Options; at most 5 % of what is called found should be false');
  console.table(
    rows.map((row) => Object.fromEntries(Object.entries(row).map(([key, value]) => [key, +value.toFixed(2)]))),
  );
  const isNoisyRight = scoreNoisyOptions(Math.ceil(runs / 20), numbers(200 + seed), half);
  return rows.slice(0, 3).every((row) => row['% first'] >= 99) && isNoisyRight;
}

console.log(`Families and texts begin at ${seed}${isFull ? '' : '; a part of all cases, see --full'}`);
const SCORES: Readonly<Record<Part, () => boolean>> = {
  rules: scoreRules,
  options: scoreOptions,
  families: () => scoreModuleFamilies(4 * lots, seed, samplingOf('families')),
  images: () => scoreImages(75 * lots, seed, samplingOf('images')),
  written: () => scoreWrittenTexts(2 * lots, seed, samplingOf('written')),
  solver: () => scoreSolver(lots, seed, samplingOf('solver'), one === undefined ? undefined : Number(one)),
};
const scores = PARTS.filter((part) => only === undefined || part === only).map((part) => SCORES[part]());
process.exitCode = scores.every(Boolean) ? 0 : 1;
