import { nearestName } from '../base/nearestName.js';
import { phrase } from '../base/phrase.js';
import type { ProfileProblem } from './json.js';
import type { Profile } from './profile.js';

/**
 * Conditions on options that the profile of another module does not have: they would never be seen broken. A profile
 * that is not there says nothing, as a module may not be read yet.
 */
export function foreignConditionProblems(
  { options }: Profile,
  profileOf: (path: string) => Profile | undefined,
): readonly ProfileProblem[] {
  return options.flatMap(({ needs, excludes }) =>
    [...needs, ...excludes].flatMap(({ profile: path, option, source }): ProfileProblem | readonly [] => {
      const other = path === undefined ? undefined : profileOf(path);
      if (path === undefined || other === undefined) return [];
      const ids = other.options.map(({ id }) => id);
      if (ids.includes(option)) return [];
      const near = nearestName(option, ids);
      const message =
        near === undefined
          ? phrase('{0} has no option "{1}".', path, option)
          : phrase('{0} has no option "{1}"; "{2}" is probably meant.', path, option, near);
      return { code: 'profile-invalid', span: source, message };
    }),
  );
}
