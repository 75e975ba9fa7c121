import type { Steps } from '../../base/steps.js';
import { onlyCancels } from './cancelling.js';
import { chosenSums, type StoredSum } from './chosenSums.js';
import { type Filler, fillersIn } from './fillers.js';
import { byteStatistics } from './imageEvidence.js';
import type { Images } from './images.js';
import { naturalEnds } from './naturalEnds.js';
import { type Repeat, repeatSteps } from './repeats.js';
import { type RisingSlots, slotSteps } from './risingSlots.js';
import { storedSumSteps } from './storedSums.js';
import { dateSteps, type FoundDate, type FoundText, textSteps } from './textsAndDates.js';

/** All that was found in images of one kind. */
export interface FoundInImages {
  readonly sums: readonly StoredSum[];
  readonly repeats: readonly Repeat[];
  readonly slots: readonly RisingSlots[];
  readonly fillers: readonly Filler[];
  readonly texts: readonly FoundText[];
  readonly dates: readonly FoundDate[];
  /** Whether the images are small enough to look for sums. */
  readonly isSearched: boolean;
}

/** Larger images are not searched for sums: nobody would wait for it. */
const MOST_BYTES = 1 << 20;

/** Looks for everything that can be found in images of one kind. */
export function* searchImages(images: Images): Steps<FoundInImages> {
  const fillers = fillersIn(images);
  yield;
  const statistics = byteStatistics(images);
  const isSearched = images.length <= MOST_BYTES;
  const repeats = isSearched ? yield* repeatSteps(images, statistics) : [];
  const { hits, plans } = isSearched
    ? yield* storedSumSteps(images, statistics, naturalEnds(images, fillers))
    : { hits: [], plans: [] };
  const sums = yield* chosenSums(images, statistics, hits, plans);
  const texts = yield* textSteps(images);
  const dates = yield* dateSteps(images);
  const slots = isSearched ? yield* slotSteps(images, statistics) : [];
  return {
    sums: sums.filter((sum) => !isInCopy(sum, repeats) && !onlyCancels(images, statistics, sum)),
    repeats,
    slots,
    fillers,
    texts,
    dates,
    isSearched,
  };
}

/** Whether a sum and what it covers lie in a copy: it is said once, of the place that is copied. */
function isInCopy({ place, width, range }: StoredSum, repeats: readonly Repeat[]): boolean {
  return repeats.some(
    ({ first, at, chance }) =>
      chance < 1 &&
      at.some((start) => {
        const end = start + first.end - first.from;
        const liesIn = (from: number, to: number) => from >= start && to <= end;
        return liesIn(place, place + width) && (liesIn(range.from, range.end) || liesIn(place, place + width));
      }),
  );
}
