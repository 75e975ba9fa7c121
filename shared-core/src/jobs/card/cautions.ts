import { listed, type Phrase, phrase } from '../../base/phrase.js';
import type { Comparison } from '../../compare/compareDumps.js';
import { doubtOf } from '../../options/doubt.js';
import { hazardInWords } from '../../options/hazard.js';
import type { Hazard } from '../../profile/profile.js';
import type { Retrofit } from '../retrofit.js';

/** What the person must know before writing: the standing caution, each hazard touched, doubts of the profile, the retrofit's own. */
export function cautionsOf(comparisons: readonly Comparison[], retrofit: Retrofit | undefined): readonly Phrase[] {
  const options = comparisons.flatMap((comparison) => comparison.options.map(({ option }) => option));
  const byHazard = new Map<Hazard, string[]>();
  for (const { hazards, title } of options)
    for (const hazard of hazards) byHazard.set(hazard, [...(byHazard.get(hazard) ?? []), title]);
  return [
    phrase(
      'Work on braking, steering, restraints, lighting or emissions can hurt people and be unlawful. Local rules and licensed practice decide, not this card.',
    ),
    ...[...byHazard].map(([hazard, titles]) =>
      phrase('This work affects {0}: {1}.', hazardInWords(hazard), listed(titles)),
    ),
    ...options.flatMap((option) => doubtOf(option) ?? []),
    ...(retrofit?.cautions ?? []).map((text) => phrase('{0}', text)),
  ];
}
