import { listed, type Phrase, phrase } from '../../base/phrase.js';
import type { Comparison } from '../../compare/compareDumps.js';
import type { Dump } from '../../model/dump.js';
import { wrongTotals } from '../../model/totalReading.js';
import { guessedSums } from '../../options/cautions.js';
import { doubtOf } from '../../options/doubt.js';
import { hazardInWords } from '../../options/hazard.js';
import type { Hazard } from '../../profile/profile.js';
import { moduleTitle } from '../moduleTitle.js';
import type { CardInput, NamedDump } from './input.js';

/** What the person must know before writing: the standing caution, each hazard touched, doubts of the profile and guessed sums, the retrofit's own. */
export function cautionsOf(
  { modules, retrofit }: Pick<CardInput, 'modules' | 'retrofit'>,
  comparisons: readonly Comparison[],
): readonly Phrase[] {
  const options = comparisons.flatMap((comparison) => comparison.options.map(({ option }) => option));
  const byHazard = new Map<Hazard, string[]>();
  for (const { hazards, title } of options)
    for (const hazard of hazards) byHazard.set(hazard, [...(byHazard.get(hazard) ?? []), title]);
  return [
    phrase(
      'Work on braking, steering, restraints, lighting, driver assistance, high voltage or emissions can hurt people and be unlawful. Local rules and licensed practice decide, not this card.',
    ),
    ...modules
      .filter(({ before, isWayBack }) => isWayBack === true && isReadBadly(before.dump))
      .map(({ before }) =>
        phrase(
          '{0} has a sum that is wrong: it was mistyped or badly read. Read the module once more and make this card anew before anything is written.',
          before.name,
        ),
      ),
    ...[...byHazard].map(([hazard, titles]) =>
      phrase('This work affects {0}: {1}.', hazardInWords(hazard), listed(titles)),
    ),
    ...options.flatMap((option) => doubtOf(option) ?? []),
    ...modules.flatMap(({ before, after }) => {
      const guessed = guessedSums(after.dump.profile);
      return guessed.length === 0
        ? []
        : phrase(
            'Only a guess in {0}: {1}. Compare with a second dump before this is written.',
            moduleTitle([after, before]),
            listed(guessed),
          );
    }),
    ...(retrofit?.cautions ?? []).map((text) => phrase('{0}', text)),
  ];
}

/** What to do first about a reading that was read badly: nothing is written by its lines. */
export function whyReadAgain({ name }: Pick<NamedDump, 'name'>): Phrase {
  return phrase(
    '{0} has a sum that is wrong: it was mistyped or badly read. Read the module once more and bring in what was read.',
    name,
  );
}

/** Whether the sums of what a module was read to hold speak against it, so that its lines may not be what is there. */
export function isReadBadly(read: Dump): boolean {
  return read.wrongSums.length > 0 || wrongTotals(read).length > 0;
}
