import { type Phrase, phrase } from '../../base/phrase.js';
import type { Dump } from '../../model/dump.js';
import { whyToCome, whyUnordered } from './laterReading.js';
import { isLater } from './timeline.js';

/** A dump that was read from a module, by the name of its file. */
export interface Reading {
  readonly name: string;
  readonly dump: Dump;
  /** Whether the time that it says is still to come: then nobody knows when it was read. */
  readonly isToCome: boolean;
}

/** The last of some readings that may be later than one that proves a plan, and is something else. */
export function readingAgainst<T extends Reading>(
  proof: T,
  readings: readonly T[],
  verifies: (reading: T) => boolean,
): T | undefined {
  return readings.filter((one) => !isLater(proof, one) && !verifies(one)).at(-1);
}

/** Why nobody can tell which of the two was read later; undefined where the other was. */
export function whyMaybeEarlier(against: Reading, proof: Reading): Phrase | undefined {
  if (against.isToCome) return whyToCome(against);
  return isLater(against, proof) ? undefined : whyUnordered(against, proof);
}

/** That a reading which verifies a plan proves nothing, as another one of its module is not outdated by it. */
export function provesNothingBeside(against: Reading, proof: Reading): Phrase {
  const why = whyMaybeEarlier(against, proof);
  return why === undefined
    ? phrase('{0}, read later, differs from the plan. Read the module once more and verify that.', against.name)
    : phrase(
        '{0} differs from the plan and may be later: {1} Read the module once more and verify that.',
        against.name,
        why,
      );
}
