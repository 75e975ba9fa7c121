// Dumps of modules with and without file sums, learned: how often a draft is right, and how often it is sure and wrong.
import { numbers } from '../shared-core/learn/dumps.js';
import { type FamilyOutcome, type FamilyScore, scoreFamily } from './families.js';
import { FAMILY_KINDS, moduleFamily } from './moduleFamilies.js';

/** Prints the figures of `lots` families of each kind; whether what is claimed is true as often as it must be. */
export function scoreModuleFamilies(lots: number, shown: readonly FamilyOutcome[] = ['wrong']): boolean {
  const all: { readonly score: FamilyScore; readonly decidable: boolean }[] = [];
  const rows: Record<string, Record<string, number>> = {};
  for (const kind of FAMILY_KINDS) {
    const counts = { right: 0, part: 0, doubted: 0, wrong: 0 };
    const start = Date.now();
    for (let lot = 0; lot < lots; lot++) {
      const beginning = 5000 + lot * 977 + FAMILY_KINDS.indexOf(kind);
      const next = numbers(beginning);
      const family = moduleFamily(kind, next);
      const score = scoreFamily(family, next);
      counts[score.outcome]++;
      all.push({ score, decidable: family.decidable });
      if (shown.includes(score.outcome))
        console.log(`${score.outcome}, ${kind}, beginning ${beginning}, ${score.stated?.chance}: ${score.why}`);
    }
    rows[kind] = { ...counts, ms: Math.round((Date.now() - start) / lots) };
  }
  console.log(`Families of dumps, ${lots} of each kind, judged by dumps that were not seen`);
  console.table(rows);
  const decidable = all.filter((one) => one.decidable);
  const share = (some: typeof all, outcome: FamilyOutcome) =>
    some.filter(({ score }) => score.outcome === outcome).length / some.length;
  const [right, wrong] = [share(decidable, 'right'), share(all, 'wrong')];
  console.log(
    `Right of the decidable: ${(100 * right).toFixed(2)} % (at least 95 %); wrong and sure: ${(100 * wrong).toFixed(2)} % (at most 0.5 %)`,
  );
  printCalibration(all.map(({ score }) => score));
  return right >= 0.95 && wrong <= 0.005;
}

/** Of what is stated with a chance of at most so much, the share that is wrong. */
function printCalibration(scores: readonly FamilyScore[]): void {
  const stated = scores.flatMap((score) => score.stated ?? []);
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
