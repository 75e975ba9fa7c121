import { type Phrase, phrase } from '../base/phrase.js';
import type { Dump } from '../model/dump.js';
import { changedOptions } from '../model/optionReading.js';
import { caution } from './hazard.js';

/** What a person must know before a change is written: the caution of each changed option that has a hazard. */
export function cautionsOfChange(before: Dump, after: Dump): readonly Phrase[] {
  return changedOptions(before, after).flatMap(({ title, hazards }) => {
    const says = caution(hazards);
    return says === undefined ? [] : phrase('{0}: {1}', title, says);
  });
}
