// Dumps of modules with and without file sums, learned: how often a draft is right, and how often it is sure and wrong.
import { numbers } from '../shared-core/learn/dumps.js';
import { type FamilyOutcome, type Stated, scoreFamily } from './families.js';
import { IMAGE_KINDS, type ImageKind, imageFamily } from './imageFamilies.js';
import { FAMILY_KINDS, type FamilyKind, moduleFamily } from './moduleFamilies.js';
import { type Sampling, sample } from './sample.js';
import { scoreImage } from './scoreImage.js';
import type { Next } from './writtenTexts.js';

interface Scored {
  readonly outcome: FamilyOutcome;
  readonly stated: readonly Stated[];
  readonly why: string;
  readonly decidable: boolean;
}

function scoreDumps(kind: FamilyKind, next: Next): Scored {
  const family = moduleFamily(kind, next);
  const { outcome, stated, why } = scoreFamily(family, next);
  return { outcome, stated: stated === undefined ? [] : [stated], why, decidable: family.decidable };
}

function scoreImages(kind: ImageKind, next: Next): Scored {
  const family = imageFamily(kind, next);
  return { ...scoreImage(family), decidable: family.decidable };
}

/**
 * Prints the figures of `lots` families of each kind, the random numbers of which begin at `seed`; whether what is claimed
 * is true as often as it must be.
 */
export function scoreModuleFamilies(
  lots: number,
  seed: number,
  sampling: Sampling,
  shown: readonly FamilyOutcome[] = ['wrong'],
): boolean {
  const all: Scored[] = [];
  const kinds = [
    ...FAMILY_KINDS.map((kind) => ({ kind, score: (next: Next) => scoreDumps(kind, next) })),
    ...IMAGE_KINDS.map((kind) => ({ kind, score: (next: Next) => scoreImages(kind, next) })),
  ].map((one, i) => ({ ...one, i }));
  const cases = Array.from({ length: lots }, (_, lot) => kinds.map((one) => ({ ...one, lot }))).flat();
  const rows: Record<string, Record<FamilyOutcome | 'ms', number>> = {};
  for (const { kind, score: scoreOne, i, lot } of sample('Families of dumps', cases, sampling)) {
    const beginning = seed + lot * 977 + i;
    const start = process.cpuUsage();
    const score = scoreOne(numbers(beginning));
    const ms = Math.round(process.cpuUsage(start).user / 1000);
    const known = rows[kind] ?? { right: 0, part: 0, doubted: 0, wrong: 0, ms: 0 };
    rows[kind] = { ...known, [score.outcome]: known[score.outcome] + 1, ms: Math.max(known.ms, ms) };
    all.push(score);
    if (shown.includes(score.outcome)) console.log(`${score.outcome}, ${kind}, beginning ${beginning}: ${score.why}`);
  }
  console.log('Families of dumps of each kind, judged by dumps that were not seen, with the longest time');
  console.table(rows);
  const decidable = all.filter((one) => one.decidable);
  const share = (some: typeof all, outcome: FamilyOutcome) =>
    some.filter((score) => score.outcome === outcome).length / some.length;
  const [right, wrong] = [share(decidable, 'right'), share(all, 'wrong')];
  console.log(
    `Right of the decidable: ${(100 * right).toFixed(2)} % (at least 95 %); wrong and sure: ${(100 * wrong).toFixed(2)} % (at most 0.5 %)`,
  );
  printCalibration(all.flatMap(({ stated }) => stated));
  return right >= 0.95 && wrong <= 0.005;
}

/** Of what is stated with a chance of at most so much, the share that is wrong. */
function printCalibration(stated: readonly Stated[]): void {
  const rows = [0.05, 1e-2, 1e-3, 1e-4, 1e-5, 1e-6, 1e-9, 1e-12].map((limit) => {
    const some = stated.filter(({ chance }) => chance <= limit);
    const wrong = some.filter(({ isRight }) => !isRight).length;
    return {
      'stated chance at most': limit,
      rules: some.length,
      wrong,
      'share wrong': some.length === 0 ? 0 : +(wrong / some.length).toFixed(5),
    };
  });
  console.log('Calibration: of the rules stated with a chance of at most so much, how many are wrong');
  console.table(rows);
}
