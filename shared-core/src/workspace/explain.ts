import { phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import type { LoadedDump } from '../checks/loadedDump.js';
import type { Dump } from '../model/dump.js';
import { headersOf } from '../model/headers.js';
import { whyNotThisModule } from '../model/identity.js';
import { type FileToBind, profilesNamed } from './dumpFile.js';
import { whyProfileDropsDemands, whyProfileLiftsLocks, whyProfilePutsAside } from './givenProfile.js';
import type { FoundProfile, Profiles } from './profiles.js';
import { unreadable } from './reasons.js';
import { canonicalUri, fileName } from './uri.js';

/** A dump bound to its profile and to nothing else. */
export type ExplainedDump = Pick<LoadedDump, 'file' | 'name' | 'dump' | 'profileFile' | 'profile' | 'own'>;

/** A file and what people call it. */
export type NamedFile = Pick<LoadedDump, 'file' | 'name'>;

/** Binds a dump to the profile that a person gives (the file of one), or else to the one that it names. */
export function explainDump(
  profiles: Profiles,
  named: NamedFile,
  unbound: FileToBind,
  given: string | undefined,
): Promise<Result<ExplainedDump>> {
  return given === undefined
    ? explainAsNamed(profiles, named, unbound)
    : explainAsGiven(profiles, named, unbound, given);
}

async function explainBy(
  { file, name }: NamedFile,
  unbound: FileToBind,
  { file: profileFile, profile, status }: FoundProfile,
): Promise<Result<ExplainedDump>> {
  const bound = await unbound.bind(profile);
  return bound.ok ? done({ file, name, dump: bound.value, profileFile, profile: status }) : unreadable(name, bound);
}

async function explainAsNamed(
  profiles: Profiles,
  named: NamedFile,
  unbound: FileToBind,
): Promise<Result<ExplainedDump>> {
  const first = await unbound.profiles();
  const explained = await explainBy(named, unbound, await profiles.namedBy(named.file, first));
  if (!explained.ok) return explained;
  // Of an image that was passed over, only now all headers are known.
  const all = namedIn(explained.value.dump);
  return all.length > first.length ? explainBy(named, unbound, await profiles.namedBy(named.file, all)) : explained;
}

async function explainAsGiven(
  profiles: Profiles,
  named: NamedFile,
  unbound: FileToBind,
  given: string,
): Promise<Result<ExplainedDump>> {
  const found = await profiles.given(given);
  if (!found.ok) return unreadable(fileName(given), found);
  const explained = await explainBy(named, unbound, found.value);
  if (!explained.ok) return explained;
  // By a notation of the given profile's own, a header may be something else.
  const asWritten = found.value.profile.notation === undefined ? [] : await unbound.profiles();
  const own = await profiles.namedBy(named.file, [...new Set([...asWritten, ...namedIn(explained.value.dump)])]);
  if (own.status.kind === 'none' || own.file === canonicalUri(given)) return explained;
  if (own.profile.flaw !== undefined) return done(forReadingOnly(explained.value));
  const byOwn = await unbound.bind(own.profile);
  if (!byOwn.ok) return byOwn;
  const [asGiven, asNamed] = [explained.value.dump, byOwn.value];
  const why =
    whyProfileLiftsLocks(asGiven, asNamed) ??
    whyProfilePutsAside(asGiven, asNamed) ??
    whyProfileDropsDemands(asGiven, asNamed);
  return why === undefined
    ? done({ ...explained.value, dump: forItsModule(asGiven, asNamed), own: byOwn.value })
    : refuse(why);
}

/** A dump by a profile that was given, which is for no module that the dump's own profile is not for. */
function forItsModule(given: Dump, own: Dump): Dump {
  if (whyNotThisModule(own) === undefined || whyNotThisModule(given)?.kind === 'other') return given;
  return { ...given, profile: { ...given.profile, appliesTo: own.profile.appliesTo } };
}

function namedIn(dump: Dump): readonly string[] {
  return profilesNamed(headersOf(dump).map(({ header }) => header));
}

/** A dump by a profile that was given, where the locks of its own profile are not known. */
function forReadingOnly(explained: ExplainedDump): ExplainedDump {
  const { dump } = explained;
  const first = phrase(
    'The profile that the dump itself names cannot be read or has problems, so what it locks is not known.',
  );
  const flaw = dump.profile.flaw ?? { first, span: { start: 0, end: 0 }, count: 1 };
  return { ...explained, dump: { ...dump, profile: { ...dump.profile, flaw } } };
}
