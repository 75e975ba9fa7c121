import { hex } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { nearName, type ProfileProblem, type Report } from './json.js';
import { optionWidth } from './places.js';
import type { Condition, Option, Profile } from './profile.js';
import { whyNotOneOfSeveral } from './severalOptions.js';

/** Says which conditions on options of the same profile can never be met, or never be seen broken. */
export function checkConditions(options: readonly Option[], ids: readonly string[], report: Report): void {
  const byId = new Map(options.map((option) => [option.id, option]));
  const written = { ids, known: new Set(ids) };
  for (const option of options) {
    for (const condition of [...option.needs, ...option.excludes]) {
      const why = condition.profile === undefined ? whyNoCondition(condition, option, byId, written) : undefined;
      if (why !== undefined) report(condition.source, why);
    }
    for (const condition of option.excludes) {
      const need = option.needs.find(
        (one) =>
          one.profile === condition.profile &&
          one.option === condition.option &&
          one.in.length > 0 &&
          one.in.every((value) => condition.in.includes(value)),
      );
      if (need !== undefined)
        report(
          condition.source,
          phrase('"{0}" needs and excludes the same values of "{1}".', option.title, condition.option),
        );
    }
  }
}

function whyNoCondition(
  condition: Condition,
  option: Option,
  byId: ReadonlyMap<string, Option>,
  { ids, known }: { readonly ids: readonly string[]; readonly known: ReadonlySet<string> },
): Phrase | undefined {
  if (condition.option === option.id) return phrase('"{0}" cannot be a condition of itself.', option.id);
  const other = byId.get(condition.option);
  if (other !== undefined) return whyTooBig(condition, other);
  // An option that could not be read was marked where it is.
  if (known.has(condition.option)) return undefined;
  const several = whyNotOneOfSeveral([...byId.values()], condition.option);
  if (several !== undefined) return several;
  const near = nearName(condition.option, ids);
  return near === undefined
    ? phrase('No option of this profile is called "{0}".', condition.option)
    : phrase('No option of this profile is called "{0}"; "{1}" is probably meant.', condition.option, near);
}

function whyTooBig(condition: Condition, other: Option): Phrase | undefined {
  const width = optionWidth(other);
  const tooBig = condition.in.find((value) => value >= 2 ** width);
  return tooBig === undefined
    ? undefined
    : phrase(
        '"{0}" holds values up to {1} only, not {2}.',
        other.title,
        `0x${hex(2 ** width - 1, 2)}`,
        `0x${hex(tooBig, 2)}`,
      );
}

/**
 * Conditions on options that the profile of another module does not have, or that cannot hold what is meant: they would
 * never be seen broken. A profile that is not there says nothing, as a module may not be read yet.
 */
export function foreignConditionProblems(
  { options }: Profile,
  profileOf: (path: string) => Profile | undefined,
): readonly ProfileProblem[] {
  return options.flatMap(({ needs, excludes }) =>
    [...needs, ...excludes].flatMap((condition): ProfileProblem | readonly [] => {
      const other = condition.profile === undefined ? undefined : profileOf(condition.profile);
      const message = other && whyNotThere(condition, other);
      return message === undefined ? [] : { code: 'profile-invalid', span: condition.source, message };
    }),
  );
}

function whyNotThere(condition: Condition, { options }: Profile): Phrase | undefined {
  const { profile: path = '', option } = condition;
  const found = options.find(({ id }) => id === option);
  if (found !== undefined) return whyTooBig(condition, found);
  const several = whyNotOneOfSeveral(options, option);
  if (several !== undefined) return phrase('{0}: {1}', path, several);
  const near = nearName(
    option,
    options.map(({ id }) => id),
  );
  return near === undefined
    ? phrase('{0} has no option "{1}".', path, option)
    : phrase('{0} has no option "{1}"; "{2}" is probably meant.', path, option, near);
}
