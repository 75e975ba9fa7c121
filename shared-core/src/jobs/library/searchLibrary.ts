import { listed, type Phrase, phrase } from '../../base/phrase.js';
import type { Dump } from '../../model/dump.js';
import { whyFlawed } from '../../model/gate.js';
import { type IndexedProfile, standingsOf, withoutBases } from './profileIndex.js';

/** What a library has for a dump: the profile that fits alone, those among which only a person can choose, or why none. */
export type LibraryAnswer =
  /** `doubt`: one that cannot be read may be the one that fits, so that nobody can tell that this one does so alone. */
  | { readonly kind: 'one'; readonly profile: IndexedProfile; readonly doubt?: Phrase }
  | { readonly kind: 'several'; readonly profiles: readonly IndexedProfile[] }
  | { readonly kind: 'none'; readonly why: Phrase };

/**
 * The profile of a library for a dump that names none: its headers are what the profile applies to, and every line and
 * sum of the dump is as the profile says. `explains` tells the latter and is asked only of profiles that are for the
 * module. A variant goes before the profiles that it extends.
 */
export async function searchLibrary(
  index: readonly IndexedProfile[],
  dump: Pick<Dump, 'rows' | 'headers' | 'profile'>,
  explains: (file: string) => Promise<boolean>,
  unread: readonly UnreadProfile[] = [],
): Promise<LibraryAnswer> {
  const standings = standingsOf(index, dump);
  const forModule = standings.flatMap(({ profile, misfit }) => (misfit === undefined ? profile : []));
  const flawed = forModule.find(({ flaw }) => flaw !== undefined);
  if (flawed?.flaw !== undefined)
    return { kind: 'none', why: phrase('{0} is for this module. {1}', flawed.name, whyFlawed(flawed.flaw)) };
  const fitting: IndexedProfile[] = [];
  for (const profile of forModule) if (await explains(profile.file)) fitting.push(profile);
  const [profile, ...others] = withoutBases(fitting);
  if (profile !== undefined)
    return others.length === 0
      ? { kind: 'one', profile, ...doubtBy([...unread, ...index.flatMap(tornIn)]) }
      : { kind: 'several', profiles: [profile, ...others] };
  const [near] = withoutBases(forModule);
  if (near !== undefined)
    return {
      kind: 'none',
      why: phrase('{0} is for this module, and not all lines and sums of the dump are as it says.', near.name),
    };
  // One that contradicts in the software alone is nearer than one of another part.
  const nearest =
    standings.find(({ misfit }) => misfit?.kind === 'unconfirmed') ??
    standings.find(({ misfit }) => misfit?.at?.header.name === 'software');
  if (nearest?.misfit === undefined)
    return { kind: 'none', why: phrase('of the profiles there ({0}), none is for its "@part".', index.length) };
  return { kind: 'none', why: phrase('{0} is nearest. {1}', nearest.profile.name, nearest.misfit.why) };
}

/** A profile of which not even the module is known. */
export interface UnreadProfile {
  readonly name: string;
  readonly why: Phrase;
}

function tornIn({ name, appliesTo, flaw }: IndexedProfile): UnreadProfile | readonly [] {
  return appliesTo === undefined && flaw !== undefined ? { name, why: flaw.first } : [];
}

function doubtBy([torn]: readonly UnreadProfile[]): { readonly doubt?: Phrase } {
  return torn === undefined
    ? {}
    : { doubt: phrase('{0} cannot be read, so it may be the one that fits: {1}', torn.name, torn.why) };
}

/** What tells a profile from others of the same module: what it is for, how sure its options are, what proves it. */
export function profileInWords({ appliesTo, sure, options, proofs }: IndexedProfile): Phrase {
  const software = appliesTo?.software ?? [];
  return listed(
    [
      software.length === 0 ? phrase('any software level') : phrase('software {0}', software.join(', ')),
      phrase('options: {0}, of these confirmed: {1}', options, sure.get('confirmed') ?? 0),
      phrase('proofs: {0}', proofs),
    ],
    ' · ',
  );
}
