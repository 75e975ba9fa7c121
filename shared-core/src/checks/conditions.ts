import { listed, type Phrase, phrase } from '../base/phrase.js';
import type { Dump } from '../model/dump.js';
import { type OptionReading, optionSpan, readOption, shownValue } from '../model/optionReading.js';
import type { Condition, Option } from '../profile/profile.js';
import { whyOptionInDoubt } from './optionDoubt.js';
import { currentModules, type OtherModule, type OtherModules, type ReadModule } from './otherModules.js';
import type { Problem } from './problem.js';
import { problemAtOption } from './problemAtOption.js';

/** A condition of a chosen option that is not kept, or of which nobody can tell whether it is. */
export type Breach =
  | { readonly kind: 'broken'; readonly condition: Condition; readonly problem: Problem }
  | {
      readonly kind: 'unseen';
      readonly condition: Condition;
      readonly why: Phrase;
      /** The profile of the other module, where no dump of it is at hand. */
      readonly absent: string | undefined;
    };

/** A chosen option with one of its conditions. */
interface Asked {
  readonly dump: Dump;
  readonly reading: OptionReading;
  readonly condition: Condition;
  readonly kind: 'needs' | 'excludes';
}

/**
 * What of an option's `needs` and `excludes` is not seen to be kept. An option at its lowest value counts as not chosen:
 * only a chosen option can need or exclude another.
 */
export function breachesOf(dump: Dump, option: Option, modules: OtherModules): readonly Breach[] {
  const reading = readOption(dump, option);
  if (reading === undefined || reading.raw === 0n) return [];
  return (['needs', 'excludes'] as const).flatMap((kind) =>
    option[kind].flatMap((condition) => breachesIn({ dump, reading, condition, kind }, modules)),
  );
}

/** What nobody can tell of the conditions of all options of a dump. */
export function unseenConditions(dump: Dump, modules: OtherModules): readonly Extract<Breach, { kind: 'unseen' }>[] {
  return dump.profile.options.flatMap((option) =>
    breachesOf(dump, option, modules).flatMap((breach) => (breach.kind === 'unseen' ? breach : [])),
  );
}

function breachesIn(asked: Asked, modules: OtherModules): readonly Breach[] {
  const { profile } = asked.condition;
  if (profile === undefined) return [breachIn(asked, undefined, asked.dump)].flatMap((breach) => breach ?? []);
  const others = currentModules(modules(profile));
  if (others.length === 0) return [absentModule(asked, profile)];
  const found = others.map((other) => ({ other, breach: breachOfModule(asked, other) }));
  const breaches = found.flatMap(({ breach }) => breach ?? []);
  const agreeing = found.flatMap(({ other, breach }) => (breach === undefined && other.dump ? other.name : []));
  const against = found.flatMap(({ other, breach }) => (breach?.kind === 'broken' && other.dump ? other.name : []));
  if (agreeing.length > 0 && against.length > 0) return [unseen(asked, whyDisagreeing(agreeing, against))];
  // One of each kind says enough.
  return (['broken', 'unseen'] as const).flatMap((kind) => breaches.find((breach) => breach.kind === kind) ?? []);
}

function whyDisagreeing(agreeing: readonly string[], against: readonly string[]): Phrase {
  return phrase(
    '{0} and {1} are dumps of one module and disagree. Keep the one that is in the module now and move the others.',
    listed(agreeing),
    listed(against),
  );
}

function breachOfModule(asked: Asked, other: OtherModule): Breach | undefined {
  return other.dump === undefined ? unseen(asked, other.why) : breachIn(asked, other, other.dump);
}

function breachIn(asked: Asked, module: ReadModule | undefined, dump: Dump): Breach | undefined {
  const { condition, kind } = asked;
  const option = dump.profile.options.find(({ id }) => id === condition.option);
  if (option === undefined) return unseen(asked, whyUnknown(condition));
  const found = readOption(dump, option);
  if (found === undefined) return unseen(asked, whyUnreadable(module));
  const among = condition.in.some((value) => BigInt(value) === found.raw);
  if (among !== (kind === 'needs'))
    return { kind: 'broken', condition, problem: brokenProblem(asked, module, dump, found) };
  const doubt = module === undefined ? undefined : whyOptionInDoubt(dump, found, module.name);
  return doubt && unseen(asked, doubt);
}

function whyUnknown({ profile, option }: Condition): Phrase {
  return profile === undefined
    ? phrase('The profile has no option "{0}".', option)
    : phrase('{0} has no option "{1}".', profile, option);
}

function whyUnreadable(module: ReadModule | undefined): Phrase {
  return module === undefined
    ? phrase('Its line is missing or cannot be read.')
    : phrase('Its line in {0} is missing or cannot be read.', module.name);
}

function unseen({ reading, condition, kind }: Asked, reason: Phrase): Breach {
  const own = [reading.option.title, shownValue(reading.option, reading.raw), condition.option, reason] as const;
  const why =
    kind === 'needs'
      ? phrase('Nobody can tell whether {0} "{1}" has what it needs of "{2}". {3}', ...own)
      : phrase('Nobody can tell whether {0} "{1}" goes with what "{2}" is. {3}', ...own);
  return { kind: 'unseen', condition, why, absent: undefined };
}

function absentModule({ reading, condition, kind }: Asked, profile: string): Breach {
  const own = [reading.option.title, shownValue(reading.option, reading.raw), condition.option, profile] as const;
  const why =
    kind === 'needs'
      ? phrase('{0} "{1}" needs "{2}" of {3}, and no dump of that module of this vehicle is here. Read it too.', ...own)
      : phrase(
          '{0} "{1}" does not go with some values of "{2}" of {3}, and no dump of that module of this vehicle is here. Read it too.',
          ...own,
        );
  return { kind: 'unseen', condition, why, absent: profile };
}

function brokenProblem(
  { dump, reading, condition, kind }: Asked,
  module: ReadModule | undefined,
  other: Dump,
  found: OptionReading,
): Problem {
  const { option } = found;
  const wanted = listed(condition.in.map((value) => phrase('"{0}"', shownValue(option, BigInt(value)))));
  const own = [reading.option.title, shownValue(reading.option, reading.raw), option.title, wanted] as const;
  const now = shownValue(option, found.raw);
  const message =
    module === undefined
      ? kind === 'needs'
        ? phrase('{0} "{1}" needs {2} at {3}; it is "{4}".', ...own, now)
        : phrase('{0} "{1}" does not go with {2} at {3}; it is "{4}".', ...own, now)
      : kind === 'needs'
        ? phrase('{0} "{1}" needs {2} at {3} in {4}; it is "{5}" there.', ...own, module.name, now)
        : phrase('{0} "{1}" does not go with {2} at {3} in {4}; it is "{5}" there.', ...own, module.name, now);
  const problem = problemAtOption(dump, reading, 'option-needs', message);
  const span = optionSpan(other, found);
  if (span === undefined) return problem;
  const related = { span, message: phrase('{0} stands here', option.title) };
  return { ...problem, related: module === undefined ? related : { ...related, file: module.file } };
}
