import { listed, type Phrase, phrase } from '../base/phrase.js';
import { type Refused, type Result, refuse, refuseUnless } from '../base/result.js';
import { type Breach, breachesOf } from '../checks/conditions.js';
import type { OtherModules } from '../checks/otherModules.js';
import type { Dump } from '../model/dump.js';
import { changedOptions } from '../model/optionReading.js';
import type { Condition } from '../profile/profile.js';
import type { Change, Consent, Subject } from './change.js';

/** A condition that a change would leave unmet or unseen, and the sentence that names both options. */
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
    const now = breachesOf(after.dump, option, after.modules);
    if (changed.has(option) || asked.includes(option.id)) return now.map(unmetBy);
    const old = breachesOf(before.dump, option, before.modules);
    return now.filter((one) => !old.some((was) => isSame(was, one))).map(unmetBy);
  });
}

/** Conditions that are kept or not seen broken before a step, and are broken or unseen after it. */
export function newlyUnmet(before: Stand, after: Stand): readonly Unmet[] {
  return after.dump.profile.options.flatMap((option) => {
    const old = breachesOf(before.dump, option, before.modules);
    const now = breachesOf(after.dump, option, after.modules);
    return now.filter((one) => !old.some((was) => isSame(was, one))).map(unmetBy);
  });
}

/** A dump before a change, with the modules that it needs something of and those that need something of it. */
type Standing = Pick<Subject, 'dump' | 'modules' | 'dependents'>;

/** The same of the other modules of the vehicle, whose options need something of this dump. */
export function unmetOfOthers({ dump, dependents = [] }: Standing, after: Dump): readonly Unmet[] {
  return dependents.flatMap(({ dump: other, modulesWith }) =>
    newlyUnmet({ dump: other, modules: modulesWith(dump) }, { dump: other, modules: modulesWith(after) }),
  );
}

/** What a change of bytes that nobody asked an option for breaks, in the dump and in the other modules. */
export function brokenBy(subject: Standing, after: Dump): readonly Unmet[] {
  const { dump, modules } = subject;
  return [...newlyUnmet({ dump, modules }, { dump: after, modules }), ...unmetOfOthers(subject, after)];
}

/** A change that only corrects sums, refused where its balancing breaks a condition of an option, also of other modules. */
export function keepingConditions(subject: Standing, change: Result<Change>): Result<Change> {
  if (!change.ok) return change;
  const [unmet] = brokenBy(subject, change.value.after);
  return unmet === undefined
    ? change
    : refuse(phrase('Balancing would break a condition. {0} Balance with another line.', unmet.why));
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

/** Refuses what a person typed to accept it and nothing asks for: a misspelt name, or a condition that is met. */
export function refuseUnneeded(
  unmet: readonly Unmet[],
  { despite = [], isTyped = false }: Pick<Consent, 'despite' | 'isTyped'>,
): Refused | undefined {
  if (!isTyped) return undefined;
  const needed = [...new Set(unmet.map(({ condition }) => condition.option))];
  const others = despite.filter((name) => !needed.includes(name));
  if (others.length === 0) return undefined;
  return refuse(
    needed.length === 0
      ? phrase('No condition on {0} is unmet, so there is nothing to accept. Leave it out.', listed(others))
      : phrase(
          'No condition on {0} is unmet. Leave it out: only {1} has to be accepted.',
          listed(others),
          listed(needed),
        ),
  );
}

function unmetBy(breach: Breach): Unmet {
  return { condition: breach.condition, why: breach.kind === 'broken' ? breach.problem.message : breach.why };
}

/** Whether a condition was as broken before; one that nobody could see may be broken by this step. */
function isSame(one: Breach, other: Breach): boolean {
  return one.condition === other.condition && one.kind === other.kind;
}
