import { listed, type Phrase, phrase } from '../base/phrase.js';
import { type Refused, refuseUnless } from '../base/result.js';
import { brokenConditions } from '../checks/options.js';
import type { OtherModules } from '../checks/otherModules.js';
import type { Dump } from '../model/dump.js';
import { changedOptions, readOption, wordsOrHex } from '../model/optionReading.js';
import type { Condition, Option } from '../profile/profile.js';

/** A condition that a change would leave unmet, and the sentence that names both options. */
export interface Unmet {
  readonly condition: Condition;
  readonly why: Phrase;
}

/** A version of a dump with the other modules of its vehicle as they are at that time. */
export interface Stand {
  readonly dump: Dump;
  readonly modules: OtherModules;
}

/**
 * Conditions that an option which this step sets or changes does not meet, and conditions of others that only this step
 * breaks. `asked` are the ids of the options that are set, whether or not they change.
 */
export function unmetAfter(before: Stand, after: Stand, asked: readonly string[]): readonly Unmet[] {
  const changed = new Set(changedOptions(before.dump, after.dump));
  return after.dump.profile.options.flatMap((option) => {
    const now = brokenConditions(after.dump, option, after.modules);
    if (changed.has(option) || asked.includes(option.id)) return [...now.map(unmetBy), ...unseenNeeds(after, option)];
    const old = new Set(brokenConditions(before.dump, option, before.modules).map(({ condition }) => condition));
    return now.filter(({ condition }) => !old.has(condition)).map(unmetBy);
  });
}

/** Refuses what is unmet, naming the options that a person would have to accept by name. */
export function refuseUnmet(unmet: readonly Unmet[], despite: readonly string[] = []): Refused | undefined {
  const left = unmet.filter(({ condition }) => !despite.includes(condition.option));
  if (left.length === 0) return undefined;
  const options = [...new Set(left.map(({ condition }) => condition.option))];
  return refuseUnless(
    { kind: 'despite', options },
    listed(
      left.map(({ why }) => why),
      ' ',
    ),
  );
}

function unmetBy({ condition, problem }: ReturnType<typeof brokenConditions>[number]): Unmet {
  return { condition, why: problem.message };
}

/** Needs of a chosen option in modules of which no dump of the vehicle is at hand: nobody can tell that they are met. */
function unseenNeeds({ dump, modules }: Stand, option: Option): readonly Unmet[] {
  const reading = readOption(dump, option);
  if (reading === undefined || reading.raw === 0n) return [];
  return option.needs.flatMap((condition): Unmet | readonly [] => {
    const { profile, option: needed } = condition;
    if (profile === undefined || modules(profile).length > 0) return [];
    const why = phrase(
      '{0} "{1}" needs "{2}" of {3}, and no dump of that module of this vehicle is here. Read it too.',
      option.title,
      wordsOrHex(option, reading.raw),
      needed,
      profile,
    );
    return { condition, why };
  });
}
