import { type Phrase, phrase, say } from '../base/phrase.js';
import type { Dump } from '../model/dump.js';
import { headerValue } from '../model/headers.js';
import { whyNotThisModule } from '../model/identity.js';
import type { Profile } from '../profile/profile.js';
import { EMPTY_PROFILE } from '../profile/readProfile.js';
import { isReadAs } from '../profile/slotPlaces.js';

/** Why a profile proves nothing about two dumps. */
export interface ProfileDoubt {
  readonly side: 'profile';
  readonly what: 'profile' | 'unconfirmed';
  readonly why: Phrase;
}

/** Two dumps as they came, and the same as the one profile reads them by which they are compared. */
export interface Pair {
  readonly own: readonly [before: Dump, after: Dump];
  readonly bound: readonly [before: Dump, after: Dump];
}

/**
 * Why nothing can be proved by the profiles of two dumps, in whatever order they come: they name different ones, one
 * cannot be read or has problems, or it is not known to be for their module. Dumps that are alike in each byte need no word of a profile, so
 * that it is enough then if one of them says which module it is of.
 */
export function profileDoubts({ own, bound }: Pair, areUnlike: boolean): readonly ProfileDoubt[] {
  const misfits = bound.flatMap((dump) => whyNotThisModule(dump) ?? []);
  const isOpen = areUnlike || misfits.length === bound.length;
  const doubts = [
    ...own.flatMap(whyUnreadable).map((why) => ({ what: 'profile', why }) as const),
    ...[whyProfilesDiffer(...own)].flatMap((why) => (why === undefined ? [] : ({ what: 'profile', why } as const))),
    ...[...own, ...bound]
      .flatMap(({ profile }) => whyFlawed(profile) ?? [])
      .map((why) => ({ what: 'profile', why }) as const),
    ...misfits
      .filter(({ kind }) => kind === 'other' || isOpen)
      .map(({ kind, why }) => {
        const what: ProfileDoubt['what'] = kind === 'other' ? 'profile' : 'unconfirmed';
        return { what, why: phrase('{0} Nothing is proved by it.', why) };
      }),
  ];
  const byWords = new Map(doubts.map((doubt) => [say(doubt.why), { side: 'profile', ...doubt } as const]));
  return [...byWords.values()];
}

/** Two dumps that name different profiles: what the one says of both, the other does not confirm. */
export function whyProfilesDiffer(before: Dump, after: Dump): Phrase | undefined {
  const [was, now] = [headerValue(before, 'profile'), headerValue(after, 'profile')];
  const isEither = [before, after].some(({ profile }) => profile === EMPTY_PROFILE);
  if (
    isEither ||
    isReadAs(before.profile, after.profile) ||
    isReadAs(after.profile, before.profile) ||
    was === undefined ||
    now === undefined ||
    was === now
  )
    return undefined;
  return phrase(
    'They name two profiles, "{0}" and "{1}", so they are of two modules or of two versions of one. Nothing is proved.',
    was,
    now,
  );
}

/** That only one of two dumps names a profile, by which both are read. */
export function whyOneProfile(before: Dump, after: Dump): Phrase | undefined {
  const [bare, ...others] = [before, after].filter(
    (dump) => dump.profile === EMPTY_PROFILE && headerValue(dump, 'profile') === undefined,
  );
  const other = bare === before ? after : before;
  const named = headerValue(other, 'profile');
  return bare === undefined || others.length > 0 || other.profile === EMPTY_PROFILE || named === undefined
    ? undefined
    : phrase('One names the profile "{0}", the other names none.', named);
}

function whyUnreadable(dump: Dump): Phrase | readonly [] {
  const named = headerValue(dump, 'profile');
  return dump.profile === EMPTY_PROFILE && named !== undefined
    ? phrase('The profile "{0}" could not be read, so nothing is proved.', named)
    : [];
}

/** That a profile has problems, or cannot be read. */
export function whyFlawed({ flaw }: Profile): Phrase | undefined {
  return flaw === undefined
    ? undefined
    : phrase(
        'The profile has problems ({0}), so nothing is proved by it. Correct them first: {1}',
        flaw.count,
        flaw.first,
      );
}

/** What nobody can tell of two dumps that no profile explains, though all that is there was read. */
export function unexplainedCaveat(profile: Profile): Phrase | undefined {
  return profile === EMPTY_PROFILE
    ? phrase('No profile explains them, so nobody can tell that nothing is missing from both.')
    : undefined;
}
