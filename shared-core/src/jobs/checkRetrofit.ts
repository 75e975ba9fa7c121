import { nearestName } from '../base/nearestName.js';
import { type Phrase, phrase } from '../base/phrase.js';
import type { Dump } from '../model/dump.js';
import { readOptionValue, readOptionValueIn } from '../options/readOptionValue.js';
import { whyNotByCommand } from '../options/setOption.js';
import type { JsonSpan } from '../profile/json.js';
import type { Option, Profile } from '../profile/profile.js';
import { whyNotOneOfSeveral } from '../profile/severalOptions.js';
import type { ModuleChange, OptionChange, Retrofit } from './retrofit.js';

/** Something that a retrofit asks for and its modules' profiles do not know. */
export interface RetrofitProblem {
  readonly span: JsonSpan;
  readonly message: Phrase;
}

/** An option of a profile and the raw value that it is to get, or why there is none. */
export type Wanted =
  | { readonly option: Option; readonly raw: bigint }
  | { readonly why: Phrase; readonly span: JsonSpan };

/** The problems of a retrofit that the profiles it names show. */
export function checkRetrofit(
  { changes }: Retrofit,
  profileOf: (path: string) => Profile | undefined,
): readonly RetrofitProblem[] {
  return changes.flatMap((change): readonly RetrofitProblem[] => {
    const profile = profileOf(change.profile);
    if (profile === undefined) return [{ span: change.source, message: noProfile(change) }];
    return change.set.flatMap((one) => {
      const wanted = wantedIn(profile, one);
      return 'why' in wanted ? { span: wanted.span, message: wanted.why } : [];
    });
  });
}

export function noProfile({ profile }: ModuleChange): Phrase {
  return phrase(
    'There is no profile "{0}" beside this retrofit, or it cannot be read. Correct the path, or put it there.',
    profile,
  );
}

/** What a change means in a profile and, where there is one, a dump: its flags without words stay as they are. */
export function wantedIn(
  { options }: Profile,
  { option: id, value, source, idSource }: OptionChange,
  dump?: Dump,
): Wanted {
  const option = options.find((one) => one.id === id);
  if (option === undefined) {
    const near = nearestName(
      id,
      options.map((one) => one.id),
    );
    const why =
      whyNotOneOfSeveral(options, id) ??
      (near === undefined
        ? phrase('The profile has no option "{0}".', id)
        : phrase('The profile has no option "{0}"; "{1}" is probably meant.', id, near));
    return { why, span: idSource };
  }
  const never = whyNotByCommand(option);
  if (never !== undefined) return { why: never, span: idSource };
  const read = dump === undefined ? readOptionValue(option, value) : readOptionValueIn(dump, option, value);
  return read.ok ? { option, raw: read.value } : { why: read.why, span: source };
}
