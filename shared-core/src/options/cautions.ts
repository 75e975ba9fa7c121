import { listed, type Phrase, phrase } from '../base/phrase.js';
import type { Dump } from '../model/dump.js';
import { changedOptions } from '../model/optionReading.js';
import type { Option } from '../profile/profile.js';
import { caution, shortCaution } from './hazard.js';

/** What a person must know before a change is written: the caution of each changed option that has a hazard. */
export function cautionsOfChange(before: Dump, after: Dump): readonly Phrase[] {
  return changedOptions(before, after).flatMap(({ title, hazards }) => {
    const says = caution(hazards);
    return says === undefined ? [] : phrase('{0}: {1}', title, says);
  });
}

/** The same in a few words, with the options that change with no one asking for it. */
export function cautionsInShort(before: Dump, after: Dump, alsoChanged: readonly Option[]): Phrase | undefined {
  const touches = shortCaution([...new Set(changedOptions(before, after).flatMap(({ hazards }) => hazards))]);
  const also = alsoChanged.map(({ title }) => title);
  const parts = [
    ...(touches ? [touches] : []),
    ...(also.length > 0 ? [phrase('⚠ also changes {0}', listed(also))] : []),
  ];
  return parts.length === 0 ? undefined : listed(parts, ' ');
}
