import { listed, type Phrase, phrase } from '../base/phrase.js';
import type { Hazard } from '../profile/profile.js';

/** What the hazards of an option mean to the person who is about to change it; undefined where it has none. */
export function caution(hazards: readonly Hazard[]): Phrase | undefined {
  if (hazards.length === 0) return undefined;
  return phrase(
    '⚠ Affects {0}. A wrong setting can hurt people and may be unlawful: local rules and licensed practice decide.',
    listed(hazards.map(hazardInWords)),
  );
}

/** What a hazard touches. */
export function hazardInWords(hazard: Hazard): Phrase {
  const words: Record<Hazard, Phrase> = {
    braking: phrase('the brakes'),
    steering: phrase('the steering'),
    restraints: phrase('airbags and belts'),
    lighting: phrase('the lighting'),
    emissions: phrase('emissions'),
    security: phrase('keys, immobiliser and alarm; never changed, except back to the backup'),
    'driver-assistance': phrase('driver assistance'),
    'high-voltage': phrase('high voltage'),
    other: phrase('the safety of people'),
  };
  return words[hazard];
}

/** The same in a few words, for the title of what would change the option. */
export function shortCaution(hazards: readonly Hazard[]): Phrase | undefined {
  return hazards.length === 0 ? undefined : phrase('⚠ affects {0}', listed(hazards.map(hazardInWords)));
}
