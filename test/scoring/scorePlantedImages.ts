import { say } from '../../shared-core/src/base/phrase.js';
import { numbers } from '../shared-core/learn/dumps.js';
import { plantedImages, scorePlantedImages } from './plantedImages.js';
import { type Sampling, sample } from './sample.js';

const KINDS = ['sum', 'copy', 'slots', 'text', 'date', 'filler'] as const;

/** Of images with known things in them, and of as many with none: what is stated, how much of it is wrong, and what is found. */
export function scoreImages(each: number, seed: number, sampling: Sampling): boolean {
  const rows: Record<string, Record<'stated' | 'wrong' | 'there' | 'found', number>> = Object.fromEntries(
    KINDS.map((kind) => [kind, { stated: 0, wrong: 0, there: 0, found: 0 }]),
  );
  let [stated, wrong, boasting] = [0, 0, 0];
  const cases = Array.from({ length: 2 * each }, (_, i) => ({ isFull: i % 2 === 0, beginning: seed * 7919 + i }));
  for (const { isFull, beginning } of sample('Images with known things in them', cases, sampling)) {
    const score = scorePlantedImages(
      plantedImages(isFull, numbers(beginning)),
      ({ kind, said, chance }) => `${kind}: ${say(said)} (${chance})`,
    );
    for (const kind of KINDS) {
      const row = rows[kind] as (typeof rows)[string];
      const count = (list: readonly string[]) => list.filter((one) => one.startsWith(kind)).length;
      row.stated += count(score.right) + count(score.wrong);
      row.wrong += count(score.wrong);
      row.there += count(score.there);
      row.found += count(score.found);
    }
    // Filler is right by what it is, and would hide the rest.
    stated += score.right.filter((kind) => kind !== 'filler').length + score.wrong.length;
    wrong += score.wrong.length;
    if (score.wrong.length > 0) boasting++;
    for (const one of score.wrong) console.log(`wrong, ${isFull ? 'full' : 'empty'}, beginning ${beginning}: ${one}`);
  }
  console.log('What is stated of images with known things in them, and of as many with none');
  console.table(rows);
  console.log(
    `${wrong} of ${stated} statements are wrong, in ${boasting} lots of images (at most 0.5 % of the statements)`,
  );
  return wrong <= 0.005 * stated;
}
